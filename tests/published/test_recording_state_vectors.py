"""State vectors of an open surveillance network: columns and units.

Order and names of the columns: the historical database's listing as documented by the general
data library traffic, docs/data_sources/opensky_db.rst (read). Units: the OpenSky Network's own
interface documentation, class StateVector: velocity over ground m/s, heading decimal degrees
clockwise from north, altitudes meters, vertical rate m/s (read).

That altitudes are meters shows in the numbers too: transponders report multiples of 25 ft, and
the altitudes that the network's forum printed for one vector, 8404.86 and 8397.24, are 27,575
and 27,550 ft (read).
"""

from pathlib import Path

import numpy as np
import pytest

from lubberline.recording.csv import read_csv

COLUMNS = (
    "time,icao24,lat,lon,velocity,heading,vertrate,callsign,onground,alert,spi,squawk,"
    "baroaltitude,geoaltitude,lastposupdate,lastcontact"
)
ROWS = [
    "1780322400,abcdef,41.0,-131.0,225.19,84.89,9.1,,False,False,False,1200,8404.86,8397.24,1780322399.5,1780322400",
    "1780322401,abcdef,41.0,-131.0,225.19,84.89,9.1,,False,False,False,1200,8404.86,,1780322399.5,1780322401",
    "1780322402,abcdef,41.1,-130.9,,,,,True,False,False,1200,,,1780322401.9,1780322402",
]  # fmt: skip


def test_the_columns_are_known_by_their_names_and_converted() -> None:
    track = read_csv(Path("states.csv"), "\n".join([COLUMNS, *ROWS]).encode())
    assert track.pressure_ft[:2].tolist() == pytest.approx([27_575.0, 27_575.0])
    assert track.gnss_ft[0] == pytest.approx(27_550.0)
    assert track.gnss_reference == "ellipsoid"
    assert track.channels["ground_kt"][0] == pytest.approx(225.19 * 1.943844, rel=1e-6)
    assert track.channels["track_true_deg"][0] == 84.89
    assert track.channels["climb_fpm"][0] == pytest.approx(9.1 * 196.8504, rel=1e-6)
    assert track.channels["on_ground_fraction"].tolist() == [0.0, 0.0, 1.0]


def test_an_empty_field_is_not_known() -> None:
    track = read_csv(Path("states.csv"), "\n".join([COLUMNS, *ROWS]).encode())
    assert np.isnan(track.gnss_ft).tolist() == [False, True, True]
    assert np.isnan(track.channels["ground_kt"]).tolist() == [False, False, True]


def test_a_position_that_was_not_received_anew_is_not_repeated() -> None:
    track = read_csv(Path("states.csv"), "\n".join([COLUMNS, *ROWS]).encode())
    assert np.isnan(track.lat_deg).tolist() == [False, True, False]
    assert any("1 row repeat" in line for line in track.account)
