"""The watch note: what a person on the ground needs, to miss a flight and to have it looked for.

Written for someone who does not fly: no abbreviations, times with their day, and the words to
say on the telephone. The table of who watches tells as plainly what each does not give.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from lubberline.card.printing import compiled
from lubberline.errors import NoSolution
from lubberline.fit import fuel_plan, overdue_utc, rules_of, times_utc
from lubberline.flight import Beacon, Plan, Watch
from lubberline.ways import Way
from lubberline.wording import CAUTION

TEMPLATE: Final = Path(__file__).with_name("watch_note.typ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A label with its text."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Watcher:
    """One thing that watches over a flight: what it gives when what fails, and the gap left."""

    what: str
    gives: str
    radio_fails: str
    engine_fails: str
    pilot_fails: str
    gap: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchNote:
    """The whole note in words. ``overdue_utc`` is the moment from which to act."""

    title: str
    for_whom: str
    overdue_utc: datetime
    overdue: str
    steps: tuple[str, ...]
    say: str
    facts: tuple[Row, ...]
    route: tuple[Row, ...]
    watchers: tuple[Watcher, ...]
    caution: str = CAUTION

    def text(self) -> str:
        """The note as plain text for a message."""
        lines = [self.title, "", f"For {self.for_whom}.", "", self.overdue]
        lines += [f"  {number}. {step}" for number, step in enumerate(self.steps, 1)]
        lines += ["", "Say:", f"  {self.say}", "", "The flight"]
        lines += [f"  {row.label}: {row.text}" for row in self.facts]
        lines += ["", "Where it should be (UTC)"]
        lines += [f"  {row.label}: {row.text}" for row in self.route]
        lines += ["", "What watches over this flight"]
        for one in self.watchers:
            lines += [f"  {one.what}: {one.gives}"]
            lines += [f"    if the radio fails: {one.radio_fails}"]
            lines += [f"    if the engine fails: {one.engine_fails}"]
            lines += [f"    if the pilot fails: {one.pilot_fails}", f"    gap: {one.gap}"]
        return "\n".join([*lines, "", self.caution, ""])


def watch_note(plan: Plan, way: Way) -> WatchNote:
    """The note of one way.

    Raises
    ------
    NoSolution
        If the flight names nobody who watches.
    """
    watch = plan.flight.watch
    if watch is None:
        raise NoSolution(
            "flight.toml names nobody who watches; add [watch] with who, phone and call"
        )
    on_block_utc = times_utc(plan, way)[2]
    overdue = overdue_utc(watch, on_block_utc)
    airplane = f"{plan.aircraft.call_sign}, {plan.aircraft.type_name}"
    when = _moment(overdue, watch)
    return WatchNote(
        title=f"WATCH NOTE  {plan.flight.title}, {plan.flight.off_block_utc:%d %B %Y}",
        for_whom=f"{watch.who} ({watch.phone})",
        overdue_utc=overdue,
        overdue=f"If you have not heard from the pilot by {when}:",
        steps=(
            "Call the pilot's telephone; then the field of arrival, if you have its number.",
            f"Nothing within ten minutes: call {watch.call}.",
            "Say what stands below. Keep this note and your telephone with you.",
            "When the pilot turns up, call the same number again and say so.",
        ),
        say=(
            f"The airplane {airplane} is overdue. It left {plan.departure.name}"
            f" ({plan.departure.id}) for {plan.destination.name} ({plan.destination.id}) and was"
            f" expected there at {_moment(on_block_utc, watch)}."
            f" {_aboard(watch)} aboard. The pilot is {plan.pilot.name}."
        ),
        facts=tuple(_facts(plan, way, watch)),
        route=tuple(_route(plan, way)),
        watchers=tuple(_watchers(watch, when)),
    )


def watch_note_pdf(note: WatchNote) -> bytes:
    """The note on one sheet of paper."""
    record: dict[str, Any] = asdict(note)
    del record["overdue_utc"]  # stands in the words
    return compiled(record, "pdf", TEMPLATE)[0]


def _facts(plan: Plan, way: Way, watch: Watch) -> Iterator[Row]:
    yield Row(label="pilot", text=plan.pilot.name)
    yield Row(label="airplane", text=f"{plan.aircraft.call_sign}, {plan.aircraft.type_name}")
    yield Row(label="colors", text=plan.aircraft.colors or "not on file")
    yield Row(label="aboard", text=_aboard(watch))
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    yield Row(
        label="leaves", text=f"{plan.departure.name}, takes off {_moment(takeoff_utc, watch)}"
    )
    yield Row(label="arrives", text=f"{plan.destination.name}, lands {_moment(landing_utc, watch)}")
    fuel_min = fuel_plan(plan, way, rules_of(plan)).endurance_min
    lasts = "not known" if fuel_min is None else f"for {_hours(fuel_min)} from take-off"
    yield Row(label="fuel", text=lasts)
    yield Row(label="on the way", text=way.name)
    yield Row(label="survival", text=", ".join(watch.survival) or "none named")
    yield Row(label="beacon", text=_beacons_text(watch.beacons))


def _route(plan: Plan, way: Way) -> Iterator[Row]:
    takeoff_utc = times_utc(plan, way)[0]
    for name, (lat_deg, lon_deg, msl_ft, at_min) in zip(way.point_names, way.path, strict=True):
        if name:
            over_utc = takeoff_utc + timedelta(minutes=float(at_min), seconds=30)
            place = f"{_angle(lat_deg, 'NS')} {_angle(lon_deg, 'EW')}"
            yield Row(label=name, text=f"{over_utc:%H:%M}, {place}, {round(msl_ft, -2):,.0f} ft")


def _watchers(watch: Watch, when: str) -> Iterator[Watcher]:
    """What is known of each. Nothing here says that it was arranged."""
    yield Watcher(
        what="radar service (flight following), if you ask for it and it is granted",
        gives="somebody who hears you and sees where you are",
        radio_fails="sees you while the transponder works",
        engine_fails="knows the place at once, if you can say one word",
        pilot_fails="may notice that nobody answers",
        gap="not where radar does not reach; it may be ended at any time",
    )
    yield Watcher(
        what="filed flight plan, if you open it",
        gives="a search that starts by itself when the plan is not closed",
        radio_fails="the same",
        engine_fails="the same, but late: nobody knows where",
        pilot_fails="the same, but late",
        gap="nothing until it is overdue; nobody follows where you are",
    )
    for beacon in watch.beacons or ():
        yield _beacon(beacon)
    if watch.beacons == ():
        yield Watcher(
            what="no beacon",
            gives="nothing",
            radio_fails="nothing",
            engine_fails="nothing",
            pilot_fails="nothing",
            gap="after a landing anywhere but on a field you are looked for by eye",
        )
    yield Watcher(
        what=f"this note, with {watch.who}",
        gives=f"a call for help at {when}",
        radio_fails="the same: silence alone is no alarm before then",
        engine_fails="the same, but late",
        pilot_fails="the same, but late",
        gap="depends on one person with a telephone who is awake then",
    )


def _beacon(beacon: Beacon) -> Watcher:
    seen = beacon.kind != "ELT 121.5 MHz"
    unknown_owner = "; it is not registered: nobody knows whose it is"
    unregistered = unknown_owner if beacon.registered is False else ""
    gap = "a hard landing must trip it, or a hand; water and fire may silence it"
    if beacon.kind.startswith("personal"):
        gap = "a hand must switch it on"
    if not seen:
        gap = "no satellite hears it; only receivers nearby do"
    battery = f"; battery good until {beacon.battery_until}" if beacon.battery_until else ""
    return Watcher(
        what=f"beacon, {beacon.kind}{battery}",
        gives="your place by satellite, within minutes to hours" if seen else "a tone to home on",
        radio_fails="nothing while you fly",
        engine_fails="after the landing",
        pilot_fails="after the impact, if it survives" if seen else "a tone, if it survives",
        gap=gap + unregistered,
    )


def _beacons_text(beacons: tuple[Beacon, ...] | None) -> str:
    if beacons is None:
        return "not on file"
    said = {True: "registered", False: "NOT registered", None: "registration not on file"}
    texts = [
        f"{one.kind}, {said[one.registered]}"
        + (f", battery until {one.battery_until}" if one.battery_until else "")
        for one in beacons
    ]
    return "; ".join(texts) or "none"


def _aboard(watch: Watch) -> str:
    count = watch.persons_count
    if count is None:
        return "An unknown number of persons"
    return "One person" if count == 1 else f"{count} persons"


def _moment(when_utc: datetime, watch: Watch) -> str:
    """To the minute, with the day, since a watch may run past midnight."""
    when_utc += timedelta(seconds=30)
    if not watch.zone:
        return f"{when_utc:%H:%M UTC on %d %B}"
    return f"{when_utc.astimezone(ZoneInfo(watch.zone)):%H:%M on %d %B} ({when_utc:%H:%M} UTC)"


def _hours(long_min: float) -> str:
    hours, left_min = divmod(int(long_min), 60)
    return f"{hours} h {left_min:02d} min"


def _angle(angle_deg: float, signs: str) -> str:
    whole, tenths = divmod(round(abs(angle_deg) * 600.0), 600)
    return f"{whole}°{tenths / 10.0:04.1f}'{signs[1] if angle_deg < 0.0 else signs[0]}"
