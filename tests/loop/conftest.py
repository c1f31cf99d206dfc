"""One demo flight planned, printed, flown and kept, with what really happened."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from lubberline import loop
from lubberline.demo import FLIGHTS, record_way, way_of, write_folder
from lubberline.demo.truth import Truth
from lubberline.flown import OwnMark, add_marks
from lubberline.loop.debriefing import judge

AFTER = """
made_utc = 2026-11-25T23:00:00Z
fuel_used_gal = 7.5

[chance]
"flown.cruise_height_rms" = 0.8
"""

MARK = OwnMark(
    phase="approach", mark="close", note="", made_utc=datetime(2026, 11, 25, 23, 0, tzinfo=UTC)
)


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Truth]:
    """The flight's folder, three above which lies the store, and the truth of the flight."""
    flight = FLIGHTS[-1]
    folder = write_folder(tmp_path_factory.mktemp("loop") / "folder")
    prepared = loop.prepare(folder, None)
    way = way_of(flight, prepared.ways)
    pledged = loop.checked(prepared.plan, prepared.ways, way)
    printed_utc = flight.off_block_utc - timedelta(minutes=40)
    loop.print_card(pledged, png=False, printed_utc=printed_utc)
    path, truth = record_way(prepared.plan, way, flight)
    (folder / "after.toml").write_text(AFTER, encoding="utf-8")
    add_marks(folder, [MARK])
    judge(folder, path, keep=True)
    return folder, truth
