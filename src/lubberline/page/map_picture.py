"""The map: land and water, airspace, aerodromes, points, the ways and what was flown.

A local plane, north up, one mile as long across as up; a grid of ten miles. It shows the ways
and the flown track with some miles around them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.flight import Plan
from lubberline.flown import FlownTrack
from lubberline.page.figure import (
    SIDES,
    Caption,
    Figure,
    Label,
    Spot,
    Stroke,
    around,
    axis,
    curve,
    figure,
    legend,
    numbers,
    plain,
)
from lubberline.page.map_airspace import airspace_labels, airspace_traces
from lubberline.page.strokes import FLOWN, way_stroke
from lubberline.page.tracks import thinned
from lubberline.places import Aerodrome
from lubberline.ways import Way

AROUND_NM: Final = 6.0  # own: how much is shown beyond the ways
LEAST_NM: Final = 16.0  # own: and how much at least
LEAST_RATIO: Final = 0.55  # own: the shorter side of the map to the longer one
GRID_NM: Final = 10.0
NUMBER_PX: Final = 3.0
NUMBER_SPOT_COUNT: Final = 15
MARK_PX: Final = 8.0  # from the middle of a mark to its name


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class MapView:
    """The plane of the map and what of it is shown: west, east, south, north of its center."""

    plane: LocalPlane
    east_nm: tuple[float, float]
    north_nm: tuple[float, float]

    def columns(
        self, lat_deg: ArrayLike, lon_deg: ArrayLike, digits: int = 2
    ) -> tuple[list[float | None], list[float | None]]:
        """Places as columns of the map."""
        east_nm, north_nm = self.plane.to_plane_nm(lat_deg, lon_deg)
        return numbers(np.atleast_1d(east_nm), digits), numbers(np.atleast_1d(north_nm), digits)


def map_picture(
    plan: Plan, ways: Sequence[Way], chosen: Way, track: FlownTrack | None = None
) -> Figure:
    """The region with all ways, and the recorded track if there is one."""
    view = map_view(plan, ways, track)
    width_nm, height_nm = (span[1] - span[0] for span in (view.east_nm, view.north_nm))
    fixed = {"showticklabels": False, "dtick": GRID_NM, "tick0": 0.0, "constrain": "range"}
    water = "@land" if not plan.places.land_deg else "@water"
    return figure(
        _caption(plan, ways, chosen, track),
        traces=[
            *_land(plan, view),
            *airspace_traces(plan.places.volumes, view.plane),
            *_ways(ways, chosen, view),
            *([_flown(track, view)] if track is not None else []),
            *_aerodromes(plan, view),
            _points(plan, view),
        ],
        layout={
            "margin": {"l": 2, "r": 2, "t": 2, "b": 2},
            "plot_bgcolor": water,
            "xaxis": axis("", range=list(view.east_nm), **fixed),
            "yaxis": axis("", range=list(view.north_nm), scaleanchor="x", **fixed),
        },
        height_ratio=height_nm / width_nm,
        labels=[
            *_place_labels(plan, chosen, view),
            *_number_labels(ways, view),
            *_airspace_labels(plan, chosen, view),
        ],
    )


def _caption(plan: Plan, ways: Sequence[Way], chosen: Way, track: FlownTrack | None) -> Caption:
    names = "; ".join(f"{number} {way.name}" for number, way in enumerate(ways, 1))
    rows = [
        (f"{number} {way.name}", way_stroke(number, is_chosen=way is chosen))
        for number, way in enumerate(ways, 1)
    ]
    return Caption(
        name="map",
        title="Map",
        says=f"Map from {plan.departure.name} to {plan.destination.name} with the ways: {names}",
        legend=legend(*rows, *([("flown", FLOWN)] if track is not None else [])),
        notes=(
            "North is up, the grid is 10 NM. Airspace as on the government's charts: ceiling over"
            " floor in hundreds of feet MSL, the ceiling of class D in brackets. A name that has no"
            " room is left out.",
        ),
    )


def map_view(plan: Plan, ways: Sequence[Way], track: FlownTrack | None) -> MapView:
    """What is shown: all ways, both ends, and what was flown."""
    rows = [way.path[:, :2] for way in ways]
    rows.append(np.array([[e.lat_deg, e.lon_deg] for e in (plan.departure, plan.destination)]))
    if track is not None:
        rows.append(np.column_stack([track.lat_deg, track.lon_deg]))
    shown_deg = np.vstack(rows)
    shown_deg = shown_deg[np.isfinite(shown_deg).all(axis=1)]
    ends_deg = np.column_stack([shown_deg[:, 0], np.unwrap(shown_deg[:, 1], period=360.0)])
    middle_deg = (ends_deg.min(axis=0) + ends_deg.max(axis=0)) / 2.0
    plane = LocalPlane(float(middle_deg[0]), float((middle_deg[1] + 180.0) % 360.0 - 180.0))
    east_nm, north_nm = plane.to_plane_nm(shown_deg[:, 0], shown_deg[:, 1])
    least_nm = max(
        LEAST_NM, LEAST_RATIO * (2.0 * AROUND_NM + max(np.ptp(east_nm), np.ptp(north_nm)))
    )
    return MapView(
        plane=plane, east_nm=_span(east_nm, least_nm), north_nm=_span(north_nm, least_nm)
    )


def _span(along_nm: FloatArray, least_nm: float) -> tuple[float, float]:
    low_nm, high_nm = float(along_nm.min()) - AROUND_NM, float(along_nm.max()) + AROUND_NM
    short_nm = max(0.0, least_nm - (high_nm - low_nm)) / 2.0
    return round(low_nm - short_nm, 2), round(high_nm + short_nm, 2)


def _land(plan: Plan, view: MapView) -> Iterator[dict[str, Any]]:
    shore = Stroke(ink="shore", width_px=1.0)
    for corners_deg in plan.places.land_deg:
        closed_deg = np.vstack([corners_deg, corners_deg[:1]])
        east_nm, north_nm = view.columns(closed_deg[:, 0], closed_deg[:, 1])
        yield curve(east_nm, north_nm, shore, fill="toself", fillcolor="@land")


def _ways(ways: Sequence[Way], chosen: Way, view: MapView) -> Iterator[dict[str, Any]]:
    """The chosen way first and wide, on a paler band; the dashes of others show on it."""
    numbered = sorted(enumerate(ways, 1), key=lambda one: one[1] is not chosen)
    for number, way in numbered:
        east_nm, north_nm = view.columns(way.path[:, 0], way.path[:, 1])
        stroke = way_stroke(number, is_chosen=way is chosen)
        if way is chosen:
            yield curve(east_nm, north_nm, Stroke(ink="paper", width_px=stroke.width_px + 3.0))
        name = plain(f"{number} {way.name}")
        yield curve(east_nm, north_nm, stroke, hoverinfo="text", text=name)


def _flown(track: FlownTrack, view: MapView) -> dict[str, Any]:
    lat_deg, lon_deg = thinned(track.segment_index, track.lat_deg, track.lon_deg)
    east_nm, north_nm = view.columns(lat_deg, lon_deg, 3)
    return curve(east_nm, north_nm, FLOWN, connectgaps=False, hoverinfo="text", text="flown")


def _aerodromes(plan: Plan, view: MapView) -> Iterator[dict[str, Any]]:
    for field in plan.places.aerodromes.values():
        ink = aerodrome_ink(field)
        marker = {
            "symbol": "circle",
            "size": 9,
            "color": "@paper",
            "line": {"width": 2.5, "color": f"@{ink}"},
        }
        east_nm, north_nm = view.columns(field.lat_deg, field.lon_deg)
        words = f"{field.id} {field.name}, {field.elev_msl_ft:.0f} ft"
        yield _marks(east_nm, north_nm, marker, [plain(words)])


def aerodrome_ink(field: Aerodrome) -> str:
    """Color of an aerodrome on the government's charts: blue with a tower, else magenta."""
    return "blue" if any(radio.use == "tower" for radio in field.radios) else "magenta"


