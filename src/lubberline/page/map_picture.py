"""The map: airspace, water, aerodromes, points, the ways and what was flown, in a local plane.

Airspace is drawn as the government's visual charts do it: class B solid blue, C solid magenta,
D dashed blue, E at the surface dashed magenta, special use hatched blue; ceiling over floor in
hundreds of feet. North is up and one mile is as long across as up.
"""

from collections.abc import Iterator, Sequence
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.flight import Plan
from lubberline.page.figure import WAY_COLORS, WAY_DASHES, Figure, axis, figure, numbers
from lubberline.places import Height, Volume, outline_deg
from lubberline.ways import Way

BLUE: Final = "#2f6db5"
MAGENTA: Final = "#b0307f"
LINES: Final = {
    "B": {"color": BLUE, "dash": "solid", "width": 2},
    "C": {"color": MAGENTA, "dash": "solid", "width": 2},
    "D": {"color": BLUE, "dash": "dash", "width": 1.6},
    "E": {"color": MAGENTA, "dash": "dash", "width": 1},
    "R": {"color": BLUE, "dash": "dot", "width": 2.4},
    "P": {"color": BLUE, "dash": "dot", "width": 2.4},
}
AROUND_NM: Final = 12.0  # how much is shown beyond the ways


def map_picture(
    plan: Plan, ways: Sequence[Way], track_deg: tuple[FloatArray, FloatArray] | None = None
) -> Figure:
    """The region with all ways, and the recorded track if there is one."""
    plane = LocalPlane(
        (plan.departure.lat_deg + plan.destination.lat_deg) / 2.0,
        (plan.departure.lon_deg + plan.destination.lon_deg) / 2.0,
    )
    traces = [
        *_land(plan, plane),
        *_airspace(plan.places.volumes, plane),
        *_ways(ways, plane),
        *(_track(track_deg, plane) if track_deg is not None else ()),
        _aerodromes(plan, plane),
        _points(plan, plane),
    ]
    names = "; ".join(f"{number} {way.name}" for number, way in enumerate(ways, 1))
    return figure(
        "map",
        "Map, NM east and north; airspace as charted, heights in hundreds of feet",
        f"Map from {plan.departure.name} to {plan.destination.name} with the ways: {names}",
        traces=traces,
        layout={
            "xaxis": axis("", range=_span(ways, plane, 0), constrain="domain"),
            "yaxis": axis("", range=_span(ways, plane, 1), scaleanchor="x", constrain="domain"),
            "showlegend": True,
            "legend": {"orientation": "h", "y": -0.08},
        },
        height_px=620,
    )


def _span(ways: Sequence[Way], plane: LocalPlane, side: int) -> list[float]:
    places = np.vstack([way.path[:, :2] for way in ways])
    along_nm = plane.to_plane_nm(places[:, 0], places[:, 1])[side]
    return [float(along_nm.min()) - AROUND_NM, float(along_nm.max()) + AROUND_NM]


def _line(plane: LocalPlane, corners_deg: FloatArray, **more: Any) -> dict[str, Any]:
    east_nm, north_nm = plane.to_plane_nm(corners_deg[:, 0], corners_deg[:, 1])
    return {
        "type": "scatter",
        "mode": "lines",
        "x": numbers(east_nm, 2),
        "y": numbers(north_nm, 2),
        "showlegend": False,
        "hoverinfo": "skip",
        **more,
    }


def _land(plan: Plan, plane: LocalPlane) -> Iterator[dict[str, Any]]:
    for corners_deg in plan.places.land_deg:
        closed = np.vstack([corners_deg, corners_deg[:1]])
        line = {"color": "#a89f8a", "width": 1}
        yield _line(plane, closed, fill="toself", fillcolor="rgba(168,159,138,.22)", line=line)


def _airspace(volumes: Sequence[Volume], plane: LocalPlane) -> Iterator[dict[str, Any]]:
    for volume in volumes:
        line = LINES.get(volume.airspace_class, {"color": "#777777", "dash": "dot", "width": 1})
        hatch = volume.airspace_class in {"R", "P"}
        fill = {"fill": "toself", "fillpattern": {"shape": "/", "size": 6}} if hatch else {}
        for ring in outline_deg(volume.footprint):
            yield _line(plane, ring, line=line, fillcolor="rgba(47,109,181,.25)", **fill)
        yield _label(volume, plane)


def _label(volume: Volume, plane: LocalPlane) -> dict[str, Any]:
    """Ceiling over floor in hundreds of feet, at the edge nearest to the south."""
    ring = outline_deg(volume.footprint)[0]
    south = ring[int(np.argmin(ring[:, 0]))]
    east_nm, north_nm = plane.to_plane_nm(south[0], south[1])
    return {
        "type": "scatter",
        "mode": "text",
        "x": [float(east_nm)],
        "y": [float(north_nm) + 0.9],
        "text": [f"{_hundreds(volume.ceiling)}<br>{_hundreds(volume.floor)}"],
        "textfont": {"size": 10, "color": LINES.get(volume.airspace_class, {}).get("color")},
        "hovertext": [f"{volume.name}, class {volume.airspace_class}"],
        "hoverinfo": "text",
        "showlegend": False,
    }


def _hundreds(height: Height) -> str:
    if height.reference == "SFC":
        return "SFC"
    above = " AGL" if height.reference == "AGL" else ""
    return f"{height.ft / 100.0:.0f}{above}"


def _ways(ways: Sequence[Way], plane: LocalPlane) -> Iterator[dict[str, Any]]:
    for number, way in enumerate(ways):
        color = WAY_COLORS[number % len(WAY_COLORS)]
        dash = WAY_DASHES[number % len(WAY_DASHES)]
        line = {"color": color, "dash": dash, "width": 3}
        name = f"{number + 1} {way.name}"
        yield _line(plane, way.path[:, :2], line=line, name=name, showlegend=True)


def _track(track_deg: tuple[FloatArray, FloatArray], plane: LocalPlane) -> Iterator[dict[str, Any]]:
    line = {"color": "#888888", "width": 2}
    yield _line(plane, np.column_stack(track_deg), line=line, name="flown", showlegend=True)


def _aerodromes(plan: Plan, plane: LocalPlane) -> dict[str, Any]:
    fields = list(plan.places.aerodromes.values())
    east_nm, north_nm = plane.to_plane_nm([f.lat_deg for f in fields], [f.lon_deg for f in fields])
    return {
        "type": "scatter",
        "mode": "markers+text",
        "x": numbers(east_nm, 2),
        "y": numbers(north_nm, 2),
        "text": [field.id for field in fields],
        "textposition": "top right",
        "marker": {"symbol": "circle-open", "size": 9, "color": BLUE, "line": {"width": 2}},
        "hovertext": [f"{field.name}, {field.elev_msl_ft:.0f} ft" for field in fields],
        "hoverinfo": "text",
        "showlegend": False,
    }


def _points(plan: Plan, plane: LocalPlane) -> dict[str, Any]:
    points = list(plan.places.points.values())
    east_nm, north_nm = plane.to_plane_nm(
        [point.lat_deg for point in points], [point.lon_deg for point in points]
    )
    return {
        "type": "scatter",
        "mode": "markers+text",
        "x": numbers(east_nm, 2),
        "y": numbers(north_nm, 2),
        "text": [point.name for point in points],
        "textposition": "bottom right",
        "textfont": {"size": 10},
        "marker": {"symbol": "triangle-up", "size": 7, "color": MAGENTA},
        "hoverinfo": "text",
        "showlegend": False,
    }
