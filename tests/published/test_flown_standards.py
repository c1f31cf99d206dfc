"""Tolerances of the airman certification standards, as published, and their inclusive ends.

FAA-S-ACS-6C (private pilot, airplane) and FAA-S-ACS-7B (commercial pilot, airplane), November
2023. Each row: code, measure, lowest and highest permitted deviation. All rows were read in
stored transcriptions of the two documents; those of PA.III, PA.VII and PA.IX in one of the
earlier edition 6B, whose figures are unchanged in 6C from memory.
"""

from pathlib import Path

import pytest

from lubberline.flown import Standard, read_standard
from lubberline.flown.case import Measure, limit_for, measured
from lubberline.line import Verdict

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = [
    ("PA.III.B.S5", "pattern_height_ft", -100, 100),
    ("PA.III.B.S5", "pattern_airspeed_kt", -10, 10),
    ("PA.IV.A.S11", "climb_airspeed_kt", -5, 10),
    ("PA.IV.B.S7", "approach_airspeed_kt", -5, 10),
    ("PA.IV.B.S10", "touchdown_ft", 0, 400),
    ("PA.IV.F.S10", "short_field_touchdown_ft", 0, 200),
    ("PA.IV.N.S4", "go_around_airspeed_kt", -5, 10),
    ("PA.V.A.S5", "steep_turn_height_ft", -100, 100),
    ("PA.V.A.S5", "steep_turn_airspeed_kt", -10, 10),
    ("PA.V.A.S5", "steep_turn_bank_deg", -5, 5),
    ("PA.V.A.S5", "steep_turn_rollout_deg", -10, 10),
    ("PA.V.B.S7", "ground_reference_height_ft", -100, 100),
    ("PA.V.B.S7", "ground_reference_airspeed_kt", -10, 10),
    ("PA.VI.A.S5", "route_distance_nm", None, 3),
    ("PA.VI.A.S6", "checkpoint_time_min", -5, 5),
    ("PA.VI.A.S7", "cruise_height_ft", -200, 200),
    ("PA.VI.A.S7", "cruise_course_deg", -15, 15),
    ("PA.VI.C.S3", "diversion_height_ft", -200, 200),
    ("PA.VI.C.S3", "diversion_course_deg", -15, 15),
    ("PA.VII.A.S5", "slow_flight_height_ft", -100, 100),
    ("PA.VII.A.S5", "slow_flight_heading_deg", -10, 10),
    ("PA.VII.A.S5", "slow_flight_airspeed_kt", 0, 10),
    ("PA.IX.A.S4", "emergency_descent_airspeed_kt", -10, 0),
    ("PA.IX.B.S1", "best_glide_airspeed_kt", -10, 10),
]
COMMERCIAL = [
    ("CA.III.B.S5", "pattern_height_ft", -100, 100),
    ("CA.III.B.S5", "pattern_airspeed_kt", -10, 10),
    ("CA.IV.A.S11", "climb_airspeed_kt", -5, 5),
    ("CA.IV.B.S7", "approach_airspeed_kt", -5, 5),
    ("CA.IV.B.S10", "touchdown_ft", 0, 200),
    ("CA.IV.F.S10", "short_field_touchdown_ft", 0, 100),
    ("CA.IV.M.S8", "power_off_touchdown_ft", 0, 200),
    ("CA.IV.N.S4", "go_around_airspeed_kt", -5, 5),
    ("CA.V.A.S5", "steep_turn_height_ft", -100, 100),
    ("CA.V.A.S5", "steep_turn_airspeed_kt", -10, 10),
    ("CA.V.A.S5", "steep_turn_bank_deg", -5, 5),
    ("CA.V.A.S5", "steep_turn_rollout_deg", -10, 10),
    ("CA.V.D.S5", "lazy_eight_height_ft", -100, 100),
    ("CA.V.D.S5", "lazy_eight_airspeed_kt", -10, 10),
    ("CA.V.D.S5", "lazy_eight_heading_deg", -10, 10),
    ("CA.VI.A.S5", "route_distance_nm", None, 2),
    ("CA.VI.A.S6", "checkpoint_time_min", -3, 3),
    ("CA.VI.A.S7", "cruise_height_ft", -100, 100),
    ("CA.VI.A.S7", "cruise_course_deg", -10, 10),
    ("CA.VI.C.S3", "diversion_height_ft", -100, 100),
    ("CA.VI.C.S3", "diversion_course_deg", -10, 10),
    ("CA.VII.A.S5", "slow_flight_height_ft", -50, 50),
    ("CA.VII.A.S5", "slow_flight_heading_deg", -10, 10),
    ("CA.VII.A.S5", "slow_flight_airspeed_kt", 0, 5),
    ("CA.IX.A.S4", "emergency_descent_airspeed_kt", -10, 0),
    ("CA.IX.B.S1", "best_glide_airspeed_kt", -10, 10),
]
ROWS = [("private", *row) for row in PRIVATE] + [("commercial", *row) for row in COMMERCIAL]
# Deviations with the answer the documents give: one-sided windows and asymmetric bands.
EDGES = [
    ("commercial", "short_field_touchdown_ft", -1, Verdict.OUTSIDE),
    ("commercial", "short_field_touchdown_ft", 0, Verdict.INSIDE),
    ("commercial", "short_field_touchdown_ft", 100, Verdict.INSIDE),
    ("commercial", "short_field_touchdown_ft", 101, Verdict.OUTSIDE),
    ("private", "approach_airspeed_kt", 74 - 79, Verdict.INSIDE),
    ("private", "approach_airspeed_kt", 89 - 79, Verdict.INSIDE),
    ("private", "approach_airspeed_kt", 73 - 79, Verdict.OUTSIDE),
    ("private", "approach_airspeed_kt", 90 - 79, Verdict.OUTSIDE),
    ("private", "emergency_descent_airspeed_kt", 140 - 150, Verdict.INSIDE),
    ("private", "emergency_descent_airspeed_kt", 151 - 150, Verdict.OUTSIDE),
    ("commercial", "slow_flight_airspeed_kt", 65 - 60, Verdict.INSIDE),
    ("commercial", "slow_flight_airspeed_kt", 59 - 60, Verdict.OUTSIDE),
]


