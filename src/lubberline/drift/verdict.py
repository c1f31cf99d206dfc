"""Better, worse, or too early to say: the latest flights against those before them.

The latest 3 to 24 flights are held against up to a hundred before them; the most telling
length speaks. Sizes of an error are worked on as square roots,
because they are skewed and their doubt grows with them; a wild flight is brought in; what the
conditions explain is taken out first, with the doubt that this adds. Assumed: flights vary
independently of one another. How often the words are wrong is in docs/science/drift.md, held
to simulated careers.
"""

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.drift import _kernel as kernel
from lubberline.drift import _recent as recently
from lubberline.drift.chart import AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR, Chart
from lubberline.drift.conditions import Adjusted, in_usual_conditions
from lubberline.drift.model import DriftVerdict, DriftWord, Latest, Measure, Promise
from lubberline.line import Finding, Limit, unknown

BASELINE_MIN_COUNT: Final = recently.BEFORE_MIN_COUNT
NEW_MIN_COUNT: Final = recently.LATEST_COUNTS[0]
BASELINE_MAX_COUNT: Final = 20  # own: of the chart; beyond, its limits hardly narrow

# Own, from simulated careers without conditions (docs/science/drift.md): flights before, percent
# called slipping in a steady year, percent of slips by one scatter found within twelve flights.
PROMISES: Final = ((12, 4.9, 29.3), (24, 4.3, 45.9), (52, 4.9, 58.8), (104, 4.5, 66.6))

_SOURCE: Final = (
    "own: the latest flights against those before them by Student's distribution, JCGM"
    " 100:2008, G.3.2, with bars from simulated careers"
)


