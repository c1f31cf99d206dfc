"""What each way says of itself beside its legs: price, arrival, heights, contacts, glide, sun.

Everything is worked out in ``ways`` and ``fit``; here it is put together with the times of the
flight, so that terminal, JSON and page tell the same.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from math import isfinite
from typing import Any, Final

from lubberline.fit import appointment_finding, draw, rules_of, settings, times_utc, trip_gal
from lubberline.line import Finding, Verdict, finding_record, worst_first
from lubberline.loop.planning import Prepared
from lubberline.places import Volume
from lubberline.ways import (
    Audible,
    Beyond,
    Demand,
    Encounter,
    Extremes,
    PowerStep,
    Price,
    Stretch,
    SunAhead,
    Way,
    WayDown,
    asked,
    audible_along,
    beyond_fields,
    beyond_land,
    extremes,
    handoffs,
    power_steps,
    price_of,
    problem_of,
    resting,
    speaker,
    stretches,
    sun_ahead,
    way_down,
)

_PAST_MIN: Final = 0.01  # so that the start down is told by the point ahead of it


@dataclass(frozen=True, slots=True, kw_only=True)
class WayAccount:
    """One way's account. ``price`` None: the flight file says nothing of money.

    ``appointment`` is the time in hand, with its chance, None where nobody waits. ``handoffs``
    are the facilities in the order in which they are spoken to. ``resting`` is what would have to
    be asked or kept clear of within its hours. ``sky`` is what the airspace asks
    of equipment and speed. ``down`` None: nowhere above pattern height. ``latest_down_min`` is
    how late one may still start down, ``down_where`` are both places, ``power`` each step.
    """

    number: int
    way: Way
    takeoff_utc: datetime
    on_block_utc: datetime
    price: Price | None
    appointment: Finding | None
    demands: tuple[Demand, ...]
    resting: tuple[Encounter, ...]
    stretches: tuple[Stretch, ...]
    heights: Extremes
    beyond_land: Beyond
    beyond_fields: Beyond
    heard: tuple[tuple[str, float, Audible], ...]
    sun: tuple[SunAhead, ...]
    handoffs: tuple[str, ...]
    sky: tuple[Finding, ...]
    down: WayDown | None
    latest_down_min: float | None
    down_where: tuple[str, ...]
    power: tuple[PowerStep, ...]

    @property
    def worst(self) -> Finding:
        """What is worst of the way and of what its airspace asks of the airplane."""
        asked = (one for one in self.sky if one.verdict is not Verdict.INSIDE)
        return worst_first([*self.way.findings, *asked])[0]

    def at_utc(self, after_min: float) -> datetime:
        """The time so many minutes after take-off."""
        return self.takeoff_utc + timedelta(minutes=after_min)


def way_account(prepared: Prepared, way: Way) -> WayAccount:
    """The account of one of a flight's ways."""
    plan = prepared.plan
    problem, talk = problem_of(plan, way), speaker(plan, way)
    along = talk.along
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    wanted_utc = plan.flight.arrive_by_utc
    down, power = way_down(way, plan.destination), plan.aircraft.power_down
    latest_min = down.latest_min(power.most_fpm if power else None) if down else None
    starts = (down.from_min, latest_min) if down and latest_min is not None else ()
    final = settings(plan, way)[1].end
    fields = tuple(one for one in plan.places.aerodromes.values() if one.runways and not one.kind)
    return WayAccount(
        number=prepared.ways.index(way) + 1,
        way=way,
        takeoff_utc=takeoff_utc,
        on_block_utc=on_block_utc,
        price=price_of(
            plan.flight.cost,
            block_min=(on_block_utc - plan.flight.off_block_utc) / timedelta(minutes=1),
            air_min=(landing_utc - takeoff_utc) / timedelta(minutes=1),
            fuel_gal=plan.aircraft.taxi_gal + trip_gal(plan, way),
        ),
        appointment=appointment_finding(plan, draw(plan, way), wanted_utc) if wanted_utc else None,
        demands=asked(talk),
        resting=resting(plan, way),
        stretches=stretches(problem, way),
        heights=extremes(problem, along),
        beyond_land=beyond_land(plan.aircraft, problem, along),
        beyond_fields=beyond_fields(plan.aircraft, problem, along, fields),
        heard=audible_along(talk),
        sun=sun_ahead(along, takeoff_utc, final=(final.name, final.true_deg)),
        handoffs=handoffs(talk),
        sky=tuple(rules_of(plan).sky_findings(plan, way)),
        down=down,
        latest_down_min=latest_min,
        down_where=tuple(along.words(at_min + _PAST_MIN) for at_min in starts),
        power=power_steps(way, down, power) if down and power else (),
    )


def hours_text(volume: Volume) -> str:
    """Hours as they are published; "" for a volume that keeps none."""
    return "" if volume.schedule is None else volume.schedule.text


def account_record(told: WayAccount) -> Mapping[str, Any]:
    """The account as plain values, for JSON; the way itself is told elsewhere."""
    price, appointment = told.price, told.appointment
    return {
        "number": told.number,
        "takeoff_utc": told.takeoff_utc,
        "on_block_utc": told.on_block_utc,
        "cost": None
        if price is None
        else {
            "currency": price.currency,
            "rental": None if price.rental is None else float(price.rental),
            "fuel": None if price.fuel is None else float(price.fuel),
            "total": float(price.total),
        },
        "appointment": None if appointment is None else finding_record(appointment),
        "asks": [_demand(told, one) for one in told.demands],
        "resting": [
            {"volume": one.volume.id, "name": one.volume.name, "hours": hours_text(one.volume)}
            for one in told.resting
        ],
        "heights": [asdict(one) for one in told.stretches],
        "extremes": asdict(told.heights),
        "beyond_land": asdict(told.beyond_land),
        "beyond_aerodromes": asdict(told.beyond_fields),
        "heard": [
            {"facility": facility, "frequency_mhz": mhz, **asdict(heard)}
            for facility, mhz, heard in told.heard
        ],
        "sun": [{**asdict(one), "in_eyes": one.in_eyes} for one in told.sun],
        "handoffs": list(told.handoffs),
        "equipment_and_speed": [finding_record(one) for one in told.sky],
        "way_down": None if told.down is None else asdict(told.down),
        "latest_down_min": told.latest_down_min,
        "down_where": list(told.down_where),
        "power": [asdict(one) for one in told.power],
    }


def _demand(told: WayAccount, one: Demand) -> dict[str, Any]:
    return {
        "volume": one.volume.id,
        "name": one.volume.name,
        "needs": one.needs,
        "permitted": one.permitted,
        "by_law": one.by_law,
        "room": one.room,
        "facility": one.facility,
        "frequency_mhz": one.frequency_mhz,
        "have_by": asdict(one.have_by),
        "have_by_utc": told.at_utc(one.have_by.after_min),
        "leave_min": one.leave_min if isfinite(one.leave_min) else None,
        "call_at": asdict(one.call_at) if one.call_at else None,
        "call_utc": told.at_utc(one.call_at.after_min) if one.call_at else None,
    }
