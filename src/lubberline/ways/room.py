"""The room to keep from airspace: the pilot's own, and never less than height is known and held.

An altimeter set to one report reads wrong by what the pressure differs where another holds, until
it is set anew; the pilot holds height no better than flights have shown. A margin smaller than
both together would be air on paper only.
"""

from typing import Final

from lubberline.air import indicated_altitude_ft, pressure_altitude_ft
from lubberline.flight import Plan
from lubberline.ways.problem import Margins

_REFERENCE_FT: Final = (
    3_000.0  # where the error of a setting is told; it hardly changes with height
)


def margins_of(plan: Plan) -> Margins:
    """Distances to keep from volumes not entered, and where the vertical one comes from."""
    own = plan.pilot.own
    setting_ft = setting_spread_ft(plan)
    held_ft = plan.pilot.height_keeping_ft or 0.0
    least_ft = setting_ft + held_ft
    if own.airspace_vertical_ft >= least_ft:
        return Margins(lateral_nm=own.airspace_lateral_nm, vertical_ft=own.airspace_vertical_ft)
    words = f"altimeter settings that differ by {setting_ft:.0f} ft"
    if held_ft:
        words += f", and height held within {held_ft:.0f} ft (height_keeping_ft in pilot.toml)"
    return Margins(
        lateral_nm=own.airspace_lateral_nm, vertical_ft=least_ft, vertical_source=f"own: {words}"
    )


def setting_spread_ft(plan: Plan) -> float:
    """By how much an altimeter differs between the least and the greatest setting of the reports.

    0 where fewer than two reports have a setting.
    """
    told = [one.altimeter_inhg for one in plan.weather.reports.values()]
    inhg = [one for one in told if one is not None]
    if len(inhg) < 2:
        return 0.0
    pressure_ft = pressure_altitude_ft(_REFERENCE_FT, min(inhg))
    return float(indicated_altitude_ft(pressure_ft, max(inhg))) - _REFERENCE_FT