def baseline_flights_count(flight_count: int) -> int:
    """How many of the flights, from the first, are the baseline of the moving average."""
    return min(max(flight_count // 2, BASELINE_MIN_COUNT), BASELINE_MAX_COUNT)


def judge(measure: Measure, conditions: Mapping[str, ArrayLike] | None = None) -> DriftVerdict:
    """The word about the course of a measure, with what it rests on.

    Parameters
    ----------
    measure : Measure
        One value per flight with its measurement doubt, oldest first. The latest 124 count.
    conditions : mapping of name to array_like, shape (n,), optional
        What each flight was flown in; NaN where unknown. See ``in_usual_conditions``.

    Returns
    -------
    DriftVerdict
        "too early to say" below 11 flights, with the number still needed, and where the earlier
        flights were all alike without doubt; else improving or slipping if the latest flights
        differ by more than the bar on the better or the worse side, holding if they do not.
        "Holding" is no proof of constancy: ``smallest_change`` says what would have been seen.

    References
    ----------
    [JCGM100]_ G.3 for Student's factor; the lengths and bars are our own. [NIST-EHB]_ 6.3.2.4
    and [CROWDER1989]_ for the chart that comes with it.
    """
    measure, conditions = _kept(measure, conditions or {})
    count = len(measure)
    baseline_count = baseline_flights_count(count)
    needed_count = BASELINE_MIN_COUNT + NEW_MIN_COUNT - count
    if needed_count > 0:
        return _too_early(needed_count, baseline_count, note=f"{count} flights so far")
    first = max(BASELINE_MIN_COUNT, count - recently.LATEST_COUNTS[-1])
    if not (np.ptp(measure.values[:first]) or measure.sigmas.any()):
        note = f"the first {first} flights are all alike: how far they scatter is not known"
        return _too_early(1, baseline_count, note=note)
    adjusted, values, sigmas = _even(measure, conditions)
    tamed = recently.tame(adjusted.values)
    found = recently.compare(
        tamed,
        sigmas,
        first_index=recently.settled_index(tamed),
        shifts=adjusted.shifts,
        used_count=adjusted.used_count,
    )
    latest = _latest(measure, found)
    doubt = kernel.moving_average_sigma(
        measure.sigmas[baseline_count:], weight_factor=AVERAGE_WEIGHT_FACTOR
    )
    return DriftVerdict(
        word=_word(measure, latest),
        flights_needed_count=0,
        baseline_count=baseline_count,
        chart=_average_chart(values, measure.sigmas, baseline_count),
        sigma=float(doubt[-1]),
        note=f"the latest {latest.flight_count} flights against the {latest.before_count} before"
        " them",
        latest=latest,
        effects=adjusted.effects,
        explained_fraction=adjusted.explained_fraction,
    )


def smallest_change(verdict: DriftVerdict) -> float | None:
    """Change for the worse, in the measure's unit, that twelve flights of it name half the time.

    Of as many flights as there are to compare if twelve are too many; None while too early.
    """
    return verdict.latest.smallest_change if verdict.latest is not None else None


def flights_to_show_count(verdict: DriftVerdict) -> int | None:
    """How many flights a lasting change by one usual scatter takes to be named, half the time.

    For the flights known so far; None while it is too early, and where even 24 would not do.
    """
    if verdict.latest is None:
        return None
    known_count = verdict.latest.flight_count + verdict.latest.before_count
    for count in range(recently.LATEST_COUNTS[0], recently.LATEST_COUNTS[-1] + 1):
        for latest, bar_sigma in recently.BARS_SIGMA.items():
            seen_sigma = (latest * known_count / (latest + known_count)) ** 0.5
            if min(count / latest, 1.0) * seen_sigma >= bar_sigma:
                return count
    return None


def promise(verdict: DriftVerdict) -> Promise | None:
    """How often the word is wrong and right after so many flights; None while it is too early."""
    if verdict.latest is None:
        return None
    known_count = verdict.latest.flight_count + verdict.latest.before_count
    reached = [row for row in PROMISES if row[0] <= known_count] or PROMISES[:1]
    count, false_percent, found_percent = reached[-1]
    return Promise(flight_count=count, false_percent=false_percent, found_percent=found_percent)


def drift_finding(measure: Measure, verdict: DriftVerdict) -> Finding:
    """The latest flights against the bar on their worse side; unknown while it is too early.

    Flights beyond the bar on the better side are improving, so they are inside.
    """
    latest = verdict.latest
    if latest is None:
        count = verdict.flights_needed_count
        missing = f"{count} more flight{'' if count == 1 else 's'}"
        return unknown(_limit(measure, None), missing, note=f"{verdict.word}: {verdict.note}")
    note = f"{verdict.word}: {verdict.note}"
    if verdict.word is DriftWord.HOLDING:
        note += (
            f"; a lasting change of {latest.smallest_change:.2g} {measure.unit} would show as often"
            " as not"
        )
    return Finding(limit=_limit(measure, latest), value=latest.level, sigma=latest.sigma, note=note)


def is_size(measure: Measure) -> bool:
    """Whether the values are sizes of an error, which are skewed: none negative, best at 0."""
    return measure.better == "smaller" and bool((measure.values >= 0.0).all())


def _kept(
    measure: Measure, conditions: Mapping[str, ArrayLike]
) -> tuple[Measure, Mapping[str, ArrayLike]]:
    """The latest flights, as many as are compared."""
    most = recently.KEPT_COUNT
    if len(measure) <= most:
        return measure, conditions
    kept = Measure(
        key=measure.key,
        label=measure.label,
        unit=measure.unit,
        better=measure.better,
        flown_utc=measure.flown_utc[-most:],
        values=measure.values[-most:],
        sigmas=measure.sigmas[-most:],
        titles=measure.titles[-most:],
    )
    return kept, {name: np.asarray(column)[-most:] for name, column in conditions.items()}


def _even(
    measure: Measure, conditions: Mapping[str, ArrayLike]
) -> tuple[Adjusted, FloatArray, FloatArray]:
    """Values in usual conditions on an even scale; the same in their unit; sigmas on the scale."""
    of_late = recently.latest_column(len(measure))
    if not is_size(measure):
        adjusted = in_usual_conditions(measure.values, conditions, course=of_late)
        return adjusted, adjusted.values, measure.sigmas
    adjusted = in_usual_conditions(np.sqrt(measure.values), conditions, course=of_late)
    within = np.maximum(measure.values, measure.sigmas)
    sigmas = 0.5 * measure.sigmas / np.sqrt(np.where(within > 0.0, within, 1.0))
    in_unit = measure.values if not adjusted.effects else np.maximum(adjusted.values, 0.0) ** 2
    return adjusted, in_unit, sigmas


def _latest(measure: Measure, found: recently.Recent) -> Latest:
    """What was compared, back in the measure's unit."""
    usual, reach = float(found.usual), float(found.reach)
    back = _squared if is_size(measure) else float
    worse = 1.0 if measure.better == "smaller" else -1.0
    count = int(found.latest_count)
    sigmas = measure.sigmas[-count:]
    return Latest(
        flight_count=count,
        before_count=int(found.before_count),
        level=back(float(found.latest)),
        usual=back(usual),
        low=back(usual - reach),
        high=back(usual + reach),
        sigma=float(np.sqrt((sigmas**2).sum())) / count,
        smallest_change=abs(back(usual + worse * float(found.twelve_reach)) - back(usual)),
    )


def _squared(value: float) -> float:
    return max(value, 0.0) ** 2


def _average_chart(values: FloatArray, sigmas: FloatArray, baseline_count: int) -> Chart:
    center, average, half = kernel.against_baseline(
        values,
        sigmas,
        baseline_count=baseline_count,
        weight_factor=AVERAGE_WEIGHT_FACTOR,
        width_factor=AVERAGE_WIDTH_FACTOR,
    )
    return Chart(values=average, center=float(center[0]), low=center - half, high=center + half)


def _word(measure: Measure, latest: Latest) -> DriftWord:
    if latest.low <= latest.level <= latest.high:
        return DriftWord.HOLDING
    is_smaller = latest.level < latest.low
    is_better = is_smaller == (measure.better == "smaller")
    return DriftWord.IMPROVING if is_better else DriftWord.SLIPPING


def _too_early(needed_count: int, baseline_count: int, *, note: str) -> DriftVerdict:
    return DriftVerdict(
        word=DriftWord.TOO_EARLY,
        flights_needed_count=needed_count,
        baseline_count=baseline_count,
        note=note,
    )


def _limit(measure: Measure, latest: Latest | None) -> Limit:
    smaller = measure.better == "smaller"
    return Limit(
        key=f"drift.{measure.key}",
        label=f"{measure.label}, latest flights",
        unit=measure.unit,
        basis="own",
        source=_SOURCE,
        low=latest.low if latest is not None and not smaller else None,
        high=latest.high if latest is not None and smaller else None,
        target=latest.usual if latest is not None else None,
    )