@pytest.fixture(scope="module")
def standards() -> dict[str, Standard]:
    names = ("private", "commercial")
    return {name: read_standard(STANDARDS / f"{name}.toml") for name in names}


def verdict(standard: Standard, name: str, value: float) -> Verdict:
    unit = {"ft": "ft", "kt": "kt", "deg": "deg", "nm": "NM", "min": "min"}[name.rsplit("_")[-1]]
    measure = Measure(name="any", label="any", unit=unit, tolerances=(name,))
    assert limit_for(measure, standard).unit == unit
    return measured(measure, standard, value, sigma=0.0).verdict


@pytest.mark.parametrize(("name", "code", "measure", "low", "high"), ROWS)
def test_a_tolerance_is_the_published_one(
    standards: dict[str, Standard],
    name: str,
    code: str,
    measure: str,
    low: float | None,
    high: float,
) -> None:
    tolerance = standards[name].tolerance(measure)
    assert tolerance is not None
    assert (tolerance.code, tolerance.low, tolerance.high) == (code, low, high)


@pytest.mark.parametrize(("name", "code", "measure", "low", "high"), ROWS)
def test_both_ends_of_a_published_tolerance_are_inside_and_a_step_beyond_is_not(
    standards: dict[str, Standard],
    name: str,
    code: str,
    measure: str,
    low: float | None,
    high: float,
) -> None:
    assert verdict(standards[name], measure, high) is Verdict.INSIDE, code
    assert verdict(standards[name], measure, high + 0.01) is Verdict.OUTSIDE, code
    if low is not None:
        assert verdict(standards[name], measure, low) is Verdict.INSIDE, code
        assert verdict(standards[name], measure, low - 0.01) is Verdict.OUTSIDE, code


def test_no_tolerance_is_in_the_files_that_is_not_in_these_rows(
    standards: dict[str, Standard],
) -> None:
    for name, rows in (("private", PRIVATE), ("commercial", COMMERCIAL)):
        assert set(standards[name].tolerances) == {measure for _, measure, _, _ in rows}


def test_the_documents_are_named(standards: dict[str, Standard]) -> None:
    assert standards["private"].document == "FAA-S-ACS-6C"
    assert standards["commercial"].document == "FAA-S-ACS-7B"


@pytest.mark.parametrize(("name", "measure", "off", "expected"), EDGES)
def test_windows_and_bands_are_as_lopsided_as_published(
    standards: dict[str, Standard], name: str, measure: str, off: float, expected: Verdict
) -> None:
    assert verdict(standards[name], measure, off) is expected
