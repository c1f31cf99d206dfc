"""Working code of ``lubberline learned``: numbers that flights have shown, and taking one."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from lubberline.cli.output import document, say, wrapped
from lubberline.errors import NoSolution, RangeError
from lubberline.loop.learned import Learned, all_shown, learn, shown_by_flights
from lubberline.loop.learned_files import InUse, Patch, in_use, patch_for, take
from lubberline.loop.learned_held_back import HeldBack, held_back


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A learned number with the place it would be taken into."""

    learned: Learned
    place: InUse | None

    @property
    def is_proposed(self) -> bool:
        """Whether the flights speak against what is used."""
        return self.place is not None and self.learned.differs_from(self.place.value)


def show_learned(
    home: Path, *, airplane: str | None, pilot: str | None, flight: Path | None, as_json: bool
) -> None:
    """Every number with its interval, what is used now, and how much better it would plan."""
    documents = []
    for who, call_sign in _pairs(home, airplane=airplane, pilot=pilot):
        shown = shown_by_flights(home, pilot=who, aircraft=call_sign)
        rows = [
            _Row(learned=one, place=in_use(home, one, call_sign=call_sign, flight=flight))
            for one in learn(shown.values())
        ]
        checks = held_back(home, shown)
        if as_json:
            documents.append(_record(who, call_sign, rows, checks))
        else:
            _show(home, who, call_sign, rows, checks)
    if as_json:
        document(learned=documents)


def take_number(
    home: Path, name: str, *, airplane: str | None, pilot: str | None, flight: Path | None
) -> None:
    """Write one learned number into its file, and show the line that changed."""
    pairs = _pairs(home, airplane=airplane, pilot=pilot)
    if len(pairs) > 1:
        listed = "; ".join(f"--airplane {one!r} --pilot {who!r}" for who, one in pairs)
        raise NoSolution(f"flights of several: say which with {listed}")
    who, call_sign = pairs[0]
    learned = learn(shown_by_flights(home, pilot=who, aircraft=call_sign).values())
    by_name = {one.number.name: one for one in learned if one.number.file}
    if name not in by_name:
        raise RangeError(f"--take is {name!r}; expected one of: {', '.join(by_name) or 'none yet'}")
    one = by_name[name]
    if one.flights_needed_count:
        raise NoSolution(
            f"{one.number.label}: {one.flight_count} flights show it;"
            f" {one.flights_needed_count} more and it can be taken"
        )
    place = in_use(home, one, call_sign=call_sign, flight=flight)
    if place is None:
        raise NoSolution(f"{one.number.label} stands in each flight's file: say --flight FOLDER")
    patch = patch_for(place, one.proposed)
    take(patch)
    say(f"TAKEN  {one.number.label} into {place.path}")
    _rows(patch)


def _pairs(home: Path, *, airplane: str | None, pilot: str | None) -> list[tuple[str, str]]:
    """Pilot and airplane of every flight, the latest first, narrowed by what was asked."""
    flights = reversed(all_shown(home))
    pairs = dict.fromkeys((one.pilot, one.aircraft) for one in flights)
    kept = [one for one in pairs if pilot in (None, one[0]) and airplane in (None, one[1])]
    if not kept:
        known = "; ".join(f"{one} flown by {who}" for who, one in pairs) or "no flights yet"
        raise NoSolution(f"no flight of that pilot in that airplane; there are: {known}")
    return kept


def _show(
    home: Path, who: str, call_sign: str, rows: list[_Row], checks: tuple[HeldBack, ...]
) -> None:
    say(f"LEARNED  {call_sign} flown by {who}")
    say(f"  {'number':33}{'in use':>9}{'flown':>9}  {'95 % interval':18}{'flights':>7}")
    for row in rows:
        one = row.learned
        used = "" if row.place is None else _value(one, row.place.value)
        known = one.low is not None
        between = f"{_value(one, one.low)} to {_value(one, one.high)}" if known else ""
        label = f"{one.number.label}, {one.number.unit}"
        say(f"  {label:33}{used:>9}{_value(one, one.value):>9}  {between:18}{one.flight_count:7}")
    say()
    _proposals(rows)
    for check in checks:
        before, after = check.values
        wrapped(
            f"On {check.flight_count} flights held back, {check.label} was missed by"
            f" {before:.2f} {check.unit} (rms) without the learned numbers and by {after:.2f}"
            f" {check.unit} with what the other flights show; nearer on {check.better_count}."
        )
    if not checks:
        wrapped("Too few flights with a pledge to say how much better the plan would be.")


def _proposals(rows: list[_Row]) -> None:
    """The patch of every number that the flights speak for."""
    proposed = [row for row in rows if row.is_proposed]
    if not proposed:
        wrapped("Nothing to take: no number in use lies outside what five flights or more show.")
    for row in proposed:
        assert row.place is not None
        patch = patch_for(row.place, row.learned.proposed)
        say(f"Proposed, if you take it: --take {row.learned.number.name}")
        say(f"  {patch.path.parent.name}/{patch.path.name}")
        _rows(patch)
    if any(row.place is None and row.learned.number.file == "flight" for row in rows):
        wrapped("Taxi times stand in each flight's file: --flight FOLDER holds them against it.")
    say()


def _rows(patch: Patch) -> None:
    for row in patch.rows():
        say(f"    {row}"[:80])


def _value(one: Learned, value: float | None) -> str:
    return "not set" if value is None else f"{value:.{max(one.number.digits_count, 0)}f}"


def _record(
    who: str, call_sign: str, rows: list[_Row], checks: tuple[HeldBack, ...]
) -> dict[str, Any]:
    return {
        "pilot": who,
        "airplane": call_sign,
        "numbers": [
            {
                **{name: getattr(row.learned.number, name) for name in ("name", "label", "unit")},
                "value": row.learned.value,
                "low": row.learned.low,
                "high": row.learned.high,
                "flight_count": row.learned.flight_count,
                "file": None if row.place is None else str(row.place.path),
                "key": row.learned.number.key,
                "in_use": None if row.place is None else row.place.value,
                "proposed": row.learned.proposed if row.is_proposed else None,
            }
            for row in rows
        ],
        "held_back": [asdict(check) for check in checks],
    }
