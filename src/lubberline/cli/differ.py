"""Working code of ``lubberline differ``: two airplanes side by side, as text or as JSON."""

import textwrap
from dataclasses import asdict
from math import isfinite
from pathlib import Path

from lubberline.aircraft import Difference, differences, read_aircraft
from lubberline.cli.output import document, say, wrapped
from lubberline.wording import CAUTION

LABEL_WIDTH = 30
SIDE_WIDTH = 23


def show_differences(old_path: Path, new_path: Path, *, as_json: bool) -> None:
    """What differs, worst first."""
    old, new = read_aircraft(old_path), read_aircraft(new_path)
    found = differences(old, new)
    if as_json:
        document(
            old={"call_sign": old.call_sign, "type_name": old.type_name},
            new={"call_sign": new.call_sign, "type_name": new.type_name},
            differences=[_record(one) for one in found],
            caution=CAUTION,
        )
        return
    wrapped(f"DIFFER  from {old.call_sign}, {old.type_name}, to {new.call_sign}, {new.type_name}")
    for title, rows in (
        ("Where the old habit errs", [one for one in found if one.trap]),
        ("Other differences", [one for one in found if not one.trap]),
    ):
        if rows:
            say()
            _row(title, f"old: {old.call_sign}", f"new: {new.call_sign}")
        for one in rows:
            _row(f"  {one.label}", one.old, one.new)
            if one.trap:
                wrapped(one.trap, indent=4)
    if not found:
        say("Nothing differs of what the two files give.")
    say()
    wrapped(f"Not compared: performance tables, and what neither file gives. {CAUTION}")


def _record(one: Difference) -> dict[str, object]:
    ratio = one.change_ratio if isfinite(one.change_ratio) else None
    return {**asdict(one), "change_ratio": ratio}


def _row(label: str, old: str, new: str) -> None:
    """Three columns, each broken where it is too long for its own."""
    columns = [
        textwrap.wrap(label, LABEL_WIDTH, subsequent_indent="    "),
        textwrap.wrap(old, SIDE_WIDTH),
        textwrap.wrap(new, SIDE_WIDTH),
    ]
    for number in range(max(map(len, columns))):
        cells = [column[number] if number < len(column) else "" for column in columns]
        say(f"{cells[0]:{LABEL_WIDTH}} {cells[1]:{SIDE_WIDTH}} {cells[2]}".rstrip())
