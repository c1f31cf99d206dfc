"""Is what must work on board and working, and may the rest stay as it is [14CFR91.213]_.

What does not work may stay so, on an airplane without an approved minimum equipment list, if
nothing asks for it on this flight and it was put out of use: the steps of 91.213(d). Each
step says in words what it came to; one that was not looked at leaves the finding unknown.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from lubberline.aircraft import Aircraft, Inoperative
from lubberline.fit.operation import Operation
from lubberline.fit.us.needed import Need, needs
from lubberline.line import Finding, Limit, unknown

READ: Final = "read 2026-11-25"
TRANSPONDER_CLASSES: Final = frozenset("ABC")  # [14CFR91.215]_ (b), [14CFR91.225]_ (a), (d)
TRANSPONDER_FROM_FT: Final = 10_000.0  # same: at and above, but for 2,500 ft over the ground
RADIO_CLASSES: Final = frozenset("ABCD")  # two-way radio: 91.129 and 91.130 read, 91.131 memory
BY_AIRSPACE: Final = {
    "transponder": "91.215(b)",
    "ADS-B Out": "91.225(a) and (d)",
    "radio": "91.129 to 91.131",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What a flight meets, as far as equipment asks: its day, light, use and airspace."""

    day: date
    night: bool
    operation: Operation
    classes: frozenset[str] = frozenset()
    top_msl_ft: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One step of the decision: met or not, None where ``missing`` would tell."""

    met: bool | None
    words: str
    missing: str = ""


def equipment_findings(aircraft: Aircraft, scene: Scene) -> tuple[Finding, ...]:
    """What must work, as one finding; then each thing that does not."""
    asked = needs(aircraft, night=scene.night, for_hire=scene.operation.for_hire)
    broken = [one for one in aircraft.equipment.inoperative if _is_broken(one, scene.day)]
    names = frozenset(one.name for one in broken)
    deferred = (_deferred(one, aircraft, asked, scene) for one in broken)
    return (_on_board(aircraft, asked, names, night=scene.night), *deferred)


def _is_broken(one: Inoperative, day: date) -> bool:
    return one.since is None or one.since <= day


def _on_board(
    aircraft: Aircraft, asked: tuple[Need, ...], broken: frozenset[str], *, night: bool
) -> Finding:
    """How many things that must work do not, or are not fitted."""
    equipment = aircraft.equipment
    light = "night" if night else "day"
    limit = _limit(
        "airplane.equipment",
        f"equipment asked for by {light}",
        f"14 CFR 91.205(b){' and (c)' if night else ''}, edition of 2014, {READ};"
        f" required list of {aircraft.manual}",
        unit="missing",
    )
    if equipment.fitted is None:
        return unknown(limit, "equipment.fitted in the aircraft file")
    working = frozenset(equipment.fitted) - broken
    own = own_list(aircraft, night=night) or ()
    lacking = [f"{need.name} ({need.source})" for need in asked if _lacks(need, working)]
    lacking += [f"{name} (own list)" for name in own if name not in working]
    doubts = {n.missing: None for n in asked if n.applies is None and n.name not in working}
    if equipment.required is None:
        doubts["equipment.required in the aircraft file; [] if the manual has no such list"] = None
    absent = [need for need in asked if need.name not in working and need.note]
    note = "; ".join([*lacking, *(f"{need.name}: {need.note}" for need in absent)])
    if not lacking and doubts:
        return unknown(limit, " and ".join(doubts), note=note)
    return Finding(limit=limit, value=float(len(lacking)), note=note)


def own_list(aircraft: Aircraft, *, night: bool) -> tuple[str, ...] | None:
    """The airplane's own required list for the light; None where it is not on file."""
    equipment = aircraft.equipment
    if equipment.required is None:
        return None
    return (*equipment.required, *(equipment.required_night if night else ()))


def _lacks(need: Need, working: frozenset[str]) -> bool:
    return need.applies is True and need.name not in working


def _deferred(
    one: Inoperative, aircraft: Aircraft, asked: tuple[Need, ...], scene: Scene
) -> Finding:
    """How many steps of the decision are not met, with all of them in words."""
    limit = _limit(
        f"airplane.inoperative.{one.name.replace(' ', '-')}",
        f"{one.name}, inoperative",
        f"14 CFR 91.213(d), {READ}",
        unit="open",
    )
    if aircraft.equipment.has_list:
        entry = "what the approved minimum equipment list says of it, 91.213(a)"
        return unknown(limit, entry, note="91.213(d) serves only an airplane without such a list")
    steps = [*_not_required(one, aircraft, asked, scene), *_put_out_of_use(one), _no_hazard(one)]
    note = "; ".join(step.words for step in steps if step.words)
    open_count = sum(step.met is False for step in steps)
    missing = [step.missing for step in steps if step.met is None]
    if not open_count and missing:
        return unknown(limit, "; ".join(missing), note=note)
    return Finding(limit=limit, value=float(open_count), note=note)


