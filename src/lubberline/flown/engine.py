"""The engine as it was recorded: its limits, its flow in cruise, leaning, the top of the climb.

Only channels that were recorded are spoken of. A limit comes from ``[engine]`` of the aircraft
file; where that gives none the highest value is told in a sentence and not judged. The median of
three samples is taken, so that one wrong sample is no excursion.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from lubberline.aircraft import Aircraft, cruise_figures
from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown.case import Case, clock
from lubberline.flown.channels import fuel_columns, outside_degc
from lubberline.flown.gauge import Gauge, Reading
from lubberline.flown.model import Phase
from lubberline.recording import MEASURES, Track, converted, unit_of_name

CRUISE_FLOW: Final = Gauge(
    name="cruise_flow", label="fuel flow in cruise, table", unit="gph",
    why="within a tenth of the airplane's table",
)  # fmt: skip
FLOW_FRACTION: Final = 0.02  # own: of a transducer, as a whole
NEAR_FRACTION: Final = 0.1
LEANED_FRACTION: Final = 0.08  # own: a smaller fall of the flow may be the power
LEAN_S: Final = 60
SMOOTH_S: Final = 15
STEADY: Final = {"rpm": 50.0, "inhg": 0.5}  # own: power that changed by less was not touched
HELD_S: Final = 5.0  # own: a sample stands for no longer
Recorded: TypeAlias = Mapping[str, Mapping[str, FloatArray]]  # columns of each watched thing


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One thing a monitor records: names it goes by, its unit, its limits, a gauge's doubt."""

    name: str
    label: str
    unit: str
    fits: re.Pattern[str]
    high: str
    sigma: float
    low: str = ""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class EngineTrace:
    """One recorded column, one value a sample of the track, and the limits on file."""

    name: str
    label: str
    unit: str
    values: FloatArray
    low: float | None = None
    high: float | None = None


WATCHED: Final = (
    Watched(name="cht", label="cylinder head", unit="degC", fits=re.compile(r"cht|cylinder"),
            high="cht_max_degc", sigma=2.0),
    Watched(name="egt", label="exhaust gas", unit="degC", fits=re.compile(r"egt|exhaust"),
            high="egt_max_degc", sigma=5.0),
    Watched(name="tit", label="turbine inlet", unit="degC", fits=re.compile(r"tit\b|tit_|turbine"),
            high="tit_max_degc", sigma=5.0),
    Watched(name="oil_temperature", label="oil temperature", unit="degC", fits=re.compile(r"oil"),
            high="oil_max_degc", sigma=2.0),
    Watched(name="oil_pressure", label="oil pressure", unit="psi", fits=re.compile(r"oil"),
            high="oil_max_psi", low="oil_min_psi", sigma=1.0),
    Watched(name="rpm", label="engine speed", unit="rpm", fits=re.compile(r"^(?!.*prop).*rpm"),
            high="max_rpm", sigma=15.0),
    Watched(name="manifold", label="manifold pressure", unit="inHg",
            fits=re.compile(r"manifold|^map|^mp_"), high="manifold_max_inhg", sigma=0.2),
)  # fmt: skip


def engine_readings(case: Case, aircraft: Aircraft | None) -> list[Reading]:
    """What was recorded and has a limit, and the flow in cruise against the airplane's table."""
    if aircraft is None:
        return []
    found = [_held(case, aircraft, one, low=low) for one in WATCHED for low in (False, True)]
    found.append(_cruise_flow(case, aircraft))
    return [one for one in found if one is not None]


def engine_traces(track: Track, aircraft: Aircraft | None) -> tuple[EngineTrace, ...]:
    """Every recorded column of an engine with the limits it is held to, for drawing."""
    engine = None if aircraft is None else aircraft.engine
    found = [
        EngineTrace(
            name=one.name, label=one.label, unit=one.unit, values=column,
            low=getattr(engine, one.low, None) if one.low else None,
            high=getattr(engine, one.high, None),
        )
        for one in WATCHED
        for column in _columns(track, one).values()
    ]  # fmt: skip
    found += [
        EngineTrace(name="fuel_flow", label="fuel flow", unit="gph", values=_despiked(column))
        for column in fuel_columns(track, "_gph")
    ]
    return tuple(found)


def engine_sentences(case: Case, aircraft: Aircraft | None) -> list[str]:
    """Highest values without a limit, temperatures at the top of the climb, and leaning."""
    cruise = _cruise(case)
    recorded = {one.name: _columns(case.track, one) for one in WATCHED}
    told = [_without_limit(case, aircraft, recorded)]
    if cruise is not None:
        told += [_top_of_climb(case, cruise, recorded), _leaning(case, cruise, recorded)]
    return [one for one in told if one]


