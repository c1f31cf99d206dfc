"""The report in a real browser without a network: drawn, legible, quiet, no wider than a phone.

The browser is driven over a pipe by its own debugging protocol (one JSON message, then a zero
byte): no socket, no network, and a profile that is thrown away.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

import pytest

CHROMIUM: Final = shutil.which("chromium")
FLAGS: Final = (
    *("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    *("--remote-debugging-pipe", "--hide-scrollbars", "--proxy-server=127.0.0.1:9"),
)
# The browser looks for its pipes at descriptors 3 and 4.
AS_3_AND_4: Final = """import fcntl, os, sys
read, write = (fcntl.fcntl(int(end), fcntl.F_DUPFD, 10) for end in sys.argv[1:3])
os.dup2(read, 3)
os.dup2(write, 4)
os.execv(sys.argv[3], sys.argv[3:])"""

pytestmark = pytest.mark.skipif(
    CHROMIUM is None, reason="no chromium here: the report was not looked at"
)
SETTLED = """new Promise(done => { const look = () =>
  [...document.querySelectorAll(".picture")].every(one => one.dataset.settled) ? done(true)
  : setTimeout(look, 20); look(); })"""
SHOWN = """[...document.querySelectorAll("#picture-map, .picture")].toSorted((a, b) =>
  (b.id === "picture-map") - (a.id === "picture-map")).map(one => {
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


class Browser:
    """One page at a time; every event since the page was opened is kept."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="page-", ignore_cleanup_errors=True)
        to_read, self._write = os.pipe()
        self._read, to_write = os.pipe()
        ends = [sys.executable, "-c", AS_3_AND_4, str(to_read), str(to_write)]
        self._process = subprocess.Popen(
            [*ends, str(CHROMIUM), *FLAGS, f"--user-data-dir={self._folder.name}"],
            pass_fds=(to_read, to_write),
            stderr=subprocess.DEVNULL,
        )
        os.close(to_read)
        os.close(to_write)
        self._rest = b""
        self._number = 0
        self._session = ""
        self.events: list[dict[str, Any]] = []

    def __enter__(self) -> Self:
        """The browser, running."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """End it and throw its profile away."""
        os.close(self._write)
        os.close(self._read)
        self._process.terminate()
        self._process.wait(timeout=20)
        self._folder.cleanup()

    def open(self, path: Path, *, width_px: int, dark: bool = False, height_px: int = 900) -> None:
        """Show a file on a screen of this size, without any network."""
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = ""
        attached = self.ask("Target.attachToTarget", targetId=target, flatten=True)
        self._session = attached["sessionId"]
        self.events.clear()
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.ask(f"{domain}.enable")
        self.ask(
            "Emulation.setDeviceMetricsOverride",
            width=width_px,
            height=height_px,
            deviceScaleFactor=1,
            mobile=width_px < 600,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.ask("Emulation.setEmulatedMedia", features=[scheme])
        self.ask("Page.navigate", url=path.as_uri())
        while not self.happened("Page.loadEventFired"):
            self._take()

    def value(self, script: str) -> Any:
        """What a script comes to in the page, waited for if it is a promise."""
        done = self.ask(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        return done["result"].get("value")

    def happened(self, method: str) -> list[dict[str, Any]]:
        """The events of one kind, with what they say."""
        return [event["params"] for event in self.events if event["method"] == method]

    def picture(self, path: Path) -> None:
        """The whole page as PNG."""
        made = self.ask("Page.captureScreenshot", captureBeyondViewport=True)
        path.write_bytes(b64decode(made["data"]))

    def ask(self, method: str, **params: Any) -> Any:
        """One command and its answer."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": params}
        if self._session and not method.startswith("Target."):
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while (answer := self._take()).get("id") != self._number:
            pass
        assert "error" not in answer, answer
        return answer["result"]

    def _take(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            more = os.read(self._read, 1 << 20)
            assert more, "the browser has ended"
            self._rest += more
        one, _, self._rest = self._rest.partition(b"\0")
        message: dict[str, Any] = json.loads(one)
        if "method" in message:
            self.events.append(message)
        return message


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
    drawn = opened.value(
        "[...document.querySelectorAll('.picture')]"
        ".filter(one => one.querySelector('.main-svg .scatterlayer .trace')).length"
    )
    assert drawn == opened.value("document.querySelectorAll('.picture').length") == 8


def test_one_moment_is_marked_in_every_picture(opened: Browser) -> None:
    opened.value(
        "document.getElementById('picture-strips').dispatchEvent("
        "new KeyboardEvent('keydown', {key: 'ArrowRight', shiftKey: true, bubbles: true}))"
    )
    shown = opened.value(
        "[...document.querySelectorAll('.moment')].filter(one => one.style.display !== 'none')"
        ".map(one => one.parentElement.id)"
    )
    assert sorted(shown) == ["picture-map", "picture-profile-flown", "picture-strips"]
    assert re.match(
        r"\d\d:\d\d:\d\dZ, ", opened.value("document.querySelector('.reading').textContent")
    )


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


def test_on_paper_a_dark_screen_is_light(browser: Browser, report_path: Path) -> None:
    browser.open(report_path, width_px=1280, dark=True)
    browser.value(SETTLED)
    water = "document.querySelector('#picture-map .bglayer rect').style.fill"
    for event, ink in (("beforeprint", "rgb(220, 232, 238)"), ("afterprint", "rgb(21, 35, 44)")):
        browser.value(f"dispatchEvent(new Event('{event}'))")
        assert browser.value(water) == ink
