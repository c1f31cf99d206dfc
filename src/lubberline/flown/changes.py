"""What was set where a channel shows it: gear, flaps, power, tank, pump, altimeter, radio.

A change is one level that was held and then another; what moves in between belongs to it, and its
moment is when the first level was left. Levels closer than a channel's least step are one.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, median
from lubberline.flown.even import lowest_of
from lubberline.flown.model import Change
from lubberline.recording import Track

HELD_S: Final = 8  # own: a level that is left sooner was passed
MEDIAN_S: Final = 5  # own: one wrong sample is no change
MOST_COUNT: Final = 20  # own: a channel that changes more often is not set by hand


@dataclass(frozen=True, slots=True, kw_only=True)
class Set:
    """A thing that is set: names of its channels, the least step, and how a level is written."""

    name: str
    fits: re.Pattern[str]
    step: float
    form: str


# Own: the least steps. The first that fits a channel's name serves it.
THINGS: Final = (
    Set(name="gear", fits=re.compile(r"^gear.*_fraction$"), step=0.5, form="gear"),
    Set(name="gear", fits=re.compile(r"^gear.*_percent$"), step=50.0, form="gear"),
    Set(name="flaps", fits=re.compile(r"^flaps?.*_deg$"), step=2.0, form="{:.0f}°"),
    Set(name="flaps", fits=re.compile(r"^flaps?.*_percent$"), step=5.0, form="{:.0f} %"),
    Set(name="pump", fits=re.compile(r"pump.*_(fraction|count|index)$"), step=0.5, form="switch"),
    Set(name="tank", fits=re.compile(r"(tank|selector).*_(count|index)$"), step=0.5,
        form="{:.0f}"),
    Set(name="mixture", fits=re.compile(r"^mixture.*_percent$"), step=5.0, form="{:.0f} %"),
    Set(name="altimeter", fits=re.compile(r"^altimeter_inhg$"), step=0.009, form="{:.2f} inHg"),
    Set(name="manifold pressure", fits=re.compile(r"^(manifold|map|mp).*_inhg$"), step=2.0,
        form="{:.0f} inHg"),
    Set(name="engine speed", fits=re.compile(r"^(engine_)?rpm$|^engine.*_rpm$"), step=150.0,
        form="{:,.0f} rpm"),
    Set(name="", fits=re.compile(r"^(com|nav)[^_]*_(.*_)?mhz$"), step=0.004, form="{:.3f}"),
)  # fmt: skip


def changes(track: Track) -> tuple[Change, ...]:
    """Every change of what was recorded as set, in order of time."""
    found = []
    for name, column in track.channels.items():
        thing = next((one for one in THINGS if one.fits.search(name)), None)
        known = np.isfinite(column)
        if thing is None or known.sum() < 2 or np.ptp(column[known]) <= thing.step:
            continue
        every = _every_second(track.time_s[known], column[known])
        steps = list(islice(_steps(*every, thing.step), MOST_COUNT + 1))
        if len(steps) <= MOST_COUNT:
            found += [_told(thing, name, *step) for step in steps]
    return tuple(sorted(found, key=lambda one: (one.time_s, one.what)))


def _every_second(time_s: FloatArray, column: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The last known value at each second, the median of five."""
    grid_s = np.arange(time_s[0], time_s[-1] + 1.0)
    values = column[np.searchsorted(time_s, grid_s, side="right") - 1]
    if values.size >= MEDIAN_S:
        ends = MEDIAN_S // 2
        windows = np.lib.stride_tricks.sliding_window_view(values, MEDIAN_S)
        middle = np.partition(windows, ends, axis=1)[:, ends]
        values = np.concatenate([np.full(ends, middle[0]), middle, np.full(ends, middle[-1])])
    return grid_s, values


def _steps(
    time_s: FloatArray, values: FloatArray, step: float
) -> Iterator[tuple[float, tuple[float, float]]]:
    """The moment of each change, and the levels before and after."""
    if values.size < HELD_S:
        return
    rests = np.flatnonzero(-lowest_of(-values, HELD_S) - lowest_of(values, HELD_S) <= step)
    level, begun = float(values[0]), 0
    while begun < values.size:
        left = np.abs(values[begun:] - level) > step
        begun += int(np.argmax(left))
        later = rests[np.searchsorted(rests, begun) :]
        if not left.any() or not later.size:
            return
        after = median(values[later[0] : later[0] + HELD_S])
        if abs(after - level) > step:
            yield float(time_s[begun]), (level, after)
            level = after
        begun = int(later[0]) + 1


def _told(thing: Set, name: str, time_s: float, values: tuple[float, float]) -> Change:
    what = thing.name or name.rpartition("_")[0].replace("_", " ")
    grows = values[1] > values[0]
    if thing.form == "gear":
        return Change(time_s=time_s, what=f"gear {'down' if grows else 'up'}")
    if thing.form == "switch":
        return Change(time_s=time_s, what=f"{what} {'on' if grows else 'off'}")
    first, then = (thing.form.format(value) for value in values)
    return Change(time_s=time_s, what=f"{what} {first} to {then}")
