"""The report shows every finding in words, needs no network, and runs no text from a file."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import fields, replace
from html.parser import HTMLParser
from pathlib import Path

import jinja2
import pytest
from jinja2 import nodes
from markupsafe import escape

import lubberline.page
from lubberline import loop
from lubberline.errors import LubberlineError, RangeError
from lubberline.fit import open_findings
from lubberline.line import Finding, Limit, Verdict, worst_first
from lubberline.loop import Prepared
from lubberline.page import (
    Gathered,
    ReportPage,
    flight_report,
    make_report,
    report_html,
    view,
    write_report,
)
from lubberline.page.drift_part import drift_page
from lubberline.page.drift_view import DriftPage, DriftRow, DriftView
from lubberline.page.figure import Caption, Figure, LegendRow
from lubberline.page.flown_view import ChangeView, FlownView, GateView, MarkView, SpanView
from lubberline.page.line_svg import LineRow
from lubberline.page.render import drift_html
from lubberline.page.view import Heed
from lubberline.store import open_store
from lubberline.wording import limit_text, value_text

TEMPLATES = Path(lubberline.page.__file__).parent / "templates"
IN_REPORT = (
    *(view.ReportPage, view.Group, view.WayView, view.CardView, view.Subject),
    *(view.Link, Heed),
)
IN_PARTS = (LineRow, Figure, Caption, LegendRow)
IN_FLOWN = (FlownView, SpanView, MarkView, GateView, ChangeView)
IN_DRIFT = (DriftView, DriftRow)
IN_SHELL = (view.FolderPage, view.FlightEntry, view.Link)
ATTACK = "</script><script>alert(1)</script>"


def without_scripts(html: str) -> str:
    return re.sub(r"<script.*?>.*?</script>", "", html, flags=re.DOTALL)


@pytest.mark.parametrize(
    ("template", "classes"),
    [
        *(("report.html", IN_REPORT), ("flown.html", IN_FLOWN)),
        *(("drift.html", IN_DRIFT), ("shell.html", IN_SHELL)),
        *(("parts.html", IN_PARTS), ("drift_page.html", (DriftPage,))),
    ],
)
def test_template_and_classes_use_each_other_wholly(
    template: str, classes: tuple[type, ...]
) -> None:
    tree = jinja2.Environment().parse((TEMPLATES / template).read_text(encoding="utf-8"))
    used = {node.attr for node in tree.find_all(nodes.Getattr)} - {"first"}  # of the loop itself
    used -= {template.removesuffix(".html")}  # the part of the page that includes it
    used |= {
        node.template.value.removesuffix(".html")
        for node in tree.find_all(nodes.Include)
        if isinstance(node.template, nodes.Const)
    }
    assert used == {field.name for one in classes for field in fields(one)}


def test_every_finding_stands_in_the_page_with_its_verdict(
    prepared: Prepared, gathered: Gathered, html: str
) -> None:
    assert gathered.judged is not None
    for finding in (*prepared.findings, *gathered.judged.flown.findings):
        label, value = (
            re.escape(str(escape(text))) for text in (finding.limit.label, value_text(finding))
        )
        row = (
            f'<span class="label">{label}</span><svg.*?</svg>\n'
            f'<span class="verdict">{finding.verdict}</span><span class="numbers">'
            f"{value}.*?, {re.escape(limit_text(finding.limit))}<"
        )
        assert re.search(row, html), finding.limit.key
        assert str(escape(finding.limit.source)) in html


def test_no_finding_is_lost_for_want_of_a_group(prepared: Prepared) -> None:
    limit = Limit(key="new.rule", label="a new rule", unit="", low=0.0, basis="own", source="own")
    added = Finding(limit=limit, value=1.0)
    page = make_report(replace(prepared, findings=(*prepared.findings, added)))
    assert [group.name for group in page.fit][-1] == "new"
    assert sum(len(group.rows) for group in page.fit) == len(prepared.findings) + 1


def test_what_is_not_inside_stands_at_the_top(prepared: Prepared) -> None:
    limit = Limit(key="a.b", label="a broken rule", unit="", low=5.0, basis="own", source="own")
    broken = Finding(limit=limit, value=1.0)
    page = make_report(replace(prepared, findings=(*prepared.findings, broken)))
    assert page.heed == (Heed(verdict="outside", shape="✖", labels="a broken rule"),)
    assert "outside:</b> a broken rule" in report_html(page)


def test_what_is_not_inside_lies_open_and_comes_first(page: ReportPage, html: str) -> None:
    assert page.flown is not None
    verdicts = [row.verdict for row in page.flown.rows]
    assert verdicts[0] == "outside"
    rows = re.findall(r'<details class="finding (\w+)"( open)?>', html)
    assert all(bool(is_open) == (verdict != "inside") for verdict, is_open in rows)


def test_a_report_of_a_plan_alone_says_what_is_not_there(prepared: Prepared) -> None:
    html = report_html(make_report(prepared))
    for words in ("No card was printed", "No recording is shown", "No flight is kept yet"):
        assert words in html


def test_caution_and_what_is_not_checked_stand_once(html: str) -> None:
    assert html.count("Planning aid only.") == 1
    assert html.count("Not checked:") == 1


def test_nothing_is_fetched_from_anywhere(html: str) -> None:
    text = without_scripts(html)
    assert re.findall(r"""(?:src|href)=["'](?!data:|#)""", text) == []
    assert "@import" not in text
    assert "url(" not in text


