"""Two airplanes side by side: what differs in the hand, the most dangerous confusion first.

The order is our own. A difference is a trap where the number or the habit of the old airplane,
carried into the new one, errs to the dangerous side: too slow over the threshold, too fast for
the flaps, more fuel believed than there is. Traps come first, then the rest; within each by
subject in the order of ``SUBJECTS``, then the greater share of change.
"""

from collections.abc import Iterator
from operator import attrgetter
from typing import Final, Literal

from lubberline.aircraft.difference import SUBJECTS, Difference, Number, Subject, compared, either
from lubberline.aircraft.model import Aircraft
from lubberline.aircraft.system_differences import system_differences

_Row = tuple[str, str, str, Literal["higher", "lower", "neither"], str]
_ROWS: Final[dict[Subject, tuple[_Row, ...]]] = {
    "landing gear": (
        ("gear operating speed", "speeds.gear_operate_kt", "kt", "lower", "too fast"),
        ("gear extended speed", "speeds.gear_extended_kt", "kt", "lower", "too fast"),
    ),
    "fuel tanks": (
        ("imbalance between tanks", "loading.imbalance_max_gal", "gal", "lower", "too much"),
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
    "propeller and engine": (
        ("horsepower", "horsepower_hp", "hp", "neither", ""),
        ("least oil", "oil.min_qt", "qt", "higher", "too little"),
        ("most oil", "oil.max_qt", "qt", "lower", "too much"),
    ),
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
        ("greatest zero fuel weight", "loading.max_zero_fuel_lb", "lb", "lower", "too heavy"),
        ("empty weight", "loading.empty_lb", "lb", "higher", "too light in mind"),
        ("crosswind shown", "crosswind_shown_kt", "kt", "lower", "too much"),
        ("greatest tailwind", "tailwind_max_kt", "kt", "lower", "too much"),
        ("ceiling", "ceiling_ft", "ft", "lower", "too high"),
    ),
    "fuel flow": (
        ("climb flow", "climb_gph", "gph", "higher", "too little planned"),
        ("descent flow", "descent_gph", "gph", "higher", "too little planned"),
        ("least fuel for take-off", "systems.fuel_min_gal", "gal", "higher", "too little"),
        ("start and taxi", "taxi_gal", "gal", "higher", "too little planned"),
    ),
}
_NUMBERS: Final = tuple(
    Number(subject=subject, label=label, path=path, unit=unit, trap_if=trap_if, habit=habit)
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
        *system_differences(old, new),
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
        yield either("landing gear", "gear", old.retractable, new.retractable, "moves", trap)
    ups_kt = [one.speeds.gear_retract_kt for one in (old, new)]
    if old.retractable and new.retractable and ups_kt != [None, None]:
        row = Number(
            subject="landing gear",
            label="gear up speed",
            path="",
            unit="kt",
            trap_if="lower",
            habit="too fast",
        )
        downs_kt = [one.speeds.gear_operate_kt for one in (old, new)]
        yield from compared(row, ups_kt[0] or downs_kt[0], ups_kt[1] or downs_kt[1])
    if old.tailwheel != new.tailwheel:
        trap = "it swings on the ground" if new.tailwheel else ""
        yield either("landing gear", "tailwheel", old.tailwheel, new.tailwheel, "yes", trap)


def _tanks(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """Which tanks to select, and the fuel that can be used from each and from all."""
    sides = [{tank.name: tank.usable_gal for tank in one.loading.tanks} for one in (old, new)]
    if set(sides[0]) != set(sides[1]):
        names = [", ".join(side) for side in sides]
        trap = "other tanks to select"
        yield Difference(subject="fuel tanks", label="tanks", old=names[0], new=names[1], trap=trap)
    orders = [", ".join(one.loading.burn_order) or "not given" for one in (old, new)]
    if orders[0] != orders[1]:
        trap = "emptied in an order" if new.loading.burn_order else ""
        yield Difference(
            subject="fuel tanks", label="order of tanks", old=orders[0], new=orders[1], trap=trap
        )
    for name in sides[0].keys() & sides[1].keys():
        yield from _usable(f"usable, {name}", sides[0][name], sides[1][name])
    yield from _usable("usable, all tanks", sum(sides[0].values()), sum(sides[1].values()))


def _usable(label: str, old_gal: float, new_gal: float) -> Iterator[Difference]:
    row = Number(
        subject="fuel tanks", label=label, path="", unit="gal", trap_if="lower", habit="too much"
    )
    yield from compared(row, old_gal, new_gal)


def _propeller(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    before, now = old.controllable_propeller, new.controllable_propeller
    if before != now:
        trap = "power is set by two levers" if now else ""
        yield either("propeller and engine", "propeller", before, now, "controllable", trap)
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
        yield from compared(row, get(old), get(new))


def _stations(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """What stations of one name may carry."""
    sides = [{one.name: one.max_lb for one in plane.loading.stations} for plane in (old, new)]
    for name in (name for name in sides[0] if name in sides[1]):
        row = Number(
            subject="weights and limits",
            label=f"load, {name}",
            path="",
            unit="lb",
            trap_if="lower",
            habit="too much",
        )
        yield from compared(row, sides[0][name], sides[1][name])


def _equipment(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """What only one of them has on board; what it needs in the hand is in its manual."""
    for name in sorted({*(new.equipment.required or ())} - {*(old.equipment.required or ())}):
        yield Difference(subject="equipment", label=name, old="not asked for", new="must work")
    before, now = old.equipment.fitted, new.equipment.fitted
    if before is None or now is None:
        if before is not now:
            words = ["not given" if one is None else f"{len(one)} things" for one in (before, now)]
            yield Difference(subject="equipment", label="on board", old=words[0], new=words[1])
        return
    for name in sorted({*before} ^ {*now}):
        words = ["fitted" if name in one else "not fitted" for one in (before, now)]
        yield Difference(subject="equipment", label=name, old=words[0], new=words[1])
