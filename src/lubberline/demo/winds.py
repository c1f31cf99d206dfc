"""The wind an invented flight meets: the fields' reports on the ground, the winds aloft above."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import wind_east_north_kt
from lubberline.arrays import BoolArray, FloatArray
from lubberline.fit import Setting
from lubberline.weather import WindsAloft, wind_at

FREE_AGL_FT: Final = 1_000.0  # own: above this the ground no longer slows the wind


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Winds:
    """Wind by height, growing evenly from the field's to the free one over 1,000 ft."""

    departure: Setting
    destination: Setting
    aloft: WindsAloft

    def at(self, msl_ft: FloatArray, *, outbound: BoolArray) -> tuple[FloatArray, FloatArray]:
        """Motion of the air toward east and north [kt], shape as the heights.

        ``outbound`` is True where the departure's field counts, False for the destination's.
        """
        from_true_deg, wind_kt, _ = wind_at(self.aloft, msl_ft)
        free_kt = np.array(wind_east_north_kt(from_true_deg, wind_kt))
        near_kt = np.where(outbound, _field_kt(self.departure), _field_kt(self.destination))
        elev_ft = np.where(
            outbound,
            self.departure.aerodrome.elev_msl_ft,
            self.destination.aerodrome.elev_msl_ft,
        )
        share = np.clip((msl_ft - elev_ft) / FREE_AGL_FT, 0.0, 1.0)
        east_kt, north_kt = free_kt * share + near_kt * (1.0 - share)
        return east_kt, north_kt


def _field_kt(setting: Setting) -> FloatArray:
    """The reported wind as a column of east and north; calm if none was reported."""
    wind = setting.wind
    if wind is None or wind.from_true_deg is None:
        return np.zeros((2, 1))
    return np.array(wind_east_north_kt(wind.from_true_deg, wind.mean_kt)).reshape(2, 1)
