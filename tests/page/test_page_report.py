"""The report shows every finding in words, needs no network, and runs no text from a file."""

import re
from dataclasses import fields
from html.parser import HTMLParser
from pathlib import Path

import pytest

import lubberline.page
from lubberline import loop
from lubberline.errors import LubberlineError
from lubberline.flown import Flown
from lubberline.page import ReportPage, flight_report, report_html, write_report

TEMPLATE = Path(lubberline.page.__file__).parent / "templates" / "report.html"


@pytest.fixture(scope="module")
def page(flight_folder: Path) -> ReportPage:
    return flight_report(flight_folder, next(flight_folder.glob("recording.*")))


@pytest.fixture(scope="module")
def html(page: ReportPage) -> str:
    return report_html(page)


def without_scripts(html: str) -> str:
    return re.sub(r"<script>.*?</script>", "", html, flags=re.DOTALL)


def test_template_and_page_use_each_other_wholly() -> None:
    used = set(re.findall(r"\bpage\.(\w+)", TEMPLATE.read_text(encoding="utf-8")))
    assert used == {field.name for field in fields(ReportPage)}


def test_every_finding_stands_in_the_page_with_its_verdict(
    page: ReportPage, html: str, flight_folder: Path
) -> None:
    prepared = loop.prepare(flight_folder, None)
    shown = sum(len(group.rows) for group in page.fit)
    way = next(way for way in prepared.ways if way.name in page.subtitle)
    assert shown == len(loop.checked(prepared.plan, prepared.ways, way).findings)
    for row in [row for group in page.fit for row in group.rows] + list(page.flown):
        assert row.label in html.replace("&#39;", "'")
        assert f'<span class="verdict">{row.verdict}</span>' in html


def test_caution_and_what_is_not_checked_stand_once(html: str) -> None:
    assert html.count("Planning aid only.") == 1
    assert html.count("Not checked:") == 1


def test_nothing_is_fetched_from_anywhere(html: str) -> None:
    text = without_scripts(html)
    assert not re.findall(r"""(?:src|href)=["'](?!data:)""", text)
    assert "@import" not in text
    assert "url(" not in text


def test_tags_close_in_order(html: str) -> None:
    class Checker(HTMLParser):
        void = frozenset({"meta", "img", "br", "line", "path", "circle"})

        def __init__(self) -> None:
            super().__init__()
            self.open: list[str] = []

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            if tag not in self.void:
                self.open.append(tag)

        def handle_endtag(self, tag: str) -> None:
            if tag not in self.void:
                assert self.open.pop() == tag

    checker = Checker()
    checker.feed(without_scripts(html))
    assert checker.open == []


def test_a_script_in_a_title_stays_text(flight_folder: Path) -> None:
    path = flight_folder / "flight.toml"
    kept = path.read_text(encoding="utf-8")
    evil = '"</script><script>alert(1)</script>"'
    try:
        path.write_text(re.sub(r"^title = .*$", f"title = {evil}", kept, flags=re.MULTILINE))
        html = report_html(flight_report(flight_folder))
    finally:
        path.write_text(kept, encoding="utf-8")
    assert "<script>alert(1)" not in html
    assert "&lt;script&gt;alert(1)" in html


def test_looking_prints_nothing_and_keeps_nothing(flight_folder: Path) -> None:
    before = sorted(path.name for path in flight_folder.iterdir())
    flight_report(flight_folder, next(flight_folder.glob("recording.*")))
    assert sorted(path.name for path in flight_folder.iterdir()) == before


def test_a_refused_report_leaves_no_file(tmp_path: Path) -> None:
    with pytest.raises(LubberlineError):
        write_report(tmp_path, tmp_path / "report.html")
    assert list(tmp_path.iterdir()) == []


def test_the_file_is_whole_and_not_too_large(flight_folder: Path, tmp_path: Path) -> None:
    out = write_report(flight_folder, tmp_path / "deep" / "report.html")
    assert out.read_text(encoding="utf-8").rstrip().endswith("</html>")
    assert out.stat().st_size < 7_000_000
    assert Flown.__doc__ is not None
