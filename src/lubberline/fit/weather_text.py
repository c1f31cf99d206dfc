"""What of the pasted weather was not understood: it might say what no other finding knows."""

from collections.abc import Iterator
from typing import Final

from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown

MOST_PIECES: Final = 6  # own: what a finding can list


def weather_text_findings(plan: Plan) -> tuple[Finding, ...]:
    """One that is unknown and lists every piece that was left out; none if all was read."""
    pieces = list(_pieces(plan))
    if not pieces:
        return ()
    limit = Limit(
        key="flight.weather_text",
        label="weather text not understood",
        unit="pieces",
        high=0.0,
        tolerance=1.0,
        basis="own",
        source="own: every line of the weather text is read, or the pilot reads it",
    )
    more = len(pieces) - MOST_PIECES
    shown = "; ".join(pieces[:MOST_PIECES]) + (f"; and {more} more" if more > 0 else "")
    where = f"{len(pieces)} in {plan.flight.weather_file}"
    return (unknown(limit, f"your own eyes on {shown}", where=where),)


def _pieces(plan: Plan) -> Iterator[str]:
    """Lines that are no report, and groups of the reports and forecasts that are used."""
    yield from (str(piece) for piece in plan.weather.unread)
    for station in dict.fromkeys((plan.flight.departure_id, plan.flight.destination_id)):
        report = plan.weather.reports.get(station)
        forecast = plan.weather.forecasts.get(station)
        for name, groups in (
            ("METAR", report.undecoded if report is not None else ()),
            ("TAF", forecast.undecoded if forecast is not None else ()),
        ):
            yield from (f"{group!r} in the {name} of {station}" for group in groups)
