"""The coded groups of a report, made of the words for one item each [AIM-7-1]_.

Small letters, spoken numbers in figures. What is not understood is refused with what is expected.
"""

import re
from datetime import datetime
from fractions import Fraction
from typing import Final, TypeAlias

from lubberline.earth import variation_deg
from lubberline.weather.groups import read_groups

Field: TypeAlias = tuple[str, float, float]  # identifier, latitude and longitude [deg]

_FILLERS: Final = re.compile(r"\b(?:degrees|knots?|kt|from|at|to|celsius|feet|ft|agl|and)\b|[,;.]$")
_WIND: Final = re.compile(
    r"(?P<from>[0-9]{1,3}|variable|vrb)[ /]+(?P<mean>[0-9]{1,3})"
    r"(?: gust(?:s|ing)? ?(?P<gust>[0-9]{1,3}))?"
    r"(?: vari(?:able|es) between (?P<low>[0-9]{1,3}) (?P<high>[0-9]{1,3}))?"
)
_SEEN: Final = re.compile(
    r"(?P<bound>more than |greater than |less than )?"
    r"(?:(?P<whole>[0-9]{1,2}(?:\.[0-9]+)?)(?: (?P<part>[0-9]{1,2}/[0-9]{1,2}))?"
    r"|(?P<alone>[0-9]{1,2}/[0-9]{1,2}))"
    r" ?(?:miles?|sm)?(?P<more> or more)?"
)
_METRIC: Final = re.compile(r"([0-9]{1,5}) ?(?:m|meters|metres)|([0-9]{1,2}) ?(?:km|kilometers)")
_AMOUNTS: Final = {"few": "FEW", "scattered": "SCT", "broken": "BKN", "overcast": "OVC"} | {
    "sct": "SCT",
    "bkn": "BKN",
    "ovc": "OVC",
    "vertical visibility": "VV",
    "indefinite": "VV",
}
_AMOUNT: Final = "|".join(_AMOUNTS)
_LAYER: Final = re.compile(rf"(?:(?P<a>{_AMOUNT}) )?(?P<ft>[0-9]{{1,5}})(?: (?P<b>{_AMOUNT}))?")
_CLEAR: Final = re.compile(r"(?:sky )?(?:clear|clr|none)(?: below 12000)?")
_WORDS: Final = {
    "thunderstorms?": "TS",
    "freezing": "FZ",
    "blowing": "BL",
    "shallow": "MI",
    "patches": "BC",
    "showers?": "SH",
    "drizzle": "DZ",
    "rain": "RA",
    "snow": "SN",
    "ice pellets": "PL",
    "hail": "GR",
    "mist": "BR",
    "fog": "FG",
    "haze": "HZ",
    "smoke": "FU",
    "dust": "DU",
    "sand": "SA",
    "squalls?": "SQ",
    "volcanic ash": "VA",
    "in the vicinity": "VC",
}
_ORDER: Final = ("VC", "MI", "BC", "BL", "SH", "TS", "FZ")


class NotUnderstood(Exception):  # noqa: N818 - a problem in the making
    """Words that make no group; the text says what is expected instead."""


def _plain(said: str) -> str:
    return " ".join(_FILLERS.sub(" ", said).split())


def wind_group(said: str, field: Field | None, at_utc: datetime) -> str:
    """Wind; a direction is magnetic unless it is said to be true."""
    is_true = re.search(r"\btrue\b", said) is not None
    plain = _plain(re.sub(r"\b(?:true|magnetic)\b", " ", said))
    if plain == "calm":
        return "00000KT"
    match = _WIND.fullmatch(plain)
    directions = [match[name] for name in ("from", "low", "high")] if match else []
    angles = [int(one) for one in directions if one and one.isdigit()]
    if match is None or any(angle > 360 for angle in angles):
        raise NotUnderstood(
            "calm, variable at a speed, or a direction to 360 at a speed [kt], and gusts"
        )
    mean, gust = int(match["mean"]), int(match["gust"] or match["mean"])
    if gust < mean or gust > 199:
        raise NotUnderstood("speeds up to 199 kt, the gust at least the mean")
    turned_deg = 0.0
    if field is not None and not is_true:
        turned_deg = float(variation_deg(field[1], field[2], 0.0, at_utc))
    true = [f"{(round(angle + turned_deg) - 1) % 360 + 1:03d}" for angle in angles]
    start = true.pop(0) if match["from"].isdigit() else "VRB"
    gusts = f"G{gust:02d}" if match["gust"] else ""
    return f"{start}{mean:02d}{gusts}KT" + (f" {true[0]}V{true[1]}" if len(true) == 2 else "")


