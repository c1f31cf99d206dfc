"""What tests of every room share."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any
from uuid import uuid4

import numpy as np
import pytest

from lubberline import loop
from lubberline.demo import write_folder
from lubberline.loop import Prepared


@pytest.fixture(autouse=True)
def own_data_folder(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A data folder of its own for every test, made only if something is added."""
    folder = tmp_path_factory.getbasetemp() / "data" / uuid4().hex
    monkeypatch.setenv("LUBBERLINE_DATA", str(folder))


@pytest.fixture
def as_printed() -> Callable[[str], Any]:
    """A published number, known to half of its last printed digit."""

    def approx(text: str) -> Any:
        half = 0.5 * 10.0 ** int(Decimal(text).as_tuple().exponent)
        return pytest.approx(float(text), rel=0.0, abs=half + 1e-9 * abs(float(text)))

    return approx


@pytest.fixture
def holds_on_every_shape() -> Callable[..., None]:
    """Check of a science function on scalar, list, column against list, empty and NaN."""

    def check(function: Callable[..., Any], *values: float) -> None:
        def parts(*arguments: Any) -> list[Any]:
            result = function(*arguments)
            return [np.asarray(r) for r in (result if isinstance(result, tuple) else (result,))]

        alone = parts(*values)
        assert all(part.shape == () and part.dtype == np.float64 for part in alone)
        assert np.isfinite(alone).all(), "the sample must have an answer"
        column, *lists = ([[values[0]]] * 3, *([value] * 2 for value in values[1:]))
        for part, one in zip(parts(column, *lists), alone, strict=True):
            assert part.shape == (3, 2 if lists else 1)
            np.testing.assert_allclose(part, one, rtol=1e-12)
        assert all(part.shape == (0,) for part in parts(*([] for _ in values)))
        for place in range(len(values)):
            arguments: list[Any] = [[value, value] for value in values]
            arguments[place][1] = np.nan
            for part, one in zip(parts(*arguments), alone, strict=True):
                assert part[0] == pytest.approx(one, rel=1e-12)
                assert np.isnan(part[1]), f"argument {place} unknown, answer {part[1]}"

    return check


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    """The starter's flight, read and checked once; its folder is for reading only."""
    return loop.prepare(write_folder(tmp_path_factory.mktemp("starter") / "folder"), None)
