"""Height against distance: the ground, the volumes cut through along the track, the path.

For drawing only, sampled along the track. What is clear is decided elsewhere.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flight import Plan
from lubberline.page.charting import chart_style, class_row, hatching, name_row
from lubberline.page.figure import (
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
from lubberline.page.room import Room, room_of
from lubberline.page.room_traces import MARGIN, NOT_ABOVE, room_labels, room_traces
from lubberline.page.strokes import FLOWN, GROUND, LIMIT, way_stroke
from lubberline.page.tracks import Run, plane_of
from lubberline.ways import Cut, Section, Way, cut_along, problem_of

ABOVE_FT: Final = 1_500.0  # own: how much is shown over the highest point
BENEATH_FT: Final = 2_000.0  # own: and under the lowest, where that is high
HEIGHT_RATIO: Final = 0.42
GAP_PX: Final = 4.0
POINT_SIDES: Final = (
    *("top center", "top right", "top left", "bottom center", "bottom right", "bottom left"),
    *("middle right", "middle left"),
)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Profile:
    """What a profile shows: a section, names along its path, and heights flown over it."""

    section: Section
    path: FloatArray
    point_names: Sequence[str]
    stroke: Stroke
    planned: str = "planned"
    flown: Run | None = None
    room: Room | None = None


def way_profile(plan: Plan, number: int, way: Way) -> Figure:
    """The height profile of one way with the room it has, among what is in force as it passes."""
    problem = problem_of(plan, way)
    section = cut_along(way.path, problem.volumes, plan.terrain)
    return profile_picture(
        f"profile-{number}",
        f"Way {number}: height along it",
        Profile(
            section=section,
            path=way.path,
            point_names=way.point_names,
            stroke=way_stroke(number, is_chosen=True),
            room=room_of(problem, way, section),
        ),
    )


def profile_picture(name: str, title: str, profile: Profile) -> Figure:
    """The height profile of one way, to scale of nothing: heights are drawn far too large."""
    section = profile.section
    across_nm, up_ft = _spans(profile)
    traces = [*_volumes(section, up_ft), *_ground(section, up_ft)]
    room = profile.room
    if room is not None:
        traces += room_traces(room, across_nm, up_ft)
    traces.append(_line(section.along_nm, section.path_msl_ft, profile.planned, profile.stroke))
    rows = [(profile.planned, profile.stroke)]
    if profile.flown is not None:
        traces.append(_line(*profile.flown, "flown", FLOWN, connectgaps=False))
        rows.append(("flown", FLOWN))
    if room is not None:
        rows += [(NOT_ABOVE, LIMIT), ("margin", MARGIN)]
    if np.isfinite(section.ground_msl_ft).any():
        rows.append(("ground", GROUND))
    return figure(
        Caption(
            name=name,
            title=title,
            says=f"Height profile, {title}",
            legend=legend(*rows),
            notes=tuple(_notes(section)),
        ),
        traces=traces,
        layout={
            "xaxis": axis("NM from take-off", range=list(across_nm)),
            "yaxis": axis("ft MSL", range=list(up_ft), tickformat=","),
        },
        height_ratio=HEIGHT_RATIO,
        labels=[
            *_point_labels(profile),
            *_volume_labels(section, across_nm, up_ft),
            *(room_labels(room, across_nm, up_ft) if room is not None else ()),
        ],
    )


def _spans(profile: Profile) -> tuple[tuple[float, float], tuple[float, float]]:
    """What is shown, from west to east of the picture and from bottom to top."""
    section = profile.section
    heights = [section.path_msl_ft, section.ground_msl_ft]
    along = [section.along_nm]
    if profile.flown is not None:
        along.append(profile.flown[0])
        heights.append(profile.flown[1])
    known_ft = np.concatenate(heights)
    known_ft = known_ft[np.isfinite(known_ft)]
    known_nm = np.concatenate(along)
    known_nm = known_nm[np.isfinite(known_nm)]
    low_ft = float(known_ft.min())
    if low_ft > 0.0:
        low_ft = max(0.0, float(np.floor((low_ft - BENEATH_FT) / 500.0) * 500.0))
    top_ft = float(np.ceil((known_ft.max() + ABOVE_FT) / 500.0) * 500.0)
    edge_nm = 0.01 * float(np.ptp(known_nm))
    return (
        (round(float(known_nm.min()) - edge_nm, 2), round(float(known_nm.max()) + edge_nm, 2)),
        (low_ft, top_ft),
    )


def _line(
    along_nm: FloatArray, msl_ft: FloatArray, name: str, stroke: Stroke, **more: Any
) -> dict[str, Any]:
    hover = {
        "hoverinfo": "all",
        "hovertemplate": f"{plain(name)}: %{{y:,.0f}} ft at %{{x:.1f}} NM<extra></extra>",
    }
    return curve(numbers(along_nm, 2), numbers(msl_ft, 0), stroke, **hover, **more)


def _volumes(section: Section, up_ft: tuple[float, float]) -> Iterator[dict[str, Any]]:
    """Each volume as a band from floor to ceiling, as far as both are known."""
    above_ft = up_ft[1] * 2.0  # so that a ceiling far above does not flatten the picture
    for cut in section.cuts:
        style = chart_style(cut.volume)
        fill: dict[str, Any] = {"fillcolor": f"@{style.stroke.ink}/0.09"}
        if style.hatched:
            fill = {"fillcolor": f"@{style.stroke.ink}", "fillpattern": hatching(style.stroke.ink)}
        for run in _known_runs(cut):
            low_ft = np.minimum(cut.floor_msl_ft[run], above_ft)
            high_ft = np.minimum(cut.ceiling_msl_ft[run], above_ft)
            along_nm = cut.along_nm[run]
            yield curve(
                numbers(np.concatenate([along_nm, along_nm[::-1], along_nm[:1]]), 2),
                numbers(np.concatenate([low_ft, high_ft[::-1], low_ft[:1]]), 0),
                style.stroke,
                fill="toself",
                hoveron="fills",
                hoverinfo="text",
                text=name_row(cut.volume),
                **fill,
            )


def _known_runs(cut: Cut) -> list[slice]:
    """Stretches along which floor and ceiling are known."""
    known: BoolArray = np.isfinite(cut.floor_msl_ft) & np.isfinite(cut.ceiling_msl_ft)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(np.int8)))
    return [
        slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1
    ]


def _ground(section: Section, up_ft: tuple[float, float]) -> Iterator[dict[str, Any]]:
    """The ground filled down to the bottom; nothing where it is not known."""
    known = np.isfinite(section.ground_msl_ft)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(np.int8)))
    for start, stop in zip(edges[::2], edges[1::2], strict=True):
        along_nm = section.along_nm[start:stop]
        ground_ft = section.ground_msl_ft[start:stop]
        yield curve(
            numbers(np.concatenate([along_nm[:1], along_nm, along_nm[-1:]]), 2),
            numbers(np.concatenate([up_ft[:1], ground_ft, up_ft[:1]]), 0),
            GROUND,
            fill="toself",
            fillcolor="@ground/0.45",
        )


def _notes(section: Section) -> Iterator[str]:
    """What the picture cannot show."""
    known_fraction = float(np.isfinite(section.ground_msl_ft).mean())
    if known_fraction < 1.0:
        some = f"along only {known_fraction:.0%} of" if known_fraction else "nowhere along"
        yield f"The ground is known {some} this track; terrain tiles in places/ would supply it."
    hidden = {
        cut.volume.name
        for cut in section.cuts
        if not (np.isfinite(cut.floor_msl_ft) & np.isfinite(cut.ceiling_msl_ft)).all()
    }
    for name in sorted(hidden):
        yield f"{name} has a height above ground that is not known: not drawn there."


def _point_labels(profile: Profile) -> Iterator[Label]:
    """Names of the path's points, over it or under it."""
    line = np.column_stack(
        plane_of(profile.path).to_plane_nm(profile.path[:, 0], profile.path[:, 1])
    )
    steps_nm = np.hypot(*np.diff(line, axis=0).T)
    along_nm = np.concatenate([[0.0], np.cumsum(steps_nm)])
    for x_nm, msl_ft, name in zip(along_nm, profile.path[:, 2], profile.point_names, strict=True):
        if name:
            spots = around(round(float(x_nm), 2), round(float(msl_ft)), plain(name), POINT_SIDES)
            yield Label(spots=spots, gap_px=GAP_PX)


