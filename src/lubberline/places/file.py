"""A folder of places: aerodromes, airspace, visual points and land, from TOML files.

Every ``*.toml`` of the folder is read and merged. No two may say the same id, controlled
airspace must be reachable on some frequency, and a group belongs to one facility. All
problems of the folder come in one error.
"""

from collections.abc import Iterator, Mapping, Sequence, Set
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
from lubberline.tomlfile import read_toml


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
    problems += [(folder, problem) for problem in _said_twice(forms)]
    if whole:  # a file that could not be read may hold what the others lack
        volumes = [volume for form in forms.values() for volume in form.volume]
        facilities = {
            r.facility for form in forms.values() for a in form.aerodrome for r in a.radio
        }
        problems += [(folder, problem) for problem in _unanswered(volumes, facilities)]
        problems += [(folder, problem) for problem in _split_groups(volumes)]
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
    return BadFile(
        folder,
        [
            problem if path == folder else replace(problem, key=f"{path.name}, {problem.key}")
            for path, problem in problems
        ],
    )


def _said_twice(forms: _Forms) -> Iterator[Problem]:
    """Every aerodrome, volume or point that two places of the folder name alike."""
    files: dict[tuple[str, str], list[str]] = {}
    for path, form in forms.items():
        names = [("aerodrome", one.id) for one in form.aerodrome]
        names += [("volume", one.id) for one in form.volume]
        names += [("point", one.name) for one in form.point]
        for kind_and_name in names:
            files.setdefault(kind_and_name, []).append(path.name)
    for (kind, name), found in files.items():
        if len(found) > 1:
            yield Problem(
                key=f"{kind} {name}", found=f"it in {' and '.join(found)}", expected="it once"
            )


def _unanswered(volumes: Sequence[VolumeForm], facilities: Set[str]) -> Iterator[Problem]:
    """Controlled volumes whose facility has no frequency anywhere."""
    for volume in volumes:
        reachable = volume.frequency_mhz is not None or volume.facility in facilities
        if volume.airspace_class in CONTROLLED and not reachable:
            yield Problem(
                key=f"volume {volume.id}",
                found=f"facility {volume.facility!r} without a frequency",
                expected="frequency_mhz here or a radio of that facility",
                example="frequency_mhz = 118.6",
            )


def _split_groups(volumes: Sequence[VolumeForm]) -> Iterator[Problem]:
    """Groups that two facilities claim: one permission comes from one facility."""
    facilities: dict[str, dict[str, str]] = {}
    for volume in volumes:
        if volume.group:
            facilities.setdefault(volume.group, {}).setdefault(volume.facility, volume.id)
    for group, claims in facilities.items():
        if len(claims) > 1:
            found = " and ".join(f"{name!r} ({volume})" for name, volume in claims.items())
            yield Problem(key=f"group {group}", found=found, expected="one facility")


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
    known = form.model_dump(exclude={"floor", "ceiling", "circle", "polygon", "holes"})
    footprint = _footprint(form)
    return Volume(**known, floor=form.floor, ceiling=form.ceiling, footprint=footprint)


def _footprint(form: VolumeForm) -> Footprint:
    if form.circle is not None:
        return Circle(**form.circle.model_dump())
    holes_deg = tuple(np.array(hole) for hole in form.holes)
    return Polygon(corners_deg=np.array(form.polygon), holes_deg=holes_deg)
