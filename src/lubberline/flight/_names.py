"""Names in a flight that its airplane, its places or its folder do not have.

Private to the reader in ``file``. Each comes with its place in the file, what was found, what is
expected and an example, the nearest known name first.
"""

import difflib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.errors import Problem
from lubberline.flight._route_schema import PlaceForm
from lubberline.flight._schema import FlightForm
from lubberline.places import Places, identifiers
from lubberline.tomlfile import Location

MOST_NAMES: Final = 8  # own: what a message can list


@dataclass(frozen=True, slots=True, kw_only=True)
class Dangling:
    """One name that leads nowhere, and its place in the file."""

    location: Location
    found: str
    expected: str
    example: str

    def problem(self, lines: Mapping[Location, int]) -> Problem:
        """The same as a problem of the file."""
        return Problem(
            line=lines.get(self.location),
            key=".".join(str(part) for part in self.location),
            found=self.found,
            expected=self.expected,
            example=self.example,
        )


def dangling_files(asked: FlightForm, home: Path, folder: Path) -> Iterator[Dangling]:
    """Files that the flight names and nobody has."""
    named = [("aircraft", asked.aircraft, home / "aircraft")]
    if "standard" in asked.model_fields_set:
        named.append(("standard", asked.standard, home / "standards"))
    for key, name, where in named:
        if not (where / f"{name}.toml").is_file():
            known = {path.stem for path in where.glob("*.toml")}
            yield _unknown((key,), name, known, what=f"a file in {where.name}/, one of")
    if asked.weather is not None and not (folder / asked.weather).is_file():
        known = {path.name for path in folder.glob("*.txt")}
        yield _unknown(("weather",), asked.weather, known, what="a file beside flight.toml, one of")


def dangling_places(asked: FlightForm, places: Places) -> Iterator[Dangling]:
    """Aerodromes, runways, points and groups of airspace that the places do not have."""
    aerodromes = {name for one in places.aerodromes.values() for name in identifiers(one)}
    yield from _no_fields(asked, places, aerodromes)
    for key, aerodrome_id, runway in (
        ("departure", asked.departure, asked.departure_runway),
        ("destination", asked.destination, asked.destination_runway),
    ):
        aerodrome = places.aerodrome(aerodrome_id)
        if runway is not None and aerodrome is not None:
            ends = {end.name for _, end in aerodrome.runway_ends()}
            yield from _unknown_of({(f"{key}_runway",): runway}, ends)
    groups = {volume.group for volume in places.volumes} - {""}
    known = aerodromes | set(places.points) | {one.id for one in places.waypoints}
    if asked.search is not None:
        yield from _unknown_of(_named(asked.search.via, "search", "via"), known)
        for n, one in enumerate(asked.search.avoid):
            if isinstance(one.place, str):
                yield from _unknown_of({("search", "avoid", n, "place"): one.place}, known)
    for index, way in enumerate(asked.way):
        yield from _unknown_of(_named(way.via, "way", index, "via"), known)
        for n, group in enumerate(way.permissions):
            yield from _unknown_of({("way", index, "permissions", n): group}, groups)


def _named(via: Sequence[PlaceForm], *where: str | int) -> dict[Location, str]:
    """The points given by name, by their place in the file."""
    return {(*where, n): place for n, place in enumerate(via) if isinstance(place, str)}


def _no_fields(
    asked: FlightForm, places: Places, aerodromes: Collection[str]
) -> Iterator[Dangling]:
    """Aerodromes that nobody has, or that have no runway."""
    named: dict[Location, str] = {
        ("departure",): asked.departure,
        ("destination",): asked.destination,
        **{("alternates", index): name for index, name in enumerate(asked.alternates)},
    }
    yield from _unknown_of(named, aerodromes)
    for location, name in named.items():
        aerodrome = places.aerodrome(name)
        if aerodrome is not None and not aerodrome.runways:
            yield Dangling(
                location=location,
                found=f"{name!r}, which has no runway on file",
                expected="an aerodrome with a runway",
                example="[[aerodrome.runway]] in a file of places/",
            )


def dangling_load(asked: FlightForm, aircraft: Aircraft) -> Iterator[Dangling]:
    """Stations and tanks that the airplane does not have, and fuel that a tank cannot hold."""
    stations = {station.name for station in aircraft.loading.stations}
    tanks = {tank.name: tank.usable_gal for tank in aircraft.loading.tanks}
    yield from _unknown_of({("load_lb", name): name for name in asked.load_lb}, stations)
    yield from _unknown_of({("fuel_gal", name): name for name in asked.fuel_gal}, set(tanks))
    for name, fuel_gal in asked.fuel_gal.items():
        if fuel_gal > tanks.get(name, fuel_gal):
            yield Dangling(
                location=("fuel_gal", name),
                found=f"{fuel_gal:g}",
                expected=f"at most {tanks[name]:g} usable in that tank",
                example=f"{name} = {tanks[name]:g}",
            )


def _unknown_of(named: Mapping[Location, str], known: Collection[str]) -> Iterator[Dangling]:
    for location, name in named.items():
        if name not in known:
            yield _unknown(location, name, known, what="one of")


def _unknown(location: Location, name: str, known: Collection[str], *, what: str) -> Dangling:
    ranked = _nearest_first(name, known)
    more = len(ranked) - MOST_NAMES
    shown = ", ".join(ranked[:MOST_NAMES]) or "none on file"
    key = location[-1]
    example = f"{ranked[0]!r}" if ranked else ""
    if ranked and isinstance(key, str):
        example = f"{ranked[0]} = ..." if key == name else f"{key} = {example}"
    return Dangling(
        location=location,
        found=repr(name),
        expected=f"{what}: {shown}" + (f" and {more} more" if more > 0 else ""),
        example=example,
    )


def _nearest_first(name: str, known: Collection[str]) -> list[str]:
    """What is spelled most like it, then the rest by the alphabet."""
    folded = {one.casefold(): one for one in sorted(known)}
    near = difflib.get_close_matches(name.casefold(), folded, n=3)
    return list(dict.fromkeys([*(folded[one] for one in near), *sorted(known)]))
