"""How long a report takes: the pictures and words, the file, and all of it from the folder."""

from pathlib import Path
from typing import Any

import pytest

from lubberline import loop
from lubberline.demo import FLIGHTS, record_way, way_of, write_folder
from lubberline.page import Gathered, flight_report, gather, make_report, report_html
from lubberline.page.flown_part import Debrief


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A flight with its pledge and its recording."""
    made = write_folder(tmp_path_factory.mktemp("bench") / "folder")
    prepared = loop.prepare(made, None)
    way = way_of(FLIGHTS[-1], prepared.ways)
    loop.print_card(loop.checked(prepared.plan, prepared.ways, way), png=False)
    record_way(prepared.plan, way, FLIGHTS[-1])
    return made


@pytest.fixture(scope="module")
def gathered(folder: Path) -> Gathered:
    return gather(folder, next(folder.glob("recording.*")))


def test_words_and_pictures(benchmark: Any, gathered: Gathered) -> None:
    assert gathered.judged is not None
    debrief = Debrief(flown=gathered.judged.flown, pledge=gathered.pledge, sentences=())
    page = benchmark(make_report, gathered.prepared, debrief=debrief)
    assert page.flown is not None


def test_the_file(benchmark: Any, gathered: Gathered) -> None:
    html = benchmark(report_html, make_report(gathered.prepared))
    assert len(html) < 7_000_000


def test_all_from_the_folder(benchmark: Any, folder: Path) -> None:
    page = benchmark(flight_report, folder, next(folder.glob("recording.*")))
    assert page.card is not None
