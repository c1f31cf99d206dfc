"""The report in a real browser without a network: drawn, legible, quiet, no wider than a phone."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_browser import CHROMIUM, Browser

pytestmark = pytest.mark.skipif(
    CHROMIUM is None, reason="no chromium here: the report was not looked at"
)
SETTLED = """new Promise(done => { const look = () =>
  [...document.querySelectorAll(".picture")].every(one => one.dataset.settled) ? done(true)
  : setTimeout(look, 20); look(); })"""
SHOWN = """[...document.querySelectorAll(".picture")].map(one => {
  const frame = one.getBoundingClientRect();
  return [...one.querySelectorAll(".textpoint")].filter(text => text.style.display !== "none")
    .map(text => { const box = text.getBoundingClientRect(); return [text.textContent,
      box.left - frame.left, box.top - frame.top, box.right - frame.left, box.bottom - frame.top,
      frame.width, frame.height]; }); })"""
SMALL = """[...document.querySelectorAll("body *")].filter(one => one.getClientRects().length
  && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
  .map(one => [parseFloat(getComputedStyle(one).fontSize)
    * (one.closest("svg.line") ? one.getScreenCTM().a : 1), one.outerHTML.slice(0, 80)])
  .filter(([size]) => size < 11)"""
NOISE = ("Runtime.exceptionThrown", "Runtime.consoleAPICalled", "Log.entryAdded")
ATTACK = """<img src=x onerror='window.attacked=1'><script>window.attacked=1</script>"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser() as one:
        yield one


@pytest.fixture(scope="module")
def report_path(html: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("browser") / "report.html"
    path.write_text(html, encoding="utf-8")
    return path


@pytest.fixture(scope="module", params=[(390, False), (1280, True)], ids=["phone", "dark screen"])
def opened(request: pytest.FixtureRequest, browser: Browser, report_path: Path) -> Browser:
    width_px, dark = request.param
    browser.open(report_path, width_px=width_px, dark=dark)
    assert browser.value(SETTLED)
    return browser


def test_every_picture_is_drawn(opened: Browser) -> None:
    drawn = opened.value("document.querySelectorAll('.picture .main-svg .scatterlayer').length")
    assert drawn == opened.value("document.querySelectorAll('.picture').length") == 6


def test_the_browser_has_nothing_to_complain_about(opened: Browser) -> None:
    assert [event for kind in NOISE for event in opened.happened(kind)] == []


def test_nothing_is_asked_of_any_network(opened: Browser) -> None:
    asked = [event["request"]["url"] for event in opened.happened("Network.requestWillBeSent")]
    assert {url.partition(":")[0] for url in asked} == {"file", "data"}
    assert sum(url.startswith("file:") for url in asked) == 1


def test_the_page_does_not_scroll_sideways(opened: Browser) -> None:
    wide, screen = opened.value("[document.documentElement.scrollWidth, innerWidth]")
    assert wide <= screen


def test_labels_touch_neither_each_other_nor_the_edge(opened: Browser) -> None:
    pictures = opened.value(SHOWN)
    assert sum(len(labels) for labels in pictures) > 20
    for labels in pictures:
        for index, (text, left, top, right, bottom, wide, high) in enumerate(labels):
            assert -1 <= left < right <= wide + 1, text
            assert -1 <= top < bottom <= high + 1, text
            for other, o_left, o_top, o_right, o_bottom, *_ in labels[:index]:
                apart = left >= o_right or o_left >= right or top >= o_bottom or o_top >= bottom
                assert apart, f"{text} on {other}"


def test_ends_of_the_flight_are_named_on_the_map(opened: Browser) -> None:
    names = [label[0] for label in opened.value(SHOWN)[0]]
    assert {"QWRN", "QMRL"} <= set(names)


def test_no_text_is_too_small_to_read(opened: Browser) -> None:
    assert opened.value(SMALL) == []


def test_pictures_take_the_inks_of_the_paper(opened: Browser) -> None:
    water = opened.value("document.querySelector('#picture-map .bglayer rect').style.fill")
    is_dark = opened.value("matchMedia('(prefers-color-scheme: dark)').matches")
    assert water == ("rgb(21, 35, 44)" if is_dark else "rgb(220, 232, 238)")


def test_the_larger_map_names_more(browser: Browser, report_path: Path) -> None:
    browser.open(report_path, width_px=390)
    browser.value(SETTLED)
    small = len(browser.value(SHOWN)[0])
    browser.value("document.querySelector('.larger-button').click()")
    wide, screen = browser.value("[document.documentElement.scrollWidth, innerWidth]")
    assert len(browser.value(SHOWN)[0]) > small
    assert wide <= screen


def test_text_from_files_never_runs(browser: Browser, html: str, tmp_path: Path) -> None:
    path = tmp_path / "attacked.html"
    path.write_text(re.sub("<h1>.*?</h1>", lambda _: f"<h1>{ATTACK}</h1>", html), encoding="utf-8")
    browser.open(path, width_px=390)
    browser.value(SETTLED)
    assert browser.value("window.attacked === undefined"), "the content policy let it run"
