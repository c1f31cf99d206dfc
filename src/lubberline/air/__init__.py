"""Standard atmosphere, altimetry, airspeeds and wind."""

from lubberline.air.airspeed import (
    cas_from_ias_kt,
    cas_from_tas_kt,
    eas_from_cas_kt,
    ias_from_cas_kt,
    mach_from_cas,
    tas_from_cas_kt,
)
from lubberline.air.altimetry import (
    hpa_from_inhg,
    indicated_altitude_ft,
    indicated_for_true_ft,
    inhg_from_hpa,
    pressure_altitude_ft,
    station_pressure_hpa,
    temperature_correction_ft,
    true_altitude_ft,
)
from lubberline.air.atmosphere import (
    density_altitude_ft,
    isa_density_ratio,
    isa_height_ft,
    isa_pressure_hpa,
    isa_temperature_degc,
    speed_of_sound_kt,
)
from lubberline.air.wind import (
    track_made_good,
    wind_components_kt,
    wind_east_north_kt,
    wind_from_east_north,
    wind_triangle,
)

__all__ = [
    "cas_from_ias_kt",
    "cas_from_tas_kt",
    "density_altitude_ft",
    "eas_from_cas_kt",
    "hpa_from_inhg",
    "ias_from_cas_kt",
    "indicated_altitude_ft",
    "indicated_for_true_ft",
    "inhg_from_hpa",
    "isa_density_ratio",
    "isa_height_ft",
    "isa_pressure_hpa",
    "isa_temperature_degc",
    "mach_from_cas",
    "pressure_altitude_ft",
    "speed_of_sound_kt",
    "station_pressure_hpa",
    "tas_from_cas_kt",
    "temperature_correction_ft",
    "track_made_good",
    "true_altitude_ft",
    "wind_components_kt",
    "wind_east_north_kt",
    "wind_from_east_north",
    "wind_triangle",
]
