"""Damaged copies of good files, and what must hold of whatever a reader makes of them."""

import os
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import numpy as np
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from lubberline.errors import BadFile
from lubberline.places import DataSet, Polygon

EXAMPLES: Final = int(os.environ.get("LUBBERLINE_FUZZ", "30"))  # 10,000 in `make fuzz`
FUZZ: Final = settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    database=None,
)

TOKENS: Final = (
    *(b'"', b",", b"\r", b"\n", b"\0", b"\t", b" ", b"-", b".", b";", b"\x1a", b"\xff\xfe"),
    *(b"\xef\xbb\xbf", b"nan", b"inf", b"-9998", b"1e308", b"99999999999999999999", b"UNLTD"),
    *(b"BYNOTAM", b'""', b"\xc3\x28", b"A" * 3_000, b"\n" * 50, b'"\n"', b"PK\3\4"),
    *(struct.pack(form, value) for form in ("<I", ">I") for value in (0, 1, 2**31, 2**32 - 1)),
    *(struct.pack("<d", value) for value in (np.nan, np.inf, 1e300, -1e-300)),
)


@st.composite
def mutated(draw: st.DrawFn, content: bytes) -> bytes:
    """The content with a few things done to it."""
    data = bytearray(content)
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, max(len(data) - 1, 0)))
        size = draw(st.integers(1, 60))
        match draw(st.sampled_from(("flip", "put", "over", "drop", "end", "again", "move"))):
            case "flip" if data:
                data[at] ^= 1 << draw(st.integers(0, 7))
            case "put":
                data[at:at] = draw(st.sampled_from(TOKENS))
            case "over":
                token = draw(st.sampled_from(TOKENS) | st.binary(max_size=8))
                data[at : at + len(token)] = token
            case "drop":
                del data[at : at + size]
            case "end":
                del data[at:]
            case "again":
                data[at:at] = data[at : at + size] * draw(st.integers(1, 4))
            case "move":
                to = draw(st.integers(0, len(data)))
                piece = bytes(data[at : at + size])
                del data[at : at + size]
                data[to:to] = piece
    return bytes(data)


def survives(read: Callable[[Path], DataSet], path: Path) -> None:
    """The reader gives a sound data set with an account, or one clear refusal."""
    result: DataSet | BadFile
    try:
        result = read(path)
    except BadFile as refused:
        result = refused
    if isinstance(result, BadFile):
        assert result.problems
        assert all(problem.found and problem.expected for problem in result.problems)
        return
    account = result.account
    assert account.left_out_count >= len(account.left_out)
    assert all(one.reason for one in account.left_out)
    check_sound(result)


def check_sound(data: DataSet) -> None:
    """Nothing is nowhere on earth, upside down or of no size."""
    spots: tuple[Any, ...] = (*data.aerodromes, *data.waypoints, *data.points)
    for spot in spots:
        assert abs(spot.lat_deg) <= 90.0
        assert abs(spot.lon_deg) <= 180.0
    for aerodrome in data.aerodromes:
        assert aerodrome.id
        assert aerodrome.pattern_agl_ft > 0.0
        for runway in aerodrome.runways:
            assert runway.length_ft > 0.0
            assert not any(abs(end.lat_deg) > 90.0 for end in runway.ends)
    assert len({one.id for one in data.aerodromes}) == len(data.aerodromes)
    for volume in data.volumes:
        _check_volume(volume)
    if data.obstacles is not None:
        found = data.obstacles
        assert (np.abs(found.lat_deg) <= 90.0).all()
        assert (np.abs(found.lon_deg) <= 180.0).all()
        assert np.isfinite(found.top_msl_ft).all()


def _check_volume(volume: Any) -> None:
    floor, ceiling = volume.floor, volume.ceiling
    assert volume.id
    assert ceiling.reference != "SFC"
    if (floor.reference == "MSL") == (ceiling.reference == "MSL"):
        assert ceiling.ft > floor.ft
    if isinstance(volume.footprint, Polygon):
        for ring in (volume.footprint.corners_deg, *volume.footprint.holes_deg):
            assert len(ring) >= 3
            assert (np.abs(ring) <= [90.0, 180.0]).all()
