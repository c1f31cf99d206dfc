"""Open forms are known by how they begin."""

from collections.abc import Callable
from typing import Any

import airspace_made
import aixm_made
import geojson_made
import obstacles_made
import openair_made
import ourairports_made
import pytest
from test_own_points import GPX, TABLE

from lubberline.places.published import (
    read_aixm,
    read_geojson,
    read_openair,
    read_own_points,
)
from lubberline.places.published._signs import reader_of

LAND = '{"type": "FeatureCollection", "features": [{"geometry": {"type": "Polygon"}}]}'


@pytest.mark.parametrize(
    ("content", "read"),
    [
        (openair_made.HEAD + openair_made.ALL, read_openair),
        ("* only a comment\r\n  ac R\r\nan X\r\n dp 1\r\n", read_openair),
        (aixm_made.ALL, read_aixm),
        ("\ufeff" + aixm_made.ALL, read_aixm),
        (GPX, read_own_points),
        (TABLE, read_own_points),
        ('"Note","Lon","Lat","Name"\n', read_own_points),
        (geojson_made.ALL, read_geojson),
        (airspace_made.geojson(airspace_made.CLASSES), read_geojson),
        (LAND, None),
        ("\n".join(obstacles_made.HEAD), None),
        (obstacles_made.CSV_HEAD, None),
        *(("\n".join(lines), None) for lines in ourairports_made.FILES.values()),
        ("words\nAC is alternating current\n", None),
        ("", None),
    ],
)
def test_a_beginning_tells_the_form(content: str, read: Callable[..., Any] | None) -> None:
    assert reader_of(content.encode()) is read