def test_the_policy_lets_only_the_programs_own_scripts_run(html: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="(.*?)"', html)
    assert policy is not None
    rules = dict(rule.strip().split(" ", 1) for rule in policy[1].replace("&#39;", "'").split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["img-src"] == "data:"
    assert len(re.findall(r"'sha256-[\w+/=]{44}'", rules["script-src"])) == 2
    assert "unsafe" not in rules["script-src"]


def test_tags_close_in_order(html: str) -> None:
    class Checker(HTMLParser):
        void = frozenset({"meta", "img", "br", "line", "path", "circle"})

        def __init__(self) -> None:
            super().__init__()
            self.open: list[str] = []
            self.ids: list[str] = []

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            self.ids += [str(value) for name, value in attrs if name == "id"]
            if tag not in self.void:
                self.open.append(tag)

        def handle_endtag(self, tag: str) -> None:
            if tag not in self.void:
                assert self.open.pop() == tag

    checker = Checker()
    checker.feed(without_scripts(html))
    assert checker.open == []
    assert len(checker.ids) == len(set(checker.ids)), "an id stands twice"


@pytest.fixture
def attacked_folder(flight_folder: Path) -> Iterator[Path]:
    """The flight's folder with a script for a title and in the name of an airspace."""
    region = flight_folder.parents[1] / "places" / "region.toml"
    kept = {
        path: path.read_text(encoding="utf-8") for path in (flight_folder / "flight.toml", region)
    }
    title = re.sub(
        r"^title = .*$", f'title = "{ATTACK}"', kept[flight_folder / "flight.toml"], flags=re.M
    )
    (flight_folder / "flight.toml").write_text(title, encoding="utf-8")
    region.write_text(kept[region].replace('"Lantern Works"', f'"{ATTACK}"'), encoding="utf-8")
    yield flight_folder
    for path, text in kept.items():
        path.write_text(text, encoding="utf-8")


def test_a_script_in_a_title_or_a_name_stays_text(attacked_folder: Path) -> None:
    html = report_html(flight_report(attacked_folder))
    assert "<script>alert(1)" not in html
    assert "&lt;script&gt;alert(1)" in html
    data = re.findall(r'<script type="application/json".*?>(.*?)</script>', html, flags=re.DOTALL)
    assert len(data) == 5
    assert not any("<" in one for one in data)


def test_a_changed_plan_is_not_shown_with_the_old_pledge_on_its_card(
    attacked_folder: Path,
) -> None:
    page = flight_report(attacked_folder)
    assert page.card is not None
    assert page.card.png == ""
    assert "no longer those that it was printed from" in page.card.sentence


def test_the_printed_card_is_shown_with_its_pledge(page: ReportPage, gathered: Gathered) -> None:
    assert page.card is not None
    assert gathered.pledge is not None
    assert page.card.pledge == gathered.pledge.sha256
    assert len(page.card.png) > 10_000


def test_the_pledged_way_is_shown_unless_another_is_asked_for(
    flight_folder: Path, page: ReportPage, gathered: Gathered
) -> None:
    assert gathered.pledge is not None
    assert [way.name for way in page.ways if way.chosen] == [gathered.pledge.way_name]
    other = flight_report(flight_folder, None, 1)
    assert [way.number for way in other.ways if way.chosen] == [1]


def test_a_store_that_knows_no_value_is_no_reason_to_refuse(
    flight_folder: Path, tmp_path: Path
) -> None:
    home = tmp_path / "home"
    shutil.copytree(flight_folder.parents[1], home)
    loop.store_path(home).unlink()
    open_store(loop.store_path(home)).close()
    assert flight_report(home / "flights" / flight_folder.name).drift is None


def test_a_refused_report_leaves_no_file(tmp_path: Path) -> None:
    with pytest.raises(LubberlineError):
        write_report(tmp_path, tmp_path / "report.html")
    assert list(tmp_path.iterdir()) == []


def test_a_failed_write_leaves_the_old_file(
    flight_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "report.html"
    out.write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="disk full"):
        write_report(flight_folder, out)
    assert [path.name for path in tmp_path.iterdir()] == ["report.html"]
    assert out.read_text(encoding="utf-8") == "old"


def test_the_file_is_whole_and_not_too_large(flight_folder: Path, tmp_path: Path) -> None:
    out = write_report(flight_folder, tmp_path / "deep" / "report.html")
    assert out.read_text(encoding="utf-8").rstrip().endswith("</html>")
    assert out.stat().st_size < 7_000_000


def test_findings_are_the_same_as_on_the_command_line(prepared: Prepared, page: ReportPage) -> None:
    by_loop = loop.checked(prepared.plan, prepared.ways, prepared.way).findings
    worst = worst_first(by_loop)[0]
    shown = open_findings(by_loop)  # the fitness check's answers are the pilot's own
    assert len(shown) < len(by_loop)
    assert page.sentence.startswith(f"Of {len(shown)} checks")
    assert worst.verdict in Verdict


def test_drift_is_a_page_of_its_own(gathered: Gathered) -> None:
    assert gathered.courses is not None
    one = gathered.courses.drifted[-1].measure
    html = without_scripts(drift_html(drift_page(gathered.courses, one.key)))
    assert str(escape(f"{one.label}, {one.unit}")) in html
    assert html.count("Planning aid only.") == 1
    with pytest.raises(RangeError, match="expected one of: flown"):
        drift_page(gathered.courses, "no such key")
