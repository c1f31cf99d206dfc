"""The weather of one field, and how its visibility and ceiling are held against any limit."""

from dataclasses import dataclass
from math import inf
from typing import Final

from lubberline.line import Finding, Limit, unknown
from lubberline.weather import Conditions

NO_CEILING_AGL_FT: Final = 12_000.0  # [AIM-7-1]_, CLR: nothing seen below this


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldWeather:
    """One end of a flight as far as weather is asked for.

    ``place`` is as in ``Setting``, ``surface_class`` the class of airspace that
    reaches the ground there, "G" where none does. ``conditions`` are the worst that may be met;
    ``supply`` says which text would tell them, to be followed by what it must tell.
    ``instrument_rated`` is whether the pilot is, None if the file does not say.
    """

    place: str
    name: str
    surface_class: str
    elev_msl_ft: float
    night: bool
    conditions: Conditions | None
    supply: str
    instrument_rated: bool | None = None

    @property
    def ceiling_agl_ft(self) -> float | None:
        """Lowest broken or overcast layer; infinite where none was seen, None if not told."""
        return None if self.conditions is None else self.conditions.ceiling_agl_ft

    @property
    def text(self) -> str:
        """The text that tells the conditions."""
        return "" if self.conditions is None else self.conditions.text


def visibility_finding(limit: Limit, field: FieldWeather) -> Finding:
    """Reported or forecast visibility; unknown without weather for the place.

    A text that says "more than" does not tell whether a limit above its figure is kept.
    """
    told = field.conditions
    if told is None or told.visibility_sm is None:
        return unknown(limit, f"{field.supply} with visibility", where=field.text)
    seen_sm, least = told.visibility_sm, told.visibility_is_least
    if least and limit.margin(seen_sm) < 0.0:
        missing = f"how far one sees at {field.name}: the text says only {seen_sm:.3g} SM or more"
        return unknown(limit, missing, where=field.text)
    note = "the text says that far or farther" if least else ""
    return Finding(limit=limit, value=seen_sm, where=field.text, note=note)


def ceiling_finding(limit: Limit, field: FieldWeather) -> Finding:
    """Lowest broken or overcast layer; a text that says there is none counts as 12,000 ft.

    An automated station sees no further than that [AIM-7-1]_, so that a limit above it is not
    decided.
    """
    ceiling_ft = field.ceiling_agl_ft
    if ceiling_ft is None:
        return unknown(limit, f"{field.supply} with clouds", where=field.text)
    value = min(ceiling_ft, NO_CEILING_AGL_FT)
    if ceiling_ft == inf and limit.margin(value) < 0.0:
        missing = f"clouds above {NO_CEILING_AGL_FT:,.0f} ft over {field.name}: a pilot report"
        return unknown(limit, missing, where=field.text)
    note = "no ceiling seen below 12,000 ft" if ceiling_ft > NO_CEILING_AGL_FT else ""
    return Finding(limit=limit, value=value, where=field.text, note=note)


def ceiling_distance(
    limit: Limit, field: FieldWeather, *, msl_ft: float, above_ft: float, note: str
) -> Finding:
    """From a height up to the ceiling of a field, against the least distance below it.

    What is further above a ceiling than ``above_ft`` may be lawful over the tops, which no
    report tells: unknown.
    """
    ceiling_agl_ft = field.ceiling_agl_ft
    if ceiling_agl_ft is None:
        return unknown(limit, f"{field.supply} with clouds", where=field.text)
    seen = ceiling_agl_ft < inf
    base_msl_ft = field.elev_msl_ft + min(ceiling_agl_ft, NO_CEILING_AGL_FT)
    words = "ceiling at {}" if seen else "no ceiling seen at {} below"
    where = f"{words.format(field.name)} {base_msl_ft:,.0f} ft MSL"
    if seen and msl_ft - base_msl_ft > above_ft:
        return unknown(limit, f"tops over {field.name}, and a way down through them", where=where)
    if not seen and base_msl_ft - msl_ft < (limit.low or 0.0):
        return unknown(limit, f"clouds above {base_msl_ft:,.0f} ft over {field.name}", where=where)
    return Finding(
        limit=limit,
        value=base_msl_ft - msl_ft,
        where=where,
        note=note,
    )
