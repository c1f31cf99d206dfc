"""Call signs, figures, heights and places as they are spoken on the air [AIM4-2]_."""

import re
from typing import Final

from lubberline.aircraft import Aircraft

_WORDS: Final = (  # AIM 4-2-7
    *("Alfa", "Bravo", "Charlie", "Delta", "Echo", "Foxtrot", "Golf", "Hotel", "India"),
    *("Juliett", "Kilo", "Lima", "Mike", "November", "Oscar", "Papa", "Quebec", "Romeo"),
    *("Sierra", "Tango", "Uniform", "Victor", "Whiskey", "X-ray", "Yankee", "Zulu"),
)
_LETTERS: Final = {word[0]: word for word in _WORDS}
_DIGITS: Final = (  # AIM 4-2-8
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "niner"),
)
_TOWARD: Final = (
    *("north", "northeast", "east", "southeast"),
    *("south", "southwest", "west", "northwest"),
)


def spoken_call_sign(aircraft: Aircraft) -> str:
    """Type and registration, without its N where a type is said: AIM 4-2-4.

    Examples
    --------
    A Heron 200 registered N123QX says "Heron One Two Three Quebec X-ray".
    """
    kind = aircraft.type_name.split()[0]
    registration = re.sub(r"[^A-Z0-9]", "", aircraft.call_sign.upper())
    if re.match(r"N\d", registration):
        registration = registration[1:]
    words = [_LETTERS.get(one) or _DIGITS[int(one)].capitalize() for one in registration]
    return " ".join([kind, *words])


def spoken_figures(figures: str) -> str:
    """Each figure by itself, a decimal as "point": AIM 4-2-8.

    Examples
    --------
    >>> spoken_figures("118.6")
    'one one eight point six'
    """
    return " ".join("point" if one == "." else _DIGITS[int(one)] for one in figures)


def spoken_height(msl_ft: float) -> str:
    """A height in hundreds, below 18,000 ft: AIM 4-2-9.

    Examples
    --------
    >>> spoken_height(12_500.0)
    'one two thousand five hundred'
    """
    thousands, hundreds = divmod(round(msl_ft / 100.0), 10)
    words = [f"{spoken_figures(str(thousands))} thousand"] if thousands else []
    words += [f"{_DIGITS[hundreds]} hundred"] if hundreds or not thousands else []
    return " ".join(words)


def spoken_place(away_nm: float, toward_deg: float, name: str) -> str:
    """So many miles in one of eight directions from a place.

    Examples
    --------
    >>> spoken_place(11.7, 228.0, "Marl")
    'one two miles southwest of Marl'
    """
    miles = max(1, round(away_nm))
    plural = "" if miles == 1 else "s"
    return f"{spoken_figures(str(miles))} mile{plural} {toward_words(toward_deg)} of {name}"


def toward_words(toward_deg: float) -> str:
    """One of eight directions.

    Examples
    --------
    >>> toward_words(350.0)
    'north'
    """
    return _TOWARD[round(toward_deg / 45.0) % 8]