def _columns(track: Track, one: Watched) -> dict[str, FloatArray]:
    """The recorded columns of a thing, in its unit, the median of three samples each."""
    unit = one.unit.lower()
    found: dict[str, FloatArray] = {}
    for name, column in track.channels.items():
        if not one.fits.search(name):
            continue
        written = unit_of_name(f"_{name}")  # a column may be called "rpm" alone
        same_kind = written in MEASURES and MEASURES[written].kind == MEASURES[unit].kind
        if same_kind and np.isfinite(column).any():
            found[name] = _despiked(converted(column, str(written), unit))
    return found


def _despiked(column: FloatArray) -> FloatArray:
    """The median of each sample and its two neighbors; ends as they are."""
    if column.size < 3:
        return column
    a, b, c = column[:-2], column[1:-1], column[2:]
    middle = np.maximum(np.minimum(a, b), np.minimum(np.maximum(a, b), c))
    return np.concatenate([column[:1], np.where(np.isfinite(middle), middle, b), column[-1:]])


def _held(case: Case, aircraft: Aircraft, one: Watched, *, low: bool) -> Reading | None:
    """The worst value against the limit of that side; None without a limit or a channel."""
    limit = getattr(aircraft.engine, one.low if low else one.high, None)
    columns = _columns(case.track, one) if limit is not None else {}
    if low:
        columns = {name: np.where(_aloft(case), col, np.nan) for name, col in columns.items()}
    columns = {name: column for name, column in columns.items() if np.isfinite(column).any()}
    if not columns or limit is None:
        return None
    worst = np.nanargmin if low else np.nanargmax
    ends = {name: int(worst(column)) for name, column in columns.items()}
    pick = min if low else max
    name = pick(ends, key=lambda n: columns[n][ends[n]])
    outside = np.any([c < limit if low else c > limit for c in columns.values()], axis=0)
    held_s = np.minimum(np.diff(case.track.time_s, append=case.track.time_s[-1]), HELD_S)
    known = np.any([np.isfinite(c) for c in columns.values()], axis=0)
    share = 100.0 * float(held_s[outside].sum()) / max(float(held_s[known].sum()), 1e-9)
    side = "lowest in the air" if low else "highest"
    return Reading(
        gauge=Gauge(
            name=f"engine_{one.name}{'_low' if low else ''}", label=f"{one.label}, {side}",
            unit=one.unit, basis="manual", low=limit if low else None,
            high=None if low else limit,
            why=aircraft.engine.source or f"{aircraft.manual}: [engine] of the aircraft file",
        ),
        value=float(columns[name][ends[name]]), sigma=one.sigma,
        where=clock(float(case.track.time_s[ends[name]])),
        note=f"{name}; outside for {share:.1f} % of {held_s[known].sum() / 60.0:.0f} min recorded",
    )  # fmt: skip


def _aloft(case: Case) -> BoolArray:
    aloft_s = case.even.time_s[case.aloft_index]
    time_s = case.track.time_s
    if not aloft_s.size:
        return np.zeros(time_s.shape, dtype=bool)
    return np.asarray((time_s >= aloft_s[0]) & (time_s <= aloft_s[-1]))


def _without_limit(case: Case, aircraft: Aircraft | None, recorded: Recorded) -> str:
    """The highest of everything recorded that has no limit on file."""
    told = []
    for one in WATCHED:
        if aircraft is not None and getattr(aircraft.engine, one.high) is not None:
            continue
        highest = [
            (float(np.nanmax(c)), float(case.track.time_s[int(np.nanargmax(c))]))
            for c in recorded[one.name].values()
        ]
        if highest:
            value, at_s = max(highest)
            told.append(f"{one.label} {value:,.0f} {one.unit} at {clock(at_s)}")
    if not told:
        return ""
    return f"Highest recorded, without a limit in [engine] of an aircraft file: {'; '.join(told)}."


def _cruise(case: Case) -> Phase | None:
    """The longest cruise."""
    cruises = [one for one in case.phases if one.name == "cruise"]
    return max(cruises, key=lambda one: one.end_s - one.start_s, default=None)


def _at(case: Case, column: FloatArray, at_s: FloatArray) -> FloatArray:
    """A column at moments, straight between its known samples; NaN beyond them."""
    known = np.isfinite(column)
    time_s = case.track.time_s[known]
    return np.interp(at_s, time_s, column[known], left=np.nan, right=np.nan)


def _top_of_climb(case: Case, cruise: Phase, recorded: Recorded) -> str:
    """Temperatures where the last climb before the cruise ended."""
    climbs = [p for p in case.phases if p.name == "climb" and p.end_s <= cruise.start_s + 1.0]
    if not climbs:
        return ""
    at_s = np.array([climbs[-1].end_s])
    told = []
    for one in WATCHED:
        values = [float(_at(case, c, at_s)[0]) for c in recorded[one.name].values()]
        values = [value for value in values if np.isfinite(value)]
        if one.unit == "degC" and values:
            told.append(f"{one.label} {max(values):.0f} degC")
    return f"At the top of the climb, {clock(at_s[0])}: {', '.join(told)}." if told else ""


