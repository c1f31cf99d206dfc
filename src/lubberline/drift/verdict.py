"""Better, worse, or too early to say: the recent flights against the first ones.

The first half of the flights, at least 8 and at most 20, says what is usual; the flights after
them enter a moving average that is held against limits around the usual. The limits are wider
than the textbook's, because the usual is itself an estimate from few flights and because each
value has its measurement doubt. Assumed: flights vary independently of one another about a
level, roughly as a normal distribution does. How often the words are wrong is in
docs/science/drift.md, held to a simulation by the tests.
"""

from typing import Final

from lubberline.drift import _kernel as kernel
from lubberline.drift.chart import AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR, Chart
from lubberline.drift.model import DriftVerdict, DriftWord, Measure
from lubberline.line import Finding, Limit, unknown

# Own: eleven flights are the fewest with which a lasting change of three times the usual
# scatter is named more often than not, and eight to three is the best division of eleven.
BASELINE_MIN_COUNT: Final = 8
NEW_MIN_COUNT: Final = 3
BASELINE_MAX_COUNT: Final = 20  # own: beyond, the limits hardly narrow and the usual grows stale

_SOURCE: Final = (
    "own: moving average of the recent flights against the first ones, NIST/SEMATECH e-Handbook"
    " of Statistical Methods 6.3.2.4, limits widened for a short baseline"
)


def baseline_flights_count(flight_count: int) -> int:
    """How many of the flights, from the first, say what is usual."""
    return min(max(flight_count // 2, BASELINE_MIN_COUNT), BASELINE_MAX_COUNT)


def judge(measure: Measure) -> DriftVerdict:
    """The word about the course of a measure, with the chart it rests on.

    Parameters
    ----------
    measure : Measure
        One value per flight with its measurement doubt, oldest first.

    Returns
    -------
    DriftVerdict
        "too early to say" below 11 flights, with the number still needed, and where the first
        flights were all alike without doubt; else improving or slipping if the average lies
        beyond its limit on the better or the worse side, holding if it does not. "Holding" is
        no proof of constancy: ``smallest_change`` says what would have been seen.

    References
    ----------
    [NIST-EHB]_ 6.3.2.4 and [CROWDER1989]_ for the chart, [JCGM100]_ G.3 for the widening by
    Student's factor; baseline and division are our own.
    """
    baseline_count = baseline_flights_count(len(measure))
    needed_count = BASELINE_MIN_COUNT + NEW_MIN_COUNT - len(measure)
    if needed_count > 0:
        return _too_early(needed_count, baseline_count, note=f"{len(measure)} flights so far")
    chart = _average_chart(measure, baseline_count)
    if not chart.high[-1] > chart.center:
        note = f"the first {baseline_count} flights are all alike: what is usual is not known"
        return _too_early(1, baseline_count, note=note)
    new_sigmas = measure.sigmas[baseline_count:]
    doubt = kernel.moving_average_sigma(new_sigmas, weight_factor=AVERAGE_WEIGHT_FACTOR)
    return DriftVerdict(
        word=_word(measure, chart),
        flights_needed_count=0,
        baseline_count=baseline_count,
        chart=chart,
        sigma=float(doubt[-1]),
        note=f"{chart.values.size} flights against the {baseline_count} before them",
    )


def smallest_change(verdict: DriftVerdict) -> float | None:
    """Lasting change since the baseline that would by now be named as often as not.

    In the measure's unit; None while it is too early to say. The average has moved by the
    fraction 1 - (1 - w)^t of a change that has lasted for t flights.
    """
    if verdict.chart is None:
        return None
    moved_fraction = 1.0 - (1.0 - AVERAGE_WEIGHT_FACTOR) ** verdict.chart.values.size
    return float(verdict.chart.high[-1] - verdict.chart.center) / moved_fraction


def drift_finding(measure: Measure, verdict: DriftVerdict) -> Finding:
    """The latest average against the limit on its worse side; unknown while it is too early.

    An average beyond the limit on the better side is improving, so it is inside.
    """
    if verdict.chart is None:
        count = verdict.flights_needed_count
        missing = f"{count} more flight{'' if count == 1 else 's'}"
        return unknown(_limit(measure, None), missing, note=f"{verdict.word}: {verdict.note}")
    change = smallest_change(verdict) or 0.0
    note = f"{verdict.word}: {verdict.note}"
    if verdict.word is DriftWord.HOLDING:
        note += f"; a lasting change of {change:.2g} {measure.unit} would show as often as not"
    return Finding(
        limit=_limit(measure, verdict.chart),
        value=float(verdict.chart.values[-1]),
        sigma=verdict.sigma,
        note=note,
    )


def _average_chart(measure: Measure, baseline_count: int) -> Chart:
    center, average, half = kernel.against_baseline(
        measure.values,
        measure.sigmas,
        baseline_count=baseline_count,
        weight_factor=AVERAGE_WEIGHT_FACTOR,
        width_factor=AVERAGE_WIDTH_FACTOR,
    )
    return Chart(values=average, center=float(center[0]), low=center - half, high=center + half)


def _word(measure: Measure, chart: Chart) -> DriftWord:
    if not chart.outside[-1]:
        return DriftWord.HOLDING
    is_smaller = chart.values[-1] < chart.center
    is_better = is_smaller == (measure.better == "smaller")
    return DriftWord.IMPROVING if is_better else DriftWord.SLIPPING


def _too_early(needed_count: int, baseline_count: int, *, note: str) -> DriftVerdict:
    return DriftVerdict(
        word=DriftWord.TOO_EARLY,
        flights_needed_count=needed_count,
        baseline_count=baseline_count,
        note=note,
    )


def _limit(measure: Measure, chart: Chart | None) -> Limit:
    low = high = target = None
    if chart is not None:
        target = chart.center
        low = float(chart.low[-1]) if measure.better == "larger" else None
        high = float(chart.high[-1]) if measure.better == "smaller" else None
    return Limit(
        key=f"drift.{measure.key}",
        label=f"{measure.label}, recent flights",
        unit=measure.unit,
        basis="own",
        source=_SOURCE,
        low=low,
        high=high,
        target=target,
    )
