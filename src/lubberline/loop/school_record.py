"""A learner's training record as CSV and as one HTML page: every task, every piece of evidence."""

import csv
import io
from collections.abc import Sequence
from datetime import date
from html import escape
from typing import Final

from lubberline.loop.practice_tasks import bounds_words
from lubberline.loop.school import Evidence, TaskRecord
from lubberline.wording import CAUTION

HEADINGS: Final = (
    *("task_code", "task", "standing", "flown_utc", "flight", "airplane", "type_name"),
    *("measure", "value", "sigma", "low", "high", "unit", "verdict", "recording_sha256"),
)
_STYLE: Final = """
body { font: 15px/1.45 Georgia, serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem;
  color: #111; background: #fff; }
table { border-collapse: collapse; width: 100%; margin: 0 0 1.4rem; }
th, td { border-bottom: 1px solid #999; padding: .25rem .5rem; text-align: left;
  vertical-align: top; }
td.n { text-align: right; font-variant-numeric: tabular-nums; }
h2 { font-size: 1.05rem; margin: 1.2rem 0 .3rem; }
.word { font-weight: normal; }
.sign span { display: inline-block; border-bottom: 1px solid #111; width: 16rem; }
@media (max-width: 40rem) { th:is(:nth-child(2), :nth-child(3)), td:is(:nth-child(2), :nth-child(3))
  { display: none; } td, th { padding: .25rem .2rem; } }
@media print { h2, tr { break-inside: avoid; } }
"""


def record_csv(records: Sequence[TaskRecord]) -> str:
    """One row for each piece of evidence; a task without any has a row of its own."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(HEADINGS)
    for task in records:
        start = [task.code, task.label, task.word]
        for one in task.evidence:
            writer.writerow([*start, *_cells(one)])
        if not task.evidence:
            writer.writerow([*start, *("" for _ in HEADINGS[3:])])
    return out.getvalue()


def record_html(records: Sequence[TaskRecord], *, learner: str, by: str, made_on: date) -> str:
    """The record as one page without any other file, with a place to sign."""
    shown = [one for one in records if one.evidence]
    bare = [one for one in records if not one.evidence]
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>Training record of {escape(learner)}</title><style>{_STYLE}</style></head><body>",
        f"<h1>Training record of {escape(learner)}</h1>",
        f"<p>By {escape(by)}; made on {made_on.isoformat()} from recorded flights.</p>",
        *(_section(one) for one in shown),
        f"<h2>Not shown by any recording yet</h2><p>{escape(_codes(bare))}</p>" if bare else "",
        '<p class="sign">Learner <span></span> Instructor <span></span></p>',
        f"<p>{escape(CAUTION)} A recording shows numbers; whether a task was done is for the"
        " instructor to say.</p>",
        "</body></html>\n",
    ]
    return "\n".join(part for part in parts if part)


def _section(task: TaskRecord) -> str:
    rows = "".join(_row(one) for one in task.evidence)
    return (
        f"<h2>{escape(task.code)} {escape(task.label)}:"
        f' <span class="word">{escape(task.word)}</span></h2>'
        "<table><thead><tr><th>day</th><th>flight</th><th>airplane</th><th>measure</th>"
        f"<th>value</th><th>allowed</th><th>verdict</th></tr></thead><tbody>{rows}</tbody></table>"
    )


def _row(one: Evidence) -> str:
    finding = one.finding
    value = "" if finding.value is None else f"{finding.value:.1f} ± {finding.sigma:.1f}"
    words = [
        f"{one.flown_utc:%Y-%m-%d}",
        one.title,
        f"{one.aircraft}, {one.type_name or 'type not known'}",
        finding.limit.label,
    ]
    cells = "".join(f"<td>{escape(text)}</td>" for text in words)
    unit, bounds = escape(finding.limit.unit), escape(bounds_words(finding.limit))
    return (
        f'<tr>{cells}<td class="n">{escape(value)} {unit}</td>'
        f'<td class="n">{bounds}</td><td>{escape(str(finding.verdict))}</td></tr>'
    )


def _cells(one: Evidence) -> list[str]:
    finding, limit = one.finding, one.finding.limit
    numbers = (finding.value, finding.sigma, limit.low, limit.high)
    return [
        one.flown_utc.isoformat(),
        one.title,
        one.aircraft,
        one.type_name or "",
        limit.key,
        *("" if value is None else f"{value:.6g}" for value in numbers),
        limit.unit,
        str(finding.verdict),
        one.recording_sha256,
    ]


def _codes(bare: Sequence[TaskRecord]) -> str:
    return "; ".join(f"{one.code} {one.label}" for one in bare)
