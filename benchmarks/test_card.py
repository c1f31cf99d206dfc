"""How long a card takes: what stands on it, and its PDF."""

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline import loop
from lubberline.card import Form, Sheet, make_pledge, make_sheet, render
from lubberline.demo import write_folder
from lubberline.loop import Prepared


@pytest.fixture(scope="module")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    return loop.prepare(write_folder(tmp_path_factory.mktemp("card") / "folder"), None)


def sheet_of(one: Prepared) -> Sheet:
    return make_sheet(one.plan, one.way, one.findings, pledge_sha256="0" * 64)


def test_sheet_of_the_demo(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    assert len(benchmark(sheet_of, prepared).legs) > 3


def test_pdf_of_the_demo(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    assert benchmark(render, sheet_of(prepared), "pdf").startswith(b"%PDF")


def test_card_from_the_plan(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    """What stands on it and its PDF together: 300 ms is what it may take, warm."""
    made = benchmark(lambda: render(sheet_of(prepared), "pdf"))
    assert made.startswith(b"%PDF")


def test_folded_card_of_the_demo(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    form = Form(paper="letter", folded=True)
    assert benchmark(render, sheet_of(prepared), "pdf", form=form).startswith(b"%PDF")


def test_picture_of_the_demo(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    assert benchmark(render, sheet_of(prepared), "png").startswith(b"\x89PNG")


def test_pledge_of_the_demo(prepared: Prepared, benchmark: BenchmarkFixture) -> None:
    printed_utc = prepared.plan.flight.off_block_utc
    made = benchmark(
        make_pledge, prepared.plan, prepared.way, prepared.findings, printed_utc=printed_utc
    )
    assert made.points
