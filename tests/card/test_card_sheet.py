"""The card says what the plan says, fits its paper, and its template uses all of it."""

import io
import os
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise, takewhile
from math import inf, nan
from pathlib import Path

import numpy as np
import pytest
from card_runs import Run, runs
from pypdf import PdfReader

import lubberline.card
from lubberline.card import Form, Sheet, make_pledge, make_sheet, render
from lubberline.card.astray import NearRow
from lubberline.card.bounds import fitted
from lubberline.card.divert import DivertRow
from lubberline.card.entry import EntryRow
from lubberline.card.flow import FlowRow
from lubberline.card.gates import GateRow
from lubberline.card.legs import clock_text
from lubberline.card.rows import LegRow, NumberRow, Pair, RadioRow, StretchRow, short
from lubberline.card.runway import RunwaySketch
from lubberline.card.talk import keep_clear, ladder
from lubberline.earth import course_and_distance
from lubberline.errors import RangeError
from lubberline.fit import check_fit, trip_gal
from lubberline.flight import Plan, RoutePoint
from lubberline.loop import Prepared
from lubberline.ways import Way, evaluate_plan
from lubberline.wording import direction_text

TEMPLATE = Path(lubberline.card.__file__).with_name("sheet.typ").read_text(encoding="utf-8")
A5_PT = (419.53, 595.28)  # 148 mm by 210 mm
MARGIN_PT = 17.0  # 6 mm
LEAST_PT = 8.0
LAYOUTS_COUNT = int(os.environ.get("LUBBERLINE_LAYOUTS", "50"))
ROWS = {
    "leg": (LegRow,),
    "row": (
        *(Pair, NumberRow, FlowRow, NearRow, StretchRow, RadioRow),
        *(EntryRow, GateRow, DivertRow),
    ),
    "r|runway": (RunwaySketch,),
}


def sheet_of(plan: Plan, way: Way) -> Sheet:
    findings = (*check_fit(plan, way), *way.findings)
    return make_sheet(plan, way, findings, pledge_sha256="0123456789abcdef" * 4)


@pytest.fixture(scope="module")
def sheet(prepared: Prepared) -> Sheet:
    return sheet_of(prepared.plan, prepared.way)


def words(text: str) -> str:
    """The text without spaces or line breaks: where it is broken is the template's business."""
    return re.sub(r"\s+", "", text).casefold()


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def every_text(sheet: Sheet) -> list[str]:
    """Each text of a sheet, its rows included, but for what only tells the template what to do."""
    found: list[str] = []

    def add(value: object) -> None:
        if isinstance(value, str):
            found.append(value)
        elif isinstance(value, tuple):
            for one in value:
                add(one)
        elif is_dataclass(value):
            for part in fields(value):
                if part.name != "joins":
                    add(getattr(value, part.name))

    add(sheet)
    return found


def fits(
    pdf: bytes,
    *,
    wide_pt: float = A5_PT[0],
    tall_pt: float = A5_PT[1],
    least_pt: float = LEAST_PT,
) -> list[Run]:
    """Every run of a card that is large enough, on its page, and on no other."""
    placed = sorted(runs(pdf), key=lambda run: (run.page_index, run.line_pt))
    for number, run in enumerate(placed):
        assert run.size_pt >= least_pt - 1e-3
        assert run.left_pt >= MARGIN_PT - 0.1
        assert run.left_pt + run.wide_pt <= wide_pt - MARGIN_PT + 0.1
        assert 8.0 <= run.line_pt <= tall_pt - 8.0
        assert not any(run.overlaps(other) for other in _near(run, placed[number + 1 :]))
    return placed


def _near(run: Run, later: list[Run]) -> Iterator[Run]:
    """Of runs from the bottom of a page upward, those that begin below the top of one."""
    return takewhile(lambda one: one.line_pt < run.line_pt + 2.0 * run.size_pt, later)


