"""Working code of ``lubberline fit --why``: one finding in full, as text or as JSON."""

import textwrap

from lubberline.cli.output import document, say, wrapped
from lubberline.fit import account, findings_of_key
from lubberline.line import finding_record
from lubberline.loop import Prepared
from lubberline.wording import CAUTION

WORD_WIDTH = 9


def show_why(prepared: Prepared, key: str, *, as_json: bool) -> None:
    """Every finding with this key: its account, then the steps that led there."""
    found = findings_of_key(prepared.findings, key)
    if as_json:
        document(
            flight=prepared.plan.flight.title,
            way=prepared.way.name,
            findings=[finding_record(finding) for finding in found],
            caution=CAUTION,
        )
        return
    for finding in found:
        say(f"WHY  {finding.limit.label}")
        for word, text in account(finding):
            _row(word, text)
        for number, words in enumerate(finding.workings, 1):
            _row("steps" if number == 1 else "", words)
        say()
    wrapped(CAUTION)


def _row(word: str, text: str) -> None:
    """A word at the left, what there is to say beside it, at 80 columns."""
    first, rest = f"  {word:{WORD_WIDTH}}", " " * (WORD_WIDTH + 4)
    for row in textwrap.wrap(text, 80, initial_indent=first, subsequent_indent=rest):
        say(row)
