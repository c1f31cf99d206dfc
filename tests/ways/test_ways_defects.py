"""A way that the checker refuses is kept with its problem, and is not shown."""

import json
import logging
from pathlib import Path

import numpy as np
import pytest
from ways_cases import FIELD, SHELF, problem, sloping_ground

from lubberline.ways import evaluate, read_problem
from lubberline.ways.defects import SEARCH_LOG, defects_kept, problem_record


def test_a_problem_comes_back_from_its_file(tmp_path: Path) -> None:
    stated = problem(SHELF, FIELD, terrain=sloping_ground(0.0, 2_000.0))
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(problem_record(stated), allow_nan=False), encoding="utf-8")
    again = read_problem(path)
    ways = [
        evaluate(one, "w", via=(), cruise_msl_ft=2_500.0, permissions=frozenset({"talk"}))
        for one in (stated, again)
    ]
    np.testing.assert_allclose(ways[0].path, ways[1].path, rtol=1e-9)
    assert [one.volume.id for one in ways[0].encounters] == [
        one.volume.id for one in ways[1].encounters
    ]
    assert ways[0].findings[-1].value == pytest.approx(ways[1].findings[-1].value, abs=0.5)


def test_a_refused_way_leaves_its_problem_and_a_warning_says_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with defects_kept(problem(SHELF)):
        logging.getLogger(SEARCH_LOG).warning("case: enters Shelf (here)")
    (kept,) = (tmp_path / "lubberline" / "defects").iterdir()
    assert str(kept) in caplog.text
    assert "not shown" in caplog.text
    assert (
        json.loads(kept.read_text(encoding="utf-8"))["description"] == "case: enters Shelf (here)"
    )
    assert read_problem(kept).volumes[0].name == "Shelf"


def test_a_clean_search_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with defects_kept(problem(SHELF)):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_cache_that_cannot_be_written_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    occupied = tmp_path / "file"
    occupied.write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(occupied))
    with defects_kept(problem()):
        logging.getLogger(SEARCH_LOG).warning("case: refused")
    assert "could not be kept" in caplog.text