def test_template_and_sheet_use_each_other_wholly() -> None:
    assert set(re.findall(r"\bs\.(\w+)", TEMPLATE)) - {"len"} == {
        field.name for field in fields(Sheet)
    }
    for name, classes in ROWS.items():
        used = set(re.findall(rf"\b(?:{name})\.(\w+)", TEMPLATE)) - {"at"}
        assert used == {field.name for kind in classes for field in fields(kind)} - {"at"}


def test_every_word_and_number_of_the_sheet_is_printed(sheet: Sheet) -> None:
    printed = words("".join(pages(render(sheet, "pdf"))))
    for text in every_text(sheet):
        assert words(text) in printed, text


@pytest.mark.parametrize("number", [1, 2, 3])
def test_each_way_of_the_demo_is_both_sides_of_one_a5(prepared: Prepared, number: int) -> None:
    pdf = render(sheet_of(prepared.plan, prepared.ways[number - 1]), "pdf")
    front, back = PdfReader(io.BytesIO(pdf)).pages
    for size in (front.mediabox, back.mediabox):
        assert (float(size.width), float(size.height)) == pytest.approx(A5_PT, abs=0.01)
    assert fits(pdf)


@pytest.mark.parametrize(
    ("paper", "wide_pt", "tall_pt", "letters_pt"),
    [
        ("a5", *A5_PT, 8.0),
        ("half-letter", 396.0, 612.0, 8.0),
        ("a4", 595.28, 841.89, 11.0),
        ("letter", 612.0, 792.0, 11.0),
    ],
)
def test_the_card_fits_other_paper_and_grows_for_the_night(
    sheet: Sheet, paper: str, wide_pt: float, tall_pt: float, letters_pt: float
) -> None:
    pdf = render(sheet, "pdf", form=Form(paper=paper))
    pages_of = PdfReader(io.BytesIO(pdf)).pages
    assert len(pages_of) == 2
    for page in pages_of:
        size = (float(page.mediabox.width), float(page.mediabox.height))
        assert size == pytest.approx((wide_pt, tall_pt), abs=0.05)
    assert fits(pdf, wide_pt=wide_pt, tall_pt=tall_pt, least_pt=letters_pt)


@pytest.mark.parametrize("paper", ["a5", "half-letter", "a4", "letter"])
def test_by_night_letters_are_larger_on_any_paper(sheet: Sheet, paper: str) -> None:
    pdf = render(sheet, "pdf", form=Form(paper=paper, night=True))
    first = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    wide_pt, tall_pt = float(first.width), float(first.height)
    assert (wide_pt > tall_pt) == (paper in ("a5", "half-letter"))
    assert fits(pdf, wide_pt=wide_pt, tall_pt=tall_pt, least_pt=11.0)
    printed = words("".join(pages(pdf)))
    assert all(words(text) in printed for text in every_text(sheet))


FOLDED = {2: [(2, 1)], 3: [(1,), (2, 3)], 4: [(4, 1), (2, 3)]}  # by pages: left and right halves


@pytest.mark.parametrize(("times_over", "paper"), [(1, "letter"), (1, "a4"), (8, "letter")])
def test_folded_the_pages_follow_each_other(sheet: Sheet, times_over: int, paper: str) -> None:
    many = replace(sheet, legs=sheet.legs * times_over)
    half = {"letter": "half-letter", "a4": "a5"}[paper]
    count = len(pages(render(many, "pdf", form=Form(paper=half))))
    assert (count > 2) == (times_over > 1)
    sides = PdfReader(io.BytesIO(render(many, "pdf", form=Form(paper=paper, folded=True)))).pages
    assert float(sides[0].mediabox.width) > float(sides[0].mediabox.height)
    found = [re.findall(r"0123456789ab (\d)/", side.extract_text()) for side in sides]
    assert [tuple(map(int, one)) for one in found] == FOLDED[count]


def test_the_letters_of_the_night_are_not_folded() -> None:
    with pytest.raises(RangeError, match="cannot be folded"):
        Form(paper="letter", night=True, folded=True)


