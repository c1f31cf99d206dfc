"""Asks the official aviation weather service for what one flight needs.

The data interface of the US National Weather Service as documented ([NWS-API]_): one request
per product, texts as they were issued, areas as JSON. Each product comes alone: what cannot be
had does not keep the rest from coming.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any, Final

import numpy as np

from lubberline.fetch import NO_CONNECTION, Client, Fetched, NoAnswer
from lubberline.weather.advice import Spot

# Own, by how often each is issued; the publisher allows 100 requests a minute: [NWS-API]_.
_FRESH: Final = {
    "metar": timedelta(minutes=5),
    "taf": timedelta(minutes=10),
    "windtemp": timedelta(minutes=60),
    "airsigmet": timedelta(minutes=5),
    "gairmet": timedelta(minutes=10),
    "pirep": timedelta(minutes=5),
}
_AREAS: Final = ("airsigmet", "gairmet")
_BY_BOX: Final = ("metar", "taf", "pirep")
AROUND_NM: Final = 100.0  # 14 CFR 91.121(a)(1)(i): as far as a station's setting serves


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A piece of the map; it may not cross the date line."""

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float

    def __str__(self) -> str:
        """The corners in the order that the service asks for."""
        corners = (self.south_deg, self.west_deg, self.north_deg, self.east_deg)
        return ",".join(f"{corner:.2f}" for corner in corners)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """Answers by name ("metar", "windtemp-06"), and the reason for each that failed."""

    answers: Mapping[str, Fetched]
    missing: Mapping[str, NoAnswer]


def boxes_round(places_deg: Sequence[Spot], margin_nm: float = AROUND_NM) -> tuple[Box, ...]:
    """The piece of the map round places, in two if it lies across the date line.

    Examples
    --------
    >>> [str(box) for box in boxes_round([(41.0, -131.0), (41.5, -130.0)], 60.0)]
    ['40.00,-132.36,42.50,-128.64']
    >>> [str(box) for box in boxes_round([(0.0, 179.5)], 60.0)]
    ['-1.00,178.50,1.00,180.00', '-1.00,-180.00,1.00,-179.50']
    """
    lat_deg = np.array([lat for lat, _ in places_deg])
    lon_deg = np.unwrap(np.array([lon for _, lon in places_deg]), period=360.0)
    up_deg = margin_nm / 60.0
    south_deg, north_deg = max(lat_deg.min() - up_deg, -90.0), min(lat_deg.max() + up_deg, 90.0)
    narrowest = np.cos(np.radians(max(-south_deg, north_deg)))
    aside_deg = 360.0 if narrowest < 1e-6 else up_deg / narrowest
    west_deg, east_deg = lon_deg.min() - aside_deg, lon_deg.max() + aside_deg
    if east_deg - west_deg >= 360.0:
        west_deg, east_deg = -180.0, 180.0
    if west_deg < -180.0:
        spans = [(west_deg + 360.0, 180.0), (-180.0, east_deg)]
    elif east_deg > 180.0:
        spans = [(west_deg, 180.0), (-180.0, east_deg - 360.0)]
    else:
        spans = [(west_deg, east_deg)]
    return tuple(
        Box(south_deg=south_deg, north_deg=north_deg, west_deg=west, east_deg=east)
        for west, east in spans
    )


def gather(client: Client, address: str, *boxes: Box) -> Gathered:
    """Everything that the service has for pieces of the map.

    Parameters
    ----------
    client : Client
    address : str
        Of the service, without a slash at its end.
    *boxes : Box
        Reports, forecasts and pilot reports from within; areas and winds aloft come for the
        whole country. Each table of winds says when it is for use.
    """
    answers: dict[str, Fetched] = {}
    missing: dict[str, NoAnswer] = {}
    offline = ""  # one product that finds no connection speaks for the others
    for name, params in _requests().items():
        product = name.partition("-")[0]
        asked = [params | {"bbox": f"{box}"} for box in boxes] if product in _BY_BOX else [params]
        url = f"{address}/{product}"
        try:
            answers[name] = _joined([_asked(client, url, one, offline) for one in asked])
        except NoAnswer as exc:
            missing[name] = exc
        failed = missing[name].reason if name in missing else answers[name].stale_reason
        offline = NO_CONNECTION if failed == NO_CONNECTION else offline
    return Gathered(answers=answers, missing=missing)


def _asked(client: Client, url: str, params: Mapping[str, str], offline: str) -> Fetched:
    product = url.rpartition("/")[2]
    check = _a_list if product in _AREAS else _a_text
    return client.fetch(url, params, fresh_for=_FRESH[product], check=check, offline_reason=offline)


def _joined(parts: Sequence[Fetched]) -> Fetched:
    """Texts one after the other, as old as the oldest of them."""
    oldest = min(parts, key=lambda one: one.fetched_utc)
    return replace(
        oldest,
        content=b"\n".join(one.content for one in parts),
        stale_reason=next((one.stale_reason for one in parts if one.stale_reason), ""),
    )


def section_text(product: str, content: bytes, boxes: Sequence[Box]) -> tuple[str, int]:
    """An answer as the text of a weather file, and how many areas lie elsewhere and are left out.

    Reports of airliners among the pilots' (ARP) have no form that is read: they become comments.
    """
    if product not in _AREAS:
        lines = content.decode("ascii", "replace").splitlines()
        return "\n".join(f"# {one}" if one.startswith("ARP ") else one for one in lines), 0
    rows = json.loads(content or b"[]")
    near = [row for row in rows if any(_meets(row, box) for box in boxes)]
    return "[" + ",".join(f"\n{json.dumps(row)}" for row in near) + "\n]", len(rows) - len(near)


def _meets(row: Any, box: Box) -> bool:
    """Whether an area may reach into a box; one whose corners are not understood may."""
    try:
        spots = [(float(one["lat"]), float(one["lon"])) for one in row["coords"]]
        lat, lon = np.array(spots, dtype=np.float64).T
    except (KeyError, TypeError, ValueError):
        return True
    across = float(np.ptp(lon)) > 180.0  # of the date line
    beside = lon.max() < box.west_deg or lon.min() > box.east_deg
    return bool(
        lat.max() >= box.south_deg and lat.min() <= box.north_deg and (across or not beside)
    )


def _requests() -> dict[str, dict[str, str]]:
    winds = {"region": "all", "level": "low"}
    return {
        "metar": {"format": "raw", "hours": "2"},
        "taf": {"format": "raw"},
        "windtemp-06": winds | {"fcst": "06"},
        "windtemp-12": winds | {"fcst": "12"},
        "windtemp-24": winds | {"fcst": "24"},
        "airsigmet": {"format": "json"},
        "gairmet": {"format": "json"},
        "pirep": {"format": "raw", "age": "3"},
    }


def _a_list(content: bytes) -> None:
    """Areas come as a JSON list; nothing at all is none."""
    if content and not isinstance(json.loads(content), list):
        raise ValueError("expected a list of areas")


def _a_text(content: bytes) -> None:
    """Texts are plain ASCII; an error page is not one."""
    text = content.decode("ascii")
    if text.lstrip().startswith(("<", "{")):
        raise ValueError(f"expected plain text, found {text.lstrip()[:20]!r}")