def visibility_group(said: str) -> str:
    """Visibility in miles and fractions, or in meters."""
    said = said.strip(" .")
    metric = _METRIC.fullmatch(said)
    if metric is not None:
        seen_m = int(metric[1] or 0) + int(metric[2] or 0) * 1000
        return f"{min(seen_m, 9999):04d}"
    match = _SEEN.fullmatch(said)
    expected = "statute miles and fractions down to sixteenths, or meters with m"
    if match is None:
        raise NotUnderstood(expected)
    try:
        seen_sm = sum(
            (Fraction(match[name] or 0) for name in ("whole", "part", "alone")), Fraction()
        )
    except ZeroDivisionError as exc:
        raise NotUnderstood(expected) from exc
    whole, rest = divmod(seen_sm, 1)
    if 16 % rest.denominator or seen_sm > 99:
        raise NotUnderstood(expected)
    bound = match["bound"] or ""
    sign = "P" if match["more"] or bound.startswith(("more", "greater")) else "M" if bound else ""
    parts = [f"{whole}"] if whole or not rest else []
    return sign + " ".join([*parts, *([f"{rest}"] if rest else [])]) + "SM"


def weather_group(said: str) -> str:
    """Weather, several kinds apart by commas."""
    if said in {"none", "nothing"}:
        return ""
    return " ".join(_one_weather(part.strip()) for part in re.split(r",|\band\b|\bwith\b", said))


def _one_weather(said: str) -> str:
    """One group: strength, then description, then what falls or hangs in the air."""
    rest, sign = re.subn(r"\b(?:light|moderate|heavy)\b", " ", said)[0], ""
    if re.search(r"\b(?:light|heavy)\b", said):
        sign = "-" if "light" in said else "+"
    codes = []
    for words, code in _WORDS.items():
        rest, count = re.subn(rf"\b{words}\b", " ", rest)
        codes += [code] if count else []
    codes.sort(key=lambda code: _ORDER.index(code) if code in _ORDER else len(_ORDER))
    group = sign + "".join(codes) if codes and not rest.strip() else said.upper()
    if " " in group or group not in read_groups([group]).weather:
        raise NotUnderstood(
            "words such as heavy rain showers, mist, or a group such as -RA; none for none"
        )
    return group


def clouds_group(said: str) -> str:
    """Layers, lowest first as they are said."""
    if _CLEAR.fullmatch(_plain(said)):
        return "CLR"
    parts = [_plain(part) for part in re.split(r",|\bthen\b", said)]
    return " ".join(_layer(part) for part in parts)


def _layer(said: str) -> str:
    """One layer; a ceiling without an amount counts as broken."""
    match = _LAYER.fullmatch(said)
    if match is None or (match["a"] and match["b"]) or int(match["ft"]) % 100:
        raise NotUnderstood("clear, or few, scattered, broken or overcast with feet in hundreds")
    amount = _AMOUNTS[match["a"] or match["b"] or "broken"]
    return f"{amount}{int(match['ft']) // 100:03d}"


def degrees_group(said: str) -> str:
    """One temperature."""
    match = re.fullmatch(r"(-|m)?([0-9]{1,2})", _plain(said))
    if match is None or not -90 <= int(match[2]) * (-1 if match[1] else 1) <= 60:
        raise NotUnderstood("whole degrees Celsius from -90 to 60")
    return f"{'M' if match[1] else ''}{int(match[2]):02d}"


def altimeter_group(said: str) -> str:
    """Altimeter setting in inches or hectopascals."""
    figures_only = re.fullmatch(r"([0-9]{2})\.?([0-9]{2})(?: ?(?:in|inhg|inches))?", said)
    if figures_only and 2500 <= int(figures_only[1] + figures_only[2]) <= 3200:
        return f"A{figures_only[1]}{figures_only[2]}"
    hectopascals = re.fullmatch(r"([0-9]{3,4})(?: ?(?:hpa|hectopascals?|millibars?|mb))?", said)
    if hectopascals is None or not 850 <= int(hectopascals[1]) <= 1083:
        raise NotUnderstood("inches from 25.00 to 32.00, or hectopascals from 850 to 1083")
    return f"Q{int(hectopascals[1]):04d}"
