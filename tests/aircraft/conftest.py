"""The invented airplane that the demo flies."""

from pathlib import Path

import pytest

import lubberline
from lubberline.aircraft import Aircraft, read_aircraft


@pytest.fixture(scope="session")
def heron() -> Aircraft:
    return read_aircraft(
        Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
    )
