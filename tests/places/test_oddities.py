"""What looks wrong is told with the item and the numbers; what is not known is not odd twice."""

from dataclasses import replace
from math import nan
from typing import Any

import pytest
from places_made import aerodrome, data_set, end, volume

from lubberline.earth import destination_point
from lubberline.places import Height, Runway, Schedule, merged, oddities


def strip(apart_ft: float, length_ft: float = 4_200.0) -> Runway:
    lat_deg, lon_deg = destination_point(41.1, -130.5, 120.0, apart_ft / 6_076.12)
    far = end("30", lat_deg=float(lat_deg), lon_deg=float(lon_deg))
    return Runway(ends=(end("12"), far), length_ft=length_ft, width_ft=75.0, surface="paved")


def field(**changed: Any) -> Any:
    return {"aerodromes": (aerodrome(**{"runways": (strip(4_200.0),), **changed}),)}


def space(**changed: Any) -> Any:
    return {"volumes": (volume(**{"frequency_mhz": 118.6, **changed}),)}


UNDERSTOOD = Schedule(text="0700-2200", spans=())


@pytest.mark.parametrize(
    ("items", "words"),
    [
        (field(), []),
        (field(runways=(strip(4_600.0),)), []),
        (field(runways=(strip(4_700.0),)), ["QMRL 12/30 (4,200 ft long, ends 4,700 ft apart)"]),
        (field(runways=(strip(3_000.0),)), ["QMRL 12/30 (4,200 ft long, ends 3,000 ft apart)"]),
        (field(runways=(replace(strip(0.0), ends=(end("12"), end("30", lat_deg=nan))),)), []),
        (field(lat_deg=nan), ["QMRL Marl"]),
        (field(elev_msl_ft=nan), ["QMRL Marl"]),
        (field(runways=()), ["QMRL Marl"]),
        (field(runways=(), kind="heliport"), []),
        (space(), []),
        (space(frequency_mhz=None), ["QV-MARL Marl (class D)"]),
        (space(frequency_mhz=None, airspace_class="E"), []),
        (space(ceiling=Height(reference="AGL", ft=0.0)), ["QV-MARL Marl (0 AGL over 0 SFC)"]),
        (space(schedule=UNDERSTOOD), []),
        (space(schedule=Schedule(text="by NOTAM")), ["QV-MARL Marl (by NOTAM)"]),
    ],
)
def test_each_oddity_and_its_opposite(items: Any, words: list[str]) -> None:
    found = list(oddities(merged(None, [data_set(**items)])))
    assert [str(one) for one in found] == words


def test_each_kind_has_its_own_words() -> None:
    odd = {**field(runways=(strip(9_000.0),), elev_msl_ft=nan), **space(frequency_mhz=None)}
    kinds = {one.what for one in oddities(merged(None, [data_set(**odd)]))}
    assert kinds == {
        "aerodrome without an elevation",
        "runway whose ends do not lie its length apart",
    }
