"""The flown part of a report: what was flown, in words, as the line, and in linked pictures."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np

from lubberline.flight import Pledge
from lubberline.flown import (
    Flown,
    MarkBeside,
    Span,
    clock,
    engine_traces,
    in_order,
    three_sentences,
)
from lubberline.line import Finding
from lubberline.loop import Prepared
from lubberline.page.engine_picture import engine_picture
from lubberline.page.figure import Figure, numbers
from lubberline.page.flown_view import ChangeView, FlownView, GateView, MarkView, SpanView
from lubberline.page.landing_picture import landing_picture
from lubberline.page.line_svg import line_rows
from lubberline.page.map_picture import map_view
from lubberline.page.profile_picture import Profile, profile_picture
from lubberline.page.strips_picture import strips_picture, utc_texts
from lubberline.page.strokes import way_stroke
from lubberline.page.tracks import MOST_POINTS, flown_along, places_along
from lubberline.units import S_PER_MIN
from lubberline.ways import cut_along
from lubberline.wording import SHAPES, limit_text, value_text

GATES: Final = tuple(
    f"flown.{name}"
    for name in ("gate_", "stable_by", "on_speed_by", "configured_by", "flap_speed", "gear_speed")
)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Debrief:
    """What was flown, the pledge it was held to, what happened in plain words, own marks."""

    flown: Flown
    pledge: Pledge | None
    sentences: tuple[str, ...]
    marks: tuple[MarkBeside, ...] = ()


def flown_view(prepared: Prepared, debrief: Debrief) -> FlownView:
    """Everything that was flown, as the template takes it."""
    flown = debrief.flown
    known = flown.track.time_s.size > 1
    return FlownView(
        summary=tuple(one.text for one in three_sentences(flown.findings)),
        rows=line_rows(flown.findings),
        spans=tuple(_spans(flown)),
        changes=tuple(
            ChangeView(moment=clock(one.time_s), set_to=one.what) for one in flown.changes
        ),
        marks=tuple(_marks(debrief.marks)),
        gates=tuple(_gate(one) for one in flown.findings if one.limit.key.startswith(GATES)),
        sentences=debrief.sentences,
        profile=_profile(prepared, debrief),
        strips=strips_picture(flown) if known else None,
        landing=landing_picture(flown, prepared.plan.places) if known else None,
        engine=engine_picture(
            flown.recording.track.time_s,
            engine_traces(flown.recording.track, prepared.plan.aircraft),
        ),
        cursor=_cursor(prepared, debrief) if known else "",
        account=(*flown.recording.account, *flown.account),
    )


def _spans(flown: Flown) -> Iterator[SpanView]:
    """Phases and the maneuvers within them, in order of time."""
    for one in in_order(flown):
        yield SpanView(
            begins=clock(one.start_s),
            doubt=f"±{ceil(one.start_sigma_s)} s" if one.start_sigma_s else "",
            ends=clock(one.end_s),
            lasts=f"{(one.end_s - one.start_s) / S_PER_MIN:.1f}",
            what=one.words,
            note=_by_pilot(one) if one.by_pilot else "",
            is_part=one.is_part,
        )


def _by_pilot(one: Span) -> str:
    if one.is_part:
        return "named by you"
    return f"corrected by you; found as {one.found}" if one.found else "beginning corrected by you"


def _marks(marks: tuple[MarkBeside, ...]) -> Iterator[MarkView]:
    """Own marks beside measures; nothing at all where nothing was marked."""
    if not any(one.own for one in marks):
        return
    for one in marks:
        yield MarkView(
            phase=one.phase,
            own=one.own.mark if one.own else "not marked",
            said=one.own.note if one.own else "",
            measured=str(one.measured) if one.measured else "unknown",
            shape=SHAPES[one.measured] if one.measured else "?",
            decided_by=one.decided_by.limit.label if one.decided_by else "nothing of it is known",
        )


def _gate(finding: Finding) -> GateView:
    return GateView(
        asked=finding.limit.label,
        value=value_text(finding),
        limit=limit_text(finding.limit),
        verdict=str(finding.verdict),
        shape=SHAPES[finding.verdict],
        where=finding.where or finding.missing,
    )


def _profile(prepared: Prepared, debrief: Debrief) -> Figure:
    """Heights flown over those of the pledge; over the chosen way where nothing was pledged."""
    plan, path = prepared.plan, _path(prepared, debrief)
    names = prepared.way.point_names
    if debrief.pledge is not None:
        names = tuple(point.name for point in debrief.pledge.points)
    held = "pledged" if debrief.pledge is not None else "planned"
    return profile_picture(
        "profile-flown",
        f"Heights {held} and flown, as the altimeter shows them",
        Profile(
            section=cut_along(path, plan.places.volumes, plan.terrain),
            path=path,
            point_names=names,
            stroke=way_stroke(prepared.number, is_chosen=True),
            planned=held,
            flown=flown_along(path, debrief.flown.track),
        ),
    )


def _path(prepared: Prepared, debrief: Debrief) -> np.ndarray:
    if debrief.pledge is None:
        return prepared.way.path
    return np.array([[p.lat_deg, p.lon_deg, p.msl_ft, 0.0] for p in debrief.pledge.points])


def _cursor(prepared: Prepared, debrief: Debrief) -> str:
    """The track for the running mark: moments, places in each picture, and what was read there."""
    track = debrief.flown.track
    every = slice(None, None, max(1, -(-track.time_s.size // MOST_POINTS)))
    view = map_view(prepared.plan, prepared.ways, track)
    east, north = view.columns(track.lat_deg[every], track.lon_deg[every], 3)
    along_nm = places_along(_path(prepared, debrief), track.lat_deg[every], track.lon_deg[every])
    return json.dumps(
        {
            "utc": utc_texts(track.time_s[every]),
            "map": [east, north],
            "along": numbers(along_nm, 2),
            "ft": numbers(track.indicated_ft[every], 0),
            "kt": numbers(track.ground_kt[every], 0),
            "ias": numbers(track.ias_kt[every], 0),
            "deg": numbers(track.track_true_deg[every], 0),
        },
        separators=(",", ":"),
        allow_nan=False,
    )
