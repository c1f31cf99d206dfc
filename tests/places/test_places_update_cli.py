"""``lubberline places update`` against a service on this machine that speaks the published form."""

from collections.abc import Iterator
from pathlib import Path

import nasr_made
import pytest
import saa_made
from airspace_made import CLASSES, write_zip
from obstacles_made import HEAD, Made
from stub_service import Service, content, serving, stored
from typer.testing import CliRunner

from lubberline.cli import (
    commands,  # noqa: F401 - registers the commands
    places_update,
)
from lubberline.cli.app import app
from lubberline.fetch import Cache, Client, Patience

DAY = "2026-11-25"  # of the cycle that began on 2026-10-29
CSV = "/28day/extra/29_Oct_2026_CSV.zip"
AIRSPACE = "/28day/2026-10-29/class_airspace_shape_files.zip"
SPECIAL = "/28day/2026-10-29/aixm5.0.zip"
OBSTACLES = "/obst/DAILY_DOF_DAT.ZIP"


def hasty_client(folder: Path) -> Client:
    patience = Patience(silence_s=0.5, apart_s=0.0)
    return Client(Cache(folder / "answers"), patience, sleep=lambda _: None)


@pytest.fixture
def service(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Service]:
    with serving() as one:
        text = f'subscription = "{one.url}/28day"\nobstacles = "{one.url}/obst"\n'
        (tmp_path / "services.toml").write_text(text, encoding="utf-8")
        monkeypatch.setenv("LUBBERLINE_SERVICES", str(tmp_path / "services.toml"))
        monkeypatch.setenv("LUBBERLINE_DATA", str(tmp_path / "data"))
        monkeypatch.setattr(places_update, "polite_client", lambda: hasty_client(tmp_path))
        lines = "\n".join([*HEAD, Made().line(), ""])
        one.say(CSV, stored(nasr_made.csv_zip(), tag='"n"'))
        one.say(AIRSPACE, stored(write_zip(tmp_path / "c.zip", CLASSES).read_bytes(), tag='"a"'))
        one.say(SPECIAL, stored(saa_made.subscription_zip(), tag='"s"'))
        obstacles = nasr_made.zip_of({"DOF.DAT": lines.encode()})
        one.say(OBSTACLES, stored(obstacles, tag='"o"'))
        yield one


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["places", *words])
    return done.exit_code, " ".join(done.output.split())


def test_one_command_brings_and_adds_everything(service: Service) -> None:
    code, said = run("update", "--on", DAY)
    assert code == 0, said
    assert said.startswith("UPDATE cycle of 2026-10-29")
    assert said.count("MB brought") == 4
    assert run("list")[1].count("official") == 4
    assert "QMRL" in run("near", "QMRL")[1]


def test_what_has_not_changed_is_neither_brought_nor_read_again(service: Service) -> None:
    run("update", "--on", DAY)
    code, said = run("update", "--on", DAY)
    assert code == 0
    assert said.count("not changed") == 4
    assert "MB brought" not in said


def test_what_fails_is_told_and_the_rest_comes(service: Service) -> None:
    service.say(CSV, content(b"", status=503))
    service.say(AIRSPACE, content(b"<html>moved</html>"))
    code, said = run("update", "--on", DAY)
    assert code == 1
    assert "nasr-csv-2026-10-29.zip: refused with 503 Service Unavailable" in said
    assert (
        "class-airspace-2026-10-29.zip: the file is not what it should be: not a zip file" in said
    )
    assert "Not brought: nasr-csv-2026-10-29.zip, class-airspace-2026-10-29.zip." in said
    assert "obstacles.zip" in run("list")[1]


def test_a_broken_download_goes_on_at_the_next_run(service: Service, tmp_path: Path) -> None:
    body = nasr_made.csv_zip()
    service.say(CSV, stored(body, tag='"n"', break_after=len(body) // 8))
    assert run("update", "--on", DAY)[0] == 1
    service.say(CSV, stored(body, tag='"n"'))
    code, said = run("update", "--on", DAY)
    assert code == 0
    assert "of them from before" in said


def test_without_a_network_what_was_added_stays(
    service: Service, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("update", "--on", DAY)
    nowhere = "http://127.0.0.1:9"
    (tmp_path / "services.toml").write_text(
        f'subscription = "{nowhere}"\nobstacles = "{nowhere}"\n', encoding="utf-8"
    )
    code, said = run("update", "--on", "2026-12-24")
    assert code == 1
    assert said.count("no connection") == 4
    assert "QMRL" in run("near", "QMRL")[1]


def test_the_next_cycle_takes_the_place_of_the_last_under_the_same_name(
    service: Service, tmp_path: Path
) -> None:
    run("update", "--on", DAY)
    service.say("/28day/2026-11-26/aixm5.0.zip", stored(saa_made.subscription_zip(), tag='"t"'))
    run("update", "--on", "2026-11-30")
    _, said = run("list")
    assert "special-use: AIXM 5.1, holds from 2026-11-26 until 2026-12-24" in said
    assert "class-airspace: class-airspace shapefile, holds from 2026-10-29" in said  # none newer
    names = {path.name for path in (tmp_path / "data" / "official").glob("special*.zip")}
    assert names == {"special-use-2026-11-26.zip"}
