"""KML tracks: ``gx:Track`` of the extension namespace, ``Track`` of KML 2.3 [KML]_.

A track lists moments (``when``) and places (``coord``: longitude, latitude, meters), the n-th
of one belonging to the n-th of the other. Heights are above mean sea level, unless the track
says that they count from the ground or do not count at all; then they are not taken. Lines
without moments are drawings, not recordings.
"""

from collections import Counter
from datetime import UTC, datetime
from itertools import zip_longest
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording.raw import RawTrack, bad_file, counted
from lubberline.recording.xml import local_name
from lubberline.units import FT_PER_M

_ABOVE_SEA_LEVEL: Final = "absolute"
_NOT_A_HEIGHT: Final = "clampToGround"  # what holds if the track says nothing: [KML]_, altitudeMode


def read_kml(path: Path, root: ElementTree.Element) -> RawTrack:
    """The samples of all tracks of a KML document in file order, one segment per track.

    Raises
    ------
    BadFile
        If there is no track with moments.

    References
    ----------
    [KML]_, elements kml:Track (gx:Track), kml:when, kml:coord and kml:altitudeMode.
    """
    account: list[str] = []
    tracks = [one for one in root.iter() if local_name(one.tag) == "Track"]
    rows = [row for number, track in enumerate(tracks) for row in _rows(track, number, account)]
    if not rows:
        raise _no_track(path, root)
    columns = np.array(rows, dtype=float).T
    timeless = int(np.isnan(columns[1]).sum())
    if timeless:
        account.append(f"{counted(timeless, 'sample')} without a readable time.")
    placeless = int(np.isnan(columns[2]).sum())
    if placeless:
        account.append(f"{counted(placeless, 'sample')} without a readable place.")
    if len(tracks) > 1:
        account.append(f"{counted(len(tracks), 'track')}, one after the other.")
    return RawTrack(
        time_s=columns[1],
        lat_deg=columns[2],
        lon_deg=columns[3],
        gnss_ft=columns[4] * FT_PER_M,
        pressure_ft=np.full(columns[1].shape, np.nan),
        channels={},
        segment_index=columns[0].astype(np.int64),
        gnss_reference="msl",
        format_name="KML",
        account=tuple(account),
    )


def _rows(track: ElementTree.Element, number: int, account: list[str]) -> list[FloatArray]:
    """One row per sample: number of the track, seconds, latitude, longitude, meters."""
    texts: dict[str, list[str]] = {"when": [], "coord": [], "altitudeMode": []}
    for child in track:
        texts.setdefault(local_name(child.tag), []).append((child.text or "").strip())
    moments, places = texts["when"], texts["coord"]
    if len(moments) != len(places):
        account.append(
            f"{counted(len(moments), 'moment')} and {counted(len(places), 'place')} in one track:"
            " what has no partner is left out."
        )
    mode = next(iter(texts["altitudeMode"]), _NOT_A_HEIGHT)
    if mode != _ABOVE_SEA_LEVEL:
        account.append(f"Heights of a track are {mode}, not above sea level: not taken.")
    rows = [
        np.array([number, _seconds(moment), *_place(place)])
        for moment, place in zip_longest(moments, places, fillvalue="")
        if moment and place
    ]
    if mode != _ABOVE_SEA_LEVEL:
        for row in rows:
            row[4] = np.nan
    return rows


def _seconds(text: str) -> float:
    """Seconds since the epoch; a moment without a zone is in UTC [KML]_."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return np.nan
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def _place(text: str) -> tuple[float, float, float]:
    """Latitude, longitude and height from "longitude latitude meters"."""
    try:
        numbers = [float(part) for part in text.replace(",", " ").split()]
    except ValueError:
        numbers = []
    if len(numbers) not in (2, 3) or not np.isfinite(numbers).all():
        return np.nan, np.nan, np.nan
    return numbers[1], numbers[0], numbers[2] if len(numbers) == 3 else np.nan


def _no_track(path: Path, root: ElementTree.Element) -> Exception:
    kinds = Counter(local_name(one.tag) for one in root.iter())
    found = "no track with moments"
    if kinds["LineString"]:
        found += f", but {counted(kinds['LineString'], 'drawn line')}"
    return bad_file(
        path,
        "Track",
        found,
        "a recorded track: gx:Track with when and coord",
        example="<when>2026-06-01T14:02:10Z</when> <gx:coord>-131.0 41.0 790</gx:coord>",
    )
