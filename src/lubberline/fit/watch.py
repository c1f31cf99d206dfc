"""Whether somebody looks for the flight, and from when."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Final

from lubberline.fit.setting import times_utc
from lubberline.flight import Beacon, Plan, Watch
from lubberline.line import Finding, Limit, unknown
from lubberline.ways import Way

OVERDUE_MIN: Final = 30.0  # AIM 5-1: a flight plan not closed by then starts a search (memory)
NOBODY: Final = "[watch] in flight.toml: who knows of the flight, phone, whom to call, and when"


def overdue_utc(watch: Watch, on_block_utc: datetime) -> datetime:
    """When it is overdue: as said, else so many minutes after the planned arrival."""
    if watch.overdue_utc is not None:
        return watch.overdue_utc
    after_min = OVERDUE_MIN if watch.overdue_min is None else watch.overdue_min
    return on_block_utc + timedelta(minutes=after_min)


def watch_findings(plan: Plan, way: Way, day: date) -> Iterator[Finding]:
    """Whether somebody knows, that the alarm follows the arrival, and that beacons serve."""
    watch, on_block_utc = plan.flight.watch, times_utc(plan, way)[2]
    limit = Limit(
        key="flight.watch",
        label="overdue after the planned arrival",
        unit="min",
        low=0.0,
        tolerance=30.0,
        basis="own",
        source="own: somebody knows of the flight and calls when it does not arrive",
    )
    if watch is None:
        yield unknown(limit, NOBODY, where="nobody knows of this flight")
        return
    at_utc = overdue_utc(watch, on_block_utc)
    yield Finding(
        limit=limit,
        value=(at_utc - on_block_utc) / timedelta(minutes=1),
        where=f"{watch.who}, {watch.phone}: overdue {at_utc:%d %H:%MZ}",
        note=f"then calls {watch.call}",
    )
    yield from (_beacon(n, one, day) for n, one in enumerate(watch.beacons or (), 1))


def _beacon(number: int, one: Beacon, day: date) -> Finding:
    limit = Limit(
        key=f"flight.beacon_{number}",
        label=f"{one.kind}, battery and registration",
        unit="wrong",
        high=0.0,
        target=0.0,
        tolerance=1.0,
        basis="own",
        source="own: a beacon that is aboard is registered and its battery in date",
    )
    coded = "406" in one.kind  # only those carry a code that can be registered
    wrong, missing = [], []
    if coded and one.registered is None:
        missing.append(f"registered of beacon {number} under [watch] in flight.toml")
    elif coded and not one.registered:
        wrong.append("not registered: a search starts without knowing for whom")
    if one.battery_until is None:
        missing.append(f"battery_until of beacon {number} under [watch] in flight.toml")
    elif one.battery_until < day:
        wrong.append(f"battery good until {one.battery_until} only")
    if missing and not wrong:
        return unknown(limit, " and ".join(missing))
    return Finding(limit=limit, value=float(len(wrong)), where=one.kind, note="; ".join(wrong))
