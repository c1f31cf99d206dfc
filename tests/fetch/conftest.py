"""A service, and a client that never really sleeps."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from stub_service import Service, serving

from lubberline.fetch import Cache, Client, Patience


@pytest.fixture
def service() -> Iterator[Service]:
    with serving() as one:
        yield one


@pytest.fixture
def pauses() -> list[float]:
    """How long the client would have slept."""
    return []


@pytest.fixture
def client(tmp_path: Path, pauses: list[float]) -> Iterator[Client]:
    patience = Patience(silence_s=0.3, whole_s=0.5, apart_s=0.0)
    with Client(Cache(tmp_path / "cache"), patience=patience, sleep=pauses.append) as one:
        yield one
