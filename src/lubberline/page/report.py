"""The report: one HTML file with everything in it, and the values that its template may use.

The file needs no network: the drawing library's script, its data and the card's picture are
inside it. ``make_report`` knows no request and no file; ``report_html`` fills the template.
"""

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined

from lubberline.drift import DriftVerdict, Measure
from lubberline.fit import NOT_CHECKED
from lubberline.flight import Plan, Pledge
from lubberline.flown import Flown
from lubberline.line import Finding, verdict_sentence, worst_first
from lubberline.page.drift_picture import drift_picture
from lubberline.page.figure import WAY_COLORS, Figure
from lubberline.page.line_svg import LineRow, line_rows
from lubberline.page.map_picture import map_picture
from lubberline.page.profile_picture import flown_along, profile_picture
from lubberline.ways import Way, cut_along
from lubberline.wording import CAUTION

GROUPS = (("pilot", "Pilot"), ("airplane", "Airplane"), ("flight", "Flight"), ("ways", "Way"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Findings that belong together, under their name."""

    name: str
    rows: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WayRow:
    """One way in the table."""

    number: int
    name: str
    chosen: bool
    minutes: str
    fuel: str
    distance: str
    cruise: str
    needs: str
    worst: str


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ReportPage:
    """Everything the template may use. A test holds template and class together."""

    title: str
    subtitle: str
    sentence: str
    caution: str
    not_checked: str
    fit: tuple[Group, ...]
    ways: tuple[WayRow, ...]
    map: Figure
    profiles: tuple[Figure, ...]
    pledge: str = ""
    card_png: str = ""
    flown: tuple[LineRow, ...] = ()
    flown_sentences: tuple[str, ...] = ()
    account: tuple[str, ...] = ()
    drift: Figure | None = None
    drift_sentence: str = ""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Debrief:
    """What was flown, in the words and values that the report shows."""

    flown: Flown
    sentences: tuple[str, ...]


def make_report(
    plan: Plan,
    ways: Sequence[Way],
    way: Way,
    findings: tuple[Finding, ...],
    *,
    pledge: Pledge | None = None,
    card_png: bytes = b"",
    debrief: Debrief | None = None,
    drift: tuple[Measure, DriftVerdict] | None = None,
) -> ReportPage:
    """The report of one flight: what is planned, and what was flown where it is known."""
    flight = plan.flight
    track = debrief.flown.recording.track if debrief is not None else None
    return ReportPage(
        title=flight.title,
        subtitle=f"{flight.off_block_utc:%Y-%m-%d}, off block {flight.off_block_utc:%H:%MZ},"
        f" {plan.aircraft.name} {plan.aircraft.call_sign}, way: {way.name}",
        sentence=verdict_sentence(findings),
        caution=CAUTION,
        not_checked=NOT_CHECKED,
        fit=tuple(_groups(findings)),
        ways=tuple(_way_row(n, one, chosen=one is way) for n, one in enumerate(ways, 1)),
        map=map_picture(plan, ways, (track.lat_deg, track.lon_deg) if track else None),
        profiles=tuple(
            _profile(plan, n, one, debrief if one is way else None) for n, one in enumerate(ways)
        ),
        pledge=pledge.sha256 if pledge is not None else "",
        card_png=base64.b64encode(card_png).decode(),
        flown=line_rows(debrief.flown.findings) if debrief is not None else (),
        flown_sentences=debrief.sentences if debrief is not None else (),
        account=debrief.flown.recording.account if debrief is not None else (),
        drift=drift_picture(*drift) if drift is not None else None,
        drift_sentence=_drift_sentence(*drift) if drift is not None else "",
    )


def report_html(page: ReportPage) -> str:
    """The template filled with the page; text from files is escaped."""
    return _environment().get_template("report.html").render(page=page, script=_drawing_script())


def shell_html(
    title: str, *, problem: str = "", flights: list[str] | None = None, caution: str = ""
) -> str:
    """A plain page: the list of flights, or a refusal."""
    template = _environment().get_template("shell.html")
    return template.render(title=title, problem=problem, flights=flights, caution=caution)


def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("lubberline.page"), autoescape=True, undefined=StrictUndefined
    )


def _drawing_script() -> str:
    """The drawing library, as its package ships it."""
    script = files("plotly").joinpath("package_data", "plotly.min.js").read_text(encoding="utf-8")
    return script.replace("</script", "<\\/script")


def _groups(findings: Sequence[Finding]) -> list[Group]:
    rows = [
        (name, tuple(one for one in findings if one.limit.group == key)) for key, name in GROUPS
    ]
    return [Group(name=name, rows=line_rows(members)) for name, members in rows if members]


def _way_row(number: int, way: Way, *, chosen: bool) -> WayRow:
    worst = worst_first(way.findings)[0]
    return WayRow(
        number=number,
        name=way.name,
        chosen=chosen,
        minutes=f"{way.time_min:.0f}",
        fuel=f"{way.fuel_gal:.1f}",
        distance=f"{way.distance_nm:.1f}",
        cruise=f"{way.cruise_msl_ft:,.0f}",
        needs=", ".join(sorted(way.permissions)) or "nothing",
        worst=f"{worst.verdict}: {worst.limit.label}",
    )


def _profile(plan: Plan, number: int, way: Way, debrief: Debrief | None) -> Figure:
    section = cut_along(way.path, plan.places.volumes, plan.terrain)
    over = None
    if debrief is not None:
        track = debrief.flown.recording.track
        known_ft = track.pressure_ft if np.isfinite(track.pressure_ft).any() else track.gnss_ft
        over = flown_along(way.path, track.lat_deg, track.lon_deg, known_ft)
    return profile_picture(
        f"profile-{number + 1}",
        f"{number + 1} {way.name}: height along the way",
        section,
        color=WAY_COLORS[number % len(WAY_COLORS)],
        flown=over,
    )


def _drift_sentence(measure: Measure, verdict: DriftVerdict) -> str:
    count = verdict.flights_needed_count
    more = f"; {count} more flights would tell" if count else ""
    return f"{measure.label}: {verdict.word} ({len(measure)} flights{more})."