def _flow(case: Case, at_s: FloatArray) -> FloatArray | None:
    """Recorded fuel flow of all engines at moments; None where none was recorded."""
    flows = fuel_columns(case.track, "_gph")
    return np.asarray(np.sum([_at(case, one, at_s) for one in flows], axis=0)) if flows else None


def _cruise_flow(case: Case, aircraft: Aircraft) -> Reading | None:
    """Mean flow in the second half of the longest cruise, less the table's; None unrecorded."""
    cruise = _cruise(case)
    if cruise is None:
        return None
    at_s = np.arange((cruise.start_s + cruise.end_s) / 2.0, cruise.end_s - 30.0, 1.0)
    flow_gph = _flow(case, at_s)
    if flow_gph is None or not np.isfinite(flow_gph).any():
        return None
    mean_gph = float(np.nanmean(flow_gph))
    inside = (case.even.time_s >= at_s[0]) & (case.even.time_s <= at_s[-1])
    pressure_ft = float(np.nanmedian(case.even.height_ft[inside]))
    oat_degc = float(np.nanmedian(outside_degc(case)[inside]))
    table = cruise_figures(
        aircraft, weight_lb=np.nan, pressure_ft=pressure_ft, oat_degc=oat_degc,
        power={**aircraft.cruise, **_power(case, at_s)},
    ).get("cruise_gph")  # fmt: skip
    if table is None or table.value is None:
        missing = table.missing if table is not None else "a table cruise_gph in the aircraft file"
        return Reading(gauge=CRUISE_FLOW, value=np.nan, sigma=0.0, missing=missing,
                       note=f"{mean_gph:.1f} gph flown")  # fmt: skip
    near_gph = NEAR_FRACTION * table.value
    return Reading(
        gauge=CRUISE_FLOW.limited(low=-near_gph, high=near_gph),
        value=mean_gph - table.value, sigma=FLOW_FRACTION * mean_gph,
        where=clock(float(at_s[0])),
        note=f"{mean_gph:.1f} gph flown, {table.value:.1f} in the table at {pressure_ft:,.0f} ft,"
        f" {oat_degc:.0f} degC; {table.source}",
    )  # fmt: skip


def _power(case: Case, at_s: FloatArray) -> dict[str, float]:
    """Recorded speed and manifold pressure, by the names of the table's axes."""
    found: dict[str, float] = {}
    for one, axis in ((WATCHED[5], "rpm"), (WATCHED[6], "mp_inhg")):
        for column in list(_columns(case.track, one).values())[:1]:
            value = float(np.nanmedian(_at(case, column, at_s)))
            found |= {axis: value} if np.isfinite(value) else {}
    return found


def _leaning(case: Case, cruise: Phase, recorded: Recorded) -> str:
    """Whether the flow fell at steady power, and when; "" without flow or without power."""
    at_s = np.arange(cruise.start_s - LEAN_S, cruise.end_s, 1.0)
    flow_gph = _flow(case, at_s)
    power = [
        (_at(case, column, at_s), STEADY[one.unit.lower()])
        for one in WATCHED[5:]
        for column in recorded[one.name].values()
    ]
    if flow_gph is None or not power or at_s.size < 2 * LEAN_S + SMOOTH_S:
        return ""
    kernel = np.full(SMOOTH_S, 1.0 / SMOOTH_S)
    smooth_gph = np.convolve(flow_gph, kernel, mode="valid")
    middle_s = at_s[SMOOTH_S // 2 : SMOOTH_S // 2 + smooth_gph.size]
    before_gph, after_gph = smooth_gph[:-LEAN_S], smooth_gph[LEAN_S:]
    steady = np.isfinite(before_gph) & np.isfinite(after_gph)
    for column, most in power:
        smooth = np.convolve(column, kernel, mode="valid")
        steady &= np.abs(smooth[LEAN_S:] - smooth[:-LEAN_S]) <= most
    if not steady.any():
        return ""
    fallen = np.where(steady, 1.0 - after_gph / np.maximum(before_gph, 1e-9), -np.inf)
    k = int(np.argmax(fallen))
    if fallen[k] < LEANED_FRACTION:
        return "No leaning is seen in cruise: at steady power the flow fell by less than 8 %."
    half_gph = (before_gph[k] + after_gph[k]) / 2.0
    at = k + int(np.flatnonzero(smooth_gph[k : k + LEAN_S + 1] <= half_gph)[0])
    return (
        f"The mixture was leaned about {clock(float(middle_s[at]))}: the flow fell from"
        f" {before_gph[k]:.1f} to {after_gph[k]:.1f} gph at steady power."
    )
