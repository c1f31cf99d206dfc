"""Whatever happens to a published file, its reader gives data with an account, or one refusal.

A few inputs for each reader in every run of the tests; ten thousand with ``make fuzz``.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

import airspace_made
import nasr_made
import obstacles_made
import ourairports_made
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mutations import FUZZ, mutated, survives

from lubberline.places import DataSet
from lubberline.places.published import (
    read_class_airspace,
    read_nasr,
    read_obstacles,
    read_ourairports,
    read_special_use,
)

SOME: Final = [obstacles_made.Made(number=n, agl_ft=100 + n, action="AD"[n == 3]) for n in range(9)]
CONTENTS: Final[dict[str, tuple[Callable[[Path], DataSet], dict[str, bytes]]]] = {
    "subscription": (
        read_nasr,
        {name: nasr_made.text_of(name, rows).encode() for name, rows in nasr_made.TABLES.items()},
    ),
    "class airspace": (
        read_class_airspace,
        {f"x.{end}": c for end, c in airspace_made.write_parts(airspace_made.CLASSES).items()},
    ),
    "special use": (
        read_special_use,
        {f"x.{end}": c for end, c in airspace_made.write_parts(airspace_made.SPECIAL).items()},
    ),
    "obstacles": (
        read_obstacles,
        {"DOF.DAT": "\r\n".join([*obstacles_made.HEAD, *(m.line() for m in SOME)]).encode()},
    ),
    "older obstacles": (
        read_obstacles,
        {"DOF.DAT": "\n".join([*obstacles_made.HEAD, *(m.older_line() for m in SOME)]).encode()},
    ),
    "obstacles as CSV": (
        read_obstacles,
        {"DOF.CSV": "\n".join([obstacles_made.CSV_HEAD, *(m.row() for m in SOME)]).encode()},
    ),
    "world's aerodromes": (
        read_ourairports,
        {name: "\n".join(lines).encode() for name, lines in ourairports_made.FILES.items()},
    ),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("fuzz")


@pytest.mark.parametrize("form", CONTENTS)
@FUZZ
@given(data=st.data())
def test_a_reader_survives_any_damage_to_one_of_its_files(
    folder: Path, form: str, data: st.DataObject
) -> None:
    read, contents = CONTENTS[form]
    name = data.draw(st.sampled_from(sorted(contents)))
    place = folder / form
    place.mkdir(exist_ok=True)
    for other, content in contents.items():
        damaged = data.draw(mutated(content)) if other == name else content
        (place / other).write_bytes(damaged)
    survives(read, place)


@pytest.mark.parametrize("form", CONTENTS)
@FUZZ
@given(data=st.data())
def test_a_reader_survives_any_damage_to_a_zip_file(
    folder: Path, form: str, data: st.DataObject
) -> None:
    read, contents = CONTENTS[form]
    path = folder / f"{form}.zip"
    path.write_bytes(data.draw(mutated(nasr_made.zip_of(contents))))
    survives(read, path)
