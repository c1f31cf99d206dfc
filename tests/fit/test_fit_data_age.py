"""Published data hold between their dates; what has no dates, or a rival, is unknown."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from lubberline.fit import check_fit
from lubberline.fit.data_age import TIMELESS, data_age
from lubberline.line import Verdict
from lubberline.loop import Prepared
from lubberline.places import Conflict, Source

OFF_UTC = datetime(2026, 11, 25, 21, 0, tzinfo=UTC)
ON_UTC = OFF_UTC + timedelta(hours=1)


def source(from_days: float | None, until_days: float | None, name: str = "NASR.zip") -> Source:
    """Dates counted from off block and from on block."""
    return Source(
        name=name,
        form="NASR CSV",
        sha256="",
        valid_from_utc=None if from_days is None else OFF_UTC + timedelta(days=from_days),
        valid_until_utc=None if until_days is None else ON_UTC + timedelta(days=until_days),
    )


@pytest.mark.parametrize(
    ("from_days", "until_days", "value", "verdict"),
    [
        (-20.0, 8.0, 8.0, Verdict.INSIDE),
        (-5.0, 23.0, 5.0, Verdict.INSIDE),
        (-27.0, 1.0, 1.0, Verdict.CLOSE),
        (-28.0, 0.0, 0.0, Verdict.CLOSE),
        (-30.0, -2.0, -2.0, Verdict.OUTSIDE),
        (3.0, 31.0, -3.0, Verdict.OUTSIDE),
        (None, 8.0, 8.0, Verdict.INSIDE),
        (-20.0, None, None, Verdict.UNKNOWN),
        (None, None, None, Verdict.UNKNOWN),
    ],
)
def test_days_in_hand_at_the_nearer_end(
    from_days: float | None, until_days: float | None, value: float | None, verdict: Verdict
) -> None:
    found = data_age(source(from_days, until_days), OFF_UTC, ON_UTC, name="nasr_zip")
    assert found.value == (None if value is None else pytest.approx(value))
    assert found.verdict is verdict


def test_what_would_tell_is_named() -> None:
    found = data_age(source(None, None), OFF_UTC, ON_UTC, name="nasr_zip")
    assert found.missing == "the day until which NASR.zip holds: NASR CSV does not say"


def keys(prepared: Prepared, **changed: object) -> dict[str, str]:
    """Key and missing text of the findings on data, with other places."""
    plan = prepared.plan
    plan = replace(plan, places=replace(plan.places, **changed))  # type: ignore[arg-type]
    found = check_fit(plan, prepared.way)
    return {one.limit.key: one.missing for one in found if ".data_" in one.limit.key}


def test_each_data_set_has_its_own_finding_and_without_any_there_is_none(
    prepared: Prepared,
) -> None:
    assert keys(prepared) == {}
    timeless = (replace(source(None, None), form=form) for form in TIMELESS)
    dof = source(-1.0, 27.0, "DOF 261108.dat")
    sets = (source(-1.0, 27.0), source(-1.0, 27.0), dof, *timeless)
    assert list(keys(prepared, datasets=sets)) == [
        "flight.data_age_nasr_zip",
        "flight.data_age_nasr_zip_2",
        "flight.data_age_dof_261108_dat",
    ]


def test_only_conflicts_about_this_flight_are_told(prepared: Prepared) -> None:
    ids = (prepared.plan.destination.id, "QFAR", prepared.way.entered[0].id)
    conflicts = tuple(
        Conflict(kind="aerodrome", id=id_, used="a", other="b", differs=("elevation 1 ft, not 2",))
        for id_ in ids
    )
    (missing,) = keys(prepared, conflicts=conflicts).values()
    assert [id_ in missing for id_ in ids] == [True, False, True]
    assert "elevation 1 ft, not 2 (used: a, not b)" in missing
