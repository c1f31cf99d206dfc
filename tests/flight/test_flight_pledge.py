"""The pledge's canonical form: one byte string, and so one hash, for the same numbers."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from math import inf, nan
from types import MappingProxyType
from typing import Any

import pytest

from lubberline.errors import RangeError
from lubberline.flight import Pledge, PledgedGate, PledgedPoint

PACIFIC = timezone(timedelta(hours=-8))
OFF_UTC = datetime(2026, 11, 25, 20, 40, tzinfo=UTC)


def point(name: str, minute_count: int, msl_ft: float, fuel_left_gal: float) -> PledgedPoint:
    return PledgedPoint(
        name=name,
        lat_deg=41.0,
        lon_deg=-131.5,
        msl_ft=msl_ft,
        over_utc=OFF_UTC + timedelta(minutes=minute_count),
        fuel_left_gal=fuel_left_gal,
    )


def pledge(**changes: Any) -> Pledge:
    """A small one, made by hand."""
    asked: dict[str, Any] = {
        "title": "Wren Island to Marl, 5 °C",
        "way_name": "by hand",
        "departure_id": "QWRN",
        "destination_id": "QMRL",
        "departure_runway": "25",
        "destination_runway": "30",
        "permissions": ("marl-tower",),
        "cruise_msl_ft": 2500.0,
        "off_block_utc": OFF_UTC,
        "on_block_utc": OFF_UTC + timedelta(minutes=35),
        "points": (point("QWRN", 8, 60.0, 42.5), point("QMRL", 32, 110.0, 38.25)),
        "departure_altimeter_inhg": 30.02,
        "destination_altimeter_inhg": None,
        "findings": ({"key": "flight.fuel_legal", "value": 224.5},),
        "inputs_sha256": {"weather.txt": "00ff", "flight.toml": "ff00"},
        "printed_utc": datetime(2026, 11, 25, 20, 5, tzinfo=UTC),
        "program_version": "0.1.0",
        "schema_version": 1,
    }
    return Pledge(**(asked | changes))


# Written out by hand from the rules: keys sorted at every depth, no spaces, UTF-8, times in UTC.
CANONICAL = (
    '{"cruise_msl_ft":2500.0,"departure_altimeter_inhg":30.02,"departure_id":"QWRN",'
    '"departure_runway":"25","destination_altimeter_inhg":null,"destination_id":"QMRL",'
    '"destination_runway":"30","findings":[{"key":"flight.fuel_legal","value":224.5}],'
    '"inputs_sha256":{"flight.toml":"ff00","weather.txt":"00ff"},'
    '"off_block_utc":"2026-11-25T20:40:00Z","on_block_utc":"2026-11-25T21:15:00Z",'
    '"permissions":["marl-tower"],"points":['
    '{"fuel_left_gal":42.5,"lat_deg":41.0,"lon_deg":-131.5,"msl_ft":60.0,"name":"QWRN",'
    '"over_utc":"2026-11-25T20:48:00Z"},'
    '{"fuel_left_gal":38.25,"lat_deg":41.0,"lon_deg":-131.5,"msl_ft":110.0,"name":"QMRL",'
    '"over_utc":"2026-11-25T21:12:00Z"}],'
    '"printed_utc":"2026-11-25T20:05:00Z","program_version":"0.1.0","schema_version":1,'
    '"title":"Wren Island to Marl, 5 °C","way_name":"by hand"}'
)
# Of the bytes above, by a separate SHA-256 program (FIPS 180-4).
SHA256 = "bbb76ec15802502a707b000c9037bccfdfc99abc83645bf21a5029bb6d686fc7"


# The same in the second version, which adds gates and what is practised.
GATES = '"findings":[{"key":"flight.fuel_legal","value":224.5}],"gates":['
GATES += '{"by":"610 ft","label":"on speed","text":"75 kt"}],"inputs_sha256"'
CANONICAL_2 = (
    CANONICAL.replace(
        '"findings":[{"key":"flight.fuel_legal","value":224.5}],"inputs_sha256"', GATES
    )
    .replace('"printed_utc"', '"practice":["hold 75 kt on final"],"printed_utc"')
    .replace('"schema_version":1', '"schema_version":2')
)
SHA256_2 = "1ce874682977e65160aa7ebee59a44fdae3a4900ad48d45a7547b13dfb73b942"


def second() -> Pledge:
    gates = (PledgedGate(label="on speed", by="610 ft", text="75 kt"),)
    return pledge(schema_version=2, gates=gates, practice=("hold 75 kt on final",))


def test_the_second_version_adds_gates_and_practice() -> None:
    assert second().canonical().decode("utf-8") == CANONICAL_2
    assert second().sha256 == SHA256_2


def test_the_first_version_stays_as_it_was_whatever_came_later() -> None:
    assert replace(second(), schema_version=1).canonical().decode("utf-8") == CANONICAL


def test_the_canonical_form_is_the_one_written_by_hand() -> None:
    assert pledge().canonical().decode("utf-8") == CANONICAL


def test_the_hash_of_these_numbers_never_changes() -> None:
    assert pledge().sha256 == SHA256


def test_the_order_in_which_things_were_written_does_not_count() -> None:
    turned = pledge(
        inputs_sha256={"flight.toml": "ff00", "weather.txt": "00ff"},
        findings=({"value": 224.5, "key": "flight.fuel_legal"},),
    )
    assert turned.sha256 == SHA256


def test_the_same_moment_in_another_zone_has_the_same_hash() -> None:
    assert pledge(off_block_utc=OFF_UTC.astimezone(PACIFIC)).sha256 == SHA256


def test_the_order_of_the_points_counts() -> None:
    assert pledge(points=pledge().points[::-1]).sha256 != SHA256


@pytest.mark.parametrize(
    "changes",
    [
        {"title": "Wren Island to Marl"},
        {"destination_altimeter_inhg": 29.92},
        {"permissions": ()},
        {"cruise_msl_ft": 2500.5},
        {"printed_utc": datetime(2026, 11, 25, 20, 5, 1, tzinfo=UTC)},
        {"inputs_sha256": {"weather.txt": "00fe", "flight.toml": "ff00"}},
    ],
)
def test_any_other_number_has_another_hash(changes: dict[str, Any]) -> None:
    assert pledge(**changes).sha256 != SHA256


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        pledge(cruise_msl_ft=value).canonical()
    last = replace(pledge().points[1], fuel_left_gal=value)
    with pytest.raises(ValueError, match="not JSON compliant"):
        pledge(points=(last,)).canonical()
    with pytest.raises(ValueError, match="not JSON compliant"):
        pledge(findings=({"key": "flight.fuel_legal", "value": value},)).canonical()


def test_a_time_without_its_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="names no zone"):
        pledge(off_block_utc=datetime(2026, 11, 25, 20, 40)).canonical()  # noqa: DTZ001


def test_what_has_no_canonical_form_is_refused() -> None:
    with pytest.raises(TypeError, match="set has no canonical form"):
        pledge(permissions={"marl-tower"}).canonical()


def test_any_kind_of_mapping_is_written_alike() -> None:
    findings = (MappingProxyType({"key": "flight.fuel_legal", "value": 224.5}),)
    assert pledge(findings=findings).sha256 == SHA256


def test_the_canonical_form_is_json_that_reads_back_to_the_same_bytes() -> None:
    read = json.loads(pledge().canonical())
    again = json.dumps(read, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert again.encode() == pledge().canonical()


def test_take_off_and_landing_are_the_first_and_the_last_point() -> None:
    assert pledge().takeoff_utc == OFF_UTC + timedelta(minutes=8)
    assert pledge().landing_utc == OFF_UTC + timedelta(minutes=32)
