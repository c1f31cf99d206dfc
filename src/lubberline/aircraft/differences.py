"""Two airplanes side by side: what differs in the hand, the most dangerous confusion first.

The order is our own. A difference is a trap where the number or the habit of the old airplane,
carried into the new one, errs to the dangerous side: too slow over the threshold, too fast for
the flaps, more fuel believed than there is. Traps come first, then the rest; within each by
subject in the order of ``SUBJECTS``, then the greater share of change.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from operator import attrgetter
from typing import Any, Final, Literal, get_args

from lubberline.aircraft.model import Aircraft

Subject = Literal[
    "landing gear",
    "fuel tanks",
    "approach and stall",
    "engine out",
    "propeller and engine",
    "speed limits",
    "climb",
    "weights and limits",
    "fuel flow",
    "equipment",
]
SUBJECTS: Final[tuple[Subject, ...]] = get_args(Subject)


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that differs, in words with units. ``trap`` says what the old habit does.

    ``change_ratio`` is the change as a share of the old number; infinite where one side has
    no such thing.
    """

    subject: Subject
    label: str
    old: str
    new: str
    trap: str = ""
    change_ratio: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class _Number:
    """A number of the airplane, and on which side of the old one a new one is a trap."""

    subject: Subject
    label: str
    path: str
    unit: str
    trap_if: Literal["higher", "lower", "neither"]
    habit: str = ""


_Known = float  # the unit is data here, given beside it
_Value = float | None  # in the unit of its row, None where the file does not give it
_Row = tuple[str, str, str, Literal["higher", "lower", "neither"], str]
_ROWS: Final[dict[Subject, tuple[_Row, ...]]] = {
    "landing gear": (
        ("gear operating speed", "speeds.gear_operate_kt", "kt", "lower", "too fast"),
        ("gear extended speed", "speeds.gear_extended_kt", "kt", "lower", "too fast"),
    ),
    "approach and stall": (
        ("final approach", "speeds.final_kt", "kt", "higher", "too slow"),
        ("stall, flaps down", "speeds.stall_flaps_down_kt", "kt", "higher", "too slow"),
        ("stall, clean", "speeds.stall_clean_kt", "kt", "higher", "too slow"),
        ("rotate", "speeds.rotate_kt", "kt", "higher", "too slow"),
    ),
    "engine out": (
        ("best glide", "speeds.best_glide_kt", "kt", "higher", "too slow"),
        ("glide ratio", "glide_ratio", "", "lower", "too hopeful"),
    ),
    "propeller and engine": (("horsepower", "horsepower_hp", "hp", "neither", ""),),
    "speed limits": (
        ("flaps", "speeds.flaps_kt", "kt", "lower", "too fast"),
        ("maneuvering", "speeds.maneuvering_kt", "kt", "lower", "too fast"),
        ("normal operating", "speeds.normal_operating_kt", "kt", "lower", "too fast"),
        ("never exceed", "speeds.never_exceed_kt", "kt", "lower", "too fast"),
    ),
    "climb": (
        ("best angle", "speeds.best_angle_kt", "kt", "higher", "too slow"),
        ("best rate", "speeds.best_rate_kt", "kt", "higher", "too slow"),
        ("usual climb", "climb_ias_kt", "kt", "neither", ""),
        ("usual descent", "descent_ias_kt", "kt", "neither", ""),
    ),
    "weights and limits": (
        ("greatest take-off weight", "loading.max_takeoff_lb", "lb", "lower", "too heavy"),
        ("greatest landing weight", "loading.max_landing_lb", "lb", "lower", "too heavy"),
        ("empty weight", "loading.empty_lb", "lb", "higher", "too light in mind"),
        ("crosswind shown", "crosswind_shown_kt", "kt", "lower", "too much"),
        ("greatest tailwind", "tailwind_max_kt", "kt", "lower", "too much"),
        ("ceiling", "ceiling_ft", "ft", "lower", "too high"),
    ),
    "fuel flow": (
        ("climb flow", "climb_gph", "gph", "higher", "too little planned"),
        ("descent flow", "descent_gph", "gph", "higher", "too little planned"),
        ("start and taxi", "taxi_gal", "gal", "higher", "too little planned"),
    ),
}
_NUMBERS: Final = tuple(
    _Number(subject=subject, label=label, path=path, unit=unit, trap_if=trap_if, habit=habit)
    for subject, rows in _ROWS.items()
    for label, path, unit, trap_if, habit in rows
)


def differences(old: Aircraft, new: Aircraft) -> tuple[Difference, ...]:
    """What differs between the airplane flown last and the one to fly, worst first.

    What neither file gives is not compared; what one gives and the other does not is told.
    """
    found = [
        *_gear(old, new),
        *_tanks(old, new),
        *_propeller(old, new),
        *_numbers(old, new),
        *_stations(old, new),
        *_equipment(old, new),
    ]
    return tuple(sorted(found, key=_rank))


