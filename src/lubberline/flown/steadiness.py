"""How steadily a value was held: plain statistics of its deviations, each defined here.

Share inside: the part of the time within the tolerance. Bias: the mean deviation. Spread: the root
mean square. Worth: as many independent samples as the deviations are worth, n over 1 and twice the
sum of their correlations, each estimated with the weight 1 - k/n [ZVS1995]_. Time to recover: from
leaving the tolerance to being back inside for ten seconds; the longest counts. Reversals: how
often in a minute the deviation turned back by more than a small step, the same for everybody:
10 ft, 1 degree, 1 kt.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown.case import Case, Measure, limit_for
from lubberline.flown.cruise import COURSE, HEIGHT, CruiseHeld, Held
from lubberline.flown.even import runs
from lubberline.flown.model import HeldSpan, Statistic, Steadiness
from lubberline.line import Limit
from lubberline.units import S_PER_MIN

BACK_S: Final = 10.0  # own: back inside for so long is recovered
STEP: Final = {"ft": 10.0, "deg": 1.0, "kt": 1.0}  # own: a smaller turn back is noise


def steadiness(case: Case, held: CruiseHeld) -> tuple[Steadiness, ...]:
    """Height and course in the judged cruise, as far as they are known."""
    return tuple(
        Steadiness(
            name=name,
            label=label,
            statistics=statistics(case, measure.unit, limit_for(measure, case.standard), one),
        )
        for name, label, measure, one in _known(held)
    )


def held_spans(case: Case, held: CruiseHeld) -> tuple[HeldSpan, ...]:
    """The same as columns, with the tolerance of the standard."""
    return tuple(
        HeldSpan(
            name=name,
            label=label,
            unit=measure.unit,
            time_s=case.even.time_s[one.index],
            values=one.values,
            low=limit_for(measure, case.standard).low,
            high=limit_for(measure, case.standard).high,
        )
        for name, label, measure, one in _known(held)
    )


def _known(held: CruiseHeld) -> Iterator[tuple[str, str, Measure, Held]]:
    """What was held: name, label, measure and deviations."""
    asked = (
        ("cruise_height", "height in cruise", HEIGHT, held.height),
        ("course", "course in cruise", COURSE, held.course),
    )
    for name, label, measure, one in asked:
        if not isinstance(one, str):
            yield name, label, measure, one


def statistics(case: Case, unit: str, limit: Limit | None, held: Held) -> tuple[Statistic, ...]:
    """Those of deviations; share inside and recovery only where a limit is given."""
    values = held.values
    worst = int(np.argmax(np.abs(values)))
    rms = float(np.sqrt(np.mean(values**2)))
    found = [
        Statistic(
            name="worst",
            value=float(values[worst]),
            unit=unit,
            where=case.where(int(held.index[worst])),
        ),
        Statistic(name="spread (rms)", value=rms, unit=unit),
        Statistic(name="bias", value=float(values.mean()), unit=unit),
        Statistic(name="worth, independent samples", value=worth_count(values), unit=""),
        Statistic(
            name="reversals",
            value=reversals_count(values, STEP[unit])
            / (values.size * case.even.step_s / S_PER_MIN),
            unit="per min",
        ),
    ]
    if limit is None or (limit.low is None and limit.high is None):
        return tuple(found)
    inside = _inside(values, limit)
    share = Statistic(name="share inside", value=100.0 * float(inside.mean()), unit="%")
    longest_s, at = recovery_s(inside, np.asarray(case.even.time_s[held.index]))
    recover = Statistic(
        name="longest to recover",
        value=longest_s,
        unit="s",
        where=case.where(int(held.index[at])) if at is not None else "",
    )
    return (share, *found, recover)


def _inside(values: FloatArray, limit: Limit) -> BoolArray:
    low = -np.inf if limit.low is None else limit.low
    high = np.inf if limit.high is None else limit.high
    return np.asarray((values >= low) & (values <= high))


def worth_count(values: FloatArray) -> float:
    """As many independent samples as these are worth, from 1 to all of them [ZVS1995]_.

    Correlations are summed to the first that is not positive; beyond they are noise.
    """
    n = values.size
    off = values - values.mean() if n else values
    power = float(off @ off)
    if n < 3 or power <= 0.0:
        return 1.0
    padded = 1 << (2 * n - 1).bit_length()  # a power of two is transformed most quickly
    spectrum = np.abs(np.fft.rfft(off, padded)) ** 2
    correlation = np.fft.irfft(spectrum)[:n] / power
    ends = np.flatnonzero(correlation <= 0.0)
    k = np.arange(1, int(ends[0]) if ends.size else n)
    return float(np.clip(n / (1.0 + 2.0 * correlation[k].sum()), 1.0, n))


def reversals_count(values: FloatArray, steps: float) -> int:
    """How often the values turned back by more than a step from their last high or low."""
    count, rising = 0, 0
    low = high = float(values[0]) if values.size else 0.0
    for value in values.tolist():
        low, high = value if value < low else low, value if value > high else high
        if rising >= 0 and value < high - steps:
            count += rising > 0
            rising, low = -1, value
        elif rising <= 0 and value > low + steps:
            count += rising < 0
            rising, high = 1, value
    return count


def recovery_s(inside: BoolArray, time_s: FloatArray) -> tuple[float, int | None]:
    """The longest time outside until back for good, and where it began; 0 and None if never out.

    A stay inside of less than ten seconds is part of the excursion. One that never came back
    counts to the last sample.
    """
    out = ~inside
    for start, stop in runs(inside, np.zeros(inside.size, dtype=np.int64)):
        between = start > 0 and stop < inside.size
        if between and time_s[stop] - time_s[start] < BACK_S:
            out[start:stop] = True
    longest_s, at = 0.0, None
    for start, stop in runs(out, np.zeros(out.size, dtype=np.int64)):
        lasted_s = float(time_s[min(stop, out.size - 1)] - time_s[start])
        if lasted_s >= longest_s:
            longest_s, at = lasted_s, start
    return longest_s, at
