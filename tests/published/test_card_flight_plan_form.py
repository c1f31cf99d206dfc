"""Flight plan messages against the published form.

ICAO Doc 4444, appendix 3, as transcribed in the dossier on flight plans: the official examples
(page A3-39 and others), the structure of the message and the rules of its items. The reader
below is written from those rules alone and shares nothing with the program.
"""

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.card.icao import (
    BadMessage,
    FlightPlanForm,
    Supplement,
    cancellation,
    change,
    delay,
    filed_plan,
    position_text,
)

OFFICIAL = (
    "(FPL-ACA101-IS-B773/H-CHOV/C-EGLL1400-N0450F310 L9 UL9 STU285036/M082F310 UL9 LIMRI 52N020W"
    " 52N030W 50N040W 49N050W-CYQX0455 CYYR-EET/EISN0026 EGGX0111 020W0136 CYQX0228 040W0330"
    " 050W0415 SEL/FJEL)"
)
# The dossier's own construction from the rules.
CONSTRUCTED = (
    "(FPL-N123AB-VG-C182/L-SDGY/C-KOKC1400-N0135VFR DCT 3520N09700W DCT-KTUL0055 KOWP-DOF/260501"
    " REG/N123AB RMK/TEST-E/0430 P/001 R/V E S/ J/ A/WHITE BLUE C/DOE)"
)
FORM = FlightPlanForm(
    call_sign="N123AB",
    type_designator="C182",
    equipment="SDGY",
    surveillance="C",
    departure="KOKC",
    off_block_utc=datetime(2026, 5, 1, 14, 0, tzinfo=UTC),
    true_airspeed_kt=135.0,
    level="VFR",
    route=("3520N09700W",),
    destination="KTUL",
    elapsed_min=55.0,
    alternates=("KOWP",),
    other={"REG": "N123AB", "RMK": "TEST"},
    supplement=Supplement(
        endurance_min=270.0, persons_count=1, pilot="DOE", colors="WHITE BLUE", radios="VE"
    ),
)
# Doc 4444: structure 3-7-8-9-10-13-15-16-18(-19).
MESSAGE = re.compile(
    r"\(FPL-(?P<i7>[A-Z0-9]{1,7})-(?P<i8>[IVYZ][SNGMX]?)-(?P<i9>(?:\d{1,2})?[A-Z0-9]{2,4}/[LMHJ])"
    r"-(?P<i10>[A-Z0-9]+/[A-Z0-9]+)-(?P<i13>[A-Z]{4}[0-2]\d[0-5]\d)"
    r"-(?P<i15>[NKM]\d{3,4}(?:[FA]\d{3}|[SM]\d{4}|VFR) [^-()]+)"
    r"-(?P<i16>[A-Z]{4}\d{2}[0-5]\d(?: [A-Z]{4}){0,2})-(?P<i18>0|[A-Z]+/[^-()]+)"
    r"(?:-(?P<i19>E/\d{4}[^-()]*))?\)"
)


def parts(message: str) -> dict[str, str]:
    match = MESSAGE.fullmatch(message)
    assert match is not None, message
    return {name: text for name, text in match.groupdict().items() if text is not None}


def test_the_reader_of_this_test_reads_the_official_example() -> None:
    read = parts(OFFICIAL)
    assert read["i13"] == "EGLL1400"
    assert read["i16"] == "CYQX0455 CYYR"


def test_the_constructed_example_is_written_item_by_item() -> None:
    written, constructed = parts(filed_plan(FORM)), parts(CONSTRUCTED)
    assert {k: v for k, v in written.items() if k != "i19"} == {
        k: v for k, v in constructed.items() if k != "i19"
    }
    # The dossier writes letters of 19 apart and empty parts; the form has them together or not.
    assert written["i19"] == "E/0430 P/001 R/VE A/WHITE BLUE C/DOE"


def test_a_cancellation_is_written_as_in_the_official_example() -> None:
    """``(CNL-DLH522-EDBB0900-LFPO-0)``, here with the day, which the example leaves out."""
    form = replace(
        FORM,
        call_sign="DLH522",
        departure="EDBB",
        destination="LFPO",
        off_block_utc=datetime(2008, 1, 22, 9, 0, tzinfo=UTC),
    )
    assert cancellation(form) == "(CNL-DLH522-EDBB0900-LFPO-DOF/080122)"


