from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.errors import LubberlineError
from lubberline.weather import Level, UnreadableText, read_notice
from lubberline.weather.notice_hours import spans_of
from lubberline.weather.notice_parts import band_of, closed_runways, height_of, positions_of

US = "!QWR 11/001 QWR RWY 09/27 CLSD 2511251200-2511252200"
ICAO = """(A0001/25 NOTAMR A0009/24
Q) QZZZ/QRTCA/IV/BO/W/010/055/4110N13130W012
A) QZZZ B) 2511240600 C) 2511281800 EST
D) MON-WED 0700-1500, FRI 2200-0600
E) TEMPO RESTRICTED AREA A) WI 12NM, B) NOT BELOW
F) 1000FT AGL G) FL055)"""


def at(text: str) -> datetime:
    return datetime.strptime(f"25{text}+0000", "%y%m%d%H%M%z").astimezone(UTC)


def test_items_end_where_the_next_begins_and_letters_in_words_begin_none() -> None:
    notice = read_notice(ICAO)
    assert notice.message == "TEMPO RESTRICTED AREA A) WI 12NM, B) NOT BELOW"
    assert (notice.low, notice.high) == (
        Level(ft=1_000.0, reference="AGL"),
        Level(ft=5_500, reference="FL"),
    )
    assert notice.cancels_id == "A0009/24"
    assert notice.undecoded == ()


def test_hours_are_reckoned_inside_the_dates() -> None:
    spans = read_notice(ICAO).spans_utc
    assert spans is not None
    assert [f"{start:%d %H%M}-{end:%H%M}" for start, end in spans] == [
        "24 0700-1500",
        "25 0700-1500",
        "26 0700-1500",
    ]


@pytest.mark.parametrize(
    ("start", "end", "holds"),
    [
        ("11251300", "11251400", True),
        ("11251530", "11251600", False),  # after the day's hours
        ("11231300", "11231400", False),  # before the dates
        ("11250600", "11250700", True),  # until it begins
    ],
)
def test_a_notice_holds_in_its_hours_only(start: str, end: str, holds: bool) -> None:
    notice = read_notice(ICAO.replace(" EST", ""))
    assert notice.is_in_force(at(start), at(end)) is holds


def test_an_estimated_end_does_not_end_it() -> None:
    assert read_notice(ICAO).is_in_force(at("12011300"), at("12011400"))
    assert not read_notice(ICAO.replace(" EST", "")).is_in_force(at("12011300"), at("12011400"))


def test_hours_that_are_not_understood_are_all_hours() -> None:
    notice = read_notice(ICAO.replace("MON-WED 0700-1500", "SR-SS EXC HOL").replace(" EST", ""))
    assert notice.is_in_force(at("11270300"), at("11270400"))
    assert notice.undecoded == ("D) SR-SS EXC HOL, FRI 2200-0600",)


@pytest.mark.parametrize(
    ("message", "runways", "conditional"),
    [
        ("RWY 09/27 CLSD", ("09", "27"), False),
        ("RWY 09L/27R, 09R/27L CLSD", ("09L", "27R", "09R", "27L"), False),
        ("RWY 09 CLSD", ("09",), False),
        ("RWY 09/27 CLSD EXC XNG", ("09", "27"), True),
        ("RWY 09/27 W 500FT CLSD", ("09", "27"), True),
        ("RWY 09/27 CLSD TO ACFT MORE THAN 12500LB", ("09", "27"), True),
        ("AD AP CLSD", (), False),
        ("AD CLSD EXC PPR", (), True),
    ],
)
def test_what_is_closed(message: str, runways: tuple[str, ...], conditional: bool) -> None:
    closed = closed_runways(message)
    assert closed is not None
    assert (closed.runways, closed.conditional) == (runways, conditional)


@pytest.mark.parametrize("message", ["TWY A CLSD", "RWY 09/27 PAPI U/S", "TWR CLSD", ""])
def test_what_is_not(message: str) -> None:
    assert closed_runways(message) is None


