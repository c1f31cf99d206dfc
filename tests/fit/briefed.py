"""The starter's plan with further text in its weather file."""

from dataclasses import replace

from lubberline.flight import Plan
from lubberline.weather import read_briefing


def briefed(plan: Plan, text: str) -> Plan:
    """The plan with areas and notices of a text, and its own reports and winds."""
    spots = {"QWN": (41.2, -131.7), "QML": (41.2, -130.4), "QSD": (40.6, -131.0)}
    told = read_briefing(
        text, near_utc=plan.flight.off_block_utc, aloft=plan.weather.aloft, locate=spots.get
    )
    assert told.unread == ()
    return replace(plan, weather=replace(plan.weather, notices=told.notices, areas=told.areas))
