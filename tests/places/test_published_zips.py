"""Files are read wherever they lie, and archives that no authority would publish are refused."""

import io
import struct
import zipfile
from pathlib import Path

import pytest
from nasr_made import zip_of

from lubberline.errors import BadFile
from lubberline.places.published.zips import (
    MAX_RATIO,
    SMALL_BYTES,
    Files,
    content_sha256,
    open_files,
)


def contents(path: Path, nested: str = "") -> dict[str, bytes]:
    with open_files(path, nested=nested) as files:
        return {one.name: read(files, one.name) for one in files.members}


def read(files: Files, name: str) -> bytes:
    member = next(one for one in files.members if one.name == name)
    with files.open(member) as stream:
        return stream.read()


def archive(path: Path, *infos: tuple[zipfile.ZipInfo | str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        for info, content in infos:
            file.writestr(info, content)
    return path


def test_a_file_alone_stands_with_its_kin(tmp_path: Path) -> None:
    for name in ("air.shp", "air.dbf", "sea.shp"):
        (tmp_path / name).write_bytes(name.encode())
    assert set(contents(tmp_path / "air.shp")) == {"air.shp", "air.dbf"}


def test_a_folder_is_gone_through_to_its_depths(tmp_path: Path) -> None:
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "a" / "b" / "x.csv").write_bytes(b"x")
    (tmp_path / ".hidden").write_bytes(b"y")
    assert contents(tmp_path) == {"a/b/x.csv": b"x"}


def test_a_link_in_a_folder_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "secret.csv").write_bytes(b"s")
    (tmp_path / "in" / "x.csv").symlink_to(tmp_path / "secret.csv")
    assert contents(tmp_path / "in") == {}


def test_what_a_desktop_hides_in_an_archive_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "x.zip").write_bytes(zip_of({"a.shp": b"1", "__MACOSX/._a.shp": b"2"}))
    assert contents(tmp_path / "x.zip") == {"a.shp": b"1"}


def test_an_archive_inside_another_is_looked_into_where_it_is_wanted(tmp_path: Path) -> None:
    inner = zip_of({"APT.csv": b"inner"})
    path = tmp_path / "all.zip"
    path.write_bytes(zip_of({"CSV/29_CSV.zip": inner, "AIXM/a.zip": inner, "r.txt": b"r"}))
    assert contents(path, nested="csv") == {"CSV/29_CSV.zip/APT.csv": b"inner", "r.txt": b"r"}
    assert contents(path) == {"r.txt": b"r"}


def test_an_archive_in_a_folder_is_looked_into_as_well(tmp_path: Path) -> None:
    (tmp_path / "29_CSV.zip").write_bytes(zip_of({"APT.csv": b"x"}))
    assert contents(tmp_path, nested="csv") == {"29_CSV.zip/APT.csv": b"x"}


def test_the_same_name_is_taken_where_it_lies_highest(tmp_path: Path) -> None:
    inner = zip_of({"apt_base.csv": b"deep"})
    (tmp_path / "x.zip").write_bytes(zip_of({"a/csv.zip": inner, "APT_BASE.CSV": b"high"}))
    with open_files(tmp_path / "x.zip", nested="csv") as files:
        member = files.named("Apt_Base.csv", "absent.csv")["Apt_Base.csv"]
        assert member.name == "APT_BASE.CSV"


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("../outside.csv", "a name that leads out of the archive"),
        ("a/../../outside.csv", "a name that leads out of the archive"),
        ("/etc/passwd", "an absolute or foreign name"),
        ("C:/boot.ini", "an absolute or foreign name"),
        ("a\\b.csv", "an absolute or foreign name"),
        ("a\nb.csv", "a name that leads out of the archive"),
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(tmp_path: Path, name: str, found: str) -> None:
    path = archive(tmp_path / "x.zip", (zipfile.ZipInfo(name), b"x"))
    with pytest.raises(BadFile, match=found):
        contents(path)


def test_a_member_without_name_is_refused(tmp_path: Path) -> None:
    content = zip_of({"a": b"x"}).replace(b"a", b"\0")
    (tmp_path / "x.zip").write_bytes(content)
    with pytest.raises(BadFile, match="a file without name"):
        contents(tmp_path / "x.zip")


def test_a_link_in_an_archive_is_refused(tmp_path: Path) -> None:
    info = zipfile.ZipInfo("link.csv")
    info.external_attr = 0o120777 << 16
    with pytest.raises(BadFile, match="a link"):
        contents(archive(tmp_path / "x.zip", (info, b"/etc/passwd")))


def test_an_encrypted_member_is_refused(tmp_path: Path) -> None:
    content = bytearray(zip_of({"a.csv": b"x"}))
    at = content.rindex(b"PK\1\2")
    struct.pack_into("<H", content, at + 8, struct.unpack_from("<H", content, at + 8)[0] | 1)
    (tmp_path / "x.zip").write_bytes(bytes(content))
    with pytest.raises(BadFile, match="an encrypted file"):
        contents(tmp_path / "x.zip")