def test_what_is_to_be_practised_stands_on_the_card_and_in_the_pledge(prepared: Prepared) -> None:
    tasks = ("touch down within 200 ft of the aim", "hold 75 kt on final")
    printed_utc = prepared.plan.flight.off_block_utc
    plan, way, findings = prepared.plan, prepared.way, prepared.findings
    pledge = make_pledge(plan, way, findings, printed_utc=printed_utc, practice=tasks)
    assert pledge.practice == tasks
    made = make_sheet(plan, way, findings, pledge_sha256="0" * 64, practice=pledge.practice)
    pdf = render(made, "pdf")
    printed = words("".join(pages(pdf)))
    assert all(words(task) in printed for task in tasks)
    assert len(pages(pdf)) == 2
    assert fits(pdf)


def test_a_row_says_what_its_leg_says(prepared: Prepared, sheet: Sheet) -> None:
    way = prepared.way
    assert [row.to for row in sheet.legs[1:-1]] == [short(leg.to_name) for leg in way.legs]
    for row, leg in zip(sheet.legs[1:-1], way.legs, strict=True):
        assert int(row.course) == pytest.approx(leg.mag_deg, abs=0.5)
        assert int(row.heading) == pytest.approx(leg.heading_mag_deg, abs=0.5)
        assert float(row.distance) == pytest.approx(leg.distance_nm, abs=0.05)
    field = prepared.plan.destination
    ends_ft = [leg.to_msl_ft for leg in way.legs]
    assert ends_ft[-1] == field.elev_msl_ft
    ends_ft[-1:] = [field.elev_msl_ft + field.pattern_agl_ft, field.elev_msl_ft]
    told_ft = [float(row.height.lstrip("↑↓").replace(",", "")) for row in sheet.legs[1:]]
    assert told_ft == pytest.approx(ends_ft, abs=5.0)


def test_without_a_pattern_the_last_leg_ends_on_the_field(prepared: Prepared) -> None:
    flight = replace(prepared.plan.flight, pattern_min=0.0)
    last = sheet_of(replace(prepared.plan, flight=flight), prepared.way).legs[-1]
    assert (last.to, last.height) == ("QMRL", f"↓{prepared.plan.destination.elev_msl_ft:,.0f}")


def test_fuel_left_is_rounded_down_and_ends_at_what_the_flight_leaves(
    prepared: Prepared, sheet: Sheet
) -> None:
    left = [float(row.fuel_left) for row in sheet.legs]
    assert left == sorted(left, reverse=True)
    start_gal = sum(prepared.plan.flight.fuel_gal.values()) - prepared.plan.aircraft.taxi_gal
    used_gal = trip_gal(prepared.plan, prepared.way)
    assert left[0] == pytest.approx(start_gal)
    assert start_gal - used_gal - 0.1 <= left[-1] <= start_gal - used_gal


def test_of_the_fuel_reserves_the_greater_stands_among_the_numbers(prepared: Prepared) -> None:
    for own_min, label in ((60.0, "fuel at landing, own"), (20.0, "fuel at landing, legal")):
        own = replace(prepared.plan.pilot.own, fuel_reserve_min=own_min)
        plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, own=own))
        labels = [row.label for row in sheet_of(plan, prepared.way).numbers]
        assert [one for one in labels if one.startswith("fuel")] == [label]


@pytest.mark.parametrize(
    ("second_count", "text"), [(0, "20:48"), (29, "20:48"), (30, "20:49"), (59, "20:49")]
)
def test_a_moment_is_told_to_the_nearest_minute(second_count: int, text: str) -> None:
    assert clock_text(datetime(2026, 11, 25, 20, 48, second_count, tzinfo=UTC)) == text


@pytest.mark.parametrize(
    ("angle_deg", "text"),
    [(0.0, "360"), (359.6, "360"), (0.4, "360"), (0.6, "001"), (59.5, "060"), (180.0, "180")],
)
def test_north_is_360(angle_deg: float, text: str) -> None:
    assert direction_text(angle_deg) == text


