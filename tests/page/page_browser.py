"""A browser driven over a pipe: no socket, no network, a profile of its own that is thrown away.

Speaks the browser's own remote debugging protocol (one JSON message, then a zero byte).
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from base64 import b64decode
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

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
