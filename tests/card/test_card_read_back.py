"""The printed card, read back: each kind of number on it is the one that the plan has."""

import io
import re
from datetime import datetime, timedelta
from math import ceil, floor

import numpy as np
import pytest
from pypdf import PdfReader

from lubberline.card import make_sheet, render
from lubberline.card.rows import short
from lubberline.earth import variation_deg
from lubberline.fit import (
    FuelPlan,
    Setting,
    check_fit,
    fuel_plan,
    rules_of,
    settings,
    times_utc,
    trip_gal,
)
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.loop import Prepared
from lubberline.units import FT_PER_NM
from lubberline.ways import Way

LEG = re.compile(
    r"(?P<to>.+) (?P<course>\d{3}) (?P<heading>\d{3}) [↑↓]?(?P<height>[\d,]+) (?P<away>[\d.]+)"
    r" (?P<ground>\d+) (?P<minutes>\d+) (?P<over>\d\d:\d\d) (?P<left>[\d.]+) (?P<least>[\d.]+)"
    r" (?P<glide>[\d.]+)"
)


class Card:
    """One way's card as its lines were printed, and what the lines must say."""

    def __init__(self, prepared: Prepared, number: int) -> None:
        self.plan: Plan = prepared.plan
        self.way: Way = prepared.ways[number - 1]
        self.findings: dict[str, Finding] = {
            one.limit.key: one for one in (*check_fit(self.plan, self.way), *self.way.findings)
        }
        found = list(self.findings.values())
        sheet = make_sheet(self.plan, self.way, found, pledge_sha256="0" * 64)
        pages = PdfReader(io.BytesIO(render(sheet, "pdf"))).pages
        self.lines = [line for page in pages for line in page.extract_text().split("\n")]
        self.takeoff_utc, self.landing_utc, self.on_block_utc = times_utc(self.plan, self.way)
        self.fuel: FuelPlan = fuel_plan(self.plan, self.way, rules_of(self.plan))
        self.departure, self.destination = settings(self.plan, self.way)

    def after(self, start: str) -> str:
        """What the first line that begins so says after it."""
        return next(line for line in self.lines if line.startswith(start))[len(start) :].strip()

    def clock(self, after_min: float) -> str:
        return nearest(self.takeoff_utc + timedelta(minutes=after_min))


def nearest(when: datetime) -> str:
    return f"{when + timedelta(seconds=30):%H:%M}"


@pytest.fixture(scope="module", params=[1, 2, 3])
def card(prepared: Prepared, request: pytest.FixtureRequest) -> Card:
    return Card(prepared, request.param)


def test_times(card: Card) -> None:
    moments = (card.plan.flight.off_block_utc, card.takeoff_utc, card.landing_utc)
    said = re.findall(r"(\d\d:\d\d)Z", card.after("off block"))
    assert said == [nearest(one) for one in (*moments, card.on_block_utc)]


def test_legs(card: Card) -> None:
    rows = [found for line in card.lines if (found := LEG.fullmatch(line))]
    assert len(rows) == len(card.way.legs)
    left_gal = sum(card.plan.flight.fuel_gal.values()) - card.plan.aircraft.taxi_gal
    after_min = 0.0
    least_gal = {one.name: one.least_gal for one in card.fuel.points}
    for row, leg in zip(rows, card.way.legs, strict=True):
        after_min += leg.time_min
        left_gal -= leg.fuel_gal
        assert row["to"] == short(leg.to_name)
        assert int(row["course"]) == pytest.approx(leg.mag_deg % 360.0 or 360.0, abs=0.51)
        assert int(row["heading"]) == pytest.approx(leg.heading_mag_deg % 360.0 or 360, abs=0.51)
        assert float(row["away"]) == pytest.approx(leg.distance_nm, abs=0.051)
        assert int(row["ground"]) == pytest.approx(leg.ground_kt, abs=0.51)
        assert int(row["minutes"]) == pytest.approx(leg.time_min, abs=0.51)
        assert row["over"] == card.clock(after_min)
        assert left_gal - 0.101 <= float(row["left"]) <= left_gal + 1e-6
        needed_gal = least_gal[leg.to_name]
        assert needed_gal is not None
        assert needed_gal - 1e-6 <= float(row["least"]) <= needed_gal + 0.101


def test_glide_of_each_leg(card: Card) -> None:
    """From the height printed, over the ground there; the demo's is known to a few feet."""
    rows = [found for line in card.lines if (found := LEG.fullmatch(line))]
    ends_min = np.cumsum([leg.time_min for leg in card.way.legs])
    for row, end_min in zip(rows, ends_min, strict=True):
        path = card.way.path
        lat_deg, lon_deg = (float(np.interp(end_min, path[:, 3], path[:, n])) for n in (0, 1))
        above_ft = float(row["height"].replace(",", "")) - float(
            card.plan.terrain.ground_ft(lat_deg, lon_deg)
        )
        reach_nm = above_ft * card.plan.aircraft.glide_ratio / FT_PER_NM
        assert float(row["glide"]) == pytest.approx(reach_nm, abs=0.12)


