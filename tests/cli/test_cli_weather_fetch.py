"""``lubberline weather fetch`` against a service on this machine that speaks the published form."""

import json
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from stub_service import Service, content, serving
from typer.testing import CliRunner

from lubberline.cli import (
    commands,  # noqa: F401 - registers the commands
    weather_fetch,
)
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.fetch import Cache, Client, Patience

NOW_UTC = datetime(2026, 11, 25, 20, 31, tzinfo=UTC)
ANSWERS = {
    "metar": b"METAR QMRL 252020Z 28012G19KT 10SM CLR 12/08 A2997\n",
    "taf": b"TAF QMRL 252020Z 2521/2621 28012KT P6SM SKC\n",
    "windtemp": b"DATA BASED ON 251800Z\nVALID 260000Z   FOR USE 2000-0300Z. TEMPS NEG ABV 24000\n"
    b"FT  3000    6000    9000\nQWN 2710 2720+02 2730-04\n",
    "airsigmet": b'[{"airSigmetType": "SIGMET", "coords": [{"lat": 20, "lon": -80},'
    b' {"lat": 21, "lon": -80}, {"lat": 20, "lon": -81}]}]',
    "gairmet": b"[]",
    "pirep": b"QMRL UA /OV QMRL/TM 2040/FL055/TP P28A/TB LGT\n",
}


class Clock:
    """A time that tests move."""

    now_utc = NOW_UTC

    def __call__(self) -> datetime:
        return self.now_utc


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(weather_fetch, "now_utc", clock)
    return clock


@pytest.fixture
def service(tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[Service]:
    patience = Patience(silence_s=0.5, apart_s=0.0, attempts_count=2)

    def client() -> Client:
        return Client(Cache(tmp_path / "answers"), patience, sleep=lambda _: None, now=clock)

    monkeypatch.setattr(weather_fetch, "polite_client", client)
    monkeypatch.setenv("LUBBERLINE_SERVICES", str(tmp_path / "services.toml"))
    with serving() as one:
        (tmp_path / "services.toml").write_text(f'weather = "{one.url}/api"\n', encoding="utf-8")
        for product, body in ANSWERS.items():
            one.say(f"/api/{product}", content(body))
        yield one


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    write_folder(made := tmp_path_factory.mktemp("starter") / "folder")
    return made


@pytest.fixture
def folder(tmp_path: Path, starter: Path) -> Path:
    return shutil.copytree(starter, tmp_path / "folder")


@pytest.fixture
def flight(folder: Path) -> Path:
    return next((folder / "flights").iterdir())


def run(command: str, path: Path, *words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["weather", command, str(path), *words])
    return done.exit_code, " ".join(done.output.split())


def text_of(flight: Path) -> str:
    return (flight / "weather.txt").read_text(encoding="utf-8")


def test_what_comes_is_in_the_file_beside_what_was_there(service: Service, flight: Path) -> None:
    before = text_of(flight)
    code, said = run("fetch", flight)
    assert code == 0, said
    assert "reports 1 read fetched 25 20:31Z, 0 min old" in said
    assert "1 more lie elsewhere and were left out" in said
    assert "no notices (NOTAM)" in said
    assert text_of(flight).startswith(before)
    shown = json.loads(
        CliRunner().invoke(app, ["weather", "show", str(flight), "--json", "--way", "1"]).output
    )
    assert shown["reports"]["QMRL"]["altimeter_inhg"] == 29.97  # the newer one
    assert shown["reports"]["QWRN"]["altimeter_inhg"] == 30.02  # the pilot's own
    assert len(shown["tables"]) == 3
    assert shown["unread"] == []


def test_fetched_again_nothing_is_there_twice(service: Service, flight: Path, clock: Clock) -> None:
    run("fetch", flight)
    once = text_of(flight)
    assert run("fetch", flight)[0] == 0
    assert text_of(flight) == once
    clock.now_utc += timedelta(hours=1)
    service.say("/api/metar", content(b"METAR QMRL 252120Z 29010KT 10SM CLR 12/08 A2990\n"))
    run("fetch", flight)
    assert text_of(flight).count("# fetched metar") == 1
    assert "252020Z 28012G19KT" not in text_of(flight)


def test_what_fails_keeps_what_was_there_and_is_told_with_its_age(
    service: Service, flight: Path, clock: Clock
) -> None:
    run("fetch", flight)
    clock.now_utc += timedelta(hours=2)
    service.say("/api/metar", content(b"<html>", status=500))
    code, said = run("fetch", flight)
    assert code == 1
    assert "reports 1 read fetched 25 20:31Z, 2 h 00 min old none newer: refused with 500" in said
    assert "252020Z 28012G19KT" in text_of(flight)


def test_without_a_network_one_line_says_so_and_nothing_is_lost(
    service: Service, flight: Path, clock: Clock, tmp_path: Path
) -> None:
    (tmp_path / "services.toml").write_text('weather = "http://127.0.0.1:9"\n', encoding="utf-8")
    before = text_of(flight)
    code, said = run("fetch", flight)
    assert code == 1
    assert "Nothing new could be had: no connection." in said
    assert "what you pasted yourself stays in use" in said
    assert text_of(flight) == before


def test_a_named_file_that_is_not_there_is_begun(service: Service, flight: Path) -> None:
    (flight / "weather.txt").unlink()
    assert run("fetch", flight)[0] == 0
    assert "METAR QMRL 252020Z" in text_of(flight)


def test_a_folder_is_asked_for_its_flights_to_come(
    service: Service, folder: Path, clock: Clock
) -> None:
    code, said = run("fetch", folder)
    assert code == 0
    assert said.count("WEATHER") == 1
    clock.now_utc += timedelta(days=3)
    assert "No flight is still to come" in run("fetch", folder)[1]


def test_a_flight_of_another_month_is_refused(service: Service, flight: Path, clock: Clock) -> None:
    clock.now_utc -= timedelta(days=30)
    code, said = run("fetch", flight)
    assert code == 1
    assert "weather texts name no month" in said
    assert not service.asked


def test_as_json_every_product_has_its_account(service: Service, flight: Path) -> None:
    done = CliRunner().invoke(app, ["weather", "fetch", str(flight), "--json"])
    (told,) = json.loads(done.output)["fetched"]
    assert [one["read_count"] for one in told["products"]] == [1, 1, 1, 1, 1, 0, 0, 1]
