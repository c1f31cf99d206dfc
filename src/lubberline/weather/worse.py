"""The worse of two conditions, element by element; what one of them does not know is unknown."""

from lubberline.weather.model import Conditions, Wind


def worse(first: Conditions, second: Conditions) -> Conditions:
    """Lower visibility, lower ceiling, stronger wind, all weather, over the span of both.

    Where the winds differ in direction the result is variable: whichever direction lies
    worse for a runway, or any between, has to be reckoned with at the full speed.
    """
    return Conditions(
        from_utc=max(first.from_utc, second.from_utc),
        until_utc=min(first.until_utc, second.until_utc),
        wind=_worse_wind(first.wind, second.wind),
        visibility_sm=least(first.visibility_sm, second.visibility_sm),
        ceiling_agl_ft=least(first.ceiling_agl_ft, second.ceiling_agl_ft),
        text="; ".join(dict.fromkeys((first.text, second.text))),
        weather=tuple(dict.fromkeys((*first.weather, *second.weather))),
        visibility_is_least=_is_least(first, second),
    )


def _is_least(first: Conditions, second: Conditions) -> bool:
    """Whether the lower visibility is only a least one; of two equal ones, if both are."""
    lower_sm = least(first.visibility_sm, second.visibility_sm)
    lower = [one for one in (first, second) if one.visibility_sm == lower_sm]
    return lower_sm is not None and all(one.visibility_is_least for one in lower)


def _worse_wind(first: Wind | None, second: Wind | None) -> Wind | None:
    if first is None or second is None:
        return None
    if 0.0 in {first.worst_kt, second.worst_kt}:
        return first if second.worst_kt == 0.0 else second
    same = (first.from_true_deg, first.between_true_deg) == (
        second.from_true_deg,
        second.between_true_deg,
    )
    mean_kt, worst_kt = max(first.mean_kt, second.mean_kt), max(first.worst_kt, second.worst_kt)
    return Wind(
        from_true_deg=first.from_true_deg if same else None,
        mean_kt=mean_kt,
        gust_kt=worst_kt if worst_kt > mean_kt else None,
        between_true_deg=first.between_true_deg if same else None,
    )


def least(*values: float | None) -> float | None:
    """The lowest of the values; None if any of them is not known."""
    known = [value for value in values if value is not None]
    return min(known) if len(known) == len(values) else None
