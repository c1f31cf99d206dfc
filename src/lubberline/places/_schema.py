"""The form of a places file, and what makes each part of it impossible.

Private to the reader in ``file``. A check that looks at several keys hangs on the last of
them, so that its message names a line of the file; one that counts a list's items runs only on
good items, so that a bad item is not told twice.
"""

import re
from collections.abc import Iterator
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import BeforeValidator, Field, ValidationInfo, field_validator

from lubberline.arrays import wrap_180_deg
from lubberline.earth import course_and_distance
from lubberline.places.hours import schedule_of
from lubberline.places.model import Height, RadioUse
from lubberline.tomlfile import Location, Schema, refusal
from lubberline.units import FT_PER_NM

CONTROLLED: Final = "ABCD"  # entered by a facility's word only: 14 CFR 91.129 to 91.135
MIX_UP_DEG: Final = 5.0  # own: a direction further off its ends belongs to another runway
LENGTH_FRACTION: Final = 0.1  # own: ends further off the stated length are a slip of the pen

_HEIGHT: Final = re.compile(r"(-?\d+(?:\.\d+)?) (MSL|AGL)")
_PLACE: Final = re.compile(r"\[(\S+) (\S+)\]")
_HEIGHT_FORMS: Final = "'SFC', feet above sea level as '1500 MSL' or above ground as '700 AGL'"


def _height(text: object) -> Height:
    """The height that ``SFC``, ``1500 MSL`` or ``700 AGL`` says."""
    if text == "SFC":
        return Height(reference="SFC", ft=0.0)
    match = _HEIGHT.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        raise ValueError(_HEIGHT_FORMS)
    return Height(reference="MSL" if match[2] == "MSL" else "AGL", ft=float(match[1]))


LatDeg = Annotated[float, Field(ge=-90, le=90, examples=[41.099])]
LonDeg = Annotated[float, Field(ge=-180, le=180, examples=[-130.515])]
Name = Annotated[str, Field(min_length=1, examples=["'Split Rock'"])]
Id = Annotated[str, Field(pattern=r"^[A-Z0-9][A-Z0-9-]*$", examples=["'QMRL'"])]
ElevMslFt = Annotated[float, Field(ge=-1_500, le=20_000, examples=[110])]
# Aeronautical mobile band, lowest and highest channel name: ICAO Annex 10 Volume V, 4.1 (memory).
FrequencyMhz = Annotated[float, Field(ge=118.0, le=136.992, examples=[118.6])]
HeightText = Annotated[Height, BeforeValidator(_height), Field(examples=["'1500 MSL'"])]
Corner = tuple[LatDeg, LonDeg]
Corners = Annotated[
    tuple[Corner, ...], Field(examples=["[[41.0, -131.0], [41.0, -130.9], [41.1, -130.9]]"])
]


class EndForm(Schema):
    """One end of a runway: the end of the pavement, with its painted name."""

    name: Annotated[str, Field(pattern=r"^(0[1-9]|[12]\d|3[0-6])[LCR]?$", examples=["'09L'"])]
    true_deg: Annotated[float | None, Field(ge=0, le=360, examples=[105.2])] = None
    lat_deg: LatDeg
    lon_deg: LonDeg
    elev_msl_ft: ElevMslFt
    displaced_ft: Annotated[float, Field(ge=0, le=10_000, examples=[300])] = 0.0
    pattern_side: Annotated[Literal["left", "right"], Field(examples=["'right'"])] = "left"


class RunwayForm(Schema):
    """A strip; its two ends must agree with its length and with their own directions."""

    length_ft: Annotated[float, Field(gt=0, le=25_000, examples=[4_200])]
    width_ft: Annotated[float, Field(gt=0, le=1_000, examples=[75])]
    surface: Annotated[Literal["paved", "grass"], Field(examples=["'paved'"])]
    end: tuple[EndForm, ...]

    @field_validator("end")
    @classmethod
    def _ends_agree(cls, ends: tuple[EndForm, ...], info: ValidationInfo) -> tuple[EndForm, ...]:
        """Ends that lie as far apart as the runway is long, each in its own direction."""
        if len(ends) != 2:
            raise ValueError(f"two ends, not {len(ends)}")
        problems = [*_misnamed(ends), *_misaligned(ends)]
        length_ft, apart_ft = info.data.get("length_ft"), inverse(*ends)[1]
        if length_ft is not None and abs(apart_ft - length_ft) > LENGTH_FRACTION * length_ft:
            expected = f"ends as far apart as length_ft, {length_ft:g} ft"
            problems.append(((), f"{apart_ft:.0f} ft between them", expected))
        if problems:
            raise refusal(problems)
        return ends


