from pathlib import Path

from lubberline.demo import write_folder
from lubberline.flight import read_plan


def test_a_plan_carries_what_its_weather_file_has_that_was_not_read(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "pilot")
    weather_path = folder / "weather.txt"
    pasted = weather_path.read_text(encoding="utf-8").rstrip()
    weather_path.write_text(f"{pasted}\n\nGood flight!\n", encoding="utf-8")
    weather = read_plan(folder).weather
    assert [piece.text for piece in weather.unread] == ["Good flight!"]
    assert weather.unread[0].line == len(pasted.splitlines()) + 2
    assert "QMRL" in weather.reports
