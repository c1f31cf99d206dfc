"""The flown part of the report: sentences, phases, marks, strips, landing, one moment in all."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from lubberline.flown import EngineTrace, Flown, OwnMark, add_marks, beside
from lubberline.page import Debrief, Gathered, ReportPage, flight_report
from lubberline.page.engine_picture import engine_picture
from lubberline.page.flown_part import flown_view
from lubberline.page.flown_view import FlownView
from lubberline.page.landing_picture import landing_picture
from lubberline.page.strips_picture import strips_picture
from lubberline.places import Places
from lubberline.wording import value_text

NO_PLACES = Places(aerodromes={}, volumes=(), points={}, land_deg=(), sources=())


@pytest.fixture(scope="module")
def flown(gathered: Gathered) -> Flown:
    assert gathered.judged is not None
    return gathered.judged.flown


@pytest.fixture(scope="module")
def shown(page: ReportPage) -> FlownView:
    assert page.flown is not None
    return page.flown


def test_what_was_flown_stands_before_what_was_planned(html: str) -> None:
    """Else a page of a bad flight would begin with the good verdict of its plan."""
    assert html.index("Flown: Of ") < html.index("Planned: Of ")
    assert html.index('<section id="flown">') < html.index('<section id="fit">')


def test_three_sentences_come_first(shown: FlownView, html: str) -> None:
    assert [one.split(":")[0] for one in shown.summary] == ["Best", "Cost most", "Try next"]
    part = html[html.index('id="flown"') :]
    assert part.index("Cost most") < part.index('class="finding') < part.index("Phases</h3>")


def test_every_phase_stands_in_the_table(shown: FlownView, flown: Flown) -> None:
    assert [one.what for one in shown.spans if not one.is_part] == [p.name for p in flown.phases]


def test_a_corrected_phase_shows_what_was_found(gathered: Gathered, flown: Flown) -> None:
    found = flown.phases
    number = [one.name for one in found].index("descent")
    changed = (*found[:number], replace(found[number], name="cruise"), *found[number + 1 :])
    corrected = replace(flown, phases=changed, found_phases=found)
    view = flown_view(
        gathered.prepared, Debrief(flown=corrected, pledge=gathered.pledge, sentences=())
    )
    assert [one.note for one in view.spans if one.note] == ["corrected by you; found as descent"]


def test_marks_stand_beside_measures_only_if_something_was_marked(
    gathered: Gathered, flown: Flown
) -> None:
    now_utc = datetime(2026, 11, 25, tzinfo=UTC)
    mark = OwnMark(phase="cruise", mark="inside", note="<b>smooth</b>", made_utc=now_utc)
    for marks, expected in (((), []), ((mark,), ["inside"])):
        debrief = Debrief(
            flown=flown,
            pledge=gathered.pledge,
            sentences=(),
            marks=beside(marks, flown.findings),
        )
        view = flown_view(gathered.prepared, debrief)
        assert [one.own for one in view.marks if one.own != "not marked"] == expected


def test_the_strips_mark_each_excursion_and_nothing_else(flown: Flown) -> None:
    height = next(one for one in flown.spans if one.name == "cruise_height")
    assert height.low is not None
    assert height.high is not None
    out = (height.values < height.low) | (height.values > height.high)
    drawn = json.loads(strips_picture(flown).json)["data"]
    crosses = [one for one in drawn if one["mode"] == "markers" and one["yaxis"] == "y"]
    times = int(np.count_nonzero(np.diff(np.concatenate([[False], out])) & out))
    assert sum(len(one["x"]) for one in crosses) == times
    thick = [one for one in drawn if one.get("line", {}).get("color") == "@outside"]
    shown = [v for one in thick if one["yaxis"] == "y" for v in one["y"] if v is not None]
    assert len(shown) == int(out.sum())


def test_the_speed_strip_has_the_band_of_the_final_around_the_speed_aimed_at(flown: Flown) -> None:
    final = next(one for one in flown.spans if one.name == "approach_airspeed")
    assert final.low is not None
    assert final.high is not None
    drawn = json.loads(strips_picture(flown).json)["data"]
    bands = [one for one in drawn if one["yaxis"] == "y2" and one.get("fill") == "toself"]
    band = bands[-1]
    assert {min(band["y"]), max(band["y"])} == {
        final.target + final.low,
        final.target + final.high,
    }
    known = [one for one in flown.findings if one.limit.key == "flown.approach_airspeed"]
    assert known[0].value == pytest.approx(max(final.values.min(), final.values.max(), key=abs))


def test_the_speed_strip_has_the_band_of_the_cruise_around_the_table(flown: Flown) -> None:
    cruise = next(one for one in flown.spans if one.name == "cruise_speed")
    drawn = json.loads(strips_picture(flown).json)["data"]
    band = next(one for one in drawn if one["yaxis"] == "y2" and one.get("fill") == "toself")
    assert {min(band["y"]), max(band["y"])} == {cruise.target - 10.0, cruise.target + 10.0}
    known = [one for one in flown.findings if one.limit.key == "flown.cruise_speed_worst"]
    assert known[0].value == pytest.approx(max(cruise.values, key=abs))


def test_a_recorded_engine_has_a_strip_for_each_kind_and_its_limits() -> None:
    time_s = 1_780_000_000.0 + np.arange(60.0)
    hot = [
        EngineTrace(name="cht", label="cylinder head", unit="degC", values=degc, high=240.0)
        for degc in (time_s * 0.0 + 180.0, time_s * 0.0 + 190.0)
    ]
    oil = EngineTrace(
        name="oil_pressure", label="oil pressure", unit="psi", values=time_s * 0.0 + 60.0,
        low=50.0, high=95.0,
    )  # fmt: skip
    figure = engine_picture(time_s, [*hot, oil])
    assert figure is not None
    drawn = json.loads(figure.json)
    limits = [one["y"][0] for one in drawn["data"] if one["line"]["color"] == "@outside"]
    assert sorted(limits) == [50.0, 95.0, 240.0]
    assert sorted(name for name in drawn["layout"] if name.startswith("yaxis")) == [
        "yaxis",
        "yaxis2",
    ]
    assert "cylinder head, degC, up to 190" in figure.caption.says
    assert engine_picture(time_s, []) is None


def test_without_anything_judged_the_strips_say_so(flown: Flown) -> None:
    figure = strips_picture(replace(flown, spans=()))
    assert len(figure.caption.notes) == 2
    assert "tolerance" not in " ".join(row.label for row in figure.caption.legend)


def test_the_landing_lies_where_it_was_measured(gathered: Gathered, flown: Flown) -> None:
    figure = landing_picture(flown, gathered.prepared.plan.places)
    assert figure is not None
    mark = json.loads(figure.json)["data"][-2]
    past, right = (
        next(one for one in flown.findings if one.limit.key == f"flown.touchdown_{name}")
        for name in ("threshold", "centerline")
    )
    assert past.value is not None
    assert right.value is not None
    assert mark["x"] == [round(past.value)]
    side = "right" if right.value > 0.0 else "left"
    said = f"down {value_text(past)} past the threshold, {value_text(right).lstrip('-')} {side} of"
    assert said in figure.caption.says


def test_a_landing_on_no_known_runway_has_no_picture(flown: Flown) -> None:
    assert landing_picture(flown, NO_PLACES) is None


def test_the_moments_fit_the_track(shown: FlownView, flown: Flown) -> None:
    moments = json.loads(shown.cursor)
    lengths = {len(moments[name]) for name in ("utc", "along", "ft", "kt", "ias", "deg")}
    assert lengths == {len(moments["map"][0])} == {flown.track.time_s.size}


def test_marks_written_beside_the_flight_reach_the_page(
    flight_folder: Path, tmp_path: Path
) -> None:
    import shutil

    home = tmp_path / "folder"
    shutil.copytree(flight_folder.parents[1], home)
    folder = home / "flights" / flight_folder.name
    now_utc = datetime(2026, 11, 25, tzinfo=UTC)
    add_marks(folder, [OwnMark(phase="climb", mark="close", note="slow", made_utc=now_utc)])
    page = flight_report(folder, next(folder.glob("recording.*")))
    assert page.flown is not None
    assert [(one.phase, one.own, one.said) for one in page.flown.marks if one.said] == [
        ("climb", "close", "slow")
    ]
