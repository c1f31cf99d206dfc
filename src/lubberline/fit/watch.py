"""Who looks for the flight and when, with everything that they and searchers need to know."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from lubberline.fit.setting import times_utc
from lubberline.fit.tanks import FuelPlan
from lubberline.flight import Beacon, Plan, Watch
from lubberline.line import Finding, Limit, unknown
from lubberline.ways import Way

OVERDUE_MIN: Final = 30.0  # AIM 5-1: a flight plan not closed by then starts a search (memory)
NOBODY: Final = "[watch] in flight.toml: who knows of the flight, phone, whom to call, and when"


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchNote:
    """What somebody on the ground holds in the hand; empty or None where it was not said."""

    who: str
    phone: str
    call: str
    overdue_utc: datetime
    call_sign: str
    type_name: str
    colors: str
    pilot: str
    persons_count: int | None
    departure_id: str
    destination_id: str
    alternate_ids: tuple[str, ...]
    way_name: str
    cruise_msl_ft: float
    over: tuple[str, ...]
    off_block_utc: datetime
    takeoff_utc: datetime
    landing_utc: datetime
    on_block_utc: datetime
    endurance_min: float | None
    dry_utc: datetime | None
    survival: tuple[str, ...]
    beacons: tuple[Beacon, ...] | None


def watch_note(plan: Plan, way: Way, fuel: FuelPlan) -> WatchNote | None:
    """The note of one way; None where nobody was named."""
    flight, watch = plan.flight, plan.flight.watch
    if watch is None:
        return None
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    endurance_min = fuel.endurance_min
    return WatchNote(
        who=watch.who,
        phone=watch.phone,
        call=watch.call,
        overdue_utc=overdue_utc(watch, on_block_utc),
        call_sign=plan.aircraft.call_sign,
        type_name=plan.aircraft.type_name,
        colors=plan.aircraft.colors,
        pilot=plan.pilot.name,
        persons_count=watch.persons_count,
        departure_id=flight.departure_id,
        destination_id=flight.destination_id,
        alternate_ids=flight.alternate_ids,
        way_name=way.name,
        cruise_msl_ft=way.cruise_msl_ft,
        over=tuple(name for name in way.point_names if name),
        off_block_utc=flight.off_block_utc,
        takeoff_utc=takeoff_utc,
        landing_utc=landing_utc,
        on_block_utc=on_block_utc,
        endurance_min=endurance_min,
        dry_utc=None if endurance_min is None else takeoff_utc + timedelta(minutes=endurance_min),
        survival=watch.survival,
        beacons=watch.beacons,
    )


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
