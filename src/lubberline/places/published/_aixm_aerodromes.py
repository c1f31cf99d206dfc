"""Aerodromes with their runways from an AIXM document."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import isnan, nan
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.model import Aerodrome, Radio, Runway, RunwayEnd
from lubberline.places.published._account import Accounting, Unfit
from lubberline.places.published._aixm import Library, lasting
from lubberline.places.published._aixm_services import name_of
from lubberline.places.published._arcs import Place
from lubberline.places.published._gml import Axes, Curves
from lubberline.places.published._runways import settled
from lubberline.places.published._surface import surface_of
from lubberline.places.published._table import number
from lubberline.places.published._xml import LINE, said
from lubberline.places.published.nasr_airports import CUSTOMARY_PATTERN_AGL_FT
from lubberline.units import FT_PER_M

KINDS: Final = {"HP": "heliport", "LS": "landing site"}
_FT_PER: Final = {"FT": 1.0, "M": FT_PER_M, "KM": 1_000.0 * FT_PER_M}
_ENDS: Final = ("START", "START_RUN")  # roles of points, the better place of an end first
_THRESHOLDS: Final = ("THR", "DISTHR")


class Aerodromes:
    """Reads the aerodromes of a library."""

    def __init__(self, library: Library, file: str, source: str, account: Accounting) -> None:
        self._library, self._file, self._source, self._account = library, file, source, account
        self._curves = Curves(library.find)
        self._runways = self._by("Runway", "associatedAirportHeliport")
        self._directions = self._by("RunwayDirection", "usedRunway")
        self._points = self._by("RunwayCentrelinePoint", "onRunway")

    def made(self, radios: Mapping[str, list[Radio]]) -> Iterator[Aerodrome]:
        """All that have a place and an identifier of their own."""
        taken: set[str] = set()
        for feature in self._library.features["AirportHeliport"]:
            try:
                one = self._aerodrome(feature, radios)
                if one.id in taken:
                    raise Unfit("another one has this identifier")
            except Unfit as exc:
                line = int(feature.get(LINE, "0"))
                self._account.leave_out(self._file, line, "aerodrome", str(exc))
                continue
            taken.add(one.id)
            self._account.read("aerodromes")
            yield one

    def _by(self, kind: str, owner: str) -> dict[str, list[tuple[Element, Element]]]:
        """Features of a kind, with what holds of them, by the one that they belong to."""
        found: dict[str, list[tuple[Element, Element]]] = defaultdict(list)
        for feature in self._library.features[kind]:
            holds = lasting(feature)
            if holds is not None:
                for one in self._library.referred(holds, owner):
                    found[name_of(one)].append((feature, holds))
        return found

    def _aerodrome(self, feature: Element, radios: Mapping[str, list[Radio]]) -> Aerodrome:
        holds = lasting(feature)
        if holds is None:
            raise Unfit("a change of what the document does not hold")
        codes = [
            said(holds, name) for name in ("locationIndicatorICAO", "designator", "designatorIATA")
        ]
        names = list(dict.fromkeys(filter(None, codes)))
        if not names:
            raise Unfit("no identifier")
        lat_deg, lon_deg, elev_msl_ft = self._point(holds, "ARP")
        if isnan(lat_deg):
            raise Unfit(f"{names[0]} without a place")
        field_ft = _feet(holds.find("fieldElevation"))
        return Aerodrome(
            id=names[0],
            aliases=tuple(names[1:]),
            kind=KINDS.get(said(holds, "type").upper(), ""),
            name=said(holds, "name") or names[0],
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            elev_msl_ft=elev_msl_ft if isnan(field_ft) else field_ft,
            pattern_agl_ft=CUSTOMARY_PATTERN_AGL_FT,
            pattern_customary=True,
            runways=tuple(self._strips(feature, names[0])),
            radios=tuple(radios.get(name_of(feature), ())),
            source=self._source,
        )

    def _strips(self, feature: Element, name: str) -> Iterator[Runway]:
        for strip, holds in self._runways[name_of(feature)]:
            ends = [self._end(*one) for one in self._directions[name_of(strip)]]
            length_ft = _feet(holds.find("nominalLength"))
            item = f"runway {said(holds, 'designator')} of {name}"
            if len(ends) != 2 or not length_ft > 0.0:
                reason = f"{len(ends)} directions, length {length_ft:.0f} ft"
                self._account.leave_out(self._file, int(strip.get(LINE, "0")), item, reason)
                continue
            ends.sort(key=lambda end: end.name)
            made = Runway(
                ends=(ends[0], ends[1]),
                length_ft=length_ft,
                width_ft=_feet(holds.find("nominalWidth")),
                surface=surface_of(
                    said(holds, "surfaceProperties/SurfaceCharacteristics/composition")
                ),
            )
            self._account.read("runways")
            yield settled(
                made, lambda what, why: self._account.leave_out(self._file, None, what, why)
            )

    def _end(self, feature: Element, holds: Element) -> RunwayEnd:
        """One direction: its end is where take-off starts, else the threshold if undisplaced."""
        roles = {said(point, "role").upper(): point for _, point in self._points[name_of(feature)]}
        first = next((roles[role] for role in (*_ENDS, *_THRESHOLDS) if role in roles), None)
        place = (nan, nan, nan) if first is None else self._point(first, "location")
        return RunwayEnd(
            name=said(holds, "designator"),
            true_deg=_direction_deg(said(holds, "trueBearing")),
            lat_deg=place[0],
            lon_deg=place[1],
            elev_msl_ft=place[2],
        )

    def _point(self, holds: Element, path: str) -> tuple[float, float, float]:
        """Place and elevation [ft] of a point; NaN for what is not told."""
        holder = holds.find(path)
        point = None if holder is None else self._library.find(holder.get("href", ""))
        point = next(iter(holder if holder is not None else ()), None) if point is None else point
        if point is None:
            return nan, nan, nan
        lat_deg, lon_deg = _on_earth(self._curves.place(point, Axes()))
        return lat_deg, lon_deg, _feet(point.find("elevation"))


def _on_earth(place: Place) -> Place:
    if not (abs(place[0]) <= 90.0 and abs(place[1]) <= 180.0):
        raise Unfit("a place that is not on earth")
    return place


def _direction_deg(text: str) -> float:
    value = number(text)
    return value if 0.0 <= value <= 360.0 else nan


def _feet(node: Element | None) -> float:
    """A length or elevation; NaN if it is not told."""
    if node is None:
        return nan
    return number((node.text or "").strip()) * _FT_PER.get(node.get("uom", "").upper(), nan)