def test_a_call_is_told_with_whom_where_and_by_when(prepared: Prepared) -> None:
    rungs = {row.who: row for row in ladder(prepared.plan, prepared.way)}
    sedge = rungs["Sedge Tower"]
    assert (sedge.at, sedge.frequency, sedge.ask) == ("20:55", "119.550", "transition of Sedge")
    assert sedge.notes == (
        "3.5 NM before Split Rock",
        "two-way contact by 21:00Z, 11.4 NM before Marsh Viaduct",
    )
    assert sedge.must
    assert rungs["Marl Tower"].notes[1] == "two-way contact by 21:07Z, 4.2 NM before QMRL"
    atis = rungs["Marl ATIS"]
    assert atis.notes == ("5.3 NM before Split Rock; audible 20:49Z, 51 NM out",)
    assert not atis.must


def test_the_place_of_an_entry_is_rounded_to_the_early_side(prepared: Prepared) -> None:
    rungs = {row.who: row for row in ladder(prepared.plan, prepared.way)}
    checked = 0
    for one in prepared.way.encounters:
        if one.entered and one.needs == "two-way contact":
            assert one.entry_lat_deg is not None
            assert one.entry_lon_deg is not None
            leg_end = "Marsh Viaduct" if one.volume.name == "Sedge" else "QMRL"
            row = prepared.way.point_names.index(leg_end)
            _, away_nm = course_and_distance(
                one.entry_lat_deg, one.entry_lon_deg, *prepared.way.path[row, :2]
            )
            told_nm = float(rungs[one.volume.facility].notes[1].split(", ")[1].split()[0])
            assert float(away_nm) - 0.02 <= told_nm <= float(away_nm) + 0.12
            checked += 1
    assert checked == 2


def way_named(prepared: Prepared, name: str) -> Way:
    return next(way for way in prepared.ways if way.name == name)


def test_what_is_passed_under_its_permission_is_spoken_to_in_its_turn(prepared: Prepared) -> None:
    rungs = ladder(prepared.plan, way_named(prepared, "over the top with Gannet"))
    assert [row.who for row in rungs] == [
        *("Wren Island weather", "Wren Island", "Marl ATIS"),
        *("Gannet Approach", "Sedge Tower", "Marl Tower", "Marl Ground"),
    ]
    gannet, sedge = rungs[3:5]
    assert gannet.ask == "Gannet west shelf, following"
    assert gannet.notes[1].startswith("clearance by ")
    assert sedge.notes[1].startswith("contact by 21:00Z (own margin), ")


def changed(way: Way, name: str, **changes: object) -> Way:
    """The way with one of its encounters replaced."""
    encounters = tuple(
        replace(one, **changes) if one.volume.name == name else one  # type: ignore[arg-type]
        for one in way.encounters
    )
    return replace(way, encounters=encounters)


@pytest.mark.parametrize(
    ("lateral_nm", "vertical_ft", "text"),
    [
        # Margins of the starter: 1 NM and 500 ft.
        (inf, 1_000.0, "1,000 ft under"),
        (inf, 999.9, "999 ft under"),
        (inf, 1_000.1, ""),
        (2.0, inf, "2.0 NM beside"),
        (1.99, inf, "1.9 NM beside"),
        (2.01, inf, ""),
        (0.0, 600.0, "600 ft under"),
        (3.0, 700.0, "700 ft under, 3.0 NM beside"),
        (inf, inf, ""),
        (nan, nan, "its height above ground is not known here"),
    ],
)
def test_a_neighbor_is_named_within_twice_the_margins(
    prepared: Prepared, lateral_nm: float, vertical_ft: float, text: str
) -> None:
    way = changed(prepared.way, "Gannet west shelf", lateral_nm=lateral_nm, vertical_ft=vertical_ft)
    rows = {pair.label: pair.text for pair in keep_clear(prepared.plan, way)}
    assert rows.get("Gannet west shelf (B)", "") == text


def test_what_is_set_next_is_what_is_called_next(prepared: Prepared) -> None:
    for way in prepared.ways:
        rungs = ladder(prepared.plan, way)
        for row, then in pairwise(rungs):
            assert row.standby == then.frequency
            assert row.at <= then.at
        assert rungs[-1].standby == ""


