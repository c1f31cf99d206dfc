"""Whether a special clearance for flight by sight could be asked for [14CFR91.157]_.

It is the controller's to give, and some airports have none; nothing here counts on it.
"""

from typing import Final

from lubberline.fit.field_weather import FieldWeather

LEAST_SM: Final = 1.0  # [14CFR91.157]_ (b)(3) and (c)
BELOW_MSL_FT: Final = 10_000.0  # same, (a)
SOURCE: Final = "14 CFR 91.157, read 2026-11-25"
NOT_EVERYWHERE: Final = "part 91 appendix D section 3 lists airports without it (not looked at)"


def special_words(field: FieldWeather) -> str:
    """In words, for a surface area that is below its basic minimums."""
    seen_sm = None if field.conditions is None else field.conditions.visibility_sm
    if field.elev_msl_ft >= BELOW_MSL_FT:
        return f"no special clearance at or above 10,000 ft ({SOURCE})"
    if seen_sm is None:
        return f"whether a special clearance could be asked for is open: no visibility ({SOURCE})"
    if seen_sm < LEAST_SM:
        return f"below a special clearance too, which takes {LEAST_SM:g} SM ({SOURCE})"
    if field.night and field.instrument_rated is False:
        return f"no special clearance by night without an instrument rating ({SOURCE})"
    by_night = ""
    if field.night:
        rating = "" if field.instrument_rated else "an instrument rating and "
        by_night = f", by night only with {rating}an airplane equipped as 91.205(d) asks"
    return (
        f"a special clearance could be asked for: 1 SM, clear of clouds{by_night}"
        f" ({SOURCE}; {NOT_EVERYWHERE})"
    )
