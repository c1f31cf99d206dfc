"""Where two sources say different things of one item.

Differences below the rounding of the sources are none, and what a source does not say
contradicts nothing.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from lubberline.arrays import wrap_180_deg
from lubberline.earth import course_and_distance
from lubberline.places.corridor import box_of_footprint
from lubberline.places.footprint import outline_deg
from lubberline.places.model import Aerodrome, Conflict, VisualPoint, Volume, Waypoint

if TYPE_CHECKING:
    from shapely import Geometry

APART_NM: Final = 0.1  # own: sources round places to a tenth of a minute
ELEV_FT: Final = 10.0  # own: they round heights to meters, and measure at different points
LENGTH_FT: Final = 50.0  # own: they round lengths to ten meters
OWN: Final = "own places"

Spot: TypeAlias = Aerodrome | VisualPoint | Waypoint


def spot_conflict(used: Spot, other: Spot) -> Conflict | None:
    """What another source says otherwise of an aerodrome or waypoint."""
    differs = list(_places_differ(used, other))
    if isinstance(used, Aerodrome) and isinstance(other, Aerodrome):
        differs += _aerodromes_differ(used, other)
    elif isinstance(used, Waypoint) and isinstance(other, Waypoint):
        frequencies_mhz = (used.frequency_mhz, other.frequency_mhz)
        differs += _numbers_differ("frequency", "MHz", frequencies_mhz)
    id_ = used.name if isinstance(used, VisualPoint) else used.id
    return _conflict(type(used).__name__.lower(), id_, used.source, other.source, differs)


def volume_conflict(used: Sequence[Volume], other: Volume) -> Conflict | None:
    """What another source says otherwise of all volumes of that id, told against the first."""
    differs = [list(_volumes_differ(one, other)) for one in used]
    told = differs[0] if all(differs) else []
    return _conflict("volume", used[0].id, used[0].source, other.source, told)


def shared_fraction(one: Volume, other: Volume) -> float:
    """How much of what two volumes cover together both of them cover, seen from above."""
    boxes_deg = [box_of_footprint(each.footprint) for each in (one, other)]
    apart_deg = abs(float(wrap_180_deg(boxes_deg[0][2] - boxes_deg[1][2])))
    beside = apart_deg > boxes_deg[0][3] + boxes_deg[1][3]
    if beside or boxes_deg[0][0] > boxes_deg[1][1] or boxes_deg[1][0] > boxes_deg[0][1]:
        return 0.0
    shapes = [_shape(each, float(boxes_deg[0][2])) for each in (one, other)]
    both = float(shapes[0].intersection(shapes[1]).area)
    return both / max(float(shapes[0].union(shapes[1]).area), 1e-12)


def _shape(volume: Volume, middle_deg: float) -> "Geometry":
    """The outline as degrees east and north, counted from a meridian."""
    import shapely

    rings = [
        np.column_stack([wrap_180_deg(ring[:, 1] - middle_deg), ring[:, 0]])
        for ring in outline_deg(volume.footprint)
    ]
    return shapely.make_valid(shapely.Polygon(rings[0], rings[1:]))


def apart_nm(one: Spot, other: Spot) -> float:
    """Distance between two items; 0 where a place is not known."""
    there_deg = (one.lat_deg, one.lon_deg, other.lat_deg, other.lon_deg)
    if there_deg[:2] == there_deg[2:]:  # as most are, and quicker
        return 0.0
    return float(np.nan_to_num(course_and_distance(*there_deg)[1]))


def _conflict(
    kind: str, id_: str, used: str, other: str, differs: Sequence[str]
) -> Conflict | None:
    if not differs:
        return None
    return Conflict(kind=kind, id=id_, used=used or OWN, other=other or OWN, differs=(*differs,))


def _places_differ(used: Spot, other: Spot) -> Iterator[str]:
    distance_nm = apart_nm(used, other)
    if distance_nm > APART_NM:
        yield f"place {distance_nm:.1f} NM apart"


def _numbers_differ(
    what: str, unit: str, pair: tuple[float | None, float | None], tolerance: float = 0.0
) -> Iterator[str]:
    used, other = pair
    if used is not None and other is not None and abs(used - other) > tolerance:
        yield f"{what} {used:g} {unit}, not {other:g}"


def _aerodromes_differ(used: Aerodrome, other: Aerodrome) -> Iterator[str]:
    elevations_ft = (used.elev_msl_ft, other.elev_msl_ft)
    yield from _numbers_differ("elevation", "ft", elevations_ft, ELEV_FT)
    if not (used.pattern_customary or other.pattern_customary):
        heights_ft = (used.pattern_agl_ft, other.pattern_agl_ft)
        yield from _numbers_differ("pattern height", "ft", heights_ft)
    lengths_ft, theirs_ft = _lengths_ft(used), _lengths_ft(other)
    if lengths_ft and theirs_ft and set(lengths_ft) != set(theirs_ft):
        yield f"runways {', '.join(sorted(lengths_ft))}, not {', '.join(sorted(theirs_ft))}"
    for name in sorted(set(lengths_ft) & set(theirs_ft)):
        pair_ft = (lengths_ft[name], theirs_ft[name])
        yield from _numbers_differ(f"length of {name}", "ft", pair_ft, LENGTH_FT)
    for use in ("tower", "ctaf", "atis"):  # one frequency each; of the others there are many
        ours, others = (_frequencies(one, use) for one in (used, other))
        if ours and others and not set(ours) & set(others):
            yield f"{use} {', '.join(ours)}, not {', '.join(others)}"


def _lengths_ft(aerodrome: Aerodrome) -> dict[str, float]:
    """Length of each runway by its name."""
    return {"/".join(e.name for e in one.ends): one.length_ft for one in aerodrome.runways}


def _frequencies(aerodrome: Aerodrome, use: str) -> list[str]:
    return sorted({f"{one.frequency_mhz:.3f}" for one in aerodrome.radios if one.use == use})


def _volumes_differ(used: Volume, other: Volume) -> Iterator[str]:
    if used.airspace_class != other.airspace_class:
        yield f"class {used.airspace_class}, not {other.airspace_class}"
    for what in ("floor", "ceiling"):
        ours, others = getattr(used, what), getattr(other, what)
        if ours != others:
            yield f"{what} {ours.ft:g} {ours.reference}, not {others.ft:g} {others.reference}"
    frequencies_mhz = (used.frequency_mhz, other.frequency_mhz)
    yield from _numbers_differ("frequency", "MHz", frequencies_mhz)
    boxes_deg = (box_of_footprint(used.footprint), box_of_footprint(other.footprint))
    edges_nm = 60.0 * float(np.abs(boxes_deg[0] - boxes_deg[1])[[0, 1, 3]].max())
    if edges_nm > APART_NM:
        yield f"edges {edges_nm:.1f} NM apart"
