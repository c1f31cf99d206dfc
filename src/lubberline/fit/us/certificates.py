"""Do the pilot's ratings and endorsements cover this airplane [14CFR61.31]_.

A finding counts what is missing; what the pilot's file does not say is unknown.
"""

from collections.abc import Iterator
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.line import Finding, Limit, unknown
from lubberline.pilot import Pilot

LARGE_LB: Final = 12_500.0  # 61.31(a)(1), memory: more than this asks for a type rating
HIGH_PERFORMANCE_HP: Final = 200.0  # [14CFR61.31]_ (f): more than this; exactly this is not
WITHOUT_RATINGS: Final = {
    "student": "the solo endorsement in the logbook, 61.87 and 61.93 (memory)",
    "sport": "the logbook endorsement for this category and class, 61.317 (memory)",
    "recreational": "the limits of a recreational certificate, 61.101 (memory)",
}


def certificate_findings(aircraft: Aircraft, pilot: Pilot) -> tuple[Finding, ...]:
    """The rating, that for the type if it asks for one, then each endorsement that it asks for."""
    return (
        _rating(aircraft, pilot),
        *_type_rating(aircraft, pilot),
        *_endorsements(aircraft, pilot),
    )


def is_complex(aircraft: Aircraft) -> bool | None:
    """Whether it is a complex airplane [14CFR61.31]_ (e); None if its class decides.

    Every airplane described here has flaps. A seaplane needs no retractable gear to be complex
    (61.1, memory).
    """
    if not aircraft.controllable_propeller:
        return False
    if aircraft.retractable:
        return True
    if aircraft.category_class is None:
        return None
    return aircraft.category_class.endswith(" sea")


def is_high_performance(aircraft: Aircraft) -> bool:
    """Whether an engine has more than 200 hp [14CFR61.31]_ (f)."""
    return aircraft.horsepower_hp > HIGH_PERFORMANCE_HP


def lacking_limit(key: str, label: str, source: str) -> Limit:
    """The limit of everything that is counted while it is missing: none of it may be."""
    return Limit(
        key=key,
        label=label,
        unit="missing",
        high=0.0,
        target=0.0,
        tolerance=1.0,
        basis="law",
        source=source,
    )


def _rating(aircraft: Aircraft, pilot: Pilot) -> Finding:
    limit = lacking_limit(
        "pilot.rating", "rating for the airplane", "14 CFR 61.31(d), from memory, 2026-11-25"
    )
    asked = aircraft.category_class
    if asked is None:
        return unknown(limit, "category_class in the aircraft file")
    if pilot.certificate in WITHOUT_RATINGS:
        return unknown(limit, WITHOUT_RATINGS[pilot.certificate], note=f"{asked} is asked for")
    if pilot.ratings is None:
        return unknown(limit, "ratings in pilot.toml", note=f"{asked} is asked for")
    held = asked in pilot.ratings
    note = f"{asked} is {'held' if held else 'not among the ratings'}; section cited from memory"
    return Finding(limit=limit, value=float(not held), note=note)


def _type_rating(aircraft: Aircraft, pilot: Pilot) -> Iterator[Finding]:
    """That of a large airplane, or of another whose file says that it asks for one."""
    large = aircraft.loading.max_takeoff_lb > LARGE_LB
    if not large and not aircraft.type_rating:
        return
    limit = lacking_limit(
        "pilot.type_rating", "type rating", "14 CFR 61.31(a), from memory, 2026-11-25"
    )
    if not aircraft.type_rating:
        yield unknown(limit, "type_rating in the aircraft file", note="a large airplane")
    elif pilot.type_ratings is None:
        yield unknown(limit, "type_ratings in pilot.toml", note=f"{aircraft.type_rating} is asked")
    else:
        held = aircraft.type_rating in pilot.type_ratings
        yield Finding(limit=limit, value=float(not held), note=f"{aircraft.type_rating} is asked")


def _endorsements(aircraft: Aircraft, pilot: Pilot) -> Iterator[Finding]:
    rows: tuple[tuple[str, str, bool | None, str, str], ...] = (
        (
            *("complex", "(e), read 2026-11-25", is_complex(aircraft)),
            "retractable gear, flaps and controllable propeller",
            "category_class in the aircraft file",
        ),
        (
            *("high performance", "(f), read 2026-11-25", is_high_performance(aircraft)),
            f"{aircraft.horsepower_hp:g} hp is more than {HIGH_PERFORMANCE_HP:g} hp",
            "",
        ),
        (
            *("tailwheel", "(i), from memory, 2026-11-25", aircraft.tailwheel),
            "a tailwheel; section cited from memory",
            "tailwheel in the aircraft file",
        ),
    )
    for name, paragraph, applies, why, missing in rows:
        limit = lacking_limit(
            f"pilot.{name.replace(' ', '_')}",
            f"{name} endorsement",
            f"14 CFR 61.31{paragraph}",
        )
        if applies is None:
            yield unknown(limit, missing)
        elif applies:
            yield _endorsed(limit, name, pilot, why)


def _endorsed(limit: Limit, name: str, pilot: Pilot, why: str) -> Finding:
    """Whether it is on file; experience from before the rule stands for it, as the pilot says."""
    if pilot.endorsements is None:
        return unknown(limit, "endorsements in pilot.toml", note=why)
    held = name in pilot.endorsements
    return Finding(limit=limit, value=float(not held), note=why)
