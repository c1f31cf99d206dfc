"""The demo's folder, made once, and its six flights, each flown once."""

from pathlib import Path

import pytest
from demo_cases import NAMES, Case, flown_case

from lubberline.demo import FLIGHTS, write_demo


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with all invented flights."""
    directory = tmp_path_factory.mktemp("demo") / "folder"
    write_demo(directory)
    return directory


@pytest.fixture(scope="session")
def cases(home: Path) -> dict[str, Case]:
    """All flights by the fault they are flown with."""
    folders = [home / "flights" / flight.folder_name for flight in FLIGHTS]
    flown = [
        flown_case(home, folder, flight) for folder, flight in zip(folders, FLIGHTS, strict=True)
    ]
    return dict(zip(NAMES, flown, strict=True))


@pytest.fixture(params=NAMES)
def case(request: pytest.FixtureRequest, cases: dict[str, Case]) -> Case:
    """Each flight in turn."""
    return cases[request.param]


@pytest.fixture(params=[flight.fault for flight in FLIGHTS if flight.suffix != ".gpx"])
def pressure_case(request: pytest.FixtureRequest, cases: dict[str, Case]) -> Case:
    """Each flight in turn whose recorder keeps pressure."""
    return cases[request.param]