_Problem = tuple[Location, object, str]  # place below the ends, found, expected


def _misnamed(ends: tuple[EndForm, ...]) -> Iterator[_Problem]:
    """A second name that is not the first one's opposite."""
    first, second = (end.name for end in ends)
    side = {"L": "R", "R": "L"}.get(first[2:], first[2:])
    opposite = f"{(int(first[:2]) + 17) % 36 + 1:02d}{side}"
    if second != opposite:
        yield (1, "name"), second, f"{opposite!r}, the opposite of {first!r}"


def _misaligned(ends: tuple[EndForm, ...]) -> Iterator[_Problem]:
    """Stated directions that do not lead from one end to the other."""
    for index, (end, other) in enumerate((ends, ends[::-1])):
        along_deg = inverse(end, other)[0]
        if end.true_deg is not None and abs(wrap_180_deg(end.true_deg - along_deg)) > MIX_UP_DEG:
            expected = f"about {along_deg:.1f}, from this end to the other: mixed-up ends?"
            yield (index, "true_deg"), end.true_deg, expected


def inverse(end: EndForm, other: EndForm) -> tuple[float, float]:
    """True course [deg] at one end towards the other, and the distance between them [ft]."""
    course_deg, distance_nm = course_and_distance(
        end.lat_deg, end.lon_deg, other.lat_deg, other.lon_deg
    )
    return float(course_deg), float(distance_nm) * FT_PER_NM


class RadioForm(Schema):
    """A service on a frequency."""

    facility: Annotated[str, Field(min_length=1, examples=["'Marl Tower'"])]
    use: Annotated[RadioUse, Field(examples=["'tower'"])]
    frequency_mhz: FrequencyMhz
    note: str = ""


class AerodromeForm(Schema):
    """A landing place with its runways and radio services."""

    id: Id
    name: Name
    lat_deg: LatDeg
    lon_deg: LonDeg
    elev_msl_ft: ElevMslFt
    pattern_agl_ft: Annotated[float, Field(gt=0, le=5_000, examples=[1_000])]
    runway: tuple[RunwayForm, ...]
    radio: tuple[RadioForm, ...] = ()

    @field_validator("runway")
    @classmethod
    def _somewhere_to_land(cls, runways: tuple[RunwayForm, ...]) -> tuple[RunwayForm, ...]:
        """At least one runway."""
        if not runways:
            raise ValueError("at least one runway")
        return runways


class CircleForm(Schema):
    """A circle, or a ring from ``inner_nm`` to ``radius_nm``."""

    lat_deg: LatDeg
    lon_deg: LonDeg
    radius_nm: Annotated[float, Field(gt=0, le=200, examples=[4.2])]
    inner_nm: Annotated[float, Field(ge=0, examples=[5.0])] = 0.0

    @field_validator("inner_nm")
    @classmethod
    def _inner_is_smaller(cls, inner_nm: float, info: ValidationInfo) -> float:
        """An inner radius below the outer one."""
        if inner_nm >= info.data.get("radius_nm", np.inf):
            raise ValueError(f"less than radius_nm, {info.data['radius_nm']:g}")
        return inner_nm


