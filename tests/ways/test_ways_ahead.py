"""The search is compiled once, ahead of its use, in another process."""

import sys
import time
from pathlib import Path

import pytest

from lubberline.ways import ahead
from lubberline.ways.search import find_ways
from lubberline.ways.small import small_problem


def test_the_small_problem_has_ways_of_both_kinds() -> None:
    """Through the tower and round it: every kernel is asked."""
    ways = find_ways(small_problem())
    assert {frozenset(way.permissions) for way in ways} == {frozenset(), frozenset({"tower"})}


def test_it_is_begun_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    begun: list[list[str]] = []
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr("subprocess.Popen", lambda words, **_: begun.append(words))
    assert ahead.compile_in_background()
    assert not ahead.compile_in_background()
    assert begun == [[sys.executable, "-m", "lubberline.ways.ahead"]]
    assert not ahead.is_compiled()
    ahead.mark_compiled()
    assert ahead.is_compiled()


def test_one_that_died_is_begun_again(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr("subprocess.Popen", lambda *_, **__: None)
    assert ahead.compile_in_background()
    later_s = time.time() + ahead.AGAIN_S + 1.0
    monkeypatch.setattr("time.time", lambda: later_s)
    assert ahead.compile_in_background()


def test_a_cache_that_cannot_be_written_is_no_error(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert not ahead.compile_in_background()
    ahead.mark_compiled()
    assert not ahead.is_compiled()
