"""Clocks, upkeep and directives in an aircraft file: read whole, or refused at their lines."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, read_aircraft
from lubberline.errors import BadFile

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
TEXT = HERON.read_text(encoding="utf-8")
BARE = TEXT[: TEXT.index("# Serial numbers by part")] + TEXT[TEXT.index("# Performance tables") :]


def read(tmp_path: Path, text: str) -> Aircraft:
    path = tmp_path / "heron.toml"
    path.write_text(text, encoding="utf-8")
    return read_aircraft(path)


def problems(tmp_path: Path, added: str) -> list[str]:
    """What the reader says of the heron without upkeep, with this added at the end."""
    with pytest.raises(BadFile) as caught:
        read(tmp_path, f"{BARE}\n{added}")
    return [str(problem) for problem in caught.value.problems]


def test_the_heron_s_logbooks_are_read(heron: Aircraft) -> None:
    assert heron.clocks.on == date(2026, 11, 22)
    assert heron.clocks.reading_h("in_service") == 2_193.6
    assert heron.upkeep.annual_on == date(2026, 3, 12)
    assert [item.name for item in heron.upkeep.items] == [
        "hundred-hour",
        "registration",
        "oil",
        "propeller-overhaul",
    ]
    assert heron.serials["engine"] == "E-20417"
    assert [entry.h for entry in heron.directives[0].done] == [2_008.6, 2_150.2]


def test_all_of_it_may_be_left_out(tmp_path: Path) -> None:
    bare = read(tmp_path, BARE)
    assert bare.clocks.on is None
    assert bare.upkeep.of_kind("annual") is None
    assert bare.directives == ()
    assert bare.serials == {}


ITEM = '[[upkeep.item]]\nkind = "oil"\nclock = "tach"\nevery_h = 50\n'
DIRECTIVE = '[[directive]]\nnumber = "Q-1"\nsubject = "x"\neffective_on = 2025-04-21\n'
DONE = '[[directive.done]]\non = 2025-05-01\nmethod = "x"\nreference = "x"\n'


@pytest.mark.parametrize(
    ("added", "told"),
    [
        ("[clocks]\ntach_h = 2000\n", "a date, the day of the readings"),
        ("[clocks]\non = 2026-01-01\ntach_h = -1\n", "greater than or equal to 0"),
        ("[clocks]\nweekly_h = 169\n", "less than or equal to 168"),
        ("[upkeep]\nannual_on = 9999-12-31\n", "less than or equal to 2200-01-01"),
        ('[[upkeep.item]]\nkind = "oil"\n', "a key that makes it come due"),
        ('[[upkeep.item]]\nkind = "oil"\nevery_h = 50\n', "the clock that the hours are read from"),
        ('[[upkeep.item]]\nkind = "hundred-hour"\n', "the clock that the hours are read from"),
        ('[[upkeep.item]]\nkind = "grease"\nevery_days = 5\n', "'annual', 'hundred-hour'"),
        (f"{ITEM}every_days = 0\n", "greater than 0"),
        (f"{ITEM}last_due_h = 5\n", "a last_h as well"),
        (f"{ITEM}last_h = 4\nlast_due_h = 5\n", "at most last_h, 4"),
        (f"{ITEM}used_h = 0.5\n", "because kind is not 'elt-battery'"),
        (f"{ITEM}{ITEM}", "a name not used above"),
        ("[upkeep]\nannual_on = 2026-03-12\n[[upkeep.item]]\nkind = 'annual'\n", "not both"),
        (
            "[[upkeep.item]]\nkind = 'annual'\n[[upkeep.item]]\nkind = 'annual'\nname = 'b'\n",
            "one item of this kind",
        ),
        (f"[clocks]\non = 2026-01-01\ntach_h = 9\n{ITEM}last_h = 10\n", "at most clocks.tach_h, 9"),
        (
            f"[clocks]\non = 2026-01-01\ncycles = 9\n{ITEM}last_cycles = 10\n",
            "at most clocks.cycles, 9",
        ),
        (f"{DIRECTIVE}{DIRECTIVE}", "a number not used above"),
        (f"{DIRECTIVE}serial_ranges = [['HR-9', 'HR-1']]\n", "numbers that run up"),
        (f"{DIRECTIVE}serial_ranges = [['HR-1', 'HS-9']]\n", "numbers that run up"),
        (f"{DIRECTIVE}serial_ranges = [['one', 'two']]\n", "numbers that run up"),
        (f"{DIRECTIVE}[directive.then]\n", "one of every_h"),
        (f"{DIRECTIVE}{DONE}action = 'bolt'\n", "there is no directive.after"),
        (f"{DIRECTIVE}{DONE}{DONE.replace('2025-05', '2025-04')}", "a day not before the entry"),
        (f"{DIRECTIVE}{DONE.replace('reference', '# no reference')}", "a value"),
        (
            f"[clocks]\non = 2026-01-01\nin_service_h = 9\n{DIRECTIVE}{DONE}h = 10\n",
            "at most clocks.in_service_h, 9",
        ),
        (
            "[equipment]\nfitted = ['radio']\n[[equipment.inoperative]]\nname = 'raido'\n",
            "a name of equipment.fitted; perhaps 'radio'",
        ),
        ("[[equipment.inoperative]]\nname = 'radio'\n", "a name of equipment.fitted"),
        (
            "[equipment]\nfitted = ['radio']\n" + "[[equipment.inoperative]]\nname = 'radio'\n" * 2,
            "a name not used above",
        ),
        ("[equipment]\ncooling = 'oil'\n", "'air' or 'liquid'"),
    ],
)
def test_what_cannot_be_is_told_at_its_line(tmp_path: Path, added: str, told: str) -> None:
    (problem,) = problems(tmp_path, added)
    assert problem.startswith("line ")
    assert told in problem


VALUES = st.one_of(
    st.integers(-5, 10**7),
    st.floats(allow_nan=True, allow_infinity=True),
    st.booleans(),
    st.dates().map(lambda day: day.isoformat()),
    st.sampled_from(["'oil'", "'annual'", "'tach'", "''", "[]", "{}", "[['HR-1', 'HR-2']]"]),
)
KEYS = (
    *("kind", "name", "clock", "last_on", "last_h", "last_cycles", "last_due_h", "every_h"),
    *("every_months", "every_calendar_months", "every_days", "until", "until_h", "used_h"),
    *("number", "subject", "effective_on", "serial_ranges", "part_new_h", "after", "done", "then"),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from(["[[upkeep.item]]", "[[directive]]", "[upkeep]", "[clocks]"]),
    st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=6),
)
def test_a_fuzzed_file_is_read_or_refused_in_words(
    tmp_path: Path, table: str, pairs: dict[str, Any]
) -> None:
    rows = [f"{key} = {str(value).lower()}" for key, value in pairs.items()]
    try:
        aircraft = read(tmp_path, "\n".join([BARE, table, *rows]))
    except BadFile as refused:
        told = [problem.expected for problem in refused.problems]
    else:
        told = [aircraft.name]
    assert all(told)
