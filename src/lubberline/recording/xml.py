"""XML recordings: well-formed, and without a document type.

A recording needs none; entity bombs do. So a file that declares one is refused before it is read.
A file that ends in the middle, as of a recorder that lost its power, is read to its last whole
sample.
"""

from contextlib import suppress
from pathlib import Path
from typing import Final
from xml.etree import ElementTree
from xml.parsers import expat

from lubberline.recording.raw import bad_file

_SAMPLES: Final = ("trkpt", "coord")  # an element that is one sample when it is whole
_CUT: Final = {
    *(expat.errors.XML_ERROR_NO_ELEMENTS, expat.errors.XML_ERROR_UNCLOSED_TOKEN),
    *(expat.errors.XML_ERROR_PARTIAL_CHAR, expat.errors.XML_ERROR_UNCLOSED_CDATA_SECTION),
}  # what the parser says where the data ends too soon


def xml_root(path: Path, data: bytes, kinds: str) -> tuple[ElementTree.Element, str]:
    """The document element of a file that declares no document type, hence no entities.

    Of a file that ends in the middle, that of its whole samples, with a sentence that says so.

    Raises
    ------
    BadFile
        If it is not well-formed or declares a document type; ``kinds`` says what is expected.
    """
    guard = expat.ParserCreate()

    def refuse(*_: object) -> None:
        raise bad_file(
            path, "document type", "a DOCTYPE declaration", f"{kinds} without one",
            line=guard.CurrentLineNumber,
        )  # fmt: skip

    guard.StartDoctypeDeclHandler = refuse
    try:
        guard.Parse(data, True)
        return ElementTree.fromstring(data), ""
    except expat.ExpatError as exc:
        whole = _whole(data) if expat.errors.messages[exc.code] in _CUT else b""
        if whole:
            return ElementTree.fromstring(whole), (
                f"The file ends in the middle, in line {exc.lineno:,}: everything up to its last"
                " whole sample is read, what came after is lost."
            )
        reason = expat.errors.messages[exc.code]
        raise bad_file(path, "XML", reason, f"a well-formed {kinds} file", line=exc.lineno) from exc
    except (ElementTree.ParseError, LookupError, ValueError) as exc:
        raise bad_file(path, "XML", f"{exc}", f"a well-formed {kinds} file") from exc


def _whole(data: bytes) -> bytes:
    """What comes before the end of the last whole sample, with all that is open closed."""
    open_tags: list[str] = []
    last: tuple[int, tuple[str, ...]] = (0, ())
    parser = expat.ParserCreate()

    def end(tag: str) -> None:
        nonlocal last
        open_tags.pop()
        if local_name(tag.replace(":", "}")) in _SAMPLES:
            last = (parser.CurrentByteIndex, tuple(open_tags))

    parser.StartElementHandler = lambda tag, _: open_tags.append(tag)
    parser.EndElementHandler = end
    with suppress(expat.ExpatError):  # it ends in the middle: that is why it is read again
        parser.Parse(data, True)
    start, still_open = last
    closed = "".join(f"</{tag}>" for tag in reversed(still_open))
    return data[: data.index(b">", start) + 1] + closed.encode() if start else b""


def local_name(tag: str) -> str:
    """The name of an element without its namespace."""
    return tag.rpartition("}")[2]
