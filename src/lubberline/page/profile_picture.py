"""Height against distance: the ground, the volumes cut through along the track, the path."""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.page.figure import Figure, axis, figure, numbers
from lubberline.page.map_picture import LINES
from lubberline.ways import Cut, Section

ABOVE_FT: Final = 1_500.0  # how much is shown over the highest point
ROOM_RATIO: Final = 0.13  # own: the part of the width that a name needs
FAR_NM: Final = 5.0  # own: beyond, a sample says nothing about this way


def profile_picture(
    name: str,
    title: str,
    section: Section,
    *,
    color: str,
    flown: tuple[FloatArray, FloatArray] | None = None,
) -> Figure:
    """One way's height profile; ``flown`` adds recorded distance [NM] and height [ft]."""
    top_ft = float(np.nanmax(section.path_msl_ft))
    if flown is not None and np.isfinite(flown[1]).any():
        top_ft = max(top_ft, float(np.nanmax(flown[1])))
    traces = [*(_cut(cut) for cut in section.cuts), *_ground(section)]
    traces.append(_names(section, top_ft + ABOVE_FT))
    path = {"color": color, "width": 3}
    traces.append(_curve(section.along_nm, section.path_msl_ft, "planned", line=path))
    if flown is not None:
        line = {"color": "#888888", "width": 2}
        traces.append(_curve(flown[0], flown[1], "flown", line=line))
    return figure(
        name,
        title,
        f"Height profile: {title}",
        traces=traces,
        layout={
            "xaxis": axis("NM from take-off", range=[0.0, float(section.along_nm[-1])]),
            "yaxis": axis("ft MSL", range=[0.0, top_ft + ABOVE_FT], tickformat=","),
        },
        height_px=300,
    )


def flown_along(
    path: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray, height_ft: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Recorded heights against the distance along the planned path, for drawing only.

    Each sample stands at the nearest place of the path; samples farther than five miles from it
    are left out.
    """
    plane = LocalPlane(float(path[0, 0]), float(path[0, 1]))
    line = np.column_stack(plane.to_plane_nm(path[:, 0], path[:, 1]))
    here = np.column_stack(plane.to_plane_nm(lat_deg, lon_deg))
    run = np.diff(line, axis=0)
    length_nm = np.hypot(run[:, 0], run[:, 1])
    before_nm = np.concatenate([[0.0], np.cumsum(length_nm)[:-1]])
    square = np.maximum(length_nm**2, 1e-12)
    share = np.clip(((here[:, None] - line[None, :-1]) * run).sum(axis=2) / square, 0.0, 1.0)
    away = here[:, None] - (line[None, :-1] + share[..., None] * run)
    away_nm = np.hypot(away[..., 0], away[..., 1])
    best = np.argmin(away_nm, axis=1)
    rows = np.arange(len(here))
    along_nm = before_nm[best] + share[rows, best] * length_nm[best]
    near = away_nm[rows, best] < FAR_NM
    return along_nm[near], height_ft[near]


def _curve(along_nm: FloatArray, msl_ft: FloatArray, name: str, **more: Any) -> dict[str, Any]:
    hover = f"{name}: %{{y:,.0f}} ft at %{{x:.1f}} NM<extra></extra>"
    return {
        "type": "scatter",
        "mode": "lines",
        "x": numbers(along_nm, 2),
        "y": numbers(msl_ft, 0),
        "name": name,
        "hovertemplate": hover,
        **more,
    }


def _cut(cut: Cut) -> dict[str, Any]:
    """A volume as a band from floor to ceiling; its name shows where it is pointed at."""
    known = np.isfinite(cut.floor_msl_ft) & np.isfinite(cut.ceiling_msl_ft)
    along_nm = np.concatenate([cut.along_nm[known], cut.along_nm[known][::-1]])
    msl_ft = np.concatenate([cut.floor_msl_ft[known], cut.ceiling_msl_ft[known][::-1]])
    line = LINES.get(cut.volume.airspace_class, {"color": "#777777", "dash": "dot", "width": 1})
    shade = "rgba(176,48,127,.10)" if line["color"] != "#2f6db5" else "rgba(47,109,181,.12)"
    trace = _curve(along_nm, msl_ft, cut.volume.name, line=line)
    label = f"{cut.volume.name}, class {cut.volume.airspace_class}"
    return {**trace, "fill": "toself", "fillcolor": shade, "hoveron": "fills", "text": label}


def _names(section: Section, top_ft: float) -> dict[str, Any]:
    """Name and class of each volume in the middle of what is seen of it, where there is room."""
    least_nm = section.along_nm[-1] * ROOM_RATIO
    shown = [
        cut
        for cut in section.cuts
        if np.nanmin(cut.floor_msl_ft) < top_ft and np.ptp(cut.along_nm) > least_nm
    ]
    middles_ft = [
        (
            max(float(np.nanmin(cut.floor_msl_ft)), 0.0)
            + min(float(np.nanmax(cut.ceiling_msl_ft)), top_ft)
        )
        / 2.0
        for cut in shown
    ]
    return {
        "type": "scatter",
        "mode": "text",
        "x": [round(float(cut.along_nm.mean()), 2) for cut in shown],
        "y": middles_ft,
        "text": [f"{cut.volume.name} {cut.volume.airspace_class}" for cut in shown],
        "textfont": {"size": 10},
        "hoverinfo": "skip",
    }


def _ground(section: Section) -> Iterator[dict[str, Any]]:
    if np.isfinite(section.ground_msl_ft).any():
        line = {"color": "#7a6a4f", "width": 1}
        fill = {"fill": "tozeroy", "fillcolor": "rgba(122,106,79,.45)"}
        yield _curve(section.along_nm, section.ground_msl_ft, "ground", line=line, **fill)
