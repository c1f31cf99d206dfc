"""Weather minimums: every row of the table, both sides of each limit, and what is not told."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import inf

import pytest

from lubberline.fit import us
from lubberline.fit.own import own_weather_findings
from lubberline.fit.us.minimums import Minimums, basic_minimums
from lubberline.line import Finding, Verdict
from lubberline.pilot import OwnMinimums
from lubberline.weather import Conditions

NOON = datetime(2026, 11, 25, 20, tzinfo=UTC)


@pytest.mark.parametrize("letter", ["A", "R", "P", "", "F"])
def test_other_classes_have_no_row(letter: str) -> None:
    assert basic_minimums(letter, msl_ft=20_000.0, agl_ft=18_000.0, night=False) is None


def test_minimums_that_are_clear_of_clouds_ask_for_no_distance() -> None:
    assert Minimums(visibility_sm=3.0).beside_ft == 0.0


def weather(visibility_sm: float | None, ceiling_agl_ft: float | None) -> Conditions:
    return Conditions(
        from_utc=NOON,
        until_utc=NOON + timedelta(hours=1),
        wind=None,
        visibility_sm=visibility_sm,
        ceiling_agl_ft=ceiling_agl_ft,
        text="made for the test",
    )


def field(
    conditions: Conditions | None,
    letter: str = "D",
    *,
    night: bool = False,
    elev_msl_ft: float = 100.0,
    name: str = "QMRL",
) -> us.FieldWeather:
    return us.FieldWeather(
        place="destination",
        name=name,
        surface_class=letter,
        elev_msl_ft=elev_msl_ft,
        night=night,
        conditions=conditions,
        supply=f"a METAR or TAF for {name} at 25 20:00Z in weather.txt",
    )


@pytest.mark.parametrize(
    ("letter", "night", "seen_sm", "verdict"),
    [
        ("D", False, 3.0, Verdict.INSIDE),
        ("D", False, 2.75, Verdict.OUTSIDE),
        ("C", True, 3.0, Verdict.INSIDE),
        ("B", False, 2.9, Verdict.OUTSIDE),
        ("E", False, 3.0, Verdict.INSIDE),
        ("G", False, 1.0, Verdict.INSIDE),
        ("G", False, 0.75, Verdict.OUTSIDE),
        ("G", True, 3.0, Verdict.INSIDE),
        ("G", True, 2.9, Verdict.OUTSIDE),
    ],
)
def test_visibility_on_the_ground_is_held_to_the_class_there(
    letter: str, night: bool, seen_sm: float, verdict: Verdict
) -> None:
    finding = us.weather_findings(field(weather(seen_sm, 5_000.0), letter, night=night))[0]
    assert finding.verdict is verdict
    assert f"class {letter}" in finding.limit.source
    assert "edition of 2024" in finding.limit.source


@pytest.mark.parametrize(
    ("low_sm", "is_least", "verdict"),
    [
        (6.0, True, Verdict.INSIDE),
        (6.1, True, Verdict.UNKNOWN),  # more than 6 may be 8
        (6.1, False, Verdict.OUTSIDE),
    ],
)
def test_more_than_a_figure_does_not_decide_a_limit_above_it(
    low_sm: float, is_least: bool, verdict: Verdict
) -> None:
    told = replace(weather(6.0, inf), visibility_is_least=is_least)
    (finding,) = own_weather_findings(field(told), OwnMinimums(visibility_sm=low_sm))
    assert finding.verdict is verdict


def test_a_field_in_class_a_is_not_decided() -> None:
    (finding,) = us.weather_findings(field(weather(10.0, 5_000.0), "A"))
    assert finding.verdict is Verdict.UNKNOWN
    assert "no visual minimums" in finding.missing


@pytest.mark.parametrize(
    ("ceiling_agl_ft", "verdict"),
    [(1_000.0, Verdict.INSIDE), (900.0, Verdict.OUTSIDE), (inf, Verdict.INSIDE)],
)
def test_a_surface_area_wants_a_thousand_foot_ceiling(
    ceiling_agl_ft: float, verdict: Verdict
) -> None:
    # 14 CFR 91.155(c): memory.
    finding = us.weather_findings(field(weather(10.0, ceiling_agl_ft)))[1]
    assert finding.verdict is verdict
    assert "from memory" in finding.limit.source


def test_class_g_has_no_ceiling_minimum() -> None:
    assert len(us.weather_findings(field(weather(10.0, 500.0), "G"))) == 1


@pytest.mark.parametrize("conditions", [None, weather(None, None)])
def test_no_weather_is_unknown_and_names_the_text_that_would_tell(
    conditions: Conditions | None,
) -> None:
    own = OwnMinimums(visibility_sm=5.0, ceiling_agl_ft=2_000.0)
    made = field(conditions)
    for finding in (*us.weather_findings(made), *own_weather_findings(made, own)):
        assert finding.verdict is Verdict.UNKNOWN
        assert finding.missing.startswith("a METAR or TAF for QMRL at 25 20:00Z in weather.txt")


def test_own_minimums_are_those_of_the_light() -> None:
    own = OwnMinimums(
        visibility_sm=5.0,
        ceiling_agl_ft=2_000.0,
        night_visibility_sm=8.0,
        night_ceiling_agl_ft=4_000.0,
    )
    made = [own_weather_findings(field(weather(6.0, 3_000.0), night=n), own) for n in (False, True)]
    assert [one.verdict for one in made[0]] == [Verdict.INSIDE] * 2
    assert [one.verdict for one in made[1]] == [Verdict.OUTSIDE] * 2
    assert "night_visibility_sm in pilot.toml" in made[1][0].limit.source


def test_own_minimums_that_are_not_set_are_not_asked() -> None:
    assert own_weather_findings(field(weather(1.0, 100.0)), OwnMinimums()) == ()


def test_nothing_seen_to_12000_ft_does_not_reach_a_higher_minimum() -> None:
    own = OwnMinimums(ceiling_agl_ft=15_000.0)
    (finding,) = own_weather_findings(field(weather(10.0, inf)), own)
    assert finding.verdict is Verdict.UNKNOWN
    assert "above 12,000 ft" in finding.missing


def cloud(cruise_msl_ft: float, *ceilings_agl_ft: float | None) -> Finding:
    fields = [
        field(None if ft is None else weather(10.0, ft), name=f"Q{number:03d}")
        for number, ft in enumerate(ceilings_agl_ft)
    ]
    return us.cloud_finding(cruise_msl_ft, fields)


@pytest.mark.parametrize(
    ("cruise_msl_ft", "ceilings_agl_ft", "verdict"),
    [
        # Fields lie at 100 ft; class E below 10,000 ft: 500 ft below.
        (3_600.0, (4_000.0, 6_000.0), Verdict.INSIDE),
        (3_601.0, (4_000.0, 6_000.0), Verdict.OUTSIDE),
        (3_601.0, (6_000.0, 4_000.0), Verdict.OUTSIDE),
        (3_000.0, (4_000.0, None), Verdict.UNKNOWN),
        (3_601.0, (4_000.0, None), Verdict.OUTSIDE),
        # Up to 1,000 ft above a base there is no lawful place; above that the tops decide.
        (5_100.0, (4_000.0,), Verdict.OUTSIDE),
        (5_101.0, (4_000.0,), Verdict.UNKNOWN),
        # At or above 10,000 ft: 1,000 ft below.
        (10_000.0, (10_900.0,), Verdict.INSIDE),
        (10_000.0, (10_800.0,), Verdict.OUTSIDE),
        (9_999.0, (10_400.0,), Verdict.INSIDE),
        # Nobody saw further than 12,000 ft above the field.
        (11_100.0, (inf,), Verdict.INSIDE),
        (11_101.0, (inf,), Verdict.UNKNOWN),
    ],
)
def test_cruise_keeps_below_the_clouds_of_either_end(
    cruise_msl_ft: float, ceilings_agl_ft: tuple[float | None, ...], verdict: Verdict
) -> None:
    assert cloud(cruise_msl_ft, *ceilings_agl_ft).verdict is verdict


def test_above_a_layer_the_finding_asks_for_its_tops() -> None:
    finding = cloud(8_500.0, 4_000.0)
    assert finding.missing == "tops over Q000, and a way down through them"
    assert finding.where == "ceiling at Q000 4,100 ft MSL"