def test_a_taxiway_at_a_runway_closes_no_runway() -> None:
    notice = read_notice("!QWR 11/002 QWR TWY A BTN RWY 09/27 AND TWY B CLSD 2511251200-2511252200")
    assert notice.consequence == "taxiway"


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("SFC", Level(ft=0.0, reference="AGL")),
        ("FL085", Level(ft=8_500.0, reference="FL")),
        ("5000FT AMSL", Level(ft=5_000.0)),
        ("400FT AGL", Level(ft=400.0, reference="AGL")),
        ("3000", Level(ft=3_000.0)),
    ],
)
def test_heights_say_their_reference(text: str, level: Level) -> None:
    assert height_of(text) == level


def test_meters_are_converted() -> None:
    level = height_of("1000M AMSL")
    assert level is not None
    assert level.ft == pytest.approx(3_280.84, abs=0.01)


def test_a_band_has_one_reference_where_only_its_top_says_it() -> None:
    assert band_of("SFC-400FT AGL") == (
        Level(ft=0, reference="AGL"),
        Level(ft=400, reference="AGL"),
    )
    assert band_of("500FT-3000FT AGL") == (
        Level(ft=500, reference="AGL"),
        Level(ft=3_000, reference="AGL"),
    )
    assert band_of("2511251200-2511252200") is None
    assert band_of("CALL 555-1234") is None


def test_three_positions_are_an_outline() -> None:
    notice = read_notice(
        "!QWR 11/003 QWR AIRSPACE ROCKET WI AN AREA DEFINED AS 410000N1310000W TO 411000N1310000W"
        " TO 411000N1304500.5W TO POINT OF ORIGIN SFC-10000FT 2511251200-2511252200"
    )
    assert len(notice.corners_deg) == 3
    assert notice.corners_deg[2] == pytest.approx((41.0 + 10 / 60, -(130 + 45 / 60 + 0.5 / 3600)))


def test_a_position_off_the_earth_is_none() -> None:
    assert positions_of("9510N13130W 4170N13130W") == ()


def test_a_daily_schedule_of_the_domestic_form() -> None:
    notice = read_notice("!QWR 11/004 QWR RWY 09/27 CLSD DLY 1300-2100 2511241200-2511282200")
    assert notice.hours == "DLY 1300-2100"
    assert notice.spans_utc is not None
    assert len(notice.spans_utc) == 5
    assert (notice.runways, notice.conditional) == (("09", "27"), False)


@pytest.mark.parametrize("hours", ["", "MON", "0700", "32 0700-0800", "2561-2600", "NOV 0700-08"])
def test_hours_that_are_none(hours: str) -> None:
    assert spans_of(hours, at("11240000"), at("11300000")) is None


@pytest.mark.parametrize("text", ["", "RWY 09/27 CLSD", "!QWR", "(A0001/25)", "A0001/25 NOTAMX"])
def test_what_is_no_notice_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText):
        read_notice(text)


@pytest.mark.parametrize("letter", ["Q", "A", "B", "C", "E"])
def test_a_missing_item_is_told(letter: str) -> None:
    notice = read_notice(ICAO.replace(f"{letter}) ", "", 1))
    assert any(group.startswith(f"{letter})") for group in notice.undecoded)


@settings(max_examples=500)
@given(
    st.sampled_from([US, ICAO]),
    st.integers(0, len(ICAO)),
    st.text(max_size=4),
    st.integers(0, 8),
)
def test_a_damaged_notice_is_read_or_refused_and_keeps_its_text(
    text: str, place: int, put: str, cut: int
) -> None:
    damaged = text[:place] + put + text[place + cut :]
    try:
        notice = read_notice(damaged)
    except LubberlineError:
        return
    assert notice.text == damaged.strip().upper()


def test_a_notice_that_is_only_its_number_has_everything_unknown() -> None:
    notice = read_notice("A0001/26 NOTAMR")
    assert (notice.id, notice.from_utc, notice.message) == ("A0001/26", None, "")
    assert len(notice.undecoded) >= 5