class VolumeForm(Schema):
    """A block of airspace: a class, two heights, one circle or polygon."""

    id: Id
    name: Name
    airspace_class: Annotated[str, Field(alias="class")]
    group: Annotated[str, Field(examples=["'marl-tower'"], validate_default=True)] = ""
    facility: Annotated[str, Field(examples=["'Marl Tower'"], validate_default=True)] = ""
    frequency_mhz: FrequencyMhz | None = None
    floor: HeightText
    ceiling: HeightText
    circle: CircleForm | None = None
    polygon: Annotated[Corners | None, Field(validate_default=True)] = None
    holes: tuple[Corners, ...] = ()
    lateral_margin_nm: Annotated[float | None, Field(ge=0, le=20, examples=[1.0])] = None
    hours: Annotated[str, Field(examples=["'1500-0300Z MON-FRI'"])] = ""
    otherwise_class: Annotated[str, Field(pattern="^[A-G]?$", examples=["'E'"])] = ""

    @field_validator("hours")
    @classmethod
    def _understood(cls, text: str) -> str:
        """Hours that the program can reckon with, in UTC."""
        schedule = schedule_of(text)
        spans = schedule.spans if schedule is not None else ()
        if spans is None or any(span.zone == "local" for span in spans):
            raise ValueError("spans of the clock in UTC, with a Z, and days of the week")
        return text

    @field_validator("airspace_class")
    @classmethod
    def _one_letter(cls, text: str) -> str:
        """A class as published."""
        if len(text) != 1 or not "A" <= text <= "Z":
            raise ValueError("one letter, A to G, R (restricted), P (prohibited) or as published")
        return text

    @field_validator("group", "facility")
    @classmethod
    def _someone_answers(cls, text: str, info: ValidationInfo) -> str:
        """A name wherever the class needs a facility's word."""
        if not text and info.data.get("airspace_class", "G") in CONTROLLED:
            raise ValueError(
                f"the {info.field_name} that opens class {info.data['airspace_class']}"
            )
        return text

    @field_validator("ceiling")
    @classmethod
    def _ceiling_is_higher(cls, ceiling: Height, info: ValidationInfo) -> Height:
        """A ceiling above the floor, where both are measured from the same level."""
        floor: Height | None = info.data.get("floor")
        if ceiling.reference == "SFC":
            raise ValueError("a height above the ground")
        same = floor and (floor.reference == "MSL") == (ceiling.reference == "MSL")
        if floor and same and ceiling.ft <= floor.ft:
            raise ValueError(f"above the floor, {floor.ft:g} {floor.reference}")
        return ceiling

    @field_validator("polygon")
    @classmethod
    def _one_shape(cls, corners: tuple[Corner, ...] | None, info: ValidationInfo) -> object:
        """One circle or one valid polygon."""
        if "circle" in info.data and (corners is None) == (info.data["circle"] is None):
            raise ValueError("either a circle or a polygon")
        return corners if corners is None else valid_ring(corners)

    @field_validator("holes")
    @classmethod
    def _holes_fit(cls, holes: tuple[Corners, ...], info: ValidationInfo) -> object:
        """Valid holes, each inside the polygon and apart from the others."""
        if holes and info.data.get("polygon", ()) is None:
            raise ValueError("a polygon to cut holes from (a circle has inner_nm)")
        rings = tuple(valid_ring(hole) for hole in holes)
        if rings and "polygon" in info.data:
            _refuse_invalid(info.data["polygon"], rings)
        return rings


class PointForm(Schema):
    """A named place that can be seen from the air."""

    name: Name
    lat_deg: LatDeg
    lon_deg: LonDeg
    note: str = ""


class LandForm(Schema):
    """One piece of land; what no piece covers is water."""

    name: Name
    corners_deg: Corners

    @field_validator("corners_deg")
    @classmethod
    def _valid(cls, corners: tuple[Corner, ...]) -> tuple[Corner, ...]:
        """A shore that does not cross itself."""
        return valid_ring(corners)


class PlacesForm(Schema):
    """One file of places; every part may be absent."""

    source: Annotated[str, Field(examples=["'own survey, 2026-11-01'"])] = ""
    aerodrome: tuple[AerodromeForm, ...] = ()
    volume: tuple[VolumeForm, ...] = ()
    point: tuple[PointForm, ...] = ()
    land: tuple[LandForm, ...] = ()


def valid_ring(corners: tuple[Corner, ...]) -> tuple[Corner, ...]:
    """The ring without a repeated closing corner; refused if it crosses or touches itself."""
    ring = corners[:-1] if len(corners) > 1 and corners[0] == corners[-1] else corners
    if len(ring) < 3:
        raise ValueError("at least 3 different corners")
    _refuse_invalid(ring, ())
    return ring


def _refuse_invalid(shell: tuple[Corner, ...], holes: tuple[tuple[Corner, ...], ...]) -> None:
    """Say where a polygon crosses itself or a hole leaves it."""
    import shapely

    west_deg = shell[0][1]
    rings = [_unwrapped(ring, west_deg) for ring in (shell, *holes)]
    reason = shapely.is_valid_reason(shapely.Polygon(rings[0], rings[1:]))
    if reason == "Valid Geometry":
        return
    match = _PLACE.search(reason)
    place = f" at {float(match[2]):.4f}, {float(match[1]):.4f}" if match else ""
    kind = reason.partition("[")[0].lower()
    raise ValueError(f"edges that neither cross nor touch: {kind}{place}")


def _unwrapped(ring: tuple[Corner, ...], west_deg: float) -> list[tuple[float, float]]:
    """Corners as longitude, latitude without a jump at the date line."""
    return [(west_deg + float(wrap_180_deg(lon - west_deg)), lat) for lat, lon in ring]
