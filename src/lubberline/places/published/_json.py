"""Features of a GeoJSON collection, read one after another and never all at once."""

import json
import re
from collections.abc import Iterator
from typing import IO, Any, Final

from lubberline.places.published._table import text_of

Feature = dict[str, Any]

_START: Final = re.compile(r"\"features\"\s*:\s*\[")
_SYSTEM: Final = re.compile(r"\"crs\"\s*:\s*\{[^{}]*\{[^{}]*\"name\"\s*:\s*\"([^\"]*)\"")
_BETWEEN: Final = re.compile(r"[\s,]*")
_BLOCK: Final = 1 << 20
_HEAD: Final = 1 << 22  # own: the collection's own members stand before, and are short
_KNOWN_SYSTEMS: Final = ("CRS84", "4326", "4269")


class NotRead(Exception):  # noqa: N818 - a refusal in the making: the caller knows the file
    """A text that is not read; its own text says what was found."""


def features(stream: IO[bytes]) -> Iterator[tuple[int, Feature]]:
    """Each feature with the line that it begins in.

    Raises
    ------
    NotRead
        If there is no collection, one on another system than degrees, or damage.
    """
    text = text_of(stream)
    buffer, start = "", None
    while start is None and len(buffer) < _HEAD and (block := text.read(_BLOCK)):
        buffer += block
        start = _START.search(buffer)
    if start is None:
        raise NotRead("no collection of features")
    system = _SYSTEM.search(buffer[: start.start()])
    if system is not None and not system[1].rpartition(":")[2].endswith(_KNOWN_SYSTEMS):
        raise NotRead(f"coordinates in {system[1][:60]}")
    line = 1 + buffer.count("\n", 0, start.end())
    yield from _decoded(text, buffer[start.end() :], line)


def _decoded(text: IO[str], buffer: str, line: int) -> Iterator[tuple[int, Feature]]:
    decoder, at, wanted = json.JSONDecoder(), 0, _BLOCK
    while True:
        start = _BETWEEN.match(buffer, at)
        begin = start.end() if start is not None else at
        line += buffer.count("\n", at, begin)
        at = begin
        if buffer.startswith("]", at):
            return
        try:
            feature, end = decoder.raw_decode(buffer, at)
        except RecursionError as exc:
            raise NotRead(f"line {line}: nested without end") from exc
        except ValueError as exc:  # damaged, or not whole yet
            more = text.read(wanted)
            if not more:
                raise NotRead(f"line {line}: {str(exc).partition(':')[0]}") from exc
            buffer, at, wanted = buffer[at:] + more, 0, 2 * wanted
            continue
        yield line, feature if isinstance(feature, dict) else {}
        line += buffer.count("\n", at, end)
        at, wanted = end, _BLOCK
