"""The official weather service is asked for one flight's needs, product by product."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from stub_service import Service, content, serving

from lubberline.fetch import Cache, Client, Patience
from lubberline.weather.service import Box, boxes_round, gather

BOX = Box(south_deg=40.5, west_deg=-131.25, north_deg=41.75, east_deg=-130.0)
METAR = b"METAR QMRL 252053Z 28012G19KT 10SM CLR 12/08 A2996\n"
WINDS = b"DATA BASED ON 251800Z\nVALID 260000Z   FOR USE 2000-0300Z. TEMPS NEG ABV 24000\n"
ANSWERS = {
    "metar": METAR,
    "taf": b"TAF QMRL 252020Z 2521/2621 28012KT P6SM SKC\n",
    "windtemp": WINDS,
    "airsigmet": b"[]",
    "gairmet": b'[{"product": "TANGO"}]',
    "pirep": b"QMRL UA /OV QMRL/TM 2040/FL055/TP P28A/TB LGT\n",
}


@pytest.fixture
def service() -> Iterator[Service]:
    with serving() as one:
        for product, body in ANSWERS.items():
            one.say(f"/api/{product}", content(body))
        yield one


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    patience = Patience(silence_s=0.3, apart_s=0.0)
    with Client(Cache(tmp_path), patience=patience, sleep=lambda _: None) as one:
        yield one


def test_every_product_is_asked_for_in_the_published_form(service: Service, client: Client) -> None:
    gathered = gather(client, f"{service.url}/api", BOX)
    assert not gathered.missing
    assert {name: one.content for name, one in gathered.answers.items()} == {
        name: ANSWERS[name.partition("-")[0]] for name in gathered.answers
    }
    asked = [(urlsplit(path).path, parse_qs(urlsplit(path).query)) for path, _ in service.asked]
    assert asked[0] == (
        "/api/metar",
        {"bbox": ["40.50,-131.25,41.75,-130.00"], "format": ["raw"], "hours": ["2"]},
    )
    winds = [params for path, params in asked if path == "/api/windtemp"]
    assert [params["fcst"] for params in winds] == [["06"], ["12"], ["24"]]


@pytest.mark.parametrize("product", ["metar", "taf", "windtemp", "pirep"])
@pytest.mark.parametrize("garbage", [b"<!doctype html>", b'{"error": 1}', b"\xff\xfe\x00"])
def test_an_error_page_is_not_taken_for_a_text(
    service: Service, client: Client, product: str, garbage: bytes
) -> None:
    service.say(f"/api/{product}", content(garbage))
    gathered = gather(client, f"{service.url}/api", BOX)
    assert {name.partition("-")[0] for name in gathered.missing} == {product}


@pytest.mark.parametrize("garbage", [b"<html>", b'{"error": 1}', b"[", b"null"])
def test_an_error_page_is_not_taken_for_areas(
    service: Service, client: Client, garbage: bytes
) -> None:
    service.say("/api/airsigmet", content(garbage))
    gathered = gather(client, f"{service.url}/api", BOX)
    assert set(gathered.missing) == {"airsigmet"}
    assert gathered.answers["metar"].content == METAR


def test_nothing_to_report_is_an_answer(service: Service, client: Client) -> None:
    for product in ANSWERS:
        service.say(f"/api/{product}", content(b"", status=204))
    gathered = gather(client, f"{service.url}/api", BOX)
    assert not gathered.missing
    assert {one.content for one in gathered.answers.values()} == {b""}


def test_across_the_date_line_both_sides_are_asked(service: Service, client: Client) -> None:
    gathered = gather(client, f"{service.url}/api", *boxes_round([(52.0, 179.9)]))
    asked = [urlsplit(path).path for path, _ in service.asked]
    assert asked.count("/api/metar") == asked.count("/api/pirep") == 2
    assert asked.count("/api/airsigmet") == 1
    assert gathered.answers["metar"].content == METAR + b"\n" + METAR


def test_without_a_network_everything_is_missing_and_one_product_was_tried(tmp_path: Path) -> None:
    pauses: list[float] = []
    patience = Patience(apart_s=0.0, attempts_count=3)
    with Client(Cache(tmp_path), patience=patience, sleep=pauses.append) as client:
        gathered = gather(client, "http://127.0.0.1:9", BOX)
    assert not gathered.answers
    assert len(gathered.missing) == 8
    assert {one.reason for one in gathered.missing.values()} == {"no connection"}
    assert len(pauses) == 2


def test_without_a_network_what_was_kept_is_told_with_its_age(
    service: Service, tmp_path: Path
) -> None:
    now_utc = datetime(2026, 11, 25, 21, tzinfo=UTC)
    patience = Patience(apart_s=0.0, attempts_count=1)
    with Client(Cache(tmp_path), patience=patience, now=lambda: now_utc) as client:
        gather(client, f"{service.url}/api", BOX)
    later = now_utc + timedelta(hours=3)
    service.answers.clear()
    with Client(Cache(tmp_path), patience=patience, now=lambda: later) as client:
        gathered = gather(client, f"{service.url}/api", BOX)
    metar = gathered.answers["metar"]
    assert (metar.content, metar.age(later)) == (METAR, timedelta(hours=3))
    assert metar.stale_reason == "refused with 404 Not Found"
