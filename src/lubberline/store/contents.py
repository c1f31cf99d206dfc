"""Files as they were at the time, kept once by the hash of their content."""

import hashlib
import zlib
from typing import Final

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from lubberline.errors import NoSolution
from lubberline.store.model import KeptFile, Role
from lubberline.store.schema import ContentRow, FlightContentRow

_LEVEL: Final = 6


def files_of(session: Session, flight_id: int, role: Role | None = None) -> list[KeptFile]:
    """The files kept with a flight, of one role or of all.

    Raises
    ------
    NoSolution
        If what was kept no longer has the hash it had.
    """
    asked = (
        select(FlightContentRow, ContentRow.packed)
        .join(ContentRow)
        .where(FlightContentRow.flight_id == flight_id)
        .order_by(FlightContentRow.id)
    )
    if role is not None:
        asked = asked.where(FlightContentRow.role == role)
    return [
        KeptFile(role=row.role, name=row.name, content=_unpacked(row, packed))
        for row, packed in session.execute(asked)
    ]


def content_row(session: Session, file: KeptFile) -> FlightContentRow:
    """The row that binds a file to a flight; the content itself is kept once."""
    sha256 = hashlib.sha256(file.content).hexdigest()
    if session.get(ContentRow, sha256) is None:
        session.add(ContentRow(sha256=sha256, packed=zlib.compress(file.content, _LEVEL)))
        session.flush()
    return FlightContentRow(role=file.role, name=file.name, sha256=sha256)


def drop_unused(session: Session) -> None:
    """Let go of contents that no flight names any more."""
    named = select(FlightContentRow.sha256)
    session.execute(delete(ContentRow).where(ContentRow.sha256.not_in(named)))


def _unpacked(row: FlightContentRow, packed: bytes) -> bytes:
    try:
        content = zlib.decompress(packed)
    except zlib.error:
        content = b""
    if hashlib.sha256(content).hexdigest() != row.sha256:
        raise NoSolution(
            f"the kept file {row.name} of flight {row.flight_id} is damaged;"
            " restore the database from a copy"
        )
    return content
