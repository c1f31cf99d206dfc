"""The drift chart: each flight's value, and the average that is held against its limits."""

from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.drift import Chart, DriftVerdict, Measure, individuals_chart
from lubberline.page.figure import Figure, axis, figure, numbers

FEWEST_COUNT: Final = 3  # own: two flights have one difference, which is no scatter


def drift_picture(measure: Measure, verdict: DriftVerdict) -> Figure:
    """Values in order with their doubt; the chart's line and limits once there are any."""
    flights = np.arange(1, len(measure) + 1, dtype=np.float64)
    traces: list[dict[str, Any]] = [
        {
            "type": "scatter",
            "mode": "markers",
            "x": numbers(flights, 0),
            "y": numbers(measure.values),
            "error_y": {"type": "data", "array": numbers(2.0 * measure.sigmas), "width": 3},
            "marker": {"size": 9, "color": "#0072b2"},
            "name": "flights, with twice their doubt",
            "text": list(measure.titles),
            "hovertemplate": "%{text}: %{y:.0f}<extra></extra>",
        }
    ]
    if len(measure) >= FEWEST_COUNT:
        single = individuals_chart(measure.values)
        traces += _limits(flights, single, average=False)
    if verdict.chart is not None:
        traces += _limits(flights[-verdict.chart.values.size :], verdict.chart, average=True)
    return figure(
        "drift",
        f"{measure.label}, {measure.unit}, with its doubt",
        f"{measure.label} over {len(measure)} flights: {verdict.word}",
        traces=traces,
        layout={
            "xaxis": axis("flight", dtick=1),
            "yaxis": axis(measure.unit),
            "showlegend": True,
            "legend": {"orientation": "h", "y": -0.25},
        },
        height_px=320,
    )


def _limits(flight_index: FloatArray, chart: Chart, *, average: bool) -> list[dict[str, Any]]:
    """A chart's limits, dotted for single flights, dashed for the average, which is drawn."""
    dash = "dash" if average else "dot"
    what = "average" if average else "single flight"
    line = {"color": "#888888", "dash": dash, "width": 1.5}
    rows: list[tuple[FloatArray, str, dict[str, Any]]] = [
        (chart.high, f"upper limit, {what}", line),
        (chart.low, f"lower limit, {what}", line),
    ]
    if average:
        rows.append((chart.values, "average", {"color": "#d55e00", "width": 2}))
    return [
        {
            "type": "scatter",
            "mode": "lines",
            "x": numbers(flight_index, 0),
            "y": numbers(np.broadcast_to(column, flight_index.shape)),
            "name": name,
            "line": line,
        }
        for column, name, line in rows
    ]
