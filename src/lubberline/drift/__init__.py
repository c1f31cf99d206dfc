"""Over many flights: better, worse, or too early to say."""

from lubberline.drift.agreement import ChanceMarks, Kappa, chance_marks, kappa, marks_table
from lubberline.drift.change import Step, flights_to_know_count, step, steps
from lubberline.drift.chart import Chart, ewma_chart, individuals_chart, moving_range_chart
from lubberline.drift.conditions import Adjusted, Effect, in_usual_conditions
from lubberline.drift.cusum import LIMIT_SIGMA_FACTOR, SLACK_SIGMA_FACTOR, Sums, tabular_sums
from lubberline.drift.fading import Fading, Pooled, fading, pooled
from lubberline.drift.model import Better, DriftVerdict, DriftWord, Latest, Measure, Promise
from lubberline.drift.own_marks import (
    MarksStanding,
    OwnMarkRow,
    PhaseMarks,
    own_marks_standing,
)
from lubberline.drift.trend import Trend, trend
from lubberline.drift.verdict import (
    drift_finding,
    flights_to_show_count,
    judge,
    promise,
    smallest_change,
)

__all__ = [
    "LIMIT_SIGMA_FACTOR",
    "SLACK_SIGMA_FACTOR",
    "Adjusted",
    "Better",
    "ChanceMarks",
    "Chart",
    "DriftVerdict",
    "DriftWord",
    "Effect",
    "Fading",
    "Kappa",
    "Latest",
    "MarksStanding",
    "Measure",
    "OwnMarkRow",
    "PhaseMarks",
    "Pooled",
    "Promise",
    "Step",
    "Sums",
    "Trend",
    "chance_marks",
    "drift_finding",
    "ewma_chart",
    "fading",
    "flights_to_know_count",
    "flights_to_show_count",
    "in_usual_conditions",
    "individuals_chart",
    "judge",
    "kappa",
    "marks_table",
    "moving_range_chart",
    "own_marks_standing",
    "pooled",
    "promise",
    "smallest_change",
    "step",
    "steps",
    "tabular_sums",
    "trend",
]