def _points(plan: Plan, view: MapView) -> dict[str, Any]:
    points = list(plan.places.points.values())
    east_nm, north_nm = view.columns([p.lat_deg for p in points], [p.lon_deg for p in points])
    marker = {"symbol": "triangle-up", "size": 8, "color": "@magenta"}
    words = [plain(f"{p.name}: {p.note}".rstrip(": ")) for p in points]
    return _marks(east_nm, north_nm, marker, words)


def _marks(
    east_nm: list[float | None],
    north_nm: list[float | None],
    marker: dict[str, Any],
    words: list[str],
) -> dict[str, Any]:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": east_nm,
        "y": north_nm,
        "marker": marker,
        "hovertext": words,
        "hoverinfo": "text",
        "showlegend": False,
    }


def _number_labels(ways: Sequence[Way], view: MapView) -> Iterator[Label]:
    """The number of each way beside it, where it is farthest from the others."""
    lines = [_evenly(way, view) for way in ways]
    for number, line in enumerate(lines, 1):
        others = np.vstack([one for one in lines if one is not line] or [np.full((1, 2), np.inf)])
        apart_nm = np.linalg.norm(line[:, None] - others[None], axis=2).min(axis=1)
        spots = [
            Spot(x=round(x, 2), y=round(y, 2), text=f"<b>{number}</b>", side=side)
            for x, y in line[np.argsort(-apart_nm, kind="stable")].tolist()
            for side in SIDES[2:]
        ]
        yield Label(spots=tuple(spots), gap_px=NUMBER_PX)


def _evenly(way: Way, view: MapView) -> FloatArray:
    """Places at even shares of a way's track, without its ends, (n, 2)."""
    line = np.column_stack(view.plane.to_plane_nm(way.path[:, 0], way.path[:, 1]))
    along_nm = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at_nm = np.linspace(0.0, along_nm[-1], NUMBER_SPOT_COUNT + 2)[1:-1]
    return np.column_stack([np.interp(at_nm, along_nm, column) for column in line.T])


def _place_labels(plan: Plan, chosen: Way, view: MapView) -> Iterator[Label]:
    """Ends first, then the points of the chosen way, other aerodromes, other points."""
    ends = (plan.departure, plan.destination)
    fields = sorted(plan.places.aerodromes.values(), key=lambda field: field not in ends)
    points = sorted(plan.places.points.values(), key=lambda p: p.name not in chosen.point_names)
    count = sum(point.name in chosen.point_names for point in points)
    marks = [
        *((field.id, field.lat_deg, field.lon_deg, aerodrome_ink(field)) for field in fields),
        *((point.name, point.lat_deg, point.lon_deg, "ink") for point in points),
    ]
    first, last = marks[: len(ends)], marks[len(fields) + count :]
    passed, others = marks[len(fields) : len(fields) + count], marks[len(ends) : len(fields)]
    for text, lat_deg, lon_deg, ink in (*first, *passed, *others, *last):
        east_nm, north_nm = view.columns(lat_deg, lon_deg)
        yield Label(spots=around(east_nm[0], north_nm[0], plain(text)), ink=ink, gap_px=MARK_PX)


def _airspace_labels(plan: Plan, chosen: Way, view: MapView) -> list[Label]:
    """Volumes that the chosen way meets first."""
    met = {one.volume.id for one in chosen.encounters}
    volumes = sorted(plan.places.volumes, key=lambda volume: volume.id not in met)
    return airspace_labels(volumes, view.plane, view.east_nm, view.north_nm)