def test_what_is_not_inside_is_heeded_worst_first(prepared: Prepared) -> None:
    plan = prepared.plan
    bare = replace(plan, weather=replace(plan.weather, reports={}, forecasts={}))
    made = sheet_of(bare, way_named(prepared, "direct through Sedge"))
    verdicts = [row.label.partition(":")[0] for row in made.heed]
    order = ["outside", "unknown", "close"]
    assert verdicts == sorted(verdicts, key=order.index)
    assert made.heed_count == ", ".join(
        f"{verdicts.count(one)} {one}" for one in order if one in verdicts
    )
    assert {pair.label: pair.text for pair in made.arrival}["altimeter"] == "not known"
    printed = words("".join(pages(render(made, "pdf"))))
    assert all(words(row.label) in printed for row in made.heed)


def test_with_everything_inside_there_is_nothing_to_heed(prepared: Prepared) -> None:
    made = make_sheet(prepared.plan, prepared.way, (), pledge_sha256="0" * 64)
    assert (made.heed, made.heed_count) == ((), "")
    assert "heed" not in words(pages(render(made, "pdf"))[0])


LETTERS = ("abcdefghæøåöß", "αβγδεζηθικλάή", "абвгдежзийкщы")


def some_name(random: np.random.Generator, *, words_count: int) -> str:
    """Words of 2 to 44 letters of one script."""
    letters = list(LETTERS[int(random.integers(3))])
    return " ".join(
        "".join(random.choice(letters, int(random.integers(2, 45))))
        for _ in range(int(random.integers(1, words_count + 1)))
    )


def some_plan(
    prepared: Prepared, random: np.random.Generator, points_count: int | None = None
) -> Plan:
    """The starter's plan over 1 to 23 points, with long names for everything that has one."""
    plan = prepared.plan
    count = points_count or int(random.integers(1, 24))
    share = np.linspace(0.0, 1.0, count + 2)[1:-1]
    lat_deg = plan.departure.lat_deg * (1.0 - share) + plan.destination.lat_deg * share
    lon_deg = plan.departure.lon_deg * (1.0 - share) + plan.destination.lon_deg * share
    via = tuple(
        RoutePoint(
            name=some_name(random, words_count=4),
            lat_deg=float(lat + random.uniform(-0.03, 0.03)),
            lon_deg=float(lon),
        )
        for lat, lon in zip(lat_deg, lon_deg, strict=True)
    )
    candidate = replace(plan.flight.candidates[0], name=some_name(random, words_count=6), via=via)
    volumes = tuple(
        replace(
            volume,
            name=some_name(random, words_count=4),
            facility=some_name(random, words_count=3),
        )
        for volume in plan.places.volumes
    )
    return replace(
        plan,
        flight=replace(plan.flight, candidates=(candidate,)),
        places=replace(plan.places, volumes=volumes),
        aircraft=replace(
            plan.aircraft,
            name=some_name(random, words_count=3),
            call_sign=some_name(random, words_count=1)[:12],
        ),
    )


@pytest.mark.parametrize("seed", range(LAYOUTS_COUNT))
def test_any_flight_fits_and_loses_nothing(prepared: Prepared, seed: int) -> None:
    plan = some_plan(prepared, np.random.default_rng(seed))
    (way,) = evaluate_plan(plan)
    made = sheet_of(plan, way)
    assert 2 <= len(way.legs) <= 27
    paper, wide_pt, tall_pt = (("a5", *A5_PT), ("half-letter", 396.0, 612.0))[seed % 2]
    pdf = render(made, "pdf", form=Form(paper=paper))
    texts = pages(pdf)
    printed = words("".join(texts))
    heading = (made.route, made.call_sign, made.way, made.date, f"pledge {made.pledge}")
    for text in every_text(made):
        assert words(text) in printed, text
    for number, text in enumerate(texts, 1):
        assert all(words(part) in words(text) for part in heading)
        assert len(texts) == 1 or f"{made.pledge} {number}/{len(texts)}" in text
    assert fits(pdf, wide_pt=wide_pt, tall_pt=tall_pt)
    assert not wrapped_texts(made, texts)


