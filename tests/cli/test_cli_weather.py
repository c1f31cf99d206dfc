"""``lubberline weather show``, ``notices`` and ``dictate`` on the starter's flight."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder

ALL_DAY = "2611251200-2611252300"
NOTICES = f"""
!QMRL 11/008 QMRL TWY A CLSD {ALL_DAY}
!QMRL 11/001 QMRL RWY 12/30 CLSD {ALL_DAY}
!QFAR 11/006 QFAR RWY 01/19 CLSD {ALL_DAY}
!FDC 6/1234 QZZ AIRSPACE QZZ..TEMPORARY FLIGHT RESTRICTIONS SEE MAP {ALL_DAY}
!QMRL 1 NONSENSE
"""
HEARD = ("QMRL information bravo 2033", "wind 280 true at 12 gust 19", "altimeter 29.96")


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    write_folder(made := tmp_path_factory.mktemp("starter") / "folder")
    return made


@pytest.fixture
def flight(tmp_path: Path, starter: Path) -> Path:
    return next((shutil.copytree(starter, tmp_path / "folder") / "flights").iterdir())


def run(command: str, flight: Path, *words: str, piped: str | None = None) -> Result:
    way = ["--way", "1"] if command != "dictate" else []
    return CliRunner().invoke(app, ["weather", command, str(flight), *words, *way], input=piped)


def add(flight: Path, text: str) -> None:
    with (flight / "weather.txt").open("a", encoding="utf-8") as file:
        file.write(text)


def test_every_place_of_the_way_has_its_time_and_who_tells(flight: Path) -> None:
    done = run("show", flight)
    assert done.exit_code == 0, done.output
    rows = [line.split() for line in done.output.splitlines() if line.startswith("  2")]
    assert rows[0][:2] == ["20:48Z", "QWRN"]
    assert rows[-1][1] == "QMRL"
    assert all(len(line) <= 80 for line in done.output.splitlines())


def test_every_raw_text_that_speaks_is_shown_and_what_is_lost_is_unknown(flight: Path) -> None:
    add(flight, "METAR QMRL 252030Z 28012KT 10SM QQQ99 A2996=\nNo weather at all\n")
    shown = " ".join(run("show", flight).output.split())
    assert "METAR QMRL 252030Z 28012KT 10SM QQQ99 A2996 unknown: QQQ99" in shown
    assert "TEMPO 2523/2603 4SM -SHRA BKN025" in shown
    assert "'No weather at all'" in shown


def test_what_does_not_speak_of_the_way_is_counted_and_shown_on_request(flight: Path) -> None:
    assert "METAR QGNT" not in run("show", flight).output
    assert "1 field(s) that nobody asks" in run("show", flight).output
    assert "METAR QGNT" in run("show", flight, "--all").output


def test_settings_say_where_to_change_and_what_the_first_would_do(flight: Path) -> None:
    shown = " ".join(run("show", flight).output.split())
    assert "Altimeter, where to change 20:48Z QWRN 30.02 of 19:53Z;" in shown
    assert "QMRL 29.96 of 19:53Z; with the first kept you fly" in shown


def test_without_weather_everything_is_unknown(flight: Path) -> None:
    (flight / "weather.txt").write_text("# nothing\n", encoding="utf-8")
    rows = [line for line in run("show", flight).output.splitlines() if line.startswith("  2")]
    assert all("nobody" in row and "unknown" in row for row in rows)


def test_the_category_stands_in_the_row_and_long_weather_below_it(flight: Path) -> None:
    add(flight, "METAR QWRN 252030Z 26009KT 1 1/2SM +TSRAGR BR SQ OVC008 11/07 A3002=\n")
    lines = run("show", flight).output.splitlines()
    row = next(n for n, line in enumerate(lines) if line.startswith("  20:48Z QWRN"))
    assert lines[row].endswith("1.5     800 IFR")
    assert lines[row + 1].strip() == "+TSRAGR BR SQ"
    assert all(len(line) <= 80 for line in lines)


def test_the_same_as_json(flight: Path) -> None:
    told = json.loads(run("show", flight, "--json").output)
    assert told["over"][-1]["told_by"] == "QMRL"
    assert told["over"][0]["no_ceiling"] is True
    assert {one["category"] for one in told["over"]} == {"VFR"}
    assert set(told["reports"]) == {"QWRN", "QSDG", "QMRL", "QGNT"}


def test_notices_come_gravest_first_with_their_own_words_and_why(flight: Path) -> None:
    add(flight, NOTICES)
    shown = run("notices", flight).output
    assert "3 of 4 in weather.txt touch this flight." in shown
    order = [shown.index(title) for title in ("Runways closed", "Airspace", "Taxiways")]
    assert order == sorted(order)
    assert "!QMRL 11/001 QMRL RWY 12/30 CLSD" in shown
    assert "at QMRL" in shown
    assert "unknown whether it holds for you" in shown  # the one that nobody can draw
    assert "unknown, line" in shown  # the one that is no notice
    assert "QFAR" not in shown
    assert "QFAR 11/006" in run("notices", flight, "--all").output


def test_notices_as_json_keep_every_raw_text(flight: Path) -> None:
    add(flight, NOTICES)
    told = json.loads(run("notices", flight, "--json").output)
    assert [one["consequence"] for one in told["touching"]] == [
        *("runway closed", "airspace", "taxiway")
    ]
    assert [one["place"] for one in told["others"]] == ["QFAR"]


def test_no_notices_is_unknown_not_none(flight: Path) -> None:
    assert "whether any touches this flight is unknown" in " ".join(
        run("notices", flight).output.split()
    )


def test_what_was_heard_is_the_report_that_holds(flight: Path) -> None:
    before = (flight / "weather.txt").read_text(encoding="utf-8")
    done = run("dictate", flight, *HEARD, "--on", "2026-11-25")
    assert done.exit_code == 0, done.output
    assert "280° true 12 kt gusting 19" in done.output
    assert "dew point     not said" in done.output
    assert (flight / "weather.txt").read_text(encoding="utf-8").startswith(before.rstrip("\n"))
    reports = json.loads(run("show", flight, "--json").output)["reports"]
    assert reports["QMRL"]["text"].startswith("METAR QMRL 252033Z 28012G19KT A2996 RMK HEARD")


def test_lines_may_be_piped_in(flight: Path) -> None:
    done = run("dictate", flight, "--on", "2026-11-25", piped="\n".join([*HEARD, "", "not this"]))
    assert done.exit_code == 0, done.output
    assert "METAR QMRL 252033Z" in done.output


def test_a_bad_line_changes_nothing_and_says_what_is_expected(flight: Path) -> None:
    before = (flight / "weather.txt").read_bytes()
    done = run("dictate", flight, HEARD[0], "wind 400 at 12", "--on", "2026-11-25")
    assert done.exit_code == 1
    assert "line 2, wind: found 400 at 12, expected calm" in done.output
    assert (flight / "weather.txt").read_bytes() == before


def test_a_report_of_another_month_is_refused(flight: Path) -> None:
    done = run("dictate", flight, *HEARD, "--on", "2026-12-25")
    assert done.exit_code == 1
    assert "weather texts name no month" in done.output


def test_a_flight_without_a_weather_file_gets_one_and_is_told(flight: Path) -> None:
    path = flight / "flight.toml"
    lines = path.read_text(encoding="utf-8").splitlines()
    text = "\n".join(line for line in lines if not line.startswith("weather ="))
    path.write_text(text, encoding="utf-8")
    (flight / "weather.txt").unlink()
    done = run("dictate", flight, *HEARD, "--on", "2026-11-25")
    assert done.exit_code == 0, done.output
    assert 'add weather = "weather.txt" to flight.toml' in " ".join(done.output.split())
    assert "METAR QMRL 252033Z" in (flight / "weather.txt").read_text(encoding="utf-8")


def test_a_file_that_cannot_be_written_is_one_clear_error(flight: Path) -> None:
    (flight / "weather.txt.new").mkdir()
    done = run("dictate", flight, *HEARD, "--on", "2026-11-25")
    assert done.exit_code == 1
    assert "expected a file that can be written" in done.output
