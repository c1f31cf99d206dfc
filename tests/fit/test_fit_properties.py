"""What must hold for every flight: more of what helps never makes a finding worse."""

from dataclasses import replace

from fit_cases import found, with_flight
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lubberline.fit import check_fit
from lubberline.fit import settings as both_ends
from lubberline.fit.density import density_findings
from lubberline.fit.distance import distance_finding
from lubberline.fit.wind import wind_findings
from lubberline.line import Verdict
from lubberline.loop import Prepared
from lubberline.weather import Wind

UNHURRIED = settings(deadline=None)  # a busy machine is no failure of a property
FEW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
WINDS = st.builds(
    lambda deg, mean_kt, more_kt, range_deg: Wind(
        from_true_deg=deg,
        mean_kt=mean_kt,
        gust_kt=mean_kt + more_kt if more_kt > 0.0 else None,
        between_true_deg=range_deg,
    ),
    st.none() | st.integers(0, 360).map(float),
    st.floats(0.0, 60.0),
    st.floats(0.0, 40.0),
    st.none() | st.tuples(st.integers(0, 360), st.integers(0, 360)),
)


@FEW
@given(gal=st.floats(0.0, 25.0), more_gal=st.floats(0.1, 5.0))
def test_more_fuel_never_leaves_fewer_minutes(
    prepared: Prepared, gal: float, more_gal: float
) -> None:
    few, many = (
        found(with_flight(prepared.plan, fuel_gal={"left": one}), prepared, "flight.fuel_legal")
        for one in (gal, gal + more_gal)
    )
    assert few.value is not None
    assert many.value is not None
    assert many.value > few.value


@UNHURRIED
@given(lb=st.floats(1_800.0, 2_900.0), more_lb=st.floats(0.0, 300.0))
def test_heavier_is_never_shorter(prepared: Prepared, lb: float, more_lb: float) -> None:
    for end in both_ends(prepared.plan, prepared.way):
        light, heavy = (
            distance_finding(
                end,
                prepared.plan.aircraft,
                weight_lb=one,
                own_factor=1.0,
                aircraft_file="heron.toml",
            )
            for one in (lb, lb + more_lb)
        )
        assert light.value is not None
        assert heavy.value is None or heavy.value >= light.value - 1e-9
        assert (heavy.value is None) == (lb + more_lb > 2_900.0 * (1.0 + 1e-9))


@UNHURRIED
@given(wind=WINDS, more_kt=st.floats(0.0, 30.0))
def test_a_stronger_wind_never_has_a_larger_margin(
    prepared: Prepared, wind: Wind, more_kt: float
) -> None:
    plan = prepared.plan
    stronger = replace(
        wind,
        mean_kt=wind.mean_kt + more_kt,
        gust_kt=wind.gust_kt + more_kt if wind.gust_kt is not None else None,
    )
    for end in both_ends(plan, prepared.way):
        weak, strong = (
            wind_findings(
                replace(end, spans=tuple(replace(span, wind=one) for span in end.spans)),
                plan.aircraft,
                plan.pilot.own,
                aircraft_file="heron.toml",
            )
            for one in (wind, stronger)
        )
        for before, after in zip(weak, strong, strict=True):
            assert before.margin is not None
            assert after.margin is not None
            assert after.margin <= before.margin + 1e-9


@UNHURRIED
@given(wind=WINDS)
def test_a_range_is_never_better_than_its_middle(prepared: Prepared, wind: Wind) -> None:
    plan = prepared.plan
    (end, _) = both_ends(plan, prepared.way)
    alone = replace(wind, between_true_deg=None)
    spread, single = (
        wind_findings(
            replace(end, spans=tuple(replace(span, wind=one) for span in end.spans)),
            plan.aircraft,
            plan.pilot.own,
            aircraft_file="heron.toml",
        )
        for one in (wind, alone)
    )
    for worst, one in zip(spread, single, strict=True):
        assert worst.value is not None
        assert one.value is not None
        assert worst.value >= one.value - 1e-9


@UNHURRIED
@given(degc=st.floats(-40.0, 45.0), more_degc=st.floats(0.01, 10.0))
def test_warmer_air_is_never_denser(prepared: Prepared, degc: float, more_degc: float) -> None:
    end, _ = both_ends(prepared.plan, prepared.way)
    assert end.report is not None
    cold, warm = (
        density_findings(
            replace(end, report=replace(end.report, temperature_degc=one)), prepared.plan.pilot.own
        )[0].value
        for one in (degc, degc + more_degc)
    )
    assert cold is not None
    assert warm is not None
    assert warm > cold


@FEW
@given(
    lb=st.floats(0.0, 1_500.0),
    gal=st.floats(0.0, 30.0),
    wind=st.none() | WINDS,
    taxi_min=st.floats(0.0, 600.0),
)
def test_whatever_is_aboard_and_whatever_blows_every_finding_has_a_verdict(
    prepared: Prepared, lb: float, gal: float, wind: Wind | None, taxi_min: float
) -> None:
    plan = with_flight(
        prepared.plan, load_lb={"front": lb}, fuel_gal={"left": gal}, taxi_out_min=taxi_min
    )
    reports = {
        station: replace(report, wind=wind) for station, report in plan.weather.reports.items()
    }
    plan = replace(plan, weather=replace(plan.weather, reports=reports))
    for finding in check_fit(plan, prepared.way):
        assert finding.verdict in Verdict
        assert finding.limit.source