def _not_required(
    one: Inoperative, aircraft: Aircraft, asked: tuple[Need, ...], scene: Scene
) -> Iterator[_Step]:
    """91.213(d)(2): nothing asks for it on this flight."""
    yield _said(one, "type_certificate", "type certification for day VFR")
    own = own_list(aircraft, night=scene.night)
    if own is None:
        yield _Step(met=None, words="", missing="equipment.required in the aircraft file")
    else:
        listed = one.name in own
        words = f"{'on' if listed else 'not on'} the airplane's own required list"
        yield _Step(met=not listed, words=words)
    yield _by_91_205(one, asked, night=scene.night)
    yield _by_airspace(one, scene)
    yield _said(one, "directive", "directive")


def _said(one: Inoperative, key: str, what: str) -> _Step:
    """A step that only the documents of the airplane can tell."""
    asks: bool | None = getattr(one, key)
    if asks is None:
        missing = f"{key} of equipment.inoperative {one.name!r}: whether a {what} asks for it"
        return _Step(met=None, words="", missing=missing)
    return _Step(met=not asks, words=f"{'a' if asks else 'no'} {what} asks for it")


def _by_91_205(one: Inoperative, asked: tuple[Need, ...], *, night: bool) -> _Step:
    light = "night" if night else "day"
    need = next((need for need in asked if need.name == one.name), None)
    if need is None:
        return _Step(met=True, words=f"91.205 does not ask for it by {light}")
    if need.applies is None:
        return _Step(met=None, words="", missing=need.missing)
    extra = f" ({need.note})" if need.note else ""
    if one.name == "anticollision lights":
        extra = " (after a failure in flight it may go on to where they can be repaired)"
    return _Step(met=False, words=f"{need.source} asks for it by {light}{extra}")


def _by_airspace(one: Inoperative, scene: Scene) -> _Step:
    """Other rules of part 91; what the airspace asks for is not settled by a statement."""
    section = BY_AIRSPACE.get(one.name, "")
    asked = _asked_in(one.name, scene)
    if asked:
        return _Step(met=False, words=f"{section} asks for it {asked}")
    if one.other_rule is not None:
        words = f"{'another' if one.other_rule else 'no other'} rule asks for it, as stated"
        return _Step(met=not one.other_rule, words=words)
    if not section:
        return _Step(met=True, words="no rule on airspace asks for it")
    missing = f"other_rule of equipment.inoperative {one.name!r}: {section} along this way"
    return _Step(met=None, words="", missing=missing)


def _asked_in(name: str, scene: Scene) -> str:
    """Where on the flight a rule on airspace asks for it; empty if in no class that is known."""
    if name not in BY_AIRSPACE:
        return ""
    there = sorted(scene.classes & (RADIO_CLASSES if name == "radio" else TRANSPONDER_CLASSES))
    if there:
        return f"in class {', '.join(there)}"
    high = name != "radio" and scene.top_msl_ft >= TRANSPONDER_FROM_FT
    return "from 10,000 ft" if high else ""


def _put_out_of_use(one: Inoperative) -> Iterator[_Step]:
    """91.213(d)(3): removed, placarded and recorded; or deactivated and placarded."""
    place = f"of equipment.inoperative {one.name!r}"
    if not one.removed:
        yield _state(one.deactivated, "deactivated", f"deactivated {place}")
    yield _state(one.placarded, "placarded", f"placarded {place}")
    if one.removed or one.took_maintenance:
        why = "removed" if one.removed else "deactivating it took maintenance"
        words = f"{why}, recorded in {one.recorded}" if one.recorded else f"{why}, not recorded"
        yield _Step(met=bool(one.recorded), words=words)
    elif one.took_maintenance is None:
        missing = f"took_maintenance {place}: whether deactivating it did"
        yield _Step(met=None, words="", missing=missing)


def _state(said: bool | None, word: str, missing: str) -> _Step:
    if said is None:
        return _Step(met=None, words="", missing=missing)
    return _Step(met=said, words=word if said else f"not {word}")


def _no_hazard(one: Inoperative) -> _Step:
    """91.213(d)(4): a pilot or a mechanic finds that it is no hazard."""
    if not one.no_hazard_by:
        missing = f"no_hazard_by of equipment.inoperative {one.name!r}: the pilot, or a mechanic"
        return _Step(met=None, words="", missing=missing)
    return _Step(met=True, words=f"no hazard, found by {one.no_hazard_by}")


def _limit(key: str, label: str, source: str, *, unit: str) -> Limit:
    return Limit(
        key=key,
        label=label,
        unit=unit,
        high=0.0,
        target=0.0,
        tolerance=1.0,
        basis="law",
        source=source,
    )
