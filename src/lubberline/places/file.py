"""A folder of places: aerodromes, airspace, visual points and land, from TOML files.

Every ``*.toml`` of the folder is read and merged. No two may say the same id, controlled
airspace must be reachable on some frequency, and a group belongs to one facility. All
problems of the folder come in one error.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from lubberline.errors import BadFile, Problem
from lubberline.places._schema import (
    CONTROLLED,
    AerodromeForm,
    EndForm,
    PlacesForm,
    RunwayForm,
    VolumeForm,
    inverse,
)
from lubberline.places.hours import schedule_of
from lubberline.places.model import (
    Aerodrome,
    Circle,
    Footprint,
    Places,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    VisualPoint,
    Volume,
)
from lubberline.tomlfile import Location, lines_of, read_toml


def read_places(folder: Path) -> Places:
    """All that the TOML files of a folder say, merged in the order of their names.

    Raises
    ------
    BadFile
        If the folder holds no TOML file, or if any file or their sum is wrong: all problems
        together, each with its file.
    """
    forms, problems = _read_forms(folder)
    whole = not problems
    problems += _placed(_said_twice(forms))
    if whole:  # a file that could not be read may hold what the others lack
        problems += _placed((*_unanswered(forms), *_split_groups(forms)))
    if problems:
        raise _refusal(folder, problems)
    return Places(
        aerodromes={a.id: _aerodrome(a) for form in forms.values() for a in form.aerodrome},
        volumes=tuple(_volume(v) for form in forms.values() for v in form.volume),
        points={
            p.name: VisualPoint(**p.model_dump()) for form in forms.values() for p in form.point
        },
        land_deg=tuple(np.array(land.corners_deg) for form in forms.values() for land in form.land),
        sources=tuple(
            f"{path.name}: {form.source or 'no source given'}" for path, form in forms.items()
        ),
    )


_Forms = Mapping[Path, PlacesForm]
_Problems = list[tuple[Path, Problem]]
_Wrong = tuple[Path, Location, str, str]  # file, place in it, found, expected


def _read_forms(folder: Path) -> tuple[dict[Path, PlacesForm], _Problems]:
    """Each file's content, and what is wrong with the files that could not be read."""
    paths = sorted(folder.glob("*.toml"))
    if not paths:
        found = "no such file" if folder.is_dir() else "no such folder"
        expected = "a folder with at least one file of places"
        raise BadFile(folder, [Problem(key="*.toml", found=found, expected=expected)])
    forms: dict[Path, PlacesForm] = {}
    problems: _Problems = []
    for path in paths:
        try:
            forms[path] = read_toml(path, PlacesForm)
        except BadFile as exc:
            problems += [(path, problem) for problem in exc.problems]
    return forms, problems


def _refusal(folder: Path, problems: _Problems) -> BadFile:
    """One error: named after the one bad file, or after the folder with the file in each key."""
    paths = {path for path, _ in problems}
    if len(paths) == 1:
        return BadFile(paths.pop(), [problem for _, problem in problems])
    named = [replace(problem, key=f"{path.name}, {problem.key}") for path, problem in problems]
    return BadFile(folder, named)


def _placed(wrong: Iterable[_Wrong]) -> _Problems:
    """The same with the line in the file."""
    return [
        (path, Problem(key=_key(place), found=found, expected=expected, line=_line(path, place)))
        for path, place, found, expected in wrong
    ]


def _key(place: Location) -> str:
    return ".".join(f"{part}" for part in place)


def _line(path: Path, place: Location) -> int | None:
    return lines_of(path).get(place)


def _said_twice(forms: _Forms) -> Iterator[_Wrong]:
    """Every aerodrome, volume or point whose id or name was said before."""
    first: dict[tuple[str, str], tuple[Path, Location]] = {}
    for path, form in forms.items():
        names = [("aerodrome", i, "id", one.id) for i, one in enumerate(form.aerodrome)]
        names += [("volume", i, "id", one.id) for i, one in enumerate(form.volume)]
        names += [("point", i, "name", one.name) for i, one in enumerate(form.point)]
        for kind, index, key, name in names:
            place = (kind, index, key)
            if (kind, name) in first:
                before, where = first[kind, name]
                found = f"{name!r}, which {before.name} says in line {_line(before, where)}"
                yield path, place, found, f"another {key}"
            first.setdefault((kind, name), (path, place))


def _unanswered(forms: _Forms) -> Iterator[_Wrong]:
    """Controlled volumes whose facility has no frequency anywhere."""
    facilities = {r.facility for form in forms.values() for a in form.aerodrome for r in a.radio}
    for path, index, volume in _volumes(forms):
        reachable = volume.frequency_mhz is not None or volume.facility in facilities
        if volume.airspace_class in CONTROLLED and not reachable:
            expected = "a facility with a radio in this folder, or frequency_mhz here"
            yield path, ("volume", index, "facility"), repr(volume.facility), expected


def _split_groups(forms: _Forms) -> Iterator[_Wrong]:
    """Groups that a second facility claims: one permission comes from one facility."""
    owners: dict[str, VolumeForm] = {}
    for path, index, volume in _volumes(forms):
        owner = owners.setdefault(volume.group, volume)
        if volume.group and owner.facility != volume.facility:
            found = f"{volume.facility!r} in group {volume.group!r}"
            expected = f"{owner.facility!r} as in {owner.id}, or another group"
            yield path, ("volume", index, "facility"), found, expected


def _volumes(forms: _Forms) -> Iterator[tuple[Path, int, VolumeForm]]:
    for path, form in forms.items():
        for index, volume in enumerate(form.volume):
            yield path, index, volume


def _aerodrome(form: AerodromeForm) -> Aerodrome:
    known = form.model_dump(exclude={"runway", "radio"})
    radios = tuple(Radio(**radio.model_dump()) for radio in form.radio)
    return Aerodrome(**known, runways=tuple(_runway(r) for r in form.runway), radios=radios)


def _runway(form: RunwayForm) -> Runway:
    first, second = form.end
    ends = (_end(first, second), _end(second, first))
    return Runway(ends=ends, **form.model_dump(exclude={"end"}))


def _end(form: EndForm, other: EndForm) -> RunwayEnd:
    true_deg = inverse(form, other)[0] if form.true_deg is None else form.true_deg
    return RunwayEnd(**form.model_dump(exclude={"true_deg"}), true_deg=true_deg)


def _volume(form: VolumeForm) -> Volume:
    shape = {"floor", "ceiling", "circle", "polygon", "holes"}
    return Volume(
        **form.model_dump(exclude={*shape, "hours"}),
        floor=form.floor,
        ceiling=form.ceiling,
        footprint=_footprint(form),
        schedule=schedule_of(form.hours),
    )


def _footprint(form: VolumeForm) -> Footprint:
    if form.circle is not None:
        return Circle(**form.circle.model_dump())
    holes_deg = tuple(np.array(hole) for hole in form.holes)
    return Polygon(corners_deg=np.array(form.polygon), holes_deg=holes_deg)