def _volume_labels(
    section: Section, across_nm: tuple[float, float], up_ft: tuple[float, float]
) -> Iterator[Label]:
    """Name and heights of each volume within what is seen of it, long or short."""
    wide_nm, high_ft = across_nm[1] - across_nm[0], up_ft[1] - up_ft[0]
    for cut in section.cuts:
        if not _known_runs(cut) or np.nanmin(cut.floor_msl_ft) >= up_ft[1]:
            continue
        left_nm, right_nm = float(cut.along_nm[0]), float(cut.along_nm[-1])
        low_ft = max(up_ft[0], float(np.nanmax(cut.floor_msl_ft)))
        top_ft = min(up_ft[1], float(np.nanmin(cut.ceiling_msl_ft)))
        short = class_row(cut.volume)
        texts = (name_row(cut.volume), f"{plain(cut.volume.name)}<br>{short}", short)
        yield Label(
            spots=tuple(
                Spot(
                    x=round((left_nm + right_nm) / 2.0, 2),
                    y=round(low_ft + part * (top_ft - low_ft)),
                    text=text,
                )
                for text in texts
                for part in (0.5, 0.8, 0.2)
            ),
            ink=chart_style(cut.volume).stroke.ink,
            within=(
                (left_nm - across_nm[0]) / wide_nm,
                (low_ft - up_ft[0]) / high_ft,
                (right_nm - across_nm[0]) / wide_nm,
                (top_ft - up_ft[0]) / high_ft,
            ),
        )
