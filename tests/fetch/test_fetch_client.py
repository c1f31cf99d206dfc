"""Requests are polite and patient, and an old answer says that it is old."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from stub_service import Service, content, slow

from lubberline.errors import BadFile
from lubberline.fetch import Cache, Client, Fetched, NoAnswer, Patience, read_addresses
from lubberline.fetch import client as module

BODY = b"METAR QMRL 252053Z 28012G19KT 10SM CLR 12/08 A2996"


def test_an_answer_is_kept_and_given_again_while_it_is_fresh(
    service: Service, client: Client
) -> None:
    url = service.say("/metar", content(BODY))
    first = client.fetch(url, {"ids": "QMRL", "format": "raw"})
    assert first.content == BODY
    assert not first.stale_reason
    assert client.fetch(url, {"ids": "QMRL", "format": "raw"}) == first
    assert [path for path, _ in service.asked] == ["/metar?ids=QMRL&format=raw"]
    client.fetch(url, {"ids": "QWRN"})
    assert len(service.asked) == 2


def test_an_answer_that_is_no_longer_fresh_is_asked_for_again(
    service: Service, client: Client
) -> None:
    url = service.say("/metar", content(BODY), content(b"newer"))
    client.fetch(url)
    assert client.fetch(url, fresh_for=timedelta(0)).content == b"newer"


def test_no_report_is_an_empty_answer(service: Service, client: Client) -> None:
    assert client.fetch(service.say("/taf", content(b"", status=204))).content == b""


@pytest.mark.parametrize("status", [408, 429, 500, 502, 503, 504])
def test_a_passing_refusal_is_tried_again_with_growing_pauses(
    service: Service, client: Client, pauses: list[float], status: int
) -> None:
    no = content(b"", status=status)
    assert client.fetch(service.say("/metar", no, no, content(BODY))).content == BODY
    assert pauses == [1.0, 2.0]


@pytest.mark.parametrize("status", [400, 401, 403, 404, 410])
def test_a_lasting_refusal_is_not_tried_again(
    service: Service, client: Client, status: int
) -> None:
    with pytest.raises(NoAnswer, match=f"refused with {status}"):
        client.fetch(service.say("/metar", content(b"", status=status)))
    assert len(service.asked) == 1


@pytest.mark.parametrize(
    ("said", "pause_s"), [("7", 7.0), ("900", 30.0), ("soon", 1.0), ("0", 1.0), ("²", 1.0)]
)
def test_a_service_that_asks_to_wait_is_given_its_time_within_limits(
    service: Service, client: Client, pauses: list[float], said: str, pause_s: float
) -> None:
    no = content(b"", status=429, Retry_After=said.encode().decode("latin-1"))
    client.fetch(service.say("/metar", no, content(BODY)))
    assert pauses == [pause_s]


def test_a_truncated_answer_is_not_taken(service: Service, client: Client) -> None:
    url = service.say("/metar", content(BODY, length=len(BODY) + 1), content(BODY))
    assert client.fetch(url).content == BODY
    always = service.say("/taf", content(BODY, length=len(BODY) + 1))
    with pytest.raises(NoAnswer, match="broken off"):
        client.fetch(always)


def test_a_senseless_answer_is_not_taken(service: Service, client: Client) -> None:
    url = service.say("/sigmet", content(b"<html>busy</html>"), content(b"[]"))
    assert client.fetch(url, check=json.loads).content == b"[]"
    always = service.say("/gairmet", content(b"<html>busy</html>"))
    with pytest.raises(NoAnswer, match="makes no sense"):
        client.fetch(always, check=json.loads)


def test_silence_ends(service: Service, client: Client) -> None:
    with pytest.raises(NoAnswer, match="no word in time"):
        client.fetch(service.say("/metar", slow(BODY, pause_s=0.6)))


def test_dawdling_ends(service: Service, client: Client) -> None:
    with pytest.raises(NoAnswer, match=r"not finished after 0\.5 s"):
        client.fetch(service.say("/metar", slow(BODY, pause_s=0.05)))


def test_an_endless_answer_ends(
    service: Service, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "MOST_ANSWER_BYTES", 2**20)
    with pytest.raises(NoAnswer, match="more than 1 MB"):
        client.fetch(service.say("/metar", content(b"x" * (2**20 + 1))))


@pytest.mark.parametrize("url", ["http://127.0.0.1:9/metar", "not an address", "ftp://a/b"])
def test_what_cannot_be_reached_says_so(client: Client, url: str) -> None:
    with pytest.raises(NoAnswer):
        client.fetch(url)


def test_without_a_network_the_kept_answer_says_its_age_and_why(
    service: Service, client: Client
) -> None:
    url = service.say("/metar", content(BODY), content(b"", status=503))
    first = client.fetch(url)
    later = replace_clock(client, first.fetched_utc + timedelta(hours=3))
    stale = later.fetch(url)
    assert stale.content == BODY
    assert stale.stale_reason == "refused with 503 Service Unavailable"
    assert stale.age(later.now()) == timedelta(hours=3)


def replace_clock(client: Client, now: datetime) -> Client:
    return replace(client, now=lambda: now)


def test_a_clock_set_back_does_not_make_an_answer_fresh(service: Service, client: Client) -> None:
    url = service.say("/metar", content(BODY), content(b"newer"))
    first = client.fetch(url)
    earlier = replace_clock(client, first.fetched_utc - timedelta(hours=1))
    assert earlier.fetch(url).content == b"newer"


def test_two_requests_to_one_host_are_apart(
    service: Service, tmp_path: Path, pauses: list[float]
) -> None:
    patience = Patience(apart_s=5.0)
    with Client(Cache(tmp_path), patience=patience, sleep=pauses.append) as client:
        client.fetch(service.say("/metar", content(BODY)))
        client.fetch(service.say("/taf", content(BODY)))
    (pause_s,) = pauses
    assert 4.0 < pause_s <= 5.0


@pytest.mark.parametrize("suffix", ["bin", "json"])
@pytest.mark.parametrize("damage", [b"", b"{}", b"null", b'{"sha256": 1}', b"\xff\xfe"])
def test_a_damaged_cache_is_no_answer(tmp_path: Path, suffix: str, damage: bytes) -> None:
    cache = Cache(tmp_path)
    cache.write("u", Fetched(content=BODY, fetched_utc=datetime(2026, 11, 25, tzinfo=UTC)))
    assert cache.read("u") is not None
    (path,) = tmp_path.glob(f"*.{suffix}")
    path.write_bytes(damage)
    assert cache.read("u") is None


def test_addresses_can_be_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "services.toml"
    path.write_text('weather = "http://localhost:8000/api/"\n', encoding="utf-8")
    monkeypatch.setenv("LUBBERLINE_SERVICES", str(path))
    assert read_addresses().weather == "http://localhost:8000/api"
    assert read_addresses().obstacles.startswith("https://")
    path.write_text('weather = "somewhere"\n', encoding="utf-8")
    with pytest.raises(BadFile, match="begins with https"):
        read_addresses()
