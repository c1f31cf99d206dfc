"""The form of a ways problem as JSON, and what makes each part of it impossible.

Private to the reader in ``problem_file``. A check that looks at several keys hangs on the last
of them, so that its message names a key of the file.
"""

from typing import Annotated, Final, Literal, TypeAlias

import numpy as np
from pydantic import Field, ValidationInfo, field_validator

from lubberline.arrays import wrap_180_deg
from lubberline.tomlfile import Schema

TALKED_TO: Final = "BCD"  # entered by a facility's word only: 14 CFR 91.129 to 91.131

LatDeg = Annotated[float, Field(ge=-90, le=90, examples=[41.099])]
LonDeg = Annotated[float, Field(ge=-180, le=360, examples=[-130.515])]
Name = Annotated[str, Field(min_length=1, examples=['"Split Rock"'])]
Kt = Annotated[float, Field(gt=0, le=600, examples=[140])]
Fpm = Annotated[float, Field(gt=0, le=10_000, examples=[700])]
Gph = Annotated[float, Field(ge=0, le=500, examples=[11.5])]
StepDeg = Annotated[float, Field(gt=0, le=90, examples=[0.01])]
GridFt: TypeAlias = tuple[tuple[float, ...], ...]
Corner: TypeAlias = tuple[LatDeg, LonDeg]
Corners: TypeAlias = Annotated[
    tuple[Corner, ...],
    Field(min_length=3, examples=["[[41.0, -131.0], [41.0, -130.9], [41.1, -130.9]]"]),
]


class EndForm(Schema):
    """Where ways begin or end."""

    id: Name
    lat: LatDeg
    lon: LonDeg
    elev_ft: Annotated[float, Field(ge=-1_500, le=20_000, examples=[110])]


class FuelForm(Schema):
    """Fuel flow by phase [gal/h]."""

    climb: Gph
    cruise: Gph
    descent: Gph


class AircraftForm(Schema):
    """How the airplane moves."""

    climb_fpm: Fpm
    zero_climb_ft: Annotated[float, Field(ge=0, le=100_000, examples=[14_000])]
    descent_fpm: Fpm
    climb_tas_kt: Kt
    cruise_tas_kt: Kt
    descent_tas_kt: Kt
    ceiling_ft: Annotated[float, Field(gt=0, le=60_000, examples=[12_500])]
    glide_ratio: Annotated[float, Field(gt=0, le=100, examples=[9])]
    fuel_gph: FuelForm


class WindForm(Schema):
    """Wind at one height, from a true direction."""

    alt_ft: Annotated[float, Field(ge=-2_000, le=60_000, examples=[3_000])]
    from_deg: Annotated[float, Field(ge=0, le=360, examples=[250])]
    kt: Annotated[float, Field(ge=0, le=300, examples=[18])]


class MarginsForm(Schema):
    """Distance to keep from volumes not entered."""

    lateral_nm: Annotated[float, Field(ge=0, le=50, examples=[0.5])]
    vertical_ft: Annotated[float, Field(ge=0, le=10_000, examples=[300])]


class RulesForm(Schema):
    """Heights to keep."""

    min_agl_ft: Annotated[float, Field(ge=0, le=10_000, examples=[500])]
    aerodrome_radius_nm: Annotated[float, Field(gt=0, le=50, examples=[3])]
    hemispheric: Annotated[bool, Field(examples=["true"])]
    hemispheric_above_agl_ft: Annotated[float, Field(ge=0, le=60_000, examples=[3_000])]
    magvar_deg: Annotated[float, Field(ge=-180, le=180, examples=[14.5])]
    level_vs_fpm: Annotated[float, Field(ge=0, le=2_000, examples=[150])]


class FlatForm(Schema):
    """The same ground everywhere."""

    type: Literal["flat"]
    ft: Annotated[float, Field(ge=-2_000, le=30_000, examples=[0])]


class GridForm(Schema):
    """Ground at crossings: rows south to north of columns west to east."""

    type: Literal["grid"]
    lat0: LatDeg
    lon0: LonDeg
    dlat: StepDeg
    dlon: StepDeg
    ft: Annotated[GridFt, Field(min_length=2, examples=["[[0, 10], [20, 30]]"])]

    @field_validator("ft")
    @classmethod
    def _rectangular(cls, rows: GridFt) -> GridFt:
        """Rows of one length, two or more of each."""
        lengths = {len(row) for row in rows}
        if len(lengths) != 1 or min(lengths) < 2:
            shown = ", ".join(str(length) for length in sorted(lengths)[:4])
            raise ValueError(f"rows of one length, 2 or more, not of lengths {shown}")
        return rows


class HeightForm(Schema):
    """A floor or ceiling: feet above what ``ref`` says."""

    ref: Annotated[Literal["MSL", "AGL", "SFC"], Field(examples=['"MSL"'])]
    ft: Annotated[float, Field(ge=-2_000, le=100_000, examples=[3_000])] = 0.0


