"""Airspace text, AIXM, GeoJSON and own points survive any damage, as the other forms do.

A few inputs for each reader in every run of the tests; ten thousand with ``make fuzz``.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

import airspace_made
import aixm_made
import geojson_made
import nasr_made
import openair_made
import pytest
import saa_made
from hypothesis import given
from hypothesis import strategies as st
from mutations import FUZZ, mutated, survives
from test_own_points import GPX, TABLE

from lubberline.places import DataSet
from lubberline.places.published import (
    read_aixm,
    read_geojson,
    read_openair,
    read_own_points,
)

EXPORT: Final = airspace_made.geojson([*airspace_made.CLASSES[2:5], *airspace_made.SPECIAL])
CONTENTS: Final[dict[str, tuple[Callable[[Path], DataSet], str, bytes]]] = {
    "openair": (read_openair, "x.txt", (openair_made.HEAD + openair_made.ALL).encode()),
    "aixm": (read_aixm, "x.xml", aixm_made.ALL.encode()),
    "special use": (read_aixm, "y.xml", saa_made.document("MOA", "GANNET", *saa_made.PARTS)),
    "geojson": (read_geojson, "x.geojson", geojson_made.ALL.encode()),
    "government's export": (read_geojson, "x.json", EXPORT.encode()),
    "own points": (read_own_points, "x.csv", TABLE.encode()),
    "waypoints": (read_own_points, "x.gpx", GPX.encode()),
}
WORDS: Final = (
    *(b"V X=", b"DB ", b"DA 1,2,3", b"DC 0", b"DC 9e99", b"V D=-", b"AC R\n", b"AH ", b"TO x\n"),
    *(b"<", b"/>", b"&", b"]]>", b"<!DOCTYPE x>", b'uom="NM"', b"urn:uuid:ctr", b"#s", b"SUBTR"),
    *(b"[", b"]", b"{", b"}", b"null", b"NaN", b"-Infinity", b'"Point"', b"1e400", b"181", b"-91"),
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("fuzz-airspace")


@st.composite
def damaged(draw: st.DrawFn, content: bytes) -> bytes:
    """Damage as to any file, or words of these forms where they do not belong."""
    data = draw(mutated(content) | st.just(content))
    for _ in range(draw(st.integers(0, 3))):
        at, word = draw(st.integers(0, len(data))), draw(st.sampled_from(WORDS))
        data = data[:at] + word + data[at + draw(st.integers(0, len(word))) :]
    return data


@pytest.mark.parametrize("form", CONTENTS)
@FUZZ
@given(data=st.data())
def test_a_reader_survives_any_damage(folder: Path, form: str, data: st.DataObject) -> None:
    read, name, content = CONTENTS[form]
    path = folder / name
    path.write_bytes(data.draw(damaged(content)))
    survives(read, path)


@pytest.mark.parametrize("form", CONTENTS)
@FUZZ
@given(data=st.data())
def test_a_reader_survives_any_damage_to_a_zip_file(
    folder: Path, form: str, data: st.DataObject
) -> None:
    read, name, content = CONTENTS[form]
    path = folder / f"{name}.zip"
    path.write_bytes(data.draw(mutated(nasr_made.zip_of({name: content}))))
    survives(read, path)
