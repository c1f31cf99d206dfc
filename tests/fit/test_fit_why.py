"""Why a finding is what it is: every part of it told, close keys for one that there is not."""

from dataclasses import replace

import pytest

from lubberline.errors import NoSolution
from lubberline.fit import account, findings_of_key
from lubberline.line import Finding, Limit, unknown

LIMIT = Limit(
    key="flight.crosswind_departure",
    label="crosswind",
    unit="kt",
    high=15.0,
    buffer=2.0,
    basis="law",
    source="14 CFR 0.0, read 2026-11-25",
)
FINDING = Finding(
    limit=LIMIT, value=11.004, sigma=1.0, where="wind 240\u00b0", note="gust", workings=("a", "b")
)


def test_an_account_tells_every_part_of_a_finding() -> None:
    assert dict(account(FINDING)) == {
        "key": "flight.crosswind_departure",
        "value": "12 kt",
        "doubt": "\u00b11 kt, one standard uncertainty",
        "limit": "at most 15 kt",
        "buffer": "2 kt to keep from it",
        "margin": "3.99 kt to the limit",
        "verdict": "inside: within the limit with room for the doubt (2 times the doubt counts)",
        "where": "wind 240\u00b0",
        "note": "gust",
        "basis": "the law",
        "source": "14 CFR 0.0, read 2026-11-25",
    }


@pytest.mark.parametrize(
    ("value", "verdict", "margin"),
    [
        (15.001, "outside: the value lies outside the limit", "0.01 kt outside the limit"),
        (14.0, "close: within the limit, but nearer than the doubt", "1 kt to the limit"),
        (12.0, "inside: within", "3 kt to the limit"),
    ],
)
def test_the_verdict_says_what_made_it_so_and_the_margin_rounds_to_the_safe_side(
    value: float, verdict: str, margin: str
) -> None:
    told = dict(account(replace(FINDING, value=value)))
    assert told["verdict"].startswith(verdict)
    assert told["margin"] == margin


def test_what_is_not_known_says_what_would_supply_it() -> None:
    told = dict(account(unknown(LIMIT, "a METAR")))
    assert told["value"] == "not known"
    assert told["missing"] == "a METAR"
    assert told["verdict"].startswith("unknown")
    assert not {"margin", "doubt", "note", "where"} & set(told)


def test_all_findings_of_one_key_are_given_in_their_order() -> None:
    other = replace(FINDING, value=3.0)
    stranger = replace(FINDING, limit=replace(LIMIT, key="flight.other"))
    assert findings_of_key([other, stranger, FINDING], LIMIT.key) == (other, FINDING)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("crosswind", "close keys: flight.crosswind_departure"),
        ("flight.crosswind_deprature", "close keys: flight.crosswind_departure"),
        ("crossvind_departure", "close keys: flight.crosswind_departure"),
        ("zzz", "close keys: none; --json lists all"),
        ("", "close keys: none; --json lists all"),
    ],
)
def test_a_key_that_there_is_not_lists_close_ones(asked: str, told: str) -> None:
    with pytest.raises(NoSolution) as caught:
        findings_of_key([FINDING], asked)
    assert str(caught.value) == f"no finding has the key {asked!r}; {told}"
