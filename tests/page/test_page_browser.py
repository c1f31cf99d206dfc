"""The report in a real browser: drawn, without errors, and not wider than a phone."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from lubberline.page import write_report

CHROMIUM = shutil.which("chromium")
FLAGS = (
    *("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    *("--virtual-time-budget=8000", "--dump-dom", "--enable-logging=stderr"),
)
PROBE = """<script>addEventListener("load", () => setTimeout(() => {
  const seen = document.createElement("p");
  seen.id = "seen";
  seen.textContent = [document.querySelectorAll(".picture .main-svg").length,
    document.querySelectorAll(".picture").length,
    document.documentElement.scrollWidth, innerWidth].join(" ");
  document.body.append(seen);
}, 3000));</script></body>"""


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium here: the report was not looked at")
@pytest.mark.parametrize("width_px", [500, 1280])
def test_the_report_draws_and_fits(flight_folder: Path, tmp_path: Path, width_px: int) -> None:
    recording = next(flight_folder.glob("recording.*"))
    out = write_report(flight_folder, tmp_path / "report.html", recording_path=recording)
    out.write_text(out.read_text(encoding="utf-8").replace("</body>", PROBE), encoding="utf-8")
    done = subprocess.run(
        [
            str(CHROMIUM),
            *FLAGS,
            f"--user-data-dir={tmp_path / 'profile'}",
            f"--window-size={width_px},900",
            out.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    assert "Uncaught" not in done.stderr
    found = re.search(r'id="seen">(\d+) (\d+) (\d+) (\d+)<', done.stdout)
    assert found is not None, done.stderr[-2000:]
    drawn, pictures, wide, inner = (int(number) for number in found.groups())
    assert pictures >= 5
    assert drawn >= pictures
    assert wide <= inner