def test_a_change_is_written_as_in_the_official_example() -> None:
    """``(CHGA/F016A/F014-GABWE/A2173-EHAM0850-EDDF-DOF/080122-8/I-16/EDDN)``: numbers of
    messages and code of the transponder are the air traffic unit's and not the pilot's."""
    form = replace(
        FORM,
        call_sign="GABWE",
        departure="EHAM",
        destination="EDDF",
        off_block_utc=datetime(2008, 1, 22, 8, 50, tzinfo=UTC),
    )
    changed = replace(form, rules="I", level="F080")
    assert change(form, changed) == (
        "(CHG-GABWE-EHAM0850-EDDF-DOF/080122-8/IG-15/N0135F080 DCT 3520N09700W DCT)"
    )


def test_a_delay_names_the_new_time() -> None:
    to_utc = datetime(2026, 5, 1, 14, 45, tzinfo=UTC)
    assert delay(FORM, to_utc) == "(DLA-N123AB-KOKC1445-KTUL-DOF/260501)"


def test_names_without_four_letters_go_into_item_18() -> None:
    form = replace(FORM, departure="Q25", destination="MARL FIELD", alternates=("7Q2", "KOWP"))
    read = parts(filed_plan(form))
    assert read["i13"].startswith("ZZZZ")
    assert read["i16"] == "ZZZZ0055 ZZZZ KOWP"
    assert read["i18"].startswith("DEP/Q25 DEST/MARL FIELD DOF/260501 REG/N123AB ALTN/7Q2")


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "text"),
    [
        (35 + 20 / 60, -97.0, "3520N09700W"),
        (-0.001, 179.9999, "0000S18000E"),
        (0.0, 0.0, "0000N00000E"),
        (52.99999, -20.0, "5300N02000W"),
    ],
)
def test_positions(lat_deg: float, lon_deg: float, text: str) -> None:
    assert position_text(lat_deg, lon_deg) == text


@pytest.mark.parametrize(
    ("changes", "item"),
    [
        ({"call_sign": "Q-HRN"}, "item 7"),
        ({"call_sign": "TOOLONG8"}, "item 7"),
        ({"rules": "X"}, "item 8"),
        ({"type_designator": "Heron 200"}, "item 9"),
        ({"wake": "Q"}, "item 9"),
        ({"equipment": "S G"}, "item 10"),
        ({"equipment": "SS"}, "item 10a"),
        ({"surveillance": "NC"}, "item 10b"),
        ({"equipment": "SQ"}, "item 10a"),
        ({"equipment": "E4"}, "item 10a"),
        ({"surveillance": "B3"}, "item 10b"),
        ({"equipment": "SR"}, "item 18: found no PBN/"),
        ({"equipment": "SZ"}, "item 18: found no COM/ or NAV/ or DAT/"),
        ({"type_designator": "ZZZZ"}, "item 18: found no TYP/"),
        ({"departure": "ZZZZ"}, "item 18: found no DEP/"),
        ({"destination": "ZZZZ"}, "item 18: found no DEST/"),
        ({"alternates": ("ZZZZ",)}, "item 18: found no ALTN/"),
        ({"route": ("3520N9700W",)}, "item 15, route"),
        ({"route": ("STU285036/M82F310",)}, "item 15, route"),
        ({"level": "4500"}, "item 15"),
        ({"route": ("Split Rock",)}, "item 15"),
        ({"true_airspeed_kt": 12_345.0}, "item 15"),
        ({"alternates": ("KAAA", "KBBB", "KCCC")}, "item 16"),
        ({"elapsed_min": 6_000.0}, "item 16"),
        ({"other": {"XYZ": "A"}}, "item 18"),
        ({"other": {"RMK": "no-hyphen"}}, "item 18, RMK"),
        ({"other": {"RMK": "(HI)"}}, "item 18, RMK"),
    ],
)
def test_what_the_form_does_not_allow_is_refused_by_item(
    changes: dict[str, object], item: str
) -> None:
    with pytest.raises(BadMessage, match=item):
        filed_plan(replace(FORM, **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "item"),
    [
        ({"persons_count": 0}, "item 19, P"),
        ({"radios": "VX"}, "item 19, R"),
        ({"jackets": "LL"}, "item 19, J"),
        ({"survival": "X"}, "item 19, S"),
        ({"colors": ""}, "item 19, A"),
        ({"pilot": "Müller"}, "item 19, C"),
        ({"remarks": "a"}, "item 19, N"),
        ({"remarks": "A-B"}, "item 19, N"),
        ({"colors": "WHITE (BLUE)"}, "item 19, A"),
    ],
)
def test_the_supplement_too(changes: dict[str, object], item: str) -> None:
    assert FORM.supplement is not None
    said = replace(FORM.supplement, **changes)  # type: ignore[arg-type]
    with pytest.raises(BadMessage, match=item):
        filed_plan(replace(FORM, supplement=said))


