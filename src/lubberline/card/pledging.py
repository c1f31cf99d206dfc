"""Which numbers of a way the pledge fixes."""

import hashlib
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from lubberline import __version__
from lubberline.card.gates import gate_rows
from lubberline.fit import open_findings, settings, times_utc, trip_gal
from lubberline.flight import Plan, Pledge, PledgedGate, PledgedPoint
from lubberline.line import Finding, finding_record
from lubberline.ways import Way


def make_pledge(
    plan: Plan,
    way: Way,
    findings: Sequence[Finding],
    *,
    printed_utc: datetime,
    practice: Sequence[str] = (),
) -> Pledge:
    """The pledge of one way with the findings of the day, and what it is to practise."""
    departure, destination = settings(plan, way)
    flight = plan.flight
    return Pledge(
        title=flight.title,
        way_name=way.name,
        departure_id=flight.departure_id,
        destination_id=flight.destination_id,
        departure_runway=departure.end.name,
        destination_runway=destination.end.name,
        permissions=tuple(sorted(way.permissions)),
        cruise_msl_ft=way.cruise_msl_ft,
        off_block_utc=flight.off_block_utc,
        on_block_utc=_whole_seconds(times_utc(plan, way)[2]),
        points=tuple(_points(plan, way)),
        departure_altimeter_inhg=departure.altimeter_inhg,
        destination_altimeter_inhg=destination.altimeter_inhg,
        findings=tuple(finding_record(finding) for finding in open_findings(findings)),
        inputs_sha256={
            f"{path.parent.name}/{path.name}": hashlib.sha256(path.read_bytes()).hexdigest()
            for path in plan.inputs
        },
        printed_utc=_whole_seconds(printed_utc),
        program_version=__version__,
        gates=tuple(
            PledgedGate(label=one.label, by=one.by, text=one.text)
            for one in gate_rows(plan, way, destination)
        ),
        practice=tuple(practice),
    )


def _points(plan: Plan, way: Way) -> Iterator[PledgedPoint]:
    """Every row of the way's path, with the fuel left there by its legs."""
    takeoff_utc = times_utc(plan, way)[0]
    start_gal = sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    leg_end_min = np.cumsum([0.0, *(leg.time_min for leg in way.legs)])
    leg_used_gal = np.cumsum([0.0, *(leg.fuel_gal for leg in way.legs)])
    left_gal = start_gal - np.interp(way.path[:, 3], leg_end_min, leg_used_gal)
    after_min = way.path[:, 3].copy()
    after_min[-1] += plan.flight.pattern_min  # the last point is the landing, not the overhead
    left_gal[-1] = start_gal - trip_gal(plan, way)
    rows = zip(way.path[:, :3], after_min, way.point_names, left_gal, strict=True)
    for place, moment_min, name, fuel_gal in rows:
        lat_deg, lon_deg, msl_ft = (float(value) for value in place)
        yield PledgedPoint(
            name=name,
            lat_deg=round(lat_deg, 6),
            lon_deg=round(lon_deg, 6),
            msl_ft=round(msl_ft, 1),
            over_utc=_whole_seconds(takeoff_utc + timedelta(minutes=float(moment_min))),
            fuel_left_gal=round(float(fuel_gal), 2),
        )


def _whole_seconds(when: datetime) -> datetime:
    return (when.astimezone(UTC) + timedelta(milliseconds=500)).replace(microsecond=0)
