"""Tolerances of the airman certification standards, as published, and their inclusive ends.

FAA-S-ACS-6C (private pilot, airplane), FAA-S-ACS-7B (commercial pilot, airplane) and
FAA-S-ACS-25 (flight instructor), November 2023. Each row: code, measure, lowest and highest
permitted deviation. The rows were read in stored transcriptions or images of the documents;
those of PA.III, PA.VII and PA.IX in one of the earlier edition 6B, whose figures are unchanged
in 6C from memory. Where a code is a range or a task alone, no copy said which line it is.
"""

from pathlib import Path

import pytest

from lubberline.flown import Standard, read_standard
from lubberline.flown.case import Measure, limit_for, measured
from lubberline.line import Verdict

STEEP_TURN = ("height_ft", "airspeed_kt", "bank_deg", "rollout_deg")
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
    ("PA.IX.A.S5", "emergency_descent_airspeed_kt", -10, 0),
    ("PA.IX.A.S4", "emergency_descent_bank_deg", 0, 15),
    ("PA.IX.A.S5", "emergency_descent_height_ft", -100, 100),
    ("PA.IX.B.S1", "best_glide_airspeed_kt", -10, 10),
    ("PA.VII.A.S5", "slow_flight_bank_deg", -10, 10),
    ("PA.VII.A.S2", "slow_flight_floor_ft", 0, None),
    ("PA.VII.B.S6", "power_off_stall_heading_deg", -10, 10),
    ("PA.VII.B.S6", "power_off_stall_bank_deg", None, 10),
    ("PA.VII.B", "power_off_stall_floor_ft", 0, None),
    ("PA.VII.C.S6", "power_on_stall_heading_deg", -10, 10),
    ("PA.VII.C.S6", "power_on_stall_bank_deg", None, 10),
    ("PA.V.B.S3", "ground_reference_floor_ft", 0, None),
    ("PA.V.B.S3", "ground_reference_ceiling_ft", None, 0),
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
    ("CA.V.E.S5", "eights_on_pylons_bank_deg", None, 0),
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
    ("CA.IX.A.S5", "emergency_descent_airspeed_kt", -10, 0),
    ("CA.IX.A.S4", "emergency_descent_bank_deg", 0, 15),
    ("CA.IX.A.S5", "emergency_descent_height_ft", -100, 100),
    ("CA.IX.B.S1", "best_glide_airspeed_kt", -10, 10),
    ("CA.V.B.S2 to S6", "steep_spiral_airspeed_kt", -10, 10),
    ("CA.V.B.S2 to S6", "steep_spiral_bank_deg", None, 0),
    ("CA.V.B.S2 to S6", "steep_spiral_rollout_deg", -10, 10),
    ("CA.V.B.S2 to S6", "steep_spiral_floor_ft", 0, None),
    ("CA.V.C.S2, S4, S7", "chandelle_rollout_deg", -10, 10),
    ("CA.V.C.S2, S4, S7", "chandelle_floor_ft", 0, None),
    ("CA.V.D.S2, S5", "lazy_eight_floor_ft", 0, None),
    ("CA.VII.A.S5", "slow_flight_bank_deg", -5, 5),
    ("CA.VII.A.S2", "slow_flight_floor_ft", 0, None),
    ("CA.VII.B.S6", "power_off_stall_heading_deg", -10, 10),
    ("CA.VII.B.S6", "power_off_stall_bank_deg", None, 5),
    ("CA.VII.B.S2", "power_off_stall_floor_ft", 0, None),
    ("CA.VII.C.S6", "power_on_stall_heading_deg", -10, 10),
    ("CA.VII.C.S6", "power_on_stall_bank_deg", None, 10),
    ("CA.VII.D.S2, S5", "accelerated_stall_floor_ft", 0, None),
]
# FAA-S-ACS-25, images of VII.F, X.A, X.C and X.D read; steep turns from memory, without a code.
INSTRUCTOR = [
    ("AI.VII.F.S7", "approach_airspeed_kt", -5, 5),
    ("AI.VII.F.S10", "short_field_touchdown_ft", 0, 100),
    ("AI.X.A.S5", "slow_flight_height_ft", -50, 50),
    ("AI.X.A.S5", "slow_flight_heading_deg", -10, 10),
    ("AI.X.A.S5", "slow_flight_airspeed_kt", 0, 5),
    ("AI.X.A.S5", "slow_flight_bank_deg", -5, 5),
    ("AI.X.A.S2", "slow_flight_floor_ft", 0, None),
    ("AI.X.C.S6", "power_off_stall_heading_deg", -10, 10),
    ("AI.X.C.S6", "power_off_stall_bank_deg", None, 5),
    ("AI.X.D.S6", "power_on_stall_heading_deg", -10, 10),
    ("AI.X.D.S6", "power_on_stall_bank_deg", None, 10),
    ("AI.X.D.S2", "power_on_stall_floor_ft", 0, None),
    ("steep turns, no code read", "steep_turn_height_ft", -100, 100),
    ("steep turns, no code read", "steep_turn_airspeed_kt", -10, 10),
    ("steep turns, no code read", "steep_turn_bank_deg", -5, 5),
    ("steep turns, no code read", "steep_turn_rollout_deg", -10, 10),
]
PUBLISHED = {"private": PRIVATE, "commercial": COMMERCIAL, "instructor": INSTRUCTOR}
ROWS = [(name, *row) for name, rows in PUBLISHED.items() for row in rows]
# Where the document gives a number to hold, the deviation counts from it.
TARGETS = [
    ("private", "steep_turn_bank_deg", 45),
    ("commercial", "steep_turn_bank_deg", 50),
    ("commercial", "steep_spiral_bank_deg", 60),
    ("commercial", "eights_on_pylons_bank_deg", 40),
    ("commercial", "emergency_descent_bank_deg", 30),
    ("private", "emergency_descent_bank_deg", 30),
    ("commercial", "steep_spiral_floor_ft", 1500),
    ("commercial", "accelerated_stall_floor_ft", 3000),
    ("private", "ground_reference_floor_ft", 600),
    ("private", "ground_reference_ceiling_ft", 1000),
    ("private", "power_off_stall_bank_deg", 20),
    ("instructor", "slow_flight_floor_ft", 1500),
]
MEMORY = {
    *(("private", "power_on_stall_heading_deg"), ("private", "power_on_stall_bank_deg")),
    *(("instructor", f"steep_turn_{one}") for one in STEEP_TURN),
}
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
    return {name: read_standard(STANDARDS / f"{name}.toml") for name in PUBLISHED}


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
    high: float | None,
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
    high: float | None,
) -> None:
    if high is not None:
        assert verdict(standards[name], measure, high) is Verdict.INSIDE, code
        assert verdict(standards[name], measure, high + 0.01) is Verdict.OUTSIDE, code
    if low is not None:
        assert verdict(standards[name], measure, low) is Verdict.INSIDE, code
        assert verdict(standards[name], measure, low - 0.01) is Verdict.OUTSIDE, code