def wrapped_texts(made: Sheet, texts: list[str]) -> list[str]:
    """Texts of a sheet that do not stand on one line; its last sentence may take two."""
    lines = [words(line) for text in texts for line in text.split("\n")]
    whole = [text for text in every_text(made) if text != made.caution]
    return [text for text in whole if not any(words(text) in line for line in lines)]


@pytest.mark.parametrize("paper", ["a5", "half-letter"])
def test_long_reasons_on_both_sides_keep_to_their_line(sheet: Sheet, paper: str) -> None:
    row = StretchRow(
        before="110.5",
        to=short("Lighthouse on the north mole"),
        least="12,500",
        least_why="Gannet outermost shelf (B)",
        most="17,500",
        most_why="Gannet westernmost shelf (B)",
    )
    (both,) = fitted([row])
    (above,) = fitted([replace(row, least_why="ground")])
    assert (both.least_why, both.most_why) == ("Gannet ou…(B)", "Gannet we…f (B)")
    assert (above.least_why, above.most_why) == ("ground", "Gannet western…helf (B)")
    for one in (both, above):
        made = replace(sheet, stretches=(one,))
        assert not wrapped_texts(made, pages(render(made, "pdf", form=Form(paper=paper))))


def test_the_check_for_wrapping_finds_it(sheet: Sheet) -> None:
    long = replace(sheet, total="from take-off to landing " * 6)
    assert wrapped_texts(long, pages(render(long, "pdf"))) == [long.total]


def test_forty_legs_take_a_second_sheet_and_no_smaller_letters(prepared: Prepared) -> None:
    plan = some_plan(prepared, np.random.default_rng(40), points_count=38)
    (way,) = evaluate_plan(plan)
    assert len(way.legs) >= 40
    made = sheet_of(plan, way)
    field = plan.destination
    down_ft = [float(row.height[1:].replace(",", "")) for row in made.legs if "↓" in row.height]
    pattern_ft = field.elev_msl_ft + field.pattern_agl_ft
    assert down_ft == sorted(down_ft, reverse=True)
    assert down_ft.count(pattern_ft) > 1  # the way itself goes on down to the field
    assert down_ft[-1] == field.elev_msl_ft
    for form in (Form(), Form(paper="half-letter")):
        pdf = render(made, "pdf", form=form)
        assert 3 <= len(pages(pdf)) <= 4
        assert not wrapped_texts(made, pages(pdf))


def test_a_picture_shows_all_of_a_card_that_has_two_pages(sheet: Sheet) -> None:
    once = render(sheet, "png")
    many = replace(sheet, legs=sheet.legs * 4)
    assert len(pages(render(many, "pdf"))) > 1
    width, height = (
        [int.from_bytes(png[at : at + 4]) for png in (once, render(many, "png"))] for at in (16, 20)
    )
    assert width[0] == width[1]
    assert height[1] > 1.2 * height[0]


def test_lists_longer_than_a_page_go_on_and_lose_nothing(sheet: Sheet) -> None:
    many = replace(
        sheet,
        heed=tuple(
            NumberRow(label=f"close: something {n}", value=f"{n} ft", limit="at least 500")
            for n in range(80)
        ),
        ladder=sheet.ladder * 8,
    )
    pdf = render(many, "pdf")
    printed = words("".join(pages(pdf)))
    assert len(pages(pdf)) > 3
    assert all(words(text) in printed for text in every_text(many))
    assert fits(pdf)


def test_the_check_for_overlaps_finds_one() -> None:
    one = Run(page_index=0, left_pt=20.0, line_pt=100.0, wide_pt=50.0, size_pt=8.0)
    assert one.overlaps(replace(one, left_pt=69.0))
    assert one.overlaps(replace(one, line_pt=105.0))
    assert not one.overlaps(replace(one, left_pt=70.0))
    assert not one.overlaps(replace(one, line_pt=107.5))
    assert not one.overlaps(replace(one, page_index=1))
