"""The official files of the day are found by their dates and brought whole."""

import io
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stub_service import Service, content, serving

from lubberline.fetch import Addresses, Cache, Client, NoAnswer, Patience
from lubberline.places.update import CYCLE, bring, cycle_day, forget_older, official_files

# Days named by published files of the subscription, read 2026-11-25.
EFFECTIVE_DAYS = (
    *("2022-11-03", "2022-12-29", "2024-01-25", "2025-09-04", "2025-10-30", "2025-11-27"),
    *("2026-03-19", "2026-05-14", "2026-06-11", "2026-07-09", "2026-09-03"),
)


@pytest.mark.parametrize("text", EFFECTIVE_DAYS)
def test_published_days_begin_a_cycle(text: str) -> None:
    assert cycle_day(date.fromisoformat(text)) == date.fromisoformat(text)


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)))
def test_a_day_lies_in_its_cycle(day: date) -> None:
    begun = cycle_day(day)
    assert begun <= day < begun + CYCLE
    assert cycle_day(begun) == begun


def test_the_files_carry_the_day_of_the_cycle() -> None:
    airspace_csv, airspace, special, obstacles = official_files(Addresses(), date(2026, 6, 30))
    assert airspace_csv.url.endswith("/28DaySub/extra/11_Jun_2026_CSV.zip")
    assert airspace.url.endswith("/28DaySub/2026-06-11/class_airspace_shape_files.zip")
    assert special.url.endswith("/28DaySub/2026-06-11/aixm5.0.zip")
    assert obstacles.url.endswith("/Obst_Data/DAILY_DOF_DAT.ZIP")
    names = [one.name for one in (airspace_csv, airspace, special, obstacles)]
    assert names == [
        "nasr-csv-2026-06-11.zip",
        "class-airspace-2026-06-11.zip",
        "special-use-2026-06-11.zip",
        "obstacles.zip",
    ]


def test_files_of_other_cycles_and_undated_ones_are_forgotten(tmp_path: Path) -> None:
    _, airspace, _, obstacles = official_files(Addresses(), date(2026, 6, 30))
    kept = {airspace.name, f"{airspace.name}.origin", "obstacles.zip", "class-airspace-mine.zip"}
    old = {"class-airspace-2026-05-14.zip", "class-airspace-2026-05-14.zip.origin"}
    for name in kept | old | {"class-airspace.zip"}:
        (tmp_path / name).touch()
    forget_older(airspace, tmp_path)
    forget_older(obstacles, tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == kept


@pytest.fixture
def service() -> Iterator[Service]:
    with serving() as one:
        yield one


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    with Client(Cache(tmp_path), Patience(apart_s=0.0), sleep=lambda _: None) as one:
        yield one


def zipped(body: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("DOF.DAT", body)
    return stream.getvalue()


def test_a_zip_file_is_brought(service: Service, client: Client, tmp_path: Path) -> None:
    service.say("/DAILY_DOF_DAT.ZIP", content(zipped(b"CURRENCY DATE = 11/22/26")))
    file = official_files(Addresses(obstacles=service.url), date(2026, 11, 25))[-1]
    told: list[tuple[str, int, int | None]] = []
    done = bring(client, file, tmp_path / "official", lambda *now: told.append(now))
    assert zipfile.ZipFile(done.path).read("DOF.DAT").startswith(b"CURRENCY")
    assert told[-1] == ("obstacles.zip", done.size_count, done.size_count)


@pytest.mark.parametrize(
    "garbage", [b"", b"<html>", zipped(b"x" * 99).replace(b"x" * 99, b"y" * 99), zipped(b"x")[:-9]]
)
def test_what_is_not_a_whole_zip_file_is_refused(
    service: Service, client: Client, tmp_path: Path, garbage: bytes
) -> None:
    service.say("/DAILY_DOF_DAT.ZIP", content(garbage))
    file = official_files(Addresses(obstacles=service.url), date(2026, 11, 25))[-1]
    with pytest.raises(NoAnswer, match="not what it should be"):
        bring(client, file, tmp_path / "official")
    assert not (tmp_path / "official" / "obstacles.zip").exists()