def test_the_whole_of_the_way(card: Card) -> None:
    said = re.fullmatch(
        r"([\d.]+) NM, (\d+) min, ([\d.]+) gal from take-off to landing",
        next(line for line in card.lines if line.endswith("from take-off to landing")),
    )
    assert said
    used_gal = trip_gal(card.plan, card.way)
    assert float(said[1]) == pytest.approx(card.way.distance_nm, abs=0.051)
    assert int(said[2]) == ceil(card.way.time_min + card.plan.flight.pattern_min)
    assert used_gal - 1e-6 <= float(said[3]) <= used_gal + 0.101


def test_tanks_by_the_clock(card: Card) -> None:
    said = card.after("TANKS start on")
    assert said.startswith(f"{card.fuel.first_tank}, ")
    for change in card.fuel.changes:
        assert f"to {change.to_tank} at {change.at_utc:%H:%M}Z" in said
    assert f"land on {card.fuel.landing_tank}" in said


@pytest.mark.parametrize(
    ("start", "key"),
    [
        ("weight, take-off", "airplane.weight_takeoff"),
        ("center of gravity, take-off", "airplane.balance_takeoff"),
        ("weight, landing", "airplane.weight_landing"),
        ("center of gravity, landing", "airplane.balance_landing"),
        ("take-off over 50 ft, QWRN 25", "flight.takeoff_distance"),
        ("landing over 50 ft, QMRL 30", "flight.landing_distance"),
        ("crosswind, QWRN 25", "flight.crosswind_departure"),
        ("crosswind, QMRL 30", "flight.crosswind_destination"),
        ("fuel at landing, own", "flight.fuel_own"),
    ],
)
def test_numbers_with_their_limits(card: Card, start: str, key: str) -> None:
    value, unit, *limit = card.after(start).split()
    finding = card.findings[key]
    assert unit == finding.limit.unit
    assert finding.value is not None
    step = 0.1 if "." in value else 1.0
    assert float(value.replace(",", "")) == pytest.approx(finding.value, abs=step + 1e-6)
    bounds = [float(one.replace(",", "")) for one in limit if one[0].isdigit()]
    given = [one for one in (finding.limit.low, finding.limit.high) if one is not None]
    assert bounds == pytest.approx(given, abs=0.5)


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("rotate", "rotate_kt"),
        ("best angle", "best_angle_kt"),
        ("best rate", "best_rate_kt"),
        ("gear by", "gear_operate_kt"),
        ("flaps by", "flaps_kt"),
        ("final", "final_kt"),
    ],
)
def test_speeds(card: Card, label: str, name: str) -> None:
    assert float(card.after(label)) == floor(getattr(card.plan.aircraft.speeds, name))


def test_runway(card: Card) -> None:
    to: Setting = card.destination
    wind, end = to.wind, to.end
    assert wind is not None
    variation = float(variation_deg(end.lat_deg, end.lon_deg, 0.0, to.when_utc))
    at = next(n for n, line in enumerate(card.lines) if line.startswith("RUNWAY QMRL 30"))
    said = "\n".join(card.lines[at : at + 12])
    landing_ft = card.findings["flight.landing_distance"].value
    assert landing_ft is not None
    pattern_ft = to.aerodrome.elev_msl_ft + to.aerodrome.pattern_agl_ft
    for words in (
        f"heading {(end.true_deg - variation) % 360.0:03.0f} mag",
        f"size {to.runway.length_ft:,.0f} by {to.runway.width_ft:,.0f} ft",
        f"field {to.aerodrome.elev_msl_ft:,.0f} ft",
        f"pattern {end.pattern_side}, {pattern_ft:,.0f} ft",
        f"wind, true {wind.from_true_deg:03.0f}/{wind.mean_kt:02.0f}G{wind.gust_kt:.0f}",
        f"roll {ceil(landing_ft):,d} ft",
    ):
        assert words in said, words


def test_what_a_go_around_and_trouble_need_is_there(card: Card) -> None:
    stable_ft = f"{card.destination.aerodrome.elev_msl_ft + 500.0:,.0f} ft"
    assert card.after("on speed").startswith(stable_ft)
    assert card.after("go around").startswith(stable_ft)
    assert card.after("aim").endswith("beyond the threshold")
    assert f"{card.plan.aircraft.speeds.best_rate_kt:.0f} kt (" in card.after("climb out")
    assert card.after("in trouble") == "the frequency in use, else 121.500; 7700"
    assert card.after("no radio").startswith("7600; ")


def test_the_check_is_made_at_two_places_before_landing(card: Card) -> None:
    due = [line for line in card.lines if re.match(r"\d\d:\d\d (CHECK \d|GEAR)", line)]
    assert [line.split()[1] for line in due] == ["CHECK", "GEAR", "CHECK", "GEAR"]
    assert len({line.split()[0] for line in due}) == 4
    assert max(line.split()[0] for line in due) < nearest(card.landing_utc)
    end_min = float(card.way.path[-1, 3])
    assert [line.split()[0] for line in due] == [card.clock(end_min - one) for one in (6, 4, 2, 1)]
