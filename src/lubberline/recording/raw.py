"""What a reader took from a file: columns in file order and in our units, not yet cleaned.

Readers know formats and convert units; ``clean`` knows what a track must keep. This value is
all that passes between them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from lubberline.arrays import FloatArray, IntArray
from lubberline.errors import BadFile, Problem
from lubberline.recording.model import GnssReference


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RawTrack:
    """Columns of shape (n,) as the file has them; NaN where it gives nothing.

    Times count from the Unix epoch and may come in any order. ``segment_index`` changes where
    the format itself says that recording stopped and began again.
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    gnss_ft: FloatArray
    pressure_ft: FloatArray
    channels: Mapping[str, FloatArray]
    segment_index: IntArray
    gnss_reference: GnssReference
    format_name: str
    account: tuple[str, ...]


def bad_file(
    path: Path, key: str, found: str, expected: str, *, example: str = "", line: int | None = None
) -> BadFile:
    """The refusal of a file for one reason."""
    problem = Problem(key=key, found=found, expected=expected, example=example, line=line)
    return BadFile(path, [problem])


def utc_text(time_s: float) -> str:
    """A moment for a sentence, to the second: 2026-06-01 14:02:10 UTC."""
    return f"{datetime.fromtimestamp(round(time_s), UTC):%Y-%m-%d %H:%M:%S} UTC"


def counted(count: int, noun: str, plural: str = "") -> str:
    """A number with its noun: 1 sample, 2 samples, 1,200 samples."""
    return f"{count:,} {noun if count == 1 else plural or noun + 's'}"
