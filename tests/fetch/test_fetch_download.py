"""A large file arrives whole or not at all, and what came of it is not brought again."""

import hashlib
from pathlib import Path

import pytest
from stub_service import Service, content, stored

from lubberline.fetch import Client, NoAnswer, download

BODY = bytes(range(256)) * 400
TAG, NEWER = '"v1"', '"v2"'


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "28day.zip"


def test_a_file_arrives_with_its_progress(service: Service, client: Client, path: Path) -> None:
    told: list[tuple[int, int | None]] = []
    url = service.say("/f", stored(BODY, tag=TAG))
    done = download(client, url, path, progress=lambda *now: told.append(now))
    assert path.read_bytes() == BODY
    assert (done.size_count, done.kept_count, done.unchanged) == (len(BODY), 0, False)
    assert told[-1] == (len(BODY), len(BODY))
    assert sorted(one.name for one in path.parent.iterdir()) == ["28day.zip", "28day.zip.origin"]


def test_a_broken_download_goes_on_where_it_broke(
    service: Service, client: Client, path: Path
) -> None:
    url = service.say("/f", stored(BODY, tag=TAG, break_after=60_000), stored(BODY, tag=TAG))
    done = download(client, url, path)
    assert path.read_bytes() == BODY
    assert done.kept_count == 60_000
    assert service.asked[1][1]["Range"] == "bytes=60000-"


def test_the_next_run_goes_on_too(service: Service, client: Client, path: Path) -> None:
    url = service.say("/f", stored(BODY, tag=TAG, break_after=10_000))
    with pytest.raises(NoAnswer, match="broken off"):
        download(client, url, path)
    assert not path.exists()
    service.say("/f", stored(BODY, tag=TAG))
    assert download(client, url, path).kept_count == 30_000  # three attempts
    assert path.read_bytes() == BODY


def test_parts_of_two_versions_are_never_joined(
    service: Service, client: Client, path: Path
) -> None:
    newer = BODY[::-1]
    url = service.say("/f", stored(BODY, tag=TAG, break_after=9), stored(newer, tag=NEWER))
    assert download(client, url, path).kept_count == 0
    assert path.read_bytes() == newer


def test_a_part_without_a_version_is_brought_again(
    service: Service, client: Client, path: Path
) -> None:
    url = service.say("/f", content(BODY[:9], length=len(BODY)), content(BODY))
    assert download(client, url, path).kept_count == 0
    assert path.read_bytes() == BODY


def test_what_has_not_changed_is_not_brought_again(
    service: Service, client: Client, path: Path
) -> None:
    url = service.say("/f", stored(BODY, tag=TAG))
    download(client, url, path)
    assert download(client, url, path).unchanged
    path.unlink()
    assert not download(client, url, path).unchanged
    assert path.read_bytes() == BODY


def test_a_run_killed_before_the_first_byte_leaves_the_old_file_old(
    service: Service, client: Client, path: Path
) -> None:
    url = service.say("/f", stored(b"old", tag=TAG))
    download(client, url, path)
    service.say("/f", content(b"", length=len(BODY), ETag=NEWER))
    with pytest.raises(NoAnswer):
        download(client, url, path)
    path.with_name("28day.zip.part").unlink()
    assert path.read_bytes() == b"old"
    service.say("/f", stored(BODY, tag=NEWER))
    assert not download(client, url, path).unchanged
    assert path.read_bytes() == BODY


def test_a_part_longer_than_the_file_is_thrown_away(
    service: Service, client: Client, path: Path
) -> None:
    url = service.say("/f", stored(BODY, tag=TAG, break_after=9_000))
    with pytest.raises(NoAnswer):
        download(client, url, path)
    service.say("/f", stored(BODY[:100], tag=TAG))
    assert download(client, url, path).size_count == 100


def test_a_file_with_another_hash_is_refused(service: Service, client: Client, path: Path) -> None:
    url = service.say("/f", stored(BODY, tag=TAG))
    right = hashlib.sha256(BODY).hexdigest()
    assert download(client, url, path, sha256=right.upper()).size_count == len(BODY)
    other = path.with_name("other.zip")
    with pytest.raises(NoAnswer, match="SHA-256"):
        download(client, url, other, sha256="0" * 64)
    assert not other.exists()


def test_a_file_that_fails_its_check_leaves_the_old_one(
    service: Service, client: Client, path: Path
) -> None:
    def never(_: Path) -> None:
        raise ValueError("not a zip file")

    path.parent.mkdir()
    path.write_bytes(b"old")
    with pytest.raises(NoAnswer, match="not a zip file"):
        download(client, service.say("/f", stored(BODY, tag=TAG)), path, check=never)
    assert path.read_bytes() == b"old"


@pytest.mark.parametrize(("status", "times"), [(404, 1), (403, 1), (503, 3), (429, 3)])
def test_a_refused_download_says_so(
    service: Service, client: Client, path: Path, status: int, times: int
) -> None:
    with pytest.raises(NoAnswer, match=f"refused with {status}"):
        download(client, service.say("/f", content(b"", status=status)), path)
    assert len(service.asked) == times
