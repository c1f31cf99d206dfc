import pytest
from briefed import briefed
from fit_cases import found, keys

from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared

SIGMET = """KZAK SIGMET ALFA 1 VALID {}/{} KKCI-
OAKLAND OCEANIC FIR SEV TURB FCST WI {}
{} MOV E 20KT."""
OVER = "N4030 W13200 - N4130 W13200 - N4130 W13000 - N4030 W13000"
NEAR = "N4115 W13200 - N4215 W13200 - N4215 W13000 - N4115 W13000"
FAR = "N4530 W13200 - N4630 W13200 - N4630 W13000 - N4530 W13000"
LOW, HIGH = "SFC/FL100", "FL250/350"


def sigmet(
    one: Prepared, where: str = OVER, heights: str = LOW, start: str = "252000", end: str = "252359"
) -> Finding:
    text = SIGMET.format(start, end, where, heights)
    return found(briefed(one.plan, text), one, "flight.sigmet")


def test_crossing_what_a_sigmet_warns_of_is_outside(prepared: Prepared) -> None:
    finding = sigmet(prepared)
    assert (finding.verdict, finding.value) == (Verdict.OUTSIDE, 1.0)
    assert "SIGMET ALFA 1 TURB" in finding.where
    assert "20:48 to 21:0" in finding.where


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({"where": NEAR}, Verdict.CLOSE),
        ({"where": FAR}, Verdict.INSIDE),
        ({"heights": HIGH}, Verdict.INSIDE),
        ({"heights": "IN CLOUDS"}, Verdict.UNKNOWN),
        ({"start": "251200", "end": "252000"}, Verdict.INSIDE),
        ({"start": "252200", "end": "260200"}, Verdict.INSIDE),
        ({"where": OVER.replace("N4030 W13200", "ZZZ")}, Verdict.UNKNOWN),
    ],
)
def test_place_height_and_time_decide(
    prepared: Prepared, change: dict[str, str], verdict: Verdict
) -> None:
    assert sigmet(prepared, **change).verdict is verdict


def test_corners_out_of_order_make_all_that_lies_between(prepared: Prepared) -> None:
    crossed = "N4030 W13200 - N4130 W13000 - N4130 W13200 - N4030 W13000"
    assert sigmet(prepared, where=crossed).verdict is Verdict.OUTSIDE


AIRMET = """SFOT WA 251445
AIRMET TANGO UPDT 1 FOR TURB VALID UNTIL 252300
AIRMET TURB...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
MOD TURB BLW {}."""


def test_crossing_an_airmet_is_close_and_never_outside(prepared: Prepared) -> None:
    plan = briefed(prepared.plan, AIRMET.format("100"))
    finding = found(plan, prepared, "flight.airmet")
    assert (finding.verdict, finding.value) == (Verdict.CLOSE, 1.0)
    assert found(plan, prepared, "flight.sigmet").verdict is Verdict.INSIDE


def test_below_a_low_one_nothing_is_crossed(prepared: Prepared) -> None:
    plan = briefed(prepared.plan, AIRMET.format("100").replace("BLW 100", "BTN FL180 AND FL240"))
    assert found(plan, prepared, "flight.airmet").verdict is Verdict.INSIDE


def test_without_areas_nothing_is_claimed(prepared: Prepared) -> None:
    assert not {"flight.sigmet", "flight.airmet"} & keys(prepared.plan, prepared)


def test_a_freezing_level_line_is_no_area(prepared: Prepared) -> None:
    text = '[{"hazard": "FZLVL", "product": "ZULU", "validTime": "2026-11-25T21:00:00Z"}]'
    assert "flight.airmet" not in keys(briefed(prepared.plan, text), prepared)