def test_no_tolerance_is_in_the_files_that_is_not_in_these_rows(
    standards: dict[str, Standard],
) -> None:
    for name, rows in PUBLISHED.items():
        assert set(standards[name].tolerances) == {measure for _, measure, _, _ in rows}


def test_the_documents_are_named(standards: dict[str, Standard]) -> None:
    assert standards["private"].document == "FAA-S-ACS-6C"
    assert standards["commercial"].document == "FAA-S-ACS-7B"
    assert standards["instructor"].document == "FAA-S-ACS-25"


@pytest.mark.parametrize(("name", "measure", "target"), TARGETS)
def test_a_published_number_to_hold_is_the_target(
    standards: dict[str, Standard], name: str, measure: str, target: float
) -> None:
    tolerance = standards[name].tolerance(measure)
    assert tolerance is not None
    assert tolerance.target == target


def test_what_no_copy_confirmed_says_so(standards: dict[str, Standard]) -> None:
    marked = {
        (name, one.measure)
        for name, standard in standards.items()
        for one in standard.tolerances.values()
        if standard.source(one).endswith("(from memory)")
    }
    assert marked == MEMORY


@pytest.mark.parametrize(("name", "measure", "off", "expected"), EDGES)
def test_windows_and_bands_are_as_lopsided_as_published(
    standards: dict[str, Standard], name: str, measure: str, off: float, expected: Verdict
) -> None:
    assert verdict(standards[name], measure, off) is expected
