"""XML recordings: well-formed, and without a document type.

A recording needs none; entity bombs do. So a file that declares one is refused before it is read.
"""

from pathlib import Path
from xml.etree import ElementTree
from xml.parsers import expat

from lubberline.recording.raw import bad_file


def xml_root(path: Path, data: bytes, kinds: str) -> ElementTree.Element:
    """The document element of a file that declares no document type, hence no entities.

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
        return ElementTree.fromstring(data)
    except expat.ExpatError as exc:
        reason = expat.errors.messages[exc.code]
        raise bad_file(path, "XML", reason, f"a well-formed {kinds} file", line=exc.lineno) from exc
    except (ElementTree.ParseError, LookupError, ValueError) as exc:
        raise bad_file(path, "XML", f"{exc}", f"a well-formed {kinds} file") from exc


def local_name(tag: str) -> str:
    """The name of an element without its namespace."""
    return tag.rpartition("}")[2]
