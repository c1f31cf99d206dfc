"""One demo flight, planned, printed, flown and judged, for every test of the page."""

from datetime import timedelta
from pathlib import Path

import pytest

from lubberline import loop
from lubberline.demo import FLIGHTS, record_way, way_of, write_folder
from lubberline.loop import Prepared
from lubberline.loop.debriefing import judge
from lubberline.page import Gathered, ReportPage, flight_report, gather, report_html


@pytest.fixture(scope="session")
def flight_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A flight's folder with its pledge and recording."""
    flight = FLIGHTS[-1]
    folder = write_folder(tmp_path_factory.mktemp("page") / "folder")
    prepared = loop.prepare(folder, None)
    way = way_of(flight, prepared.ways)
    pledged = loop.checked(prepared.plan, prepared.ways, way)
    printed_utc = flight.off_block_utc - timedelta(minutes=40)
    loop.print_card(pledged, png=False, printed_utc=printed_utc)
    path, _ = record_way(prepared.plan, way, flight)
    judge(folder, path, keep=True)
    return folder


@pytest.fixture(scope="session")
def gathered(flight_folder: Path) -> Gathered:
    """All that is known of the flight."""
    return gather(flight_folder, next(flight_folder.glob("recording.*")))


@pytest.fixture(scope="session")
def prepared(gathered: Gathered) -> Prepared:
    """The flight with its pledged way."""
    return gathered.prepared


@pytest.fixture(scope="session")
def page(flight_folder: Path) -> ReportPage:
    """The whole report as values."""
    return flight_report(flight_folder, next(flight_folder.glob("recording.*")))


@pytest.fixture(scope="session")
def html(page: ReportPage) -> str:
    """The whole report as a file."""
    return report_html(page)
