"""How a skill fades with the days not flown: per pilot, and pooled where there are several.

A measure is fitted as a level and an amount for each doubling of the days since the last flight:
from one day to two costs as much as from a month to two. Pilots differ; what they have in common
and how far they differ is estimated together, and who has few flights leans on the others.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log2, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError, ShapeError

FEWEST_COUNT: Final = 5  # own: a line through fewer says nothing of its scatter


@dataclass(frozen=True, slots=True, kw_only=True)
class Fading:
    """What each doubling of the days not flown adds to a measure, with its standard error.

    ``at_one`` is the level after one day, in the unit of the values; ``flight_count`` and
    ``longest_days`` say what it rests on.
    """

    per_doubling: float
    sigma: float
    at_one: float
    flight_count: int
    longest_days: float

    def after(self, days: float) -> float:
        """The level after so many days; never beyond the longest pause flown."""
        if not 1.0 <= days <= self.longest_days:
            raise RangeError(
                f"days is {days:g}; expected 1 to {self.longest_days:g}, the longest pause flown"
            )
        return self.at_one + self.per_doubling * log2(days)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """What several estimates have in common, how far their truths differ, and each of them anew.

    ``apart`` is the standard deviation of the truths. ``each`` and ``each_sigma`` are the
    estimates drawn towards the common one by as much as they are in doubt.
    """

    common: float
    sigma: float
    apart: float
    each: tuple[float, ...]
    each_sigma: tuple[float, ...]


def fading(since_last_days: ArrayLike, values: ArrayLike) -> Fading:
    """A line of the values on the doublings of the days since the last flight.

    Parameters
    ----------
    since_last_days, values : array_like, shape (n,)
        Flights whose pause is not known (NaN) are left out; less than a day counts as one.

    Raises
    ------
    ShapeError
        If the columns do not fit together.
    RangeError
        If fewer than 5 flights are known, or all pauses are equally long.

    References
    ----------
    Least squares with the standard error of the slope [JCGM100]_ H.3.3. That forgetting goes
    with the logarithm of time is our simplification: one flight in a pause cannot show more.
    """
    days, values = np.asarray(since_last_days, dtype=float), np.asarray(values, dtype=float)
    if days.shape != values.shape or days.ndim != 1:
        raise ShapeError(f"days {days.shape} and values {values.shape}: expected n of each")
    known = np.isfinite(days) & np.isfinite(values)
    doublings = np.log2(np.maximum(days[known], 1.0))
    if doublings.size < FEWEST_COUNT or not np.ptp(doublings) > 0.0:
        raise RangeError(
            f"{doublings.size} flights after pauses of different length; expected {FEWEST_COUNT}"
        )
    at_one, slope, sigma = line(doublings, values[known])
    return Fading(
        per_doubling=slope,
        sigma=sigma,
        at_one=at_one,
        flight_count=int(doublings.size),
        longest_days=float(np.max(days[known], initial=1.0)),
    )


def line(along: FloatArray, values: FloatArray) -> tuple[float, float, float]:
    """Intercept, slope and the slope's standard error by least squares [JCGM100]_ H.3.3."""
    away = along - along.mean()
    square = float((away**2).sum())
    slope = float((away * values).sum()) / square
    intercept = float(values.mean()) - slope * float(along.mean())
    left = values - intercept - slope * along
    return intercept, slope, sqrt(float((left**2).sum()) / (values.size - 2) / square)


def pooled(estimates: Sequence[float], sigmas: Sequence[float]) -> Pooled:
    """Estimates of the same thing for several pilots, together.

    Parameters
    ----------
    estimates, sigmas : sequence of float
        One per pilot, at least two, with standard errors greater than 0.

    References
    ----------
    The moment estimate of [DERSIMONIAN1986]_; each anew as the mean given the common one and how
    far they differ.
    """
    y, s = np.asarray(estimates, dtype=float), np.asarray(sigmas, dtype=float)
    if y.shape != s.shape or y.size < 2:
        raise ShapeError(f"{y.size} estimates and {s.size} errors; expected two or more of each")
    if not (s > 0.0).all():
        raise RangeError("an estimate without error cannot be pooled")
    w = 1.0 / s**2
    apart2 = max(0.0, (float((w * (y - np.average(y, weights=w)) ** 2).sum()) - (y.size - 1))
                 / float(w.sum() - (w**2).sum() / w.sum()))  # fmt: skip
    w = 1.0 / (s**2 + apart2)
    common = float(np.average(y, weights=w))
    lean = s**2 / (s**2 + apart2)
    return Pooled(
        common=common,
        sigma=float(w.sum()) ** -0.5,
        apart=sqrt(apart2),
        each=tuple((lean * common + (1.0 - lean) * y).tolist()),
        each_sigma=tuple(np.sqrt((1.0 - lean) * s**2 + lean**2 / w.sum()).tolist()),
    )