def _rank(one: Difference) -> tuple[bool, int, float, str]:
    return not one.trap, SUBJECTS.index(one.subject), -one.change_ratio, one.label


def _gear(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    if old.retractable != new.retractable:
        trap = "the gear must be put down" if new.retractable else ""
        yield _either("landing gear", "gear", old.retractable, new.retractable, "moves", trap)
    if old.tailwheel != new.tailwheel:
        trap = "it swings on the ground" if new.tailwheel else ""
        yield _either("landing gear", "tailwheel", old.tailwheel, new.tailwheel, "yes", trap)


def _tanks(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """Which tanks to select, and the fuel that can be used from each and from all."""
    sides = [{tank.name: tank.usable_gal for tank in one.loading.tanks} for one in (old, new)]
    if set(sides[0]) != set(sides[1]):
        names = [", ".join(side) for side in sides]
        trap = "other tanks to select"
        yield Difference(subject="fuel tanks", label="tanks", old=names[0], new=names[1], trap=trap)
    for name in sides[0].keys() & sides[1].keys():
        yield from _usable(f"usable, {name}", sides[0][name], sides[1][name])
    yield from _usable("usable, all tanks", sum(sides[0].values()), sum(sides[1].values()))


def _usable(label: str, old_gal: float, new_gal: float) -> Iterator[Difference]:
    row = _Number(
        subject="fuel tanks", label=label, path="", unit="gal", trap_if="lower", habit="too much"
    )
    yield from _compared(row, old_gal, new_gal)


def _propeller(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    before, now = old.controllable_propeller, new.controllable_propeller
    if before != now:
        trap = "power is set by two levers" if now else ""
        yield _either("propeller and engine", "propeller", before, now, "controllable", trap)
    if old.equipment.cooling != new.equipment.cooling:
        yield Difference(
            subject="propeller and engine",
            label="cooling",
            old=old.equipment.cooling,
            new=new.equipment.cooling,
        )


def _numbers(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    for row in _NUMBERS:
        get = attrgetter(row.path)
        yield from _compared(row, get(old), get(new))


def _stations(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """What stations of one name may carry."""
    sides = [{one.name: one.max_lb for one in plane.loading.stations} for plane in (old, new)]
    for name in (name for name in sides[0] if name in sides[1]):
        row = _Number(
            subject="weights and limits",
            label=f"load, {name}",
            path="",
            unit="lb",
            trap_if="lower",
            habit="too much",
        )
        yield from _compared(row, sides[0][name], sides[1][name])


def _equipment(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """What only one of them has on board; what it needs in the hand is in its manual."""
    before, now = old.equipment.fitted, new.equipment.fitted
    if before is None or now is None:
        if before is not now:
            words = ["not given" if one is None else f"{len(one)} things" for one in (before, now)]
            yield Difference(subject="equipment", label="on board", old=words[0], new=words[1])
        return
    for name in sorted({*before} ^ {*now}):
        words = ["fitted" if name in one else "not fitted" for one in (before, now)]
        yield Difference(subject="equipment", label=name, old=words[0], new=words[1])


def _compared(row: _Number, old: _Value, new: _Value) -> Iterator[Difference]:
    """The two numbers if they differ, with what the old one does in the new airplane."""
    if old == new:
        return
    trap, change_ratio = "", inf
    if old is not None and new is not None:
        change_ratio = abs(new - old) / abs(old) if old else inf
        if row.trap_if == ("higher" if new > old else "lower"):
            trap = f"by habit {_words(abs(new - old), row.unit)} {row.habit}"
    elif old is None and row.trap_if == "lower" and row.subject != "landing gear":
        trap = "a limit that the other file does not give"
    yield Difference(
        subject=row.subject,
        label=row.label,
        old=_side_words(row, old),
        new=_side_words(row, new),
        trap=trap,
        change_ratio=change_ratio,
    )


def _either(
    subject: Subject, label: str, old: bool | None, new: bool | None, word: str, trap: str
) -> Difference:
    names: dict[Any, str] = {True: word, False: f"not {word}" if word != "yes" else "no"}
    return Difference(
        subject=subject,
        label=label,
        old=names.get(old, "not given"),
        new=names.get(new, "not given"),
        trap=trap,
    )


def _side_words(row: _Number, number: _Value) -> str:
    """The number, or what its absence from the file means."""
    if number is None:
        return "none" if row.subject == "landing gear" else "not given"
    return _words(number, row.unit)


def _words(number: _Known, unit: str) -> str:
    return f"{round(number, 2):,.10g} {unit}".rstrip()
