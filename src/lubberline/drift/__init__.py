"""Over many flights: better, worse, or too early to say."""

from lubberline.drift.chart import Chart, ewma_chart, individuals_chart, moving_range_chart
from lubberline.drift.model import Better, DriftVerdict, DriftWord, Measure
from lubberline.drift.verdict import drift_finding, judge, smallest_change

__all__ = [
    "Better",
    "Chart",
    "DriftVerdict",
    "DriftWord",
    "Measure",
    "drift_finding",
    "ewma_chart",
    "individuals_chart",
    "judge",
    "moving_range_chart",
    "smallest_change",
]
