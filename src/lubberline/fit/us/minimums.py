"""Basic visual-flight weather minimums: visibility and distance from clouds by airspace.

Class B keeps clear of clouds at any height; class E changes at 10,000 ft above sea level, class
G above 1,200 ft over the surface and again at 10,000 ft; by night class G asks for what class E
does. In class A there is no visual flight. The easier rule for the traffic pattern by night in
class G, (b)(2), is not applied.
"""

from dataclasses import dataclass
from typing import Final

from lubberline.units import FT_PER_M, M_PER_SM

HIGH_MSL_FT: Final = 10_000.0  # [14CFR91.155]_ (a): "at or above"
LOW_AGL_FT: Final = 1_200.0  # same: "1,200 feet or less above the surface"
FT_PER_SM: Final = M_PER_SM * FT_PER_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Minimums:
    """Least flight visibility, and least distances from clouds; all 0 is clear of clouds."""

    visibility_sm: float
    below_ft: float = 0.0
    above_ft: float = 0.0
    beside_ft: float = 0.0


def _off_clouds(visibility_sm: float) -> Minimums:
    return Minimums(
        visibility_sm=visibility_sm, below_ft=500.0, above_ft=1_000.0, beside_ft=2_000.0
    )


_HIGH: Final = Minimums(
    visibility_sm=5.0, below_ft=1_000.0, above_ft=1_000.0, beside_ft=1.0 * FT_PER_SM
)


def basic_minimums(
    airspace_class: str, *, msl_ft: float, agl_ft: float, night: bool
) -> Minimums | None:
    """The row of the table for one place and light; None where visual flight has no row.

    References
    ----------
    [14CFR91.155]_ (a), table. Class A: 14 CFR 91.135, from memory.
    """
    match airspace_class:
        case "B":
            return Minimums(visibility_sm=3.0)
        case "C" | "D":
            return _off_clouds(3.0)
        case "E":
            return _HIGH if msl_ft >= HIGH_MSL_FT else _off_clouds(3.0)
        case "G" if agl_ft <= LOW_AGL_FT:
            return _off_clouds(3.0) if night else Minimums(visibility_sm=1.0)
        case "G":
            return _HIGH if msl_ft >= HIGH_MSL_FT else _off_clouds(3.0 if night else 1.0)
    return None
