"""What the pictures hold: everything that has a place in them, where it belongs, and no more."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.drift import Measure, individuals_chart, judge
from lubberline.earth import Terrain, destination_point
from lubberline.flight import Plan
from lubberline.flown import FlownTrack
from lubberline.loop import Prepared
from lubberline.page.drift_picture import drift_picture
from lubberline.page.figure import Figure, plain
from lubberline.page.map_picture import map_picture
from lubberline.page.profile_picture import Profile, profile_picture
from lubberline.page.strokes import way_stroke
from lubberline.page.tracks import MOST_POINTS, flown_along, thinned
from lubberline.places import Height
from lubberline.ways import cut_along


def content(figure: Figure) -> dict[str, Any]:
    parsed: dict[str, Any] = json.loads(figure.json)
    return parsed


def texts(figure: Figure) -> list[str]:
    """The text of each label, at its best place."""
    parsed = content(figure)
    starts = np.cumsum([0, *(count for count, _, _ in parsed["labels"])])[:-1]
    return [parsed["data"][-1]["text"][start] for start in starts]


def track_of(path: FloatArray, *, off_nm: float = 0.0, segments: int = 1) -> FlownTrack:
    """A flight straight along a path, to its left by some miles."""
    share = np.linspace(0.0, len(path) - 1.0, 400)
    lat_deg, lon_deg, msl_ft = (np.interp(share, range(len(path)), path[:, k]) for k in range(3))
    return FlownTrack(
        time_s=np.arange(400.0),
        segment_index=np.arange(400) * segments // 400,
        lat_deg=lat_deg + off_nm / 60.0,
        lon_deg=lon_deg,
        indicated_ft=msl_ft,
        ground_kt=np.full(400, 110.0),
        track_true_deg=np.full(400, 45.0),
        climb_fpm=np.zeros(400),
        ias_kt=np.full(400, np.nan),
        bank_deg=np.zeros(400),
    )


@pytest.fixture(scope="module")
def drawn_map(prepared: Prepared) -> Figure:
    return map_picture(prepared.plan, prepared.ways, prepared.way, track_of(prepared.way.path))


def test_the_map_draws_every_way_the_chosen_one_under_the_dashes_of_the_rest(
    drawn_map: Figure, prepared: Prepared
) -> None:
    names = [f"{number} {way.name}" for number, way in enumerate(prepared.ways, 1)]
    shown = [trace.get("text") for trace in content(drawn_map)["data"]]
    assert {*names, "flown"} <= {text for text in shown if isinstance(text, str)}
    chosen = f"{prepared.number} {prepared.way.name}"
    assert min(shown.index(name) for name in names) == shown.index(chosen)
    assert [row.label for row in drawn_map.caption.legend] == [*names, "flown"]


def test_the_map_can_label_every_aerodrome_and_point(drawn_map: Figure, prepared: Prepared) -> None:
    places = prepared.plan.places
    assert {*places.aerodromes, *places.points} <= set(texts(drawn_map))


def test_the_ends_of_the_flight_come_before_every_other_label(
    drawn_map: Figure, prepared: Prepared
) -> None:
    flight = prepared.plan.flight
    assert set(texts(drawn_map)[:2]) == {flight.departure_id, flight.destination_id}


def test_towers_are_blue_and_fields_without_magenta(drawn_map: Figure, prepared: Prepared) -> None:
    inks = {
        trace["hovertext"][0].split()[0]: trace["marker"]["line"]["color"]
        for trace in content(drawn_map)["data"]
        if trace.get("marker", {}).get("symbol") == "circle"
    }
    assert {name for name, ink in inks.items() if ink == "@blue"} == {"QMRL", "QSDG", "QGNT"}
    assert {name for name, ink in inks.items() if ink == "@magenta"} == {"QWRN", "QHVN"}


def test_a_mile_is_as_long_across_as_up(drawn_map: Figure) -> None:
    parsed = content(drawn_map)
    (west, east), (south, north) = (parsed["layout"][a]["range"] for a in ("xaxis", "yaxis"))
    assert parsed["ratio"] == pytest.approx((north - south) / (east - west), abs=1e-3)
    assert parsed["layout"]["yaxis"]["scaleanchor"] == "x"


def test_water_is_painted_only_where_the_places_know_land(prepared: Prepared) -> None:
    plan = prepared.plan
    all_land = replace(plan, places=replace(plan.places, land_deg=()))
    drawn = [content(map_picture(one, prepared.ways, prepared.way)) for one in (plan, all_land)]
    assert [one["layout"]["plot_bgcolor"] for one in drawn] == ["@water", "@land"]


def test_a_region_without_airspace_or_points_is_drawn(prepared: Prepared) -> None:
    plan = prepared.plan
    bare = replace(plan, places=replace(plan.places, volumes=(), points={}))
    drawn = map_picture(bare, prepared.ways, prepared.way)
    assert len(texts(drawn)) == len(plan.places.aerodromes) + len(prepared.ways)


def test_names_from_files_stay_text_in_a_picture(prepared: Prepared) -> None:
    name = '<a href="http://example.org">here</a>'
    plan = prepared.plan
    volumes = tuple(replace(volume, name=name) for volume in plan.places.volumes)
    evil = replace(plan, places=replace(plan.places, volumes=volumes))
    parsed = content(map_picture(evil, prepared.ways, prepared.way))
    words = json.dumps([trace.get("text") for trace in parsed["data"]])
    assert json.dumps(plain(name))[1:-1] in words
    assert "<a " not in words


def profile_of(plan: Plan, prepared: Prepared, **more: Any) -> Figure:
    way = prepared.way
    section = cut_along(way.path, plan.places.volumes, plan.terrain)
    profile = Profile(
        section=section,
        path=way.path,
        point_names=way.point_names,
        stroke=way_stroke(1, is_chosen=True),
        **more,
    )
    return profile_picture("profile", "a way", profile)


def test_the_profile_cuts_every_volume_on_the_track(prepared: Prepared) -> None:
    plan, way = prepared.plan, prepared.way
    cuts = cut_along(way.path, plan.places.volumes, plan.terrain).cuts
    filled = [t for t in content(profile_of(plan, prepared))["data"] if t.get("hoveron") == "fills"]
    assert len(filled) == len(cuts) >= 4
    for trace, cut in zip(filled, cuts, strict=True):
        assert trace["text"].startswith(cut.volume.name)
        assert min(trace["y"]) == pytest.approx(cut.floor_msl_ft.min(), abs=1.0)


def test_unknown_ground_is_neither_drawn_nor_passed_over_in_silence(prepared: Prepared) -> None:
    bare = replace(prepared.plan, terrain=Terrain())
    drawn = profile_of(bare, prepared)
    assert not any(t.get("fillcolor") == "@ground/0.45" for t in content(drawn)["data"])
    assert any("nowhere along this track" in note for note in drawn.caption.notes)
    assert "ground" not in [row.label for row in drawn.caption.legend]
    assert any(
        note.startswith("Wren Island has a height above ground") for note in drawn.caption.notes
    )


def test_a_profile_over_known_ground_has_nothing_to_excuse(prepared: Prepared) -> None:
    assert profile_of(prepared.plan, prepared).caption.notes == ()


def test_ground_below_the_sea_is_in_the_picture(prepared: Prepared) -> None:
    plan, way = prepared.plan, prepared.way
    section = cut_along(way.path, (), plan.terrain)
    low = replace(section, ground_msl_ft=np.full_like(section.ground_msl_ft, -900.0))
    profile = Profile(
        section=low,
        path=way.path,
        point_names=way.point_names,
        stroke=way_stroke(1, is_chosen=True),
    )
    bottom, _ = content(profile_picture("p", "t", profile))["layout"]["yaxis"]["range"]
    assert bottom == -900.0


def test_flown_heights_stand_at_their_distance_along_the_way(prepared: Prepared) -> None:
    path = prepared.way.path
    along_nm, height_ft = flown_along(path, track_of(path, off_nm=0.3))
    section = cut_along(path, (), prepared.plan.terrain)
    planned_ft = np.interp(along_nm, section.along_nm, section.path_msl_ft)
    assert np.abs(height_ft - planned_ft).max() < 150.0  # 0.3 NM sideways shifts it at the turns
    assert np.median(np.abs(height_ft - planned_ft)) < 40.0


def test_a_turn_out_before_the_start_is_drawn_before_the_start() -> None:
    lat_deg, lon_deg = destination_point(41.0, -131.0, [270.0, 90.0], [2.0, 20.0])
    path = np.array([[41.0, -131.0, 0.0, 0.0], [lat_deg[1], lon_deg[1], 3000.0, 10.0]])
    back = np.array([[lat_deg[0], lon_deg[0], 500.0, 0.0], path[1]])
    along_nm, _ = flown_along(path, track_of(back))
    assert along_nm.min() == pytest.approx(-2.0, abs=0.01)
    assert along_nm.max() == pytest.approx(20.0, abs=0.01)


def test_what_was_flown_elsewhere_is_left_out(prepared: Prepared) -> None:
    along_nm, _ = flown_along(prepared.way.path, track_of(prepared.way.path, off_nm=60.0))
    assert along_nm.size == 0


def test_no_line_is_drawn_across_a_gap() -> None:
    values = np.arange(10.0)
    (broken,) = thinned(np.repeat([0, 1], 5), values)
    assert np.flatnonzero(np.isnan(broken)).tolist() == [5]


def test_a_long_recording_is_thinned() -> None:
    (kept,) = thinned(np.zeros(90_000, dtype=np.int64), np.arange(90_000.0))
    assert MOST_POINTS * 0.9 < kept.size <= MOST_POINTS


def measure_of(values: list[float], sigma: float = 5.0) -> Measure:
    first_utc = datetime(2026, 1, 1, tzinfo=UTC)
    return Measure(
        key="flown.height",
        label="height held",
        unit="ft",
        better="smaller",
        flown_utc=tuple(first_utc + timedelta(days=7 * n) for n in range(len(values))),
        values=np.array(values),
        sigmas=np.full(len(values), sigma),
        titles=tuple(f"flight {n}" for n in range(len(values))),
    )


def test_limits_of_few_flights_are_called_provisional() -> None:
    measure = measure_of([20.0, 25.0, 22.0, 30.0])
    figure = drift_picture(measure, judge(measure))
    assert "limits of a single flight, provisional: too early to say" in [
        row.label for row in figure.caption.legend
    ]
    drawn = content(figure)["data"][1]["y"]
    assert drawn == pytest.approx(individuals_chart(measure.values).high.tolist(), abs=1e-3)


def test_many_flights_have_their_average_and_its_exact_limits() -> None:
    measure = measure_of([20.0, 25.0, 22.0, 30.0, 21.0, 27.0, 24.0, 26.0, 60.0, 70.0, 80.0, 75.0])
    verdict = judge(measure)
    figure = drift_picture(measure, verdict)
    labels = [row.label for row in figure.caption.legend]
    assert "limits of a single flight" in labels
    assert {"moving average", "its limits", "usual, from the first 8 flights"} <= set(labels)
    assert verdict.chart is not None
    lines = [trace["y"] for trace in content(figure)["data"]]
    for column in (verdict.chart.values, verdict.chart.high, verdict.chart.low):
        assert column.round(3).tolist() in lines
    assert "slipping" in figure.caption.says


@pytest.mark.parametrize("count", [0, 1, 2])
def test_hardly_any_flights_are_drawn_without_limits(count: int) -> None:
    measure = measure_of([20.0] * count)
    assert len(content(drift_picture(measure, judge(measure)))["data"]) == 1


def test_a_doubt_that_leaves_the_picture_is_named() -> None:
    measure = measure_of([20.0, 25.0, 22.0], sigma=400.0)
    assert "2026-01-01" in drift_picture(measure, judge(measure)).caption.notes[0]


def test_values_of_both_signs_keep_their_sides() -> None:
    measure = replace(measure_of([-20.0, 25.0, 22.0]), better="larger")
    low, high = content(drift_picture(measure, judge(measure)))["layout"]["yaxis"]["range"]
    assert low < -20.0
    assert high > 25.0


def test_a_volume_of_no_height_has_a_label_or_none_but_is_drawn(prepared: Prepared) -> None:
    plan = prepared.plan
    flat = tuple(
        replace(
            v, floor=Height(reference="MSL", ft=2000.0), ceiling=Height(reference="MSL", ft=2001.0)
        )
        for v in plan.places.volumes
    )
    thin = replace(plan, places=replace(plan.places, volumes=flat))
    assert len(content(profile_of(thin, prepared))["data"]) > 4
