"""From what a file holds to a track that keeps its promises, with every repair in the account.

Order, duplicates, impossible and stale positions, spikes and teleports, gaps: each step says in
one sentence what it found and what it did, and says nothing if it did nothing. A value that is
taken away becomes NaN; a sample goes only if it has no time, or shares it with another. Files in
which little is left, or in which it is not clear what is right, are refused.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeAlias

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.recording.jumps import (
    MOVING_KT,
    jumped_heights,
    jumped_positions,
    stale_positions,
    still_while_moving,
)
from lubberline.recording.model import Gap, GapReason, Track
from lubberline.recording.raw import RawTrack, bad_file, counted, utc_text
from lubberline.units import M_PER_FT

Columns: TypeAlias = dict[str, FloatArray]

EARLIEST_S: Final = 315_964_800.0  # 1980-01-06, the beginning of GPS time
LATEST_S: Final = 4_102_444_800.0  # own: 2100-01-01
SHORTEST_S: Final = 1.0  # own: less than this is no recording
APART_S: Final = 30.0 * 86_400.0  # own: samples this far apart are of different recordings
STRAY_FRACTION: Final = 0.1  # own: so few of them are strays
BACKWARD_FRACTION: Final = 0.25  # own: beyond this the order means nothing; random order is 0.5
CONFLICT_FRACTION: Final = 0.25  # own: samples of one time and two places
CONFLICT_DEG: Final = 0.01  # own: 0.6 NM
LOST_FRACTION: Final = 0.25  # own: positions that contradict the rest
GAP_S: Final = 10.0
GAP_STEPS: Final = 5.0
_POSITION: Final = ("lat_deg", "lon_deg")
_FIXED: Final = ("time_s", *_POSITION, "gnss_ft", "pressure_ft")
_SEGMENT: Final = "segment_index"
_JUMP: Final = "after_jump_fraction"


def clean(path: Path, raw: RawTrack) -> tuple[Track, tuple[Gap, ...], tuple[str, ...]]:
    """A track that keeps its promises, its gaps, and what was done to get there.

    Raises
    ------
    BadFile
        If fewer than two samples with a position are left, or all at one time, or if the file
        contradicts itself so much that a repair would be a guess.
    """
    columns: Columns = {name: getattr(raw, name) for name in _FIXED} | dict(raw.channels)
    columns[_SEGMENT] = raw.segment_index.astype(np.float64)
    account: list[str] = []
    for step in (_drop_untimed, _drop_strays, _sort, _merge_equal_times):
        columns = step(path, columns, account)
    _check_span(path, columns)
    repairs = (
        *(_forget_impossible, _forget_stale, _forget_stood_still),
        *(_forget_jumps, _forget_jumped_heights),
    )
    for repair in repairs:
        repair(path, columns, account)
    columns = _drop_empty(path, columns, account)
    gaps = find_gaps(
        columns["time_s"],
        columns["lat_deg"],
        segment_index=columns.pop(_SEGMENT),
        after_jump=columns.pop(_JUMP) > 0.0,
    )
    _say_gaps(gaps, account)
    fixed = {name: columns.pop(name) for name in _FIXED}
    track = Track(**fixed, channels=columns)
    return track, gaps, (_summary(raw, track), *raw.account, *account)


def _taken(columns: Columns, rows: BoolArray) -> Columns:
    return columns if rows.all() else {name: column[rows] for name, column in columns.items()}


def _drop_untimed(path: Path, columns: Columns, account: list[str]) -> Columns:
    """Samples without a time, or with one that no recorder can have had."""
    time_s = columns["time_s"]
    if time_s.size == 0:
        raise bad_file(path, "samples", "none", "a recorded track")
    timed = np.isfinite(time_s)
    possible = timed & (time_s >= EARLIEST_S) & (time_s < LATEST_S)
    if not timed.any():
        raise bad_file(path, "time", f"no time in {counted(time_s.size, 'sample')}", "times")
    if not possible.any():
        found = f"times from {_year(time_s[timed].min())} to {_year(time_s[timed].max())}"
        raise bad_file(path, "time", found, "times between 1980 and 2100")
    if not timed.all():
        account.append(f"{counted(int((~timed).sum()), 'sample')} without a time: left out.")
    if (timed & ~possible).any():
        dropped = counted(int((timed & ~possible).sum()), "sample")
        account.append(f"{dropped} dated before 1980 or after 2100: left out.")
    return _taken(columns, possible)


def _year(time_s: float) -> str:
    years = 1970.0 + time_s / (365.2425 * 86_400.0)
    return f"the year {years:.0f}" if abs(years) < 1e4 else f"{time_s:g} s since 1970"


def _drop_strays(path: Path, columns: Columns, account: list[str]) -> Columns:
    """A few samples dated weeks away: a clock that was not set yet."""
    time_s = columns["time_s"]
    if np.ptp(time_s) <= APART_S:
        return columns
    order = np.argsort(time_s, kind="stable")
    block = np.cumsum(np.diff(time_s[order], prepend=time_s[order[0]]) > APART_S)
    sizes = np.bincount(block)
    if sizes.size == 1:
        return columns
    main = int(np.argmax(sizes))
    kept = np.zeros(time_s.shape, dtype=bool)
    kept[order[block == main]] = True
    strays = int((~kept).sum())
    if strays > STRAY_FRACTION * time_s.size:
        found = f"{counted(int(sizes.size), 'recording')} more than 30 days apart"
        raise bad_file(path, "time", found, "one recording to a file")
    days = (time_s[~kept].min(), time_s[~kept].max())
    account.append(
        f"{counted(strays, 'sample')} more than 30 days from the others"
        f" ({utc_text(days[0])} to {utc_text(days[1])}): left out as a clock not yet set."
    )
    return _taken(columns, kept)


def _sort(path: Path, columns: Columns, account: list[str]) -> Columns:
    """Samples in order of time; refused where the file has no order to begin with."""
    step_s = np.diff(columns["time_s"])
    backward = int((step_s < 0.0).sum())
    if backward == 0:
        return columns
    if (step_s <= 0.0).all():
        account.append("The file runs backward in time: turned around.")
        return {name: column[::-1] for name, column in columns.items()}
    if backward > BACKWARD_FRACTION * step_s.size:
        found = f"time going backward in {backward:,} of {counted(step_s.size, 'step')}"
        raise bad_file(path, "time", found, "samples in order of time")
    account.append(f"Time goes backward in {counted(backward, 'place')}: sorted by time.")
    order = np.argsort(columns["time_s"], kind="stable")
    return {name: column[order] for name, column in columns.items()}


def _merge_equal_times(path: Path, columns: Columns, account: list[str]) -> Columns:
    """One sample for each time: the first value that is known in each column."""
    time_s = columns["time_s"]
    first = np.concatenate([[True], np.diff(time_s) > 0.0])
    extra = int((~first).sum())
    if extra == 0:
        return columns
    group = np.cumsum(first) - 1
    merged = {name: _first_known(column, group) for name, column in columns.items()}
    apart = np.zeros(time_s.shape, dtype=bool)
    for name in _POSITION:
        apart |= np.abs(columns[name] - merged[name][group]) > CONFLICT_DEG
    conflicts = int(apart.sum())
    if conflicts > CONFLICT_FRACTION * time_s.size:
        found = f"{counted(conflicts, 'sample')} in another place at the same time"
        raise bad_file(path, "position", found, "one track to a file")
    elsewhere = f"; {conflicts:,} of them are in another place" if conflicts else ""
    account.append(
        f"{counted(extra, 'sample')} with a time that was there before: the first is kept and"
        f" completed from the others{elsewhere}."
    )
    return merged


def _first_known(column: FloatArray, group: IntArray) -> FloatArray:
    out = np.full(int(group[-1]) + 1, np.nan)
    known = np.flatnonzero(np.isfinite(column))[::-1]
    out[group[known]] = column[known]  # the last assignment wins: the first in the file
    return out


def _check_span(path: Path, columns: Columns) -> None:
    time_s = columns["time_s"]
    if time_s.size < 2:
        raise bad_file(
            path, "time", f"only one time, {utc_text(time_s[0])}",
            "at least two samples at different times",
        )  # fmt: skip
    if time_s[-1] - time_s[0] < SHORTEST_S:
        found = f"{counted(time_s.size, 'sample')} within {time_s[-1] - time_s[0]:.3g} s"
        raise bad_file(path, "time", found, "a recording of at least a second")
    names = [name for name in columns if name not in ("time_s", _SEGMENT)]
    if not any(np.isfinite(columns[name]).any() for name in names):
        found = f"nothing but times in {counted(time_s.size, 'sample')}"
        raise bad_file(path, "columns", found, "positions, heights, speeds or the engine")


def _forget_impossible(path: Path, columns: Columns, account: list[str]) -> None:
    """Positions out of range, exactly 0, 0, or half known; longitudes counted to 360."""
    lat_deg, lon_deg = columns["lat_deg"], columns["lon_deg"]
    if (lon_deg[np.isfinite(lon_deg)] >= 0.0).all() and (lon_deg > 180.0).any():
        wrapped = (lon_deg > 180.0) & (lon_deg <= 360.0)
        columns["lon_deg"] = np.where(wrapped, lon_deg - 360.0, lon_deg)
        lon_deg = columns["lon_deg"]
        account.append("Longitudes run from 0 to 360: taken as east of Greenwich all around.")
    zero = (lat_deg == 0.0) & (lon_deg == 0.0)
    outside = (np.abs(lat_deg) > 90.0) | (np.abs(lon_deg) > 180.0)
    half = np.isnan(lat_deg) != np.isnan(lon_deg)
    for bad, what in (
        (zero, "exactly at 0, 0, which recorders write when they have no fix"),
        (outside, "outside 90 degrees of latitude or 180 of longitude"),
        (half, "with only a latitude or only a longitude"),
    ):
        if bad.any():
            account.append(f"{counted(int(bad.sum()), 'position')} {what}: not known there.")
    _forget(columns, zero | outside | half, *_POSITION)
    if np.isfinite(lat_deg).any() and not np.isfinite(columns["lat_deg"]).any():
        found = f"no possible position in {counted(lat_deg.size, 'sample')}"
        raise bad_file(path, "position", found, "positions on the earth other than 0, 0")


def _forget_stale(path: Path, columns: Columns, account: list[str]) -> None:
    """Positions that repeat while the aircraft had moved on; frozen heights go with them."""
    stale = stale_positions(columns["time_s"], columns["lat_deg"], columns["lon_deg"])
    if not stale.any():
        return
    same = np.concatenate([[False], np.diff(columns["gnss_ft"]) == 0.0])
    frozen = stale & same if (same[stale]).all() else np.zeros(stale.shape, dtype=bool)
    _forget(columns, stale, *_POSITION)
    _forget(columns, frozen, "gnss_ft")
    with_heights = " and its satellite height" if frozen.any() else ""
    account.append(
        f"{counted(int(stale.sum()), 'sample')} repeat an old position{with_heights} while the"
        f" aircraft moved on, first at {utc_text(columns['time_s'][stale][0])}: not known there."
    )


def _forget_stood_still(path: Path, columns: Columns, account: list[str]) -> None:
    """A last state repeated by a receiver that heard nothing more: no place and no height."""
    if "ground_kt" not in columns:
        return
    still = still_while_moving(
        columns["time_s"], columns["lat_deg"], columns["lon_deg"], columns["ground_kt"]
    )
    if not still.any():
        return
    _forget(columns, still, *_POSITION, "gnss_ft", "pressure_ft")
    account.append(
        f"{counted(int(still.sum()), 'sample')} repeat one place at a recorded ground speed of"
        f" more than {MOVING_KT:g} kt, first at {utc_text(columns['time_s'][still][0])}:"
        " place and height not known there."
    )


def _forget_jumps(path: Path, columns: Columns, account: list[str]) -> None:
    """Positions that the rest of the track cannot be flown through."""
    known = np.isfinite(columns["lat_deg"])
    found = jumped_positions(columns["time_s"], columns["lat_deg"], columns["lon_deg"])
    if found.off.sum() > LOST_FRACTION * known.sum():
        out = f"{int(found.off.sum()):,} of {counted(int(known.sum()), 'position')} out of reach"
        raise bad_file(path, "position", f"{out} of the others", "one continuous track")
    if found.off.any():
        _forget(columns, found.off, *_POSITION, "gnss_ft")
        first = utc_text(columns["time_s"][found.off][0])
        account.append(
            f"{counted(int(found.off.sum()), 'position')} jumped away from the track, first at"
            f" {first}: position and satellite height not known there."
        )
    if found.after_jump.any():
        _say_kept("position", columns["time_s"][found.after_jump], account)
    columns[_JUMP] = found.after_jump.astype(np.float64)


def _say_kept(what: str, time_s: FloatArray, account: list[str]) -> None:
    places = counted(time_s.size, "place")
    account.append(
        f"The {what} jumps in {places} by more than can be flown, first at {utc_text(time_s[0])},"
        " between long stretches that each hold together: kept, and it is not known which is right."
    )


def _forget_jumped_heights(path: Path, columns: Columns, account: list[str]) -> None:
    for name, what in (("gnss_ft", "satellite height"), ("pressure_ft", "pressure height")):
        found = jumped_heights(columns["time_s"], columns[name] * M_PER_FT)
        if found.off.any():
            first = utc_text(columns["time_s"][found.off][0])
            _forget(columns, found.off, name)
            account.append(
                f"{counted(int(found.off.sum()), what)} jumped by more than can be climbed, first"
                f" at {first}: not known there."
            )
        if found.after_jump.any():
            _say_kept(what, columns["time_s"][found.after_jump], account)


def _forget(columns: Columns, rows: BoolArray, *names: str) -> None:
    for name in names if rows.any() else ():
        columns[name] = np.where(rows, np.nan, columns[name])


def _drop_empty(path: Path, columns: Columns, account: list[str]) -> Columns:
    """Samples in which no sensor gave anything."""
    filled = np.zeros(columns["time_s"].shape, dtype=bool)
    for name, column in columns.items():
        if name not in ("time_s", _SEGMENT, _JUMP) and not filled.all():
            filled |= np.isfinite(column)
    if not filled.all():
        account.append(f"{counted(int((~filled).sum()), 'sample')} with nothing known: left out.")
        columns = _taken(columns, filled)
    positions = int(np.isfinite(columns["lat_deg"]).sum())
    if positions == 1 or columns["time_s"].size < 2:
        raise bad_file(path, "position", counted(positions, "position"), "at least two positions")
    return columns


def find_gaps(
    time_s: FloatArray, lat_deg: FloatArray, *, segment_index: FloatArray, after_jump: BoolArray
) -> tuple[Gap, ...]:
    """Spans without samples, between segments, at jumps and without positions, in time order."""
    step_s = np.diff(time_s)
    longest_s = max(GAP_S, GAP_STEPS * float(np.median(step_s)))
    silent = step_s > longest_s
    broken = (np.diff(segment_index) != 0.0) & ~silent
    spans: dict[tuple[float, float], GapReason] = {}
    placed = np.isfinite(lat_deg)
    at_s = time_s[placed]
    spans |= dict.fromkeys(_ends(at_s, after_jump[placed][1:]), "jump")
    spans |= dict.fromkeys(_ends(at_s, np.diff(at_s) > longest_s), "no position")
    spans |= dict.fromkeys(_ends(time_s, broken), "new segment")
    spans |= dict.fromkeys(_ends(time_s, silent), "nothing recorded")
    return tuple(
        Gap(start_s=start_s, end_s=end_s, reason=reason)
        for (start_s, end_s), reason in sorted(spans.items())
    )


def _ends(time_s: FloatArray, after: BoolArray) -> list[tuple[float, float]]:
    return [(float(time_s[i]), float(time_s[i + 1])) for i in np.flatnonzero(after)]


def _say_gaps(gaps: tuple[Gap, ...], account: list[str]) -> None:
    said: dict[str, Callable[[int], str]] = {
        "nothing recorded": lambda count: f"{counted(count, 'gap')} without samples",
        "new segment": lambda count: f"{counted(count, 'break')} between segments",
        "no position": lambda count: f"{counted(count, 'span')} without a position",
    }
    for reason, text in said.items():
        spans = [gap for gap in gaps if gap.reason == reason]
        if not spans:
            continue
        longest = max(spans, key=lambda gap: gap.end_s - gap.start_s)
        total_s = sum(gap.end_s - gap.start_s for gap in spans)
        account.append(
            f"{text(len(spans))}, {total_s:,.0f} s together; the longest from"
            f" {utc_text(longest.start_s)} to {utc_text(longest.end_s)}."
        )


def _summary(raw: RawTrack, track: Track) -> str:
    """What there is: the first sentence of the account."""
    step_s = float(np.median(np.diff(track.time_s)))
    start, end = utc_text(track.time_s[0]), utc_text(track.time_s[-1])
    return (
        f"Read as {raw.format_name}: {counted(raw.time_s.size, 'sample')} in the file,"
        f" {len(track):,} in the track, every {step_s:.3g} s from {start} to {end}."
    )
