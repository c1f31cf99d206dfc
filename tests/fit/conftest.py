"""The demo's flight, prepared once for all tests of fit."""

import pytest

from lubberline import loop
from lubberline.demo import write_folder
from lubberline.loop import Prepared


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    """The starter's flight along its lowest way, through Sedge at 2,500 ft."""
    one = loop.prepare(write_folder(tmp_path_factory.mktemp("fit") / "folder"), None)
    assert one.way.name == "direct through Sedge"
    return one
