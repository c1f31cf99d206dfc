"""Where the law limits the speed to 200 kt indicated: [14CFR91.117]_ (b) and (c).

Within 4 NM of a class C or D field up to 2,500 ft over it, and in the airspace under class B,
unless it is class B itself. The 250 kt below 10,000 ft are not looked at, nor VFR corridors.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import cas_from_tas_kt, isa_temperature_degc, tas_from_cas_kt
from lubberline.arrays import BoolArray, FloatArray
from lubberline.earth import LocalPlane
from lubberline.places import Aerodrome, Places, Volume, distance_nm, surface_class

FIELD_NM: Final = 4.0
OVER_FIELD_FT: Final = 2_500.0
SLOW_KT: Final = 200.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SlowAirspace:
    """Class C and D fields, and the parts of class B."""

    fields: tuple[Aerodrome, ...]
    bravo: tuple[Volume, ...]

    def holds(
        self,
        plane: LocalPlane,
        east_nm: FloatArray,
        north_nm: FloatArray,
        *,
        msl_ft: FloatArray,
        ground_ft: FloatArray,
    ) -> BoolArray:
        """Whether 200 kt are the limit at places of a plane; columns of shape (n,)."""
        limited = np.zeros(msl_ft.shape, dtype=bool)
        for field in self.fields:
            field_east_nm, field_north_nm = plane.to_plane_nm(field.lat_deg, field.lon_deg)
            away_nm = np.hypot(east_nm - field_east_nm, north_nm - field_north_nm)
            limited |= (away_nm <= FIELD_NM) & (msl_ft <= field.elev_msl_ft + OVER_FIELD_FT)
        under, inside = np.zeros_like(limited), np.zeros_like(limited)
        for one in self.bravo:
            beside = distance_nm(one.footprint, plane, east_nm, north_nm) <= 0.0
            low_ft, high_ft = (
                edge.ft + (0.0 if edge.reference == "MSL" else ground_ft)
                for edge in (one.floor, one.ceiling)
            )
            under |= beside & (msl_ft < low_ft)
            inside |= beside & ~(msl_ft < low_ft) & ~(msl_ft > high_ft)
        return np.asarray(limited | (under & ~inside))


def slow_airspace(places: Places) -> SlowAirspace:
    """What of some places limits the speed."""
    return SlowAirspace(
        fields=tuple(
            one for one in places.aerodromes.values() if surface_class(places, one) in ("C", "D")
        ),
        bravo=tuple(one for one in places.volumes if one.airspace_class == "B"),
    )


def most_tas_kt(msl_ft: FloatArray) -> FloatArray:
    """True airspeed at 200 kt calibrated in standard air; indicated is taken as calibrated."""
    return tas_from_cas_kt(SLOW_KT, msl_ft, isa_temperature_degc(msl_ft))


def calibrated_kt(tas_kt: float, msl_ft: FloatArray) -> FloatArray:
    """Calibrated airspeed in standard air."""
    return cas_from_tas_kt(tas_kt, msl_ft, isa_temperature_degc(msl_ft))
