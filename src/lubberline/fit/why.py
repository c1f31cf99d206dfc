"""One finding in full: what it is held against, how it came about, and where that stands."""

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from math import floor
from typing import Final

from lubberline.errors import NoSolution
from lubberline.line import COVERAGE, Finding, Verdict
from lubberline.wording import doubt_text, limit_text, value_text

CLOSE_COUNT: Final = 5  # own: keys offered in place of one that there is not
BASIS_WORDS: Final = {
    "law": "the law",
    "manual": "the airplane's manual",
    "standard": "the standard flown to",
    "own": "your own",
}


def findings_of_key(findings: Sequence[Finding], key: str) -> tuple[Finding, ...]:
    """The findings with this key, in their order.

    Raises
    ------
    NoSolution
        If there is none; it lists keys that are close.
    """
    found = tuple(finding for finding in findings if finding.limit.key == key)
    if not found:
        close = ", ".join(_close_keys(findings, key)) or "none; --json lists all"
        raise NoSolution(f"no finding has the key {key!r}; close keys: {close}")
    return found


def account(finding: Finding) -> tuple[tuple[str, str], ...]:
    """Rows of a word and what there is to say, in the order to read them; no empty rows."""
    limit = finding.limit
    rows = [
        ("key", limit.key),
        ("value", value_text(finding)),
        ("doubt", _doubt_words(finding)),
        ("limit", f"{limit_text(limit)} {limit.unit}".rstrip()),
        ("buffer", f"{limit.buffer:g} {limit.unit} to keep from it" if limit.buffer else ""),
        ("margin", _margin_words(finding)),
        ("verdict", _verdict_words(finding)),
        ("where", finding.where),
        ("note", finding.note),
        ("missing", finding.missing),
        ("basis", BASIS_WORDS[limit.basis]),
        ("source", limit.source),
    ]
    return tuple((word, text) for word, text in rows if text)


def _close_keys(findings: Sequence[Finding], key: str) -> Iterator[str]:
    """Keys that contain what was asked for, then keys that are spelled like it."""
    keys = sorted({finding.limit.key for finding in findings})
    asked = key.casefold()
    inside = [one for one in keys if asked and asked in one]
    names = {one.partition(".")[2]: one for one in keys}
    alike = get_close_matches(asked, keys, n=CLOSE_COUNT, cutoff=0.5)
    alike += [names[one] for one in get_close_matches(asked, names, n=CLOSE_COUNT, cutoff=0.5)]
    yield from list(dict.fromkeys([*inside, *alike]))[:CLOSE_COUNT]


def _doubt_words(finding: Finding) -> str:
    doubt = doubt_text(finding)
    unit = finding.limit.unit
    return f"{doubt} {unit}, one standard uncertainty" if doubt else ""


def _margin_words(finding: Finding) -> str:
    margin = finding.margin
    if margin is None:
        return ""
    side = "outside the limit" if finding.verdict is Verdict.OUTSIDE else "to the limit"
    shown = floor(round(margin * 100.0, 6)) / 100.0  # down: never more room than there is
    return f"{abs(shown):,.10g} {finding.limit.unit} {side}"


def _verdict_words(finding: Finding) -> str:
    """The verdict, and what made it so."""
    why = {
        Verdict.OUTSIDE: "the value lies outside the limit",
        Verdict.UNKNOWN: "the value or its limit is not known",
        Verdict.CLOSE: "within the limit, but nearer than the doubt or the buffer allows",
        Verdict.INSIDE: "within the limit with room for the doubt",
    }
    twice = f" ({COVERAGE:g} times the doubt counts)" if finding.sigma else ""
    return f"{finding.verdict}: {why[finding.verdict]}{twice}"
