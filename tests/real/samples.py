"""Tracks that nobody here made, taken from the files of published general data packages.

Each package is fetched once through the package installer into a cache that git ignores, read as
an archive, and never installed or imported. A sample is held to its hash. Where no registry can
be reached the tests that need a sample are skipped and say so.

Tables in JSON are written out as CSV, value for value; ``MAPS`` says what their columns mean, as
the packages document it. What is in the tracks, and when they leave and meet the ground, was
found by looking at them.
"""

import csv
import gzip
import hashlib
import io
import json
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final, Literal

import pytest

CACHE: Final = Path(__file__).parents[2] / ".cache" / "samples"
PATIENCE_S: Final = 20.0

Archive = Literal["source", "wheel"]
Form = Literal["as it is", "rows", "messages"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Where a track lies: package, version, archive, path in it, and the hash of that member."""

    package: str
    version: str
    archive: Archive
    member: str
    sha256: str
    suffix: str
    form: Form = "as it is"


_TRAFFIC: Final = "traffic/data/samples"
_GPXPY: Final = "gpxpy-1.6.2/test_files"

SAMPLES: Final[Mapping[str, Sample]] = {
    "paraglider": Sample(
        package="igc2kml",
        version="0.1.0",
        archive="source",
        member="igc2kml-0.1.0/sample_files/2022_06_26_01-1718.IGC",
        sha256="318be503f63b0ac7f4d843ceb5298c73d816c82fb7031d917359adbf2d6c1952",
        suffix=".igc",
    ),
    "airliner": Sample(
        package="traffic",
        version="2.13",
        archive="wheel",
        member=f"{_TRAFFIC}/rs1090/full_flight_short.jsonl",
        sha256="a8dc1dce87ecd2b23e20983f0671be16d2d9e8207942610633bf86e65068075f",
        suffix=".csv",
        form="messages",
    ),
    "navaid check": Sample(
        package="traffic",
        version="2.13",
        archive="wheel",
        member=f"{_TRAFFIC}/calibration/nice.json.gz",
        sha256="3fc75fb06c24d2e219c386ec07a61540440160d1bebf1fc36ef100402170ef54",
        suffix=".csv",
        form="rows",
    ),
    "light airplane": Sample(
        package="traffic",
        version="2.13",
        archive="wheel",
        member=f"{_TRAFFIC}/featured/texas_longhorn.json.gz",
        sha256="52a9fbb947f28c8c08e1469c395e587b390e63a66f08edf72a1e08a1b5d90771",
        suffix=".csv",
        form="rows",
    ),
    "glider": Sample(
        package="traffic",
        version="2.13",
        archive="wheel",
        member=f"{_TRAFFIC}/gliders/luberon.json.gz",
        sha256="8714330414c9f458341f078eae359dc296811df0e2e890c4220ed67ca82cec12",
        suffix=".csv",
        form="rows",
    ),
    "sky full of aircraft": Sample(
        package="traffic",
        version="2.13",
        archive="wheel",
        member=f"{_TRAFFIC}/collections/quickstart.json.gz",
        sha256="0ef1a97f6b96c31a58e2d9cf58af01a90016eb97472f37718dcba3913c682403",
        suffix=".csv",
        form="rows",
    ),
    "lake walk": Sample(
        package="gpxpy",
        version="1.6.2",
        archive="source",
        member=f"{_GPXPY}/cerknicko-jezero.gpx",
        sha256="8bad699d4c32633dd65d98c0c8ae6372da5ed01c24f7e3afd9f6b642a9976671",
        suffix=".gpx",
    ),
    "hill walk": Sample(
        package="gpxpy",
        version="1.6.2",
        archive="source",
        member=f"{_GPXPY}/korita-zbevnica.gpx",
        sha256="14125bf02a5144dd65c2f7c230fdcd92ed8418242376a4284697f5d1965cb84d",
        suffix=".gpx",
    ),
    "drive": Sample(
        package="gpxpy",
        version="1.6.2",
        archive="source",
        member=f"{_GPXPY}/around-visnjan-with-car.gpx",
        sha256="7c624f58f0675d00f780e258f0004ae7868429c8c9e577f38afda2974b507fe6",
        suffix=".gpx",
    ),
}

_MAP: Final = """\
[time]
column = "timestamp"
form = "{form}"

[columns]
lat_deg = {{ column = "latitude", unit = "deg" }}
lon_deg = {{ column = "longitude", unit = "deg" }}
pressure_ft = {{ column = "altitude", unit = "ft" }}
ground_kt = {{ column = "groundspeed", unit = "kt" }}
track_true_deg = {{ column = "track", unit = "deg" }}
climb_fpm = {{ column = "vertical_rate", unit = "ft/min" }}
"""
MAPS: Final[Mapping[Form, str]] = {
    "rows": _MAP.format(form="unix_ms"),
    "messages": _MAP.format(form="unix_s"),
}
_MESSAGE_COLUMNS: Final = (
    *("timestamp", "icao24", "latitude", "longitude", "altitude"),
    *("groundspeed", "track", "vertical_rate"),
)


def sample(name: str) -> Path:
    """The file of a sample; skips the test that asks where no registry can be reached."""
    wanted = SAMPLES[name]
    path = CACHE / f"{name.replace(' ', '-')}-{wanted.version}{wanted.suffix}"
    if not path.exists():
        data = _member(_archive(wanted.package, wanted.version, wanted.archive), wanted.member)
        found = hashlib.sha256(data).hexdigest()
        assert found == wanted.sha256, f"{wanted.member} is not the file that was looked at"
        _write(path, _FORMS[wanted.form](data))
    return path


def sample_map(name: str) -> Path | None:
    """The column map of a sample, None where the format says what its columns are."""
    text = MAPS.get(SAMPLES[name].form)
    if text is None:
        return None
    path = CACHE / f"{SAMPLES[name].form}.toml"
    _write(path, text.encode())
    return path


@lru_cache
def _archive(package: str, version: str, archive: Archive) -> Path:
    """The package's archive, fetched at most once in a session."""
    folder = CACHE / "packages"
    folder.mkdir(parents=True, exist_ok=True)
    pattern = f"{package}-{version}*.{'tar.gz' if archive == 'source' else 'whl'}"
    if not any(folder.glob(pattern)) and not _fetched(package, version, archive, folder):
        pytest.skip(f"no package registry within reach: {package} {version} could not be fetched")
    return next(folder.glob(pattern))


@lru_cache
def _fetched(package: str, version: str, archive: Archive, folder: Path) -> bool:
    """Whether one attempt to download succeeded; a failure is remembered for the session."""
    kind = ["--no-binary", ":all:"] if archive == "source" else ["--only-binary", ":all:"]
    fetch = [*(sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"), *kind]
    limits = ["--timeout", "5", "--retries", "0", "--dest", f"{folder}"]
    try:
        done = subprocess.run(
            [*fetch, *limits, f"{package}=={version}"],
            timeout=PATIENCE_S,
            capture_output=True,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def _member(archive: Path, member: str) -> bytes:
    if archive.suffix == ".whl":
        with zipfile.ZipFile(archive) as wheel:
            return wheel.read(member)
    with tarfile.open(archive) as source:
        file = source.extractfile(member)
        assert file is not None, f"{member} is no file"
        return file.read()


def _write(path: Path, data: bytes) -> None:
    """Whole or not at all: another test run may be writing the same file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as part:
        part.write(data)
    Path(part.name).replace(path)


def _rows(data: bytes) -> bytes:
    """A gzipped JSON table, by rows or by columns, as CSV."""
    table = json.loads(gzip.decompress(data))
    if isinstance(table, dict):
        names = list(table)
        table = [{name: table[name].get(row) for name in names} for row in table[names[0]]]
    names = list(dict.fromkeys(name for row in table for name in row))
    return _csv(names, table)


def _messages(data: bytes) -> bytes:
    """The position, height and speed messages of decoded surveillance, one to a row."""
    rows = (json.loads(line) for line in data.splitlines())
    told = (row for row in rows if row.get("df") == "17" and len(row.keys() & _TOLD) > 0)
    return _csv(_MESSAGE_COLUMNS, told)


_TOLD: Final = set(_MESSAGE_COLUMNS[2:])


def _csv(names: Iterable[str], rows: Iterable[Mapping[str, Any]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, list(names), extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


_FORMS: Final[Mapping[Form, Callable[[bytes], bytes]]] = {
    "as it is": bytes,
    "rows": _rows,
    "messages": _messages,
}
