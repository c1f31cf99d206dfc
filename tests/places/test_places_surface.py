"""The class of airspace that reaches the ground at an aerodrome."""

from dataclasses import replace

import pytest

from lubberline.places import Aerodrome, Circle, Height, Places, Volume, surface_class

FIELD = Aerodrome(
    id="QABC",
    name="Alder",
    lat_deg=41.0,
    lon_deg=-131.0,
    elev_msl_ft=40.0,
    pattern_agl_ft=1_000.0,
    runways=(),
)
TOWER = Volume(
    id="QV-A",
    name="Alder",
    airspace_class="D",
    group="alder-tower",
    facility="Alder Tower",
    floor=Height(reference="SFC", ft=0.0),
    ceiling=Height(reference="MSL", ft=2_500.0),
    footprint=Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=4.2),
)
BESIDE = Circle(lat_deg=41.2, lon_deg=-131.0, radius_nm=4.2)


def among(*volumes: Volume) -> str:
    places = Places(aerodromes={}, volumes=volumes, points={}, land_deg=(), sources=())
    return surface_class(places, FIELD)


@pytest.mark.parametrize(
    ("volumes", "letter"),
    [
        ((), "G"),
        ((TOWER,), "D"),
        ((TOWER, replace(TOWER, airspace_class="B")), "B"),
        ((replace(TOWER, airspace_class="E", floor=Height(reference="AGL", ft=0.0)),), "E"),
        ((replace(TOWER, airspace_class="E", floor=Height(reference="AGL", ft=700.0)),), "G"),
        ((replace(TOWER, floor=Height(reference="MSL", ft=0.0)),), "G"),
        ((replace(TOWER, footprint=BESIDE),), "G"),
        ((replace(TOWER, airspace_class="R"),), "G"),
    ],
)
def test_strictest_class_that_touches_the_ground(volumes: tuple[Volume, ...], letter: str) -> None:
    assert among(*volumes) == letter