class CircleForm(Schema):
    """A circle, or a ring when ``inner_nm`` is given."""

    type: Literal["circle"]
    center: Annotated[Corner, Field(examples=["[41.1, -130.5]"])]
    radius_nm: Annotated[float, Field(gt=0, le=200, examples=[4.2])]
    inner_nm: Annotated[float, Field(ge=0, examples=[2.0])] = 0.0

    @field_validator("inner_nm")
    @classmethod
    def _inner_is_smaller(cls, inner_nm: float, info: ValidationInfo) -> float:
        """An inner radius below the outer one."""
        if inner_nm >= info.data.get("radius_nm", np.inf):
            raise ValueError(f"less than radius_nm, {info.data['radius_nm']:g}")
        return inner_nm


class PolygonForm(Schema):
    """A polygon with holes."""

    type: Literal["polygon"]
    points: Corners
    holes: tuple[Corners, ...] = ()

    @field_validator("points")
    @classmethod
    def _shell_is_a_ring(cls, points: tuple[Corner, ...]) -> tuple[Corner, ...]:
        return valid_ring(points)

    @field_validator("holes")
    @classmethod
    def _holes_fit(cls, holes: tuple[Corners, ...], info: ValidationInfo) -> object:
        rings = tuple(valid_ring(hole) for hole in holes)
        if rings and "points" in info.data:
            _refuse_invalid(info.data["points"], rings)
        return rings


class VolumeForm(Schema):
    """A block of airspace."""

    id: Name
    name: Annotated[str, Field(examples=['"Marl"'])] = ""
    airspace_class: Annotated[str, Field(alias="class", min_length=1, examples=['"D"'])]
    group: Annotated[str, Field(examples=['"marl-tower"'], validate_default=True)] = ""
    facility: Annotated[str, Field(examples=['"Marl Tower"'])] = ""
    floor: HeightForm
    ceiling: HeightForm
    shape: Annotated[CircleForm | PolygonForm, Field(discriminator="type")]
    lateral_margin_nm: Annotated[float | None, Field(ge=0, le=50, examples=[1.0])] = None

    @field_validator("group")
    @classmethod
    def _someone_answers(cls, group: str, info: ValidationInfo) -> str:
        """A group wherever the class needs a facility's word."""
        if not group and info.data.get("airspace_class") in tuple(TALKED_TO):
            raise ValueError(f"the group that opens class {info.data['airspace_class']}")
        return group

    @field_validator("ceiling")
    @classmethod
    def _ceiling_is_higher(cls, ceiling: HeightForm, info: ValidationInfo) -> HeightForm:
        """A ceiling above the floor, where both are measured from the same level."""
        floor = info.data.get("floor")
        if floor is None or (floor.ref == "MSL") != (ceiling.ref == "MSL"):
            return ceiling
        if ceiling.ft <= floor.ft:
            raise ValueError(f"above the floor, {floor.ft:g} {floor.ref}")
        return ceiling


class PointForm(Schema):
    """A named place that can be seen from the air."""

    name: Name
    lat: LatDeg
    lon: LonDeg


class ProblemForm(Schema):
    """The whole file. Keys, units and bounds here are the contract of the format."""

    name: Name
    description: str = ""
    departure: EndForm
    destination: EndForm
    aircraft: AircraftForm
    wind: tuple[WindForm, ...]
    margins: MarginsForm
    rules: RulesForm
    terrain: Annotated[FlatForm | GridForm, Field(discriminator="type")]
    land: tuple[Corners, ...] = ()
    volumes: tuple[VolumeForm, ...] = ()
    points: tuple[PointForm, ...] = ()

    @field_validator("wind")
    @classmethod
    def _each_height_once(cls, wind: tuple[WindForm, ...]) -> tuple[WindForm, ...]:
        heights = [row.alt_ft for row in wind]
        if len(set(heights)) != len(heights):
            raise ValueError("each alt_ft once")
        return wind

    @field_validator("volumes")
    @classmethod
    def _each_id_once(cls, volumes: tuple[VolumeForm, ...]) -> tuple[VolumeForm, ...]:
        ids = [volume.id for volume in volumes]
        twice = sorted({one for one in ids if ids.count(one) > 1})
        if twice:
            raise ValueError(f"each id once, not {', '.join(twice[:5])} twice")
        return volumes

    @field_validator("land")
    @classmethod
    def _land_is_rings(cls, land: tuple[Corners, ...]) -> object:
        return tuple(valid_ring(ring) for ring in land)


def valid_ring(corners: tuple[Corner, ...]) -> tuple[Corner, ...]:
    """The ring without repeated corners; refused if it has no area or crosses itself."""
    before = (corners[-1], *corners[:-1])
    ring = tuple(one for one, other in zip(corners, before, strict=True) if one != other)
    if len(ring) < 3:
        raise ValueError("at least 3 different corners")
    _refuse_invalid(ring, ())
    return ring


def _refuse_invalid(shell: tuple[Corner, ...], holes: tuple[tuple[Corner, ...], ...]) -> None:
    """Say why rings make no polygon."""
    import shapely

    west_deg = shell[0][1]
    rings = [
        [(float(wrap_180_deg(lon - west_deg)), lat) for lat, lon in ring]
        for ring in (shell, *holes)
    ]
    reason = shapely.is_valid_reason(shapely.Polygon(rings[0], rings[1:]))
    if reason != "Valid Geometry":
        kind = reason.partition("[")[0].lower()
        raise ValueError(f"edges that neither cross nor touch: {kind}")