def test_an_archive_that_swells_is_refused_before_it_is_read(tmp_path: Path) -> None:
    size = SMALL_BYTES + 1
    path = archive(tmp_path / "x.zip", ("bomb.csv", bytes(size)))
    assert path.stat().st_size * MAX_RATIO < size
    with pytest.raises(BadFile, match="bytes that swell to 10,000,001"):
        contents(path)


def test_small_files_may_be_as_uniform_as_they_like(tmp_path: Path) -> None:
    path = archive(tmp_path / "x.zip", ("blank.csv", b" " * 100_000))
    assert len(contents(path)["blank.csv"]) == 100_000


def test_a_size_that_lies_is_found_out(tmp_path: Path) -> None:
    content = bytearray(zip_of({"a.csv": b"x" * 5_000}))
    at = content.rindex(b"PK\1\2")
    struct.pack_into("<I", content, at + 24, 10)  # says that it unpacks to 10 bytes
    (tmp_path / "x.zip").write_bytes(bytes(content))
    with pytest.raises(BadFile, match="damage"):
        contents(tmp_path / "x.zip")


def test_archives_too_deep_are_refused(tmp_path: Path) -> None:
    content = zip_of({"x.csv": b"x"})
    for _ in range(3):
        content = zip_of({"csv.zip": content})
    (tmp_path / "x.zip").write_bytes(content)
    with pytest.raises(BadFile, match="archives more than 3 deep"):
        contents(tmp_path / "x.zip", nested="csv")


def test_two_members_of_one_name_are_refused(tmp_path: Path) -> None:
    with pytest.warns(UserWarning, match="Duplicate"):
        path = archive(tmp_path / "x.zip", ("a.csv", b"1"), ("a.csv", b"2"))
    with pytest.raises(BadFile, match="two files of one name"):
        contents(path)


def test_too_many_members_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("lubberline.places.published.zips.MAX_MEMBERS", 3)
    (tmp_path / "x.zip").write_bytes(zip_of({f"{n}.csv": b"" for n in range(4)}))
    with pytest.raises(BadFile, match="4 files, over 3"):
        contents(tmp_path / "x.zip")


def test_more_bytes_than_published_data_ever_have_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("lubberline.places.published.zips.MAX_BYTES", 10)
    (tmp_path / "x.csv").write_bytes(b"0123456789!")
    with pytest.raises(BadFile, match="over 10 bytes"):
        contents(tmp_path / "x.csv")


@pytest.mark.parametrize("cut", [10, 60, 300])
def test_an_archive_cut_short_is_refused(tmp_path: Path, cut: int) -> None:
    content = zip_of({"a.csv": bytes(range(256)) * 4})
    (tmp_path / "x.zip").write_bytes(content[:-cut])
    with pytest.raises(BadFile, match="no whole zip file"):
        contents(tmp_path / "x.zip")


def test_a_damaged_member_is_refused_where_it_is_met(tmp_path: Path) -> None:
    content = bytearray(zip_of({"a.csv": bytes(range(256)) * 40}))
    content[60:70] = b"\xff" * 10
    (tmp_path / "x.zip").write_bytes(bytes(content))
    with pytest.raises(BadFile, match=r"a\.csv: damage"):
        contents(tmp_path / "x.zip")


def test_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="found nothing, expected a file, a folder or a zip file"):
        contents(tmp_path / "absent")


def test_the_checksum_is_of_the_content(tmp_path: Path) -> None:
    def checksum(path: Path) -> str:
        with open_files(path) as files:
            return content_sha256(files)

    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.csv").write_bytes(b"1")
    first = checksum(tmp_path / "in"), checksum(tmp_path / "in" / "a.csv")
    assert first == (checksum(tmp_path / "in"), checksum(tmp_path / "in" / "a.csv"))
    (tmp_path / "in" / "a.csv").write_bytes(b"2")
    assert first[0] != checksum(tmp_path / "in")
    assert first[1] != checksum(tmp_path / "in" / "a.csv")


def test_the_checksum_of_a_shapefile_is_that_of_all_its_parts(tmp_path: Path) -> None:
    sums = []
    for table in (b"1", b"2"):
        (tmp_path / "a.shp").write_bytes(b"shapes")
        (tmp_path / "a.dbf").write_bytes(table)
        with open_files(tmp_path / "a.shp") as files:
            sums.append(content_sha256(files))
    assert sums[0] != sums[1]


def test_a_stream_can_be_read_as_text_and_in_pieces(tmp_path: Path) -> None:
    (tmp_path / "x.zip").write_bytes(zip_of({"a.csv": b"one\ntwo\n"}))
    with open_files(tmp_path / "x.zip") as files, files.open(files.members[0]) as stream:
        assert stream.read(2) == b"on"
        assert io.TextIOWrapper(stream).readlines() == ["e\n", "two\n"]
