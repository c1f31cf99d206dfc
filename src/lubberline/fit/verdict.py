"""The one sentence on top of a check: no more than its findings say, and a plain no first."""

from collections.abc import Sequence

from lubberline.fit.appointment import ENDS
from lubberline.line import Finding, Verdict, verdict_sentence
from lubberline.wording import value_text


def fit_sentence(findings: Sequence[Finding]) -> str:
    """What all findings come to; that it will not be in time is said before all else.

    It is not where the median of the draws arrives after the time wanted, or that of closing.
    """
    late = [one for one in findings if one.limit.key in ENDS and one.verdict is Verdict.OUTSIDE]
    said = [
        f"No, not in time: {value_text(one).removeprefix('-')} late; {one.where}." for one in late
    ]
    return " ".join([*said, verdict_sentence(findings)])
