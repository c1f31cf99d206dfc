"""The account that every reader of a published form keeps: what was read, what was not and why."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final, TypeVar

from lubberline.errors import BadFile, Problem
from lubberline.places.dataset import Account, LeftOut

KEPT: Final = 1_000  # own: of what was left out, as many are told one by one
KEPT_ALIKE: Final = 50  # own: and of those with one reason

Made = TypeVar("Made")
Row = TypeVar("Row")


class Unfit(Exception):  # noqa: N818 - a judgement on a row, not a failure
    """A row, or a part of it, that cannot be what it claims to be; its text is the reason."""


class Accounting:
    """Counts while a file is read."""

    def __init__(self) -> None:
        self._read: Counter[str] = Counter()
        self._reasons: Counter[str] = Counter()
        self._left_out: list[LeftOut] = []

    def read(self, kind: str, count: int = 1) -> None:
        """Items of a kind, in the plural ("aerodromes"), were taken."""
        self._read[kind] += count

    def leave_out(self, file: str, line: int | None, item: str, reason: str) -> None:
        """An item, or a part of it, was not taken."""
        self._reasons[reason] += 1
        if len(self._left_out) < KEPT and self._reasons[reason] <= KEPT_ALIKE:
            left = LeftOut(file=file, line=line, item=item[:80], reason=reason[:200])
            self._left_out.append(left)

    def leave_out_all(self, file: str, lines: Sequence[int], item: str, reason: str) -> None:
        """The same of many lines."""
        for line in lines[:KEPT_ALIKE]:
            self.leave_out(file, line, item, reason)
        self._reasons[reason] += max(len(lines) - KEPT_ALIKE, 0)

    def made(
        self, kind: str, file: str, rows: Iterable[tuple[int, Row]], make: Callable[[Row], Made]
    ) -> Iterator[Made]:
        """What is made of each row with its line; rows that are unfit are left out."""
        for line, row in rows:
            try:
                one = make(row)
            except Unfit as exc:
                name = next(iter(row.values()), "") if isinstance(row, dict) else ""
                self.leave_out(file, line, f"{kind} {name}".strip(), str(exc))
                continue
            self.read(kind)
            yield one

    def done(self) -> Account:
        """The account so far."""
        return Account(
            read=dict(self._read),
            left_out=tuple(self._left_out),
            left_out_count=self._reasons.total(),
        )


def refusal(path: Path, found: str, expected: str, key: str = "file") -> BadFile:
    """One error for a file that as a whole is not what it should be."""
    return BadFile(path, [Problem(key=key, found=found, expected=expected)])
