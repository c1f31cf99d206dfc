"""The runway as it lies ahead on final: length used, wind, pattern, in numbers for a sketch."""

from dataclasses import dataclass
from math import ceil, isfinite

from lubberline.air import wind_components_kt
from lubberline.card.entry import inbound_deg, joins
from lubberline.card.facts import wind_figures
from lubberline.earth import variation_deg
from lubberline.fit import Setting
from lubberline.line import Finding
from lubberline.ways import Way
from lubberline.wording import direction_text


@dataclass(frozen=True, slots=True, kw_only=True)
class RunwaySketch:
    """A runway seen from final. ``wind_deg`` is clockwise from ahead, None if not known.

    ``used_fraction`` and ``displaced_fraction`` are shares of the runway's length. The way comes
    in on ``inbound_deg``, clockwise from ahead, and ``joins`` a part of the pattern.
    """

    title: str
    name: str
    other_name: str
    heading: str
    size: str
    elevation: str
    pattern_side: str
    pattern: str
    wind: str
    components: str
    wind_deg: float | None
    used: str
    used_fraction: float | None
    displaced_fraction: float
    inbound_deg: float
    joins: str


def runway_sketch(way: Way, setting: Setting, distance: Finding | None) -> RunwaySketch:
    """The sketch of one end; ``distance`` is the finding of the landing distance there."""
    aerodrome, runway, end = setting.aerodrome, setting.runway, setting.end
    one, other = runway.ends
    variation = float(variation_deg(end.lat_deg, end.lon_deg, 0.0, setting.when_utc))
    used_ft = distance.value if distance is not None else None
    pattern_msl_ft = aerodrome.elev_msl_ft + aerodrome.pattern_agl_ft
    wind, from_true_deg = setting.wind, setting.wind.from_true_deg if setting.wind else None
    components = ""
    if wind is not None and from_true_deg is not None:
        head_kt, cross_kt = (
            float(part)
            for part in wind_components_kt(
                end.true_deg, wind_from_true_deg=from_true_deg, wind_kt=wind.worst_kt
            )
        )
        components = f"{_head(head_kt)}, {abs(cross_kt):.0f} kt from the {_side(cross_kt)}"
    return RunwaySketch(
        title=f"{aerodrome.id} {end.name}",
        name=end.name,
        other_name=(other if end == one else one).name,
        heading=f"{direction_text(end.true_deg - variation)} mag",
        size=f"{runway.length_ft:,.0f} by {runway.width_ft:,.0f} ft, {runway.surface}",
        elevation=f"{aerodrome.elev_msl_ft:,.0f} ft",
        pattern_side=end.pattern_side,
        pattern=f"{pattern_msl_ft:,.0f} ft",
        wind=wind_figures(setting),
        components=components,
        wind_deg=None if from_true_deg is None else (from_true_deg - end.true_deg) % 360.0,
        used=_used(used_ft),
        used_fraction=_share(used_ft, runway.length_ft - end.displaced_ft, runway.length_ft),
        displaced_fraction=min(end.displaced_ft / runway.length_ft, 1.0),
        inbound_deg=inbound_deg(way, setting),
        joins=joins(way, setting),
    )


def _share(used_ft: float | None, open_ft: float, length_ft: float) -> float | None:
    """Of the runway's length; no more than is open beyond the threshold."""
    return None if used_ft is None or not isfinite(used_ft) else min(used_ft, open_ft) / length_ft


def _used(used_ft: float | None) -> str:
    """Rounded up: it is needed. Nobody knows what no table tells."""
    if used_ft is None or not isfinite(used_ft):
        return "not known"
    return f"{ceil(round(used_ft, 6)):,d} ft over 50 ft, factored"


def _head(head_kt: float) -> str:
    return f"{abs(head_kt):.0f} kt {'ahead' if head_kt >= 0.0 else 'BEHIND'}"


def _side(cross_kt: float) -> str:
    return "right" if cross_kt >= 0.0 else "left"