def test_fuel_lasts_no_longer_than_it_does() -> None:
    assert FORM.supplement is not None
    said = replace(FORM.supplement, endurance_min=247.9)
    assert "-E/0407 " in filed_plan(replace(FORM, supplement=said))


def test_all_problems_come_together() -> None:
    with pytest.raises(BadMessage) as caught:
        filed_plan(replace(FORM, call_sign="", rules="X", level=""))
    assert [one.partition(":")[0] for one in caught.value.problems] == [
        *("item 7", "item 8", "item 15")
    ]


def test_every_word_of_the_official_route_is_allowed() -> None:
    route = OFFICIAL.split("-")[6].split(" ")[1:]
    assert len(route) == 9
    message = filed_plan(replace(FORM, route=tuple(route)))
    assert " ".join(f"DCT {one}" for one in route) in message


@given(
    equipment=st.text(alphabet="NSGRZEJ13Q", min_size=1, max_size=4),
    surveillance=st.text(alphabet="NCSBU12D3", min_size=1, max_size=4),
    place=st.sampled_from(["KOKC", "Q25", "ZZZZ", "MARL FIELD"]),
)
def test_codes_that_are_written_are_known_and_explained(
    equipment: str, surveillance: str, place: str
) -> None:
    form = replace(FORM, equipment=equipment, surveillance=surveillance, departure=place)
    try:
        read = parts(filed_plan(form))
    except BadMessage:
        return
    assert place != "ZZZZ"
    assert "R" not in equipment
    assert "Z" not in equipment
    assert not re.search("Q|[EJ](?![1-7])|3(?<![EJ]3)", equipment)
    assert read["i10"] == f"{equipment}/{surveillance}"
    assert ("DEP/" in read["i18"]) == (place != "KOKC")


def test_a_plan_to_another_place_is_no_change() -> None:
    with pytest.raises(BadMessage, match="item 16 cannot be changed"):
        change(FORM, replace(FORM, destination="KDAL"))
    with pytest.raises(BadMessage, match="nothing differs"):
        change(FORM, FORM)


TEXT = st.text(alphabet="AZ09 -()/qé", max_size=9)


def some(*good: str) -> st.SearchStrategy[str]:
    """What the form allows, oftener than not, so that the other items are reached."""
    return st.one_of(st.sampled_from(good), st.sampled_from(good), TEXT)


@settings(max_examples=300)
@given(
    call_sign=some("QHRN", "N123AB"),
    level=some("VFR", "A045", "F080"),
    route=st.lists(some("DCT", "STU285036/M082F310", "52N020W", "4106N13031W"), max_size=3),
    elapsed_min=st.floats(0.0, 7_000.0),
    remark=some("TEST", "A+B?"),
    colors=some("WHITE, BLUE", "RED/BLACK"),
)
def test_whatever_is_written_can_be_read(
    call_sign: str,
    level: str,
    route: list[str],
    elapsed_min: float,
    remark: str,
    colors: str,
) -> None:
    assert FORM.supplement is not None
    form = replace(
        FORM,
        call_sign=call_sign,
        level=level,
        route=tuple(route),
        elapsed_min=elapsed_min,
        other={"RMK": remark},
        supplement=replace(FORM.supplement, colors=colors),
    )
    try:
        message = filed_plan(form)
    except BadMessage:
        return
    read = parts(message)
    assert read["i7"] == call_sign
    assert f"RMK/{remark}" in read["i18"]
    assert f"A/{colors} " in read["i19"]
    for word in route:
        assert f" {word} " in f"{read['i15']} "
