"""Density altitude of either field against the pilot's own limit; nothing where none is set."""

from math import hypot
from typing import Final

from lubberline.air import density_altitude_ft
from lubberline.fit.setting import Setting
from lubberline.line import Finding, Limit, unknown
from lubberline.pilot import OwnMinimums

SETTING_SIGMA_FT: Final = 30.0  # own: a setting in hundredths of an inch, some hours old


def density_findings(setting: Setting, own: OwnMinimums) -> tuple[Finding, ...]:
    """Density altitude in dry air at the time of use."""
    if own.density_altitude_ft is None:
        return ()
    limit = Limit(
        key=f"flight.density_altitude_{setting.place}",
        label=f"density altitude, {setting.aerodrome.id}",
        unit="ft",
        high=own.density_altitude_ft,
        tolerance=3_000.0,
        basis="own",
        source=own.source("density_altitude_ft"),
    )
    pressure_ft, oat_degc = setting.pressure_ft, setting.temperature_degc
    if pressure_ft is None or oat_degc is None:
        supply = f"{setting.report_supply} with temperature and altimeter setting"
        return (unknown(limit, supply),)
    warmer_degc = oat_degc + setting.temperature_sigma_degc
    density_ft = float(density_altitude_ft(pressure_ft, oat_degc))
    doubt_ft = float(density_altitude_ft(pressure_ft, warmer_degc)) - density_ft
    return (
        Finding(
            limit=limit,
            value=density_ft,
            sigma=hypot(doubt_ft, SETTING_SIGMA_FT),
            where=f"pressure altitude {pressure_ft:,.0f} ft, {oat_degc:g} °C",
        ),
    )
