"""The turn to final: how far beyond the extended centerline, and to which side of it."""

from pathlib import Path

import numpy as np
import pytest
from flown_flights import Flying, Trace, aerodrome, places_with, recorded

from lubberline.flown import debrief, read_standard
from lubberline.units import FT_PER_NM

STANDARD = read_standard(
    Path(__file__).parents[2] / "src/lubberline/demo/files/standards/private.toml"
)


def circuit(base_s: float, back_s: float) -> Trace:
    """A left-hand circuit whose base runs so long; after the turn it comes back by 25 degrees."""
    flying = Flying().park(60.0).taxi(60.0).park(20.0).takeoff()
    flying.climb_to(1100.0, kt=75.0, fpm=700.0).turn(-90.0).piece(10.0)
    flying.climb_to(1400.0, kt=90.0, fpm=500.0).turn(-90.0).piece(150.0, kt=85.0)
    flying.turn(-90.0).piece(base_s, fpm=-300.0).mark("final").turn(-90.0)
    flying.turn(-25.0).piece(back_s).turn(25.0)
    return flying.land().taxi(60.0).park(60.0).trace()


def overshooting(beyond_ft: float) -> Trace:
    """The same with the base and the way back so long that it goes beyond by about so much."""
    base_s, back_s = 10.0, 10.0
    for _ in range(3):
        trace = circuit(base_s, back_s)
        after = trace.time_s >= trace.marks["final"][0]
        lowest_nm = float(trace.north_nm[after].min())
        base_s += (lowest_nm + beyond_ft / FT_PER_NM) / (85.0 / 3600.0)
        lost_nm = float(trace.north_nm[-1]) - lowest_nm - beyond_ft / FT_PER_NM
        back_s -= lost_nm / (85.0 / 3600.0 * np.sin(np.radians(25.0)))
    return circuit(base_s, back_s)


@pytest.mark.parametrize("beyond_ft", [800.0, 900.0])
def test_an_overshoot_is_told_with_its_side_and_moment(beyond_ft: float) -> None:
    trace = overshooting(beyond_ft)
    lands = int(np.searchsorted(trace.time_s, trace.marks["landing"][-1]))
    field = aerodrome("QAAA", float(trace.east_nm[lands]) + 0.3, 0.0)
    flown = debrief(recorded(trace), places=places_with(field), pledge=None, standard=STANDARD)
    (one,) = [f for f in flown.findings if f.limit.key == "flown.final_overshoot"]
    assert one.value is not None, one.missing
    after = trace.time_s >= trace.marks["final"][0]
    true_ft = -float(trace.north_nm[after].min()) * FT_PER_NM
    assert true_ft == pytest.approx(beyond_ft, abs=30.0)
    assert one.value == pytest.approx(true_ft, abs=40.0)
    assert str(one.verdict) == "outside"
    assert one.note.startswith("right of it, ")
    assert one.where.endswith("Z")
