"""One file of named columns, read without copying: magic, version, checksum, header, columns.

It is written beside its place and moved there whole, so that a reader, another writer or a
sudden end never meet half a file. When it is opened, all its bytes are held to the checksum:
what was cut, changed or written by another version is refused.
"""

import json
import mmap
import os
import struct
import tempfile
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from lubberline.errors import BadFile, Problem

VERSION: Final = 1
_MAGIC: Final = b"lubberline index"
_HEAD: Final = struct.Struct("<16sIIQ")  # magic, version, checksum of the rest, header's length
_ALIGN: Final = 64  # own: any number starts where the machine likes to read it

Columns = Mapping[str, NDArray[Any]]


def write_columns(path: Path, header: Mapping[str, Any], columns: Columns) -> None:
    """Write a file whole, or not at all."""
    rows = [(name, one.dtype.str, one.shape) for name, one in columns.items()]
    text = json.dumps({**header, "columns": rows}).encode()
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            checksum = 0
            file.seek(_HEAD.size)
            for part in _parts(text, columns):
                checksum = zlib.crc32(part, checksum)
                file.write(part)
            file.seek(0)
            file.write(_HEAD.pack(_MAGIC, VERSION, checksum, len(text)))
            file.flush()
            os.fsync(file.fileno())
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def read_columns(path: Path) -> tuple[dict[str, Any], Columns]:
    """Header and columns, which stay on disk until they are looked at.

    Raises
    ------
    BadFile
        If the file is missing, no such file, of another version, or not whole.
    """
    try:
        with path.open("rb") as file:
            held = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
    except (OSError, ValueError) as exc:  # an empty file cannot be mapped
        raise _refusal(path, str(exc)) from exc
    if len(held) < _HEAD.size:
        raise _refusal(path, f"{len(held)} bytes")
    magic, version, checksum, length = _HEAD.unpack_from(held)
    if magic != _MAGIC or version != VERSION:
        raise _refusal(path, f"version {version}" if magic == _MAGIC else "another form")
    if zlib.crc32(memoryview(held)[_HEAD.size :]) != checksum:
        raise _refusal(path, "bytes that do not agree with their checksum")
    header = json.loads(held[_HEAD.size : _HEAD.size + length])
    columns, start = {}, _aligned(_HEAD.size + length)
    for name, kind, shape in header.pop("columns"):
        count = int(np.prod(shape))
        column = np.frombuffer(held, dtype=kind, count=count, offset=start) if count else None
        columns[name] = np.empty(shape, kind) if column is None else column.reshape(shape)
        start = _aligned(start + columns[name].nbytes)
    return header, columns


def _parts(text: bytes, columns: Columns) -> Iterator[bytes]:
    """Header and columns with the gaps between them."""
    place = _HEAD.size + len(text)
    yield text
    for column in columns.values():
        yield bytes(_aligned(place) - place)
        place = _aligned(place) + column.nbytes
        if column.nbytes:
            yield np.ascontiguousarray(column).tobytes()


def _aligned(place: int) -> int:
    return -(-place // _ALIGN) * _ALIGN


def _refusal(path: Path, found: str) -> BadFile:
    expected = f"a whole index of version {VERSION}"
    return BadFile(path, [Problem(key="index", found=found, expected=expected)])
