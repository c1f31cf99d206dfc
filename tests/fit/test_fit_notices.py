import pytest
from briefed import briefed
from fit_cases import found, keys

from lubberline.fit import touching
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared

# The starter flies from QWRN (off block 20:40Z) to QMRL (landing about 21:12Z) on 25 November 2026.
CLOSED = "!QMRL 11/001 QMRL RWY 12/30 CLSD {}"
ALL_DAY = "2611251200-2611252300"


def runway(one: Prepared, text: str, place: str = "destination") -> Finding:
    return found(briefed(one.plan, text), one, f"flight.runway_notice_{place}")


def test_a_closed_runway_is_outside_with_its_own_words(prepared: Prepared) -> None:
    finding = runway(prepared, CLOSED.format(ALL_DAY))
    assert finding.verdict is Verdict.OUTSIDE
    assert "RWY 12/30 CLSD" in finding.where


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        (CLOSED.format("2611260000-2611261200"), Verdict.INSIDE),  # tomorrow
        (CLOSED.format("2611251200-2611252100"), Verdict.CLOSE),  # just before
        (CLOSED.format("2611251200-2611252100EST"), Verdict.OUTSIDE),  # an end that is a guess
        (CLOSED.format(ALL_DAY).replace("12/30", "03/21"), Verdict.INSIDE),  # another one
        (CLOSED.format(ALL_DAY).replace("CLSD", "CLSD EXC XNG"), Verdict.UNKNOWN),
        (CLOSED.format("NOBODY KNOWS"), Verdict.UNKNOWN),
        (CLOSED.format(ALL_DAY).replace("RWY 12/30", "AD AP"), Verdict.OUTSIDE),
        (CLOSED.format(ALL_DAY).replace(" QMRL RWY", " QSDG RWY"), Verdict.INSIDE),
    ],
)
def test_what_is_closed_when_and_to_whom_decides(
    prepared: Prepared, text: str, verdict: Verdict
) -> None:
    assert runway(prepared, text).verdict is verdict


def test_hours_of_a_schedule_decide(prepared: Prepared) -> None:
    text = """(A0001/26 NOTAMN
Q) QZZZ/QMRLC/IV/NBO/A/000/999/4106N13031W005
A) QMRL B) 2611240000 C) 2611302359
D) DAILY {}
E) RWY 12/30 CLSD)"""
    assert runway(prepared, text.format("2000-2200")).verdict is Verdict.OUTSIDE
    assert runway(prepared, text.format("0800-1200")).verdict is Verdict.INSIDE
    assert runway(prepared, text.format("SR-SS")).verdict is Verdict.UNKNOWN


def test_a_canceled_notice_closes_nothing(prepared: Prepared) -> None:
    text = """(A0001/26 NOTAMN
Q) QZZZ/QMRLC/IV/NBO/A/000/999/4106N13031W005
A) QMRL B) 2611240000 C) 2611302359
E) RWY 12/30 CLSD)
(A0002/26 NOTAMC A0001/26
Q) QZZZ/QMRAK/IV/NBO/A/000/999/4106N13031W005
A) QMRL B) 2611251000
E) RWY 12/30 OPEN)"""
    assert runway(prepared, text).verdict is Verdict.INSIDE
    assert touching(briefed(prepared.plan, text), prepared.way) == ()


AREA = (
    "!FDC 6/1234 QZZ AIRSPACE QZZ..TEMPORARY FLIGHT RESTRICTIONS WI AN AREA DEFINED AS {}NM RADIUS"
    " OF 405800N1310600W {} {}"
)


@pytest.mark.parametrize(
    ("radius", "heights", "times", "verdict"),
    [
        ("10", "SFC-17999FT", ALL_DAY, Verdict.OUTSIDE),
        ("10", "SFC-400FT AGL", ALL_DAY, Verdict.INSIDE),  # far below
        ("10", "10000FT-17999FT", ALL_DAY, Verdict.INSIDE),  # far above
        ("10", "SFC-17999FT", "2611251200-2611252000", Verdict.INSIDE),  # over before
        ("1", "SFC-17999FT", ALL_DAY, Verdict.INSIDE),  # beside
    ],
)
def test_a_restriction_is_crossed_by_place_height_and_time(
    prepared: Prepared, radius: str, heights: str, times: str, verdict: Verdict
) -> None:
    center = AREA if radius != "1" else AREA.replace("405800N", "403000N")
    plan = briefed(prepared.plan, center.format(radius, heights, times))
    assert found(plan, prepared, "flight.notice_restrictions").verdict is verdict


def test_a_restriction_nobody_can_draw_is_unknown(prepared: Prepared) -> None:
    text = f"!FDC 6/1234 QZZ AIRSPACE QZZ..TEMPORARY FLIGHT RESTRICTIONS SEE MAP {ALL_DAY}"
    finding = found(briefed(prepared.plan, text), prepared, "flight.notice_restrictions")
    assert finding.verdict is Verdict.UNKNOWN
    assert "SEE MAP" in finding.missing


def test_activity_that_is_no_restriction_is_close(prepared: Prepared) -> None:
    text = (
        "!QZZ 11/005 QZZ AIRSPACE PJE WI AN AREA DEFINED AS 10NM RADIUS OF 405800N1310600W"
        f" SFC-12000FT {ALL_DAY}"
    )
    plan = briefed(prepared.plan, text)
    assert found(plan, prepared, "flight.notice_warnings").verdict is Verdict.CLOSE
    assert found(plan, prepared, "flight.notice_restrictions").verdict is Verdict.INSIDE


def test_the_gravest_stands_first_and_what_does_not_touch_is_left_out(prepared: Prepared) -> None:
    text = f"""!QMRL 11/009 QMRL OBST CRANE 410600N1303100W 300FT {ALL_DAY}
!QMRL 11/008 QMRL TWY A CLSD {ALL_DAY}
!QMRL 11/007 QMRL RWY 27 PAPI U/S {ALL_DAY}
!QFAR 11/006 QFAR RWY 01/19 CLSD {ALL_DAY}
{AREA.format("10", "SFC-17999FT", ALL_DAY)}
{CLOSED.format(ALL_DAY)}"""
    touches = touching(briefed(prepared.plan, text), prepared.way)
    assert [one.notice.consequence for one in touches] == [
        *("runway closed", "airspace", "lights", "taxiway", "obstacle")
    ]
    assert all(one.notice.text.startswith("!") for one in touches)


def test_without_notices_nothing_is_claimed(prepared: Prepared) -> None:
    assert not any("notice" in key for key in keys(prepared.plan, prepared))
