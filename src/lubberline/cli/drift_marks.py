"""Working code of ``lubberline drift --marks``: own marks beside what was measured."""

from dataclasses import asdict
from pathlib import Path

from lubberline.cli.output import document, say, wrapped
from lubberline.drift import MarksStanding, PhaseMarks, own_marks_standing
from lubberline.loop.marks import mark_rows

FEWEST_COUNT = 5


def show_marks(directory: Path, *, pilot: str | None, as_json: bool) -> None:
    """How a pilot's marks and stated chances stand beside the measured ones."""
    who, rows = mark_rows(directory, pilot=pilot)
    found = own_marks_standing(rows)
    if as_json:
        document(pilot=who, **asdict(found))
        return
    say(f"MARKS  {who}: {len(rows)} own marks")
    if not rows:
        wrapped(
            "None yet. Mark a flight from memory before you look at the result: lubberline mark"
            " FLIGHT."
        )
        return
    _phases(found)
    _chances(found)
    if found.unanswered_count:
        count = found.unanswered_count
        wrapped(f"{count} mark{'' if count == 1 else 's'}: nothing measured answers.")


def _phases(found: MarksStanding) -> None:
    if not found.phases:
        return
    say()
    say(f"  {'phase':24}{'flights':>8}{'the same':>10}{'agreement':>12}  you mark yourself")
    for one in found.phases:
        say(_phase_row(one))
    say()
    wrapped(
        "Agreement is beyond chance: 1 perfect, 0 chance, with its standard error; a near miss"
        " counts a quarter of a wide one (quadratic weights). Kinder and harsher in steps of the"
        " three words, with the range in which the mean lies in 19 cases of 20."
    )


def _phase_row(one: PhaseMarks) -> str:
    agreement = "-"
    if one.agreement is not None:
        agreement = f"{one.agreement.kappa_ratio:.2f} ±{one.agreement.sigma_ratio:.2f}"
    return (
        f"  {one.phase[:24]:24}{one.flight_count:8}{one.same_count:10}{agreement:>12}  {_bias(one)}"
    )


def _bias(one: PhaseMarks) -> str:
    """Plainly, and only what the interval bears out."""
    if one.bias_count is None or one.low is None or one.high is None:
        return f"too early: {FEWEST_COUNT - one.flight_count} more"
    span = f"{one.low:+.1f} to {one.high:+.1f}"
    if one.low > 0.0:
        return f"kinder, {span}"
    return f"harsher, {span}" if one.high < 0.0 else f"fairly, {span}"


def _chances(found: MarksStanding) -> None:
    parts = found.chances
    if parts is None:
        return
    wrapped(
        f"{found.chance_count} stated chances: mean squared miss {parts.score_ratio:.3f} ="
        f" {parts.reliability_ratio:.3f} (how far what you said lies from what came, best 0) -"
        f" {parts.resolution_ratio:.3f} (how well you tell good flights from bad, the more the"
        f" better) + {parts.uncertainty_ratio:.3f} (what nobody could have known)."
    )
