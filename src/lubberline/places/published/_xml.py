"""Elements of XML read as a stream, one feature after another, their names without namespaces.

Published data need no document type; entity bombs and foreign files do. So a file that declares
one is refused where it does, as is one that nests deeper or holds more than any that is published.
"""

from collections.abc import Collection, Iterator
from typing import IO, Final
from xml.etree.ElementTree import Element
from xml.parsers import expat

MOST_DEEP: Final = 200  # own: published data nest some 30 deep
MOST_NODES: Final = 30_000_000  # own
LINE: Final = "line"  # of a feature, as an attribute
_BLOCK: Final = 1 << 20


class NotRead(Exception):  # noqa: N818 - a refusal in the making: the caller knows the file
    """A document that is not read; its text says what was found."""


def features(stream: IO[bytes], kinds: Collection[str]) -> Iterator[Element]:
    """Every element of these kinds that is in no other of them, complete.

    Raises
    ------
    NotRead
        If the document is not well-formed, declares a document type or goes beyond a limit.
    """
    growth = _Growth(frozenset(kinds))
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = growth.start
    parser.EndElementHandler = growth.end
    parser.CharacterDataHandler = growth.text
    parser.StartDoctypeDeclHandler = growth.doctype
    growth.parser = parser
    try:
        while block := stream.read(_BLOCK):
            parser.Parse(block, False)
            yield from growth.taken()
        parser.Parse(b"", True)
    except (expat.ExpatError, LookupError, ValueError) as exc:
        raise NotRead(f"line {parser.CurrentLineNumber}: {exc}") from exc
    yield from growth.taken()


def local(name: str) -> str:
    """A name without its namespace."""
    return name.rpartition(" ")[2]


def said(element: Element | None, path: str) -> str:
    """The text at a path, "" if there is none."""
    return "" if element is None else " ".join((element.findtext(path) or "").split())


class _Growth:
    """The features that are being read."""

    def __init__(self, kinds: frozenset[str]) -> None:
        self.parser: expat.XMLParserType | None = None
        self._kinds = kinds
        self._open: list[Element] = []
        self._done: list[Element] = []
        self._depth = self._nodes = 0

    def taken(self) -> list[Element]:
        """What was completed since the last time."""
        done, self._done = self._done, []
        return done

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        if self._depth > MOST_DEEP:
            raise NotRead(f"elements nested over {MOST_DEEP} deep")
        kind = local(name)
        if not self._open and kind not in self._kinds:
            return
        self._nodes += 1
        if self._nodes > MOST_NODES:
            raise NotRead(f"over {MOST_NODES:,} elements")
        node = Element(kind, {local(key): value for key, value in attributes.items()})
        if self._open:
            self._open[-1].append(node)
        elif self.parser is not None:
            node.set(LINE, str(self.parser.CurrentLineNumber))
        self._open.append(node)

    def end(self, _: str) -> None:
        self._depth -= 1
        if self._open and (node := self._open.pop()) is not None and not self._open:
            self._done.append(node)

    def text(self, text: str) -> None:
        """Text before the first child of an element; no published value stands elsewhere."""
        if self._open and not len(self._open[-1]):
            self._open[-1].text = (self._open[-1].text or "") + text

    def doctype(self, *_: object) -> None:
        raise NotRead("a document type (DOCTYPE), which such data never have")
