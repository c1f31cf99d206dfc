"""What the flights in the store have shown of an airplane and its pilot, each with an interval.

A number that multiplies a table of the manual is the mean of flown over printed figure; the
others are means of what was flown. Nothing is used by the plan until the pilot takes it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import hypot
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.loop.course import no_flights, store_path
from lubberline.store import Observed, ObservedFlight, observed_flights, open_store

ENOUGH_COUNT: Final = 5  # own: of fewer flights nothing is proposed
COVER_FRACTION: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One number that flights can show: from what, under which key it is taken, and where.

    ``observed`` are the numbers of a flight that show it, the first that is known counts. With
    ``as_factor`` it is a factor on the plan's figure. ``file`` is the kind of file that has
    ``key``; "" for one that nothing takes.
    """

    name: str
    label: str
    unit: str
    observed: tuple[str, ...]
    file: str
    key: str
    as_factor: bool = False
    digits_count: int = 0


NUMBERS: Final = (
    Number(
        name="cruise_tas",
        label="true airspeed in cruise",
        unit="factor",
        observed=("cruise_tas_kt",),
        file="airplane",
        key="cruise_tas_factor",
        as_factor=True,
        digits_count=3,
    ),
    Number(
        name="fuel_flow",
        label="fuel",
        unit="factor",
        observed=("cruise_gph", "fuel_used_gal"),
        file="airplane",
        key="cruise_gph_factor",
        as_factor=True,
        digits_count=3,
    ),
    Number(
        name="climb",
        label="rate of climb",
        unit="factor",
        observed=("climb_fpm",),
        file="airplane",
        key="climb_fpm_factor",
        as_factor=True,
        digits_count=3,
    ),
    Number(
        name="descent",
        label="rate of descent",
        unit="fpm",
        observed=("descent_fpm",),
        file="airplane",
        key="descent_fpm",
    ),
    Number(
        name="height_keeping",
        label="height kept within, 9 in 10",
        unit="ft",
        observed=("height_keeping_ft",),
        file="pilot",
        key="height_keeping_ft",
    ),
    Number(
        name="taxi_out",
        label="taxi before take-off",
        unit="min",
        observed=("taxi_out_min",),
        file="flight",
        key="taxi_out_min",
        digits_count=1,
    ),
    Number(
        name="taxi_in",
        label="taxi after landing",
        unit="min",
        observed=("taxi_in_min",),
        file="flight",
        key="taxi_in_min",
        digits_count=1,
    ),
    Number(
        name="eta_error",
        label="en route later than pledged",
        unit="min",
        observed=("eta_error_min",),
        file="",
        key="",
        digits_count=1,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """A number with its 95 % interval over the flights, in the number's unit.

    ``low`` and ``high`` are None from one flight.
    """

    number: Number
    value: float
    low: float | None
    high: float | None
    flight_count: int

    @property
    def proposed(self) -> float:
        """The value as it would stand in a file: no more digits than it deserves."""
        return round(self.value, self.number.digits_count)

    @property
    def flights_needed_count(self) -> int:
        """How many more flights it takes before it is proposed."""
        return max(0, ENOUGH_COUNT - self.flight_count)

    def differs_from(self, value: float | None) -> bool:
        """Whether the flights speak against the value in use; None: nothing is used yet."""
        if self.flights_needed_count or self.low is None or self.high is None:
            return False
        return value is None or not self.low <= value <= self.high


Shown = Mapping[int, Mapping[str, Observed]]  # by flight, in order, then by key


def shown_by_flights(home: Path, *, pilot: str, aircraft: str) -> Shown:
    """The numbers of every flight of one pilot in one airplane, oldest first.

    Raises
    ------
    NoSolution
        If the folder has no flights.
    """
    by_flight: dict[int, dict[str, Observed]] = {}
    for one in all_shown(home):
        if (one.pilot, one.aircraft) == (pilot, aircraft):
            by_flight.setdefault(one.flight_id, {})[one.observed.key] = one.observed
    return by_flight


def all_shown(home: Path) -> list[ObservedFlight]:
    """Every observed number in a folder's store."""
    path = store_path(home)
    if not path.exists():
        raise no_flights(f"{path}")
    with open_store(path) as store, store.reading() as session:
        return observed_flights(session)


def learn(flights: Iterable[Mapping[str, Observed]]) -> tuple[Learned, ...]:
    """Every number that at least one of the flights shows."""
    listed = list(flights)
    found = (_learned(number, listed) for number in NUMBERS)
    return tuple(one for one in found if one is not None)


def mean_interval(
    values: Sequence[float], sigmas: Sequence[float]
) -> tuple[float, float | None, float | None]:
    """Mean of the values, and the ends of its 95 % interval; None from one value.

    The doubt of the mean is that of the scatter between flights, and never less than what the
    doubt of the single measurements leaves.

    References
    ----------
    [JCGM100]_ 4.2.3 and G.3: standard uncertainty of a mean, Student's distribution.
    """
    column: FloatArray = np.asarray(values, dtype=float)
    mean, count = float(column.mean()), column.size
    if count < 2:
        return mean, None, None
    scatter = float(column.std(ddof=1)) / count**0.5
    measured = hypot(*sigmas) / count
    half = _student_factor(count - 1) * max(scatter, measured)
    return mean, mean - half, mean + half


def _learned(number: Number, flights: list[Mapping[str, Observed]]) -> Learned | None:
    key = next((key for key in number.observed if any(key in one for one in flights)), None)
    if key is None:
        return None
    seen = [one[key] for one in flights if key in one]
    if number.as_factor:
        pairs = [(o.value / o.target, o.sigma / o.target) for o in seen if o.target]
    else:
        pairs = [(one.value, one.sigma) for one in seen]
    if not pairs:
        return None
    value, low, high = mean_interval([v for v, _ in pairs], [s for _, s in pairs])
    return Learned(number=number, value=value, low=low, high=high, flight_count=len(pairs))


@lru_cache
def _student_factor(freedom_count: int) -> float:
    from scipy.stats import t

    return float(t.ppf(0.5 + COVER_FRACTION / 2.0, freedom_count))
