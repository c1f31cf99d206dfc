"""Asks the official aviation weather service for what one flight needs.

The data interface of the US National Weather Service as documented ([NWS-API]_): one request
per product, texts as they were issued, areas as JSON. Each product comes alone: what cannot be
had does not keep the rest from coming.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from lubberline.fetch import Client, Fetched, NoAnswer

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


def gather(client: Client, address: str, box: Box) -> Gathered:
    """Everything that the service has for a piece of the map.

    Parameters
    ----------
    client : Client
    address : str
        Of the service, without a slash at its end.
    box : Box
        Reports, forecasts and pilot reports from within; areas and winds aloft come for the
        whole country. Each table of winds says when it is for use.
    """
    answers: dict[str, Fetched] = {}
    missing: dict[str, NoAnswer] = {}
    for name, params in _requests(box).items():
        product = name.partition("-")[0]
        check = _a_list if product in _AREAS else _a_text
        try:
            answers[name] = client.fetch(
                f"{address}/{product}", params, fresh_for=_FRESH[product], check=check
            )
        except NoAnswer as exc:
            missing[name] = exc
    return Gathered(answers=answers, missing=missing)


def _requests(box: Box) -> dict[str, dict[str, str]]:
    winds = {"region": "all", "level": "low"}
    return {
        "metar": {"bbox": f"{box}", "format": "raw", "hours": "2"},
        "taf": {"bbox": f"{box}", "format": "raw"},
        "windtemp-06": winds | {"fcst": "06"},
        "windtemp-12": winds | {"fcst": "12"},
        "windtemp-24": winds | {"fcst": "24"},
        "airsigmet": {"format": "json"},
        "gairmet": {"format": "json"},
        "pirep": {"bbox": f"{box}", "format": "raw", "age": "3"},
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
