"""What the beginning of a file shows of its form, for those forms whose names say nothing."""

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final, TypeAlias

from lubberline.places.dataset import DataSet
from lubberline.places.published.aixm import read_aixm
from lubberline.places.published.geojson import read_geojson
from lubberline.places.published.openair import read_openair
from lubberline.places.published.own_points import read_own_points
from lubberline.places.published.zips import Progress

Read: TypeAlias = Callable[[Path, Progress | None], DataSet]

# To be asked in this order, and before any other GeoJSON: that without these words is land.
AIRSPACE_SIGNS: Final[Mapping[re.Pattern[bytes], Read]] = {
    re.compile(rb"\A[^<]{0,3}\s*<.*(aixm\.aero/schema|AIXMBasicMessage)", re.DOTALL): read_aixm,
    re.compile(rb"\A[^<]{0,3}\s*<.*<gpx\b", re.DOTALL): read_own_points,
    re.compile(
        rb"\A[^{]{0,3}\s*\{.*\"features\".*(\"(UPPER_VAL|ceiling|land)\"|\"Point\")", re.DOTALL
    ): read_geojson,
    re.compile(
        rb"\A(?=[^\n]*\bname\b)(?=[^\n]*\blat\b)(?=[^\n]*\blon\b)[^\n]*,", re.IGNORECASE
    ): read_own_points,
    re.compile(
        rb"^[ \t]*AC[ \t]+\S.*^[ \t]*(D[PABCY]|V)[ \t]+\S", re.DOTALL | re.MULTILINE | re.IGNORECASE
    ): read_openair,
}


def reader_of(head: bytes) -> Read | None:
    """The reader for a file that begins so; None if the form is another."""
    return next((read for sign, read in AIRSPACE_SIGNS.items() if sign.search(head)), None)
