"""The coded groups that METAR and TAF share: wind, visibility, weather, sky, temperature, pressure.

Clouds, vertical visibility and weather are read by the metar_taf_parser library, group by group.
The rest is read here, because the library drops what it cannot read without a word and misreads
some groups (``docs/science/weather.md`` lists which). A group that is not understood as a
whole goes to ``undecoded``. Nothing is guessed from half a group, and two groups that contradict
each other leave their element unknown.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import inf
from typing import Any, Final

from lubberline.errors import RangeError
from lubberline.units import HPA_PER_INHG, KT_PER_KMH, KT_PER_MPS, SM_PER_M
from lubberline.weather.model import UnreadableText, Wind
from lubberline.weather.worse import least

OK_CEILING_AGL_FT: Final = 5_000.0  # all that CAVOK and NSC promise: [WMO306]_, 15.10, memory
MOST_GROUPS_COUNT: Final = 400  # own: several times the longest report
TEN_KM_SM: Final = 10_000.0 * SM_PER_M  # 9999 and CAVOK: 10 km or more, same

_MOST_WIND_KT: Final = 300.0  # own: above every wind reported
_LEAST_DEGC: Final = -90.0  # own: beyond every temperature reported
_MOST_DEGC: Final = 60.0
_KT_PER_UNIT: Final = {"KT": 1.0, "MPS": KT_PER_MPS, "KMH": KT_PER_KMH}
_WIND: Final = re.compile(
    r"(?P<toward>\d{3}|VRB|///)(?P<mean>P?\d{2,3}|//)(?:G(?P<gust>P?\d{2,3}))?(?P<unit>KT|MPS|KMH)"
    r"(?: (?P<low>\d{3})V(?P<high>\d{3}))?",
    re.ASCII,
)
_MILES: Final = re.compile(
    r"[PM]?(?:(?P<whole>\d{1,3})(?= |SM) ?)?(?:(?P<top>\d{1,2})/(?P<bottom>\d{1,2}))?SM", re.ASCII
)
_METERS: Final = re.compile(r"(\d{4})(?:NDV)?", re.ASCII)
_TEMPERATURES: Final = re.compile(r"(M?\d{2}|//)?/(M?\d{2}|//)?", re.ASCII)
_PRESSURE: Final = re.compile(r"([AQ])(\d{4}|////)", re.ASCII)
_LAYER: Final = re.compile(r"(?:FEW|SCT|BKN|OVC|SKC|CLR|NSC|VV)(?:\d{3}|///)?[A-Z/]{0,3}", re.ASCII)
_NO_LAYER: Final = re.compile(r"/{6}(?:/{3}|CB|TCU)?|///\d{3}(?:/{3}|CB|TCU)?", re.ASCII)
_WEATHER: Final = re.compile(r"(?:[-+]|VC)?[A-Z]{2,8}", re.ASCII)
# Groups that are understood and say nothing that has a number here; the text keeps them.
_SEEN: Final = re.compile(
    r"AUTO|COR|CC[A-Z]|AMD|NOSIG"
    r"|R\d{2}[LCR]?/(?:////|[PM]?\d{4}(?:V[PM]?\d{4})?)(?:FT)?/?[UDN]?"  # runway visual range
    r"|R\d{2}[LCR]?/(?:CLRD(?://|\d{2})|[\d/]{6})"  # state of the runway
    r"|\d{4}(?:N|NE|E|SE|S|SW|W|NW)"  # lowest visibility, where it differs by direction
    r"|WS\d{3}/(?:\d{3}|VRB)\d{2,3}(?:G\d{2,3})?KT"  # wind shear above the surface
    r"|RE[A-Z]{2,8}|W(?:M?\d{2}|//)/[SH][\d/]{1,3}|T[XN]M?\d{2}/\d{4}Z|[56]\d{5}|QNH\d{4}INS",
    re.ASCII,
)
_MAY_SAY_MORE: Final = re.compile(r"\d|//|FEW|SCT|BKN|OVC|VV")
_NOT_SKY: Final = re.compile(r"^(?:R\d\d|W[S\d]|QNH|T[XN])|(?:KT|MPS|KMH|SM)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Elements:
    """What a run of groups says. ``named`` holds the fields that it speaks of at all.

    A field that is named and None was reported as not known, or twice and differently; the
    groups that named one again are in ``repeated``.
    """

    named: frozenset[str] = frozenset()
    wind: Wind | None = None
    visibility_sm: float | None = None
    visibility_is_least: bool = False
    ceiling_agl_ft: float | None = None
    temperature_degc: float | None = None
    dewpoint_degc: float | None = None
    altimeter_inhg: float | None = None
    weather: tuple[str, ...] = ()
    undecoded: tuple[str, ...] = ()
    repeated: tuple[str, ...] = ()

    @property
    def doubtful(self) -> bool:
        """Whether an undecoded group may have named any element."""
        return any(_MAY_SAY_MORE.search(group) for group in self.undecoded)


def one_line(text: str) -> str:
    """The groups of a report or forecast in capitals, one space apart, without the end mark.

    Raises
    ------
    UnreadableText
        If there are more groups than any report has.
    """
    groups = text.upper().replace("=", " ").split()
    if len(groups) > MOST_GROUPS_COUNT:
        shown = " ".join([*groups[:6], "..."])
        raise UnreadableText(shown, f"{len(groups)} groups are more than one report has")
    return " ".join(groups)


def read_groups(groups: Sequence[str]) -> Elements:
    """What the groups of one report or one part of a forecast say together [AIM-7-1]_.

    The ceiling is the lowest broken or overcast layer or vertical visibility, infinite where
    the sky is described without one, and None where any group that may be a cloud layer was
    not understood. "More than" and "less than" (P6SM, M1/4SM, 9999) give the printed number; of
    more than it ``visibility_is_least`` tells.
    """
    said = Elements()
    for group in _joined(groups):
        part = _read_group(group)
        if part is None:
            said = replace(said, undecoded=(*said.undecoded, group))
        else:
            said = _and(said, part, group)
    if any(_MAY_SAY_MORE.search(g) and not _NOT_SKY.search(g) for g in said.undecoded):
        said = replace(said, ceiling_agl_ft=None)
    return said


def _joined(groups: Iterable[str]) -> Iterator[str]:
    """The groups, with "1 1/2SM" and "24008KT 180V260" as one each."""
    waiting: str | None = None
    for group in groups:
        if waiting is not None and _belongs(waiting, group):
            yield f"{waiting} {group}"
            waiting = None
            continue
        if waiting is not None:
            yield waiting
        waiting = group
    if waiting is not None:
        yield waiting


def _belongs(first: str, second: str) -> bool:
    if re.fullmatch(r"[PM]?\d{1,2}", first, re.ASCII):
        return re.fullmatch(r"\d{1,2}/\d{1,2}SM", second, re.ASCII) is not None
    varies = re.fullmatch(r"\d{3}V\d{3}", second, re.ASCII) is not None
    return varies and _WIND.fullmatch(first) is not None


def _and(said: Elements, part: Elements, group: str) -> Elements:
    """Both together; what is named again and differently is unknown. Layers and weather add up."""
    values = {name: getattr(part, name) for name in part.named}
    if {"ceiling_agl_ft"} <= said.named & part.named:
        values["ceiling_agl_ft"] = least(said.ceiling_agl_ft, part.ceiling_agl_ft)
    if {"weather"} <= said.named & part.named:
        values["weather"] = (*said.weather, *part.weather)
    again = (said.named & part.named) - {"ceiling_agl_ft", "weather", "visibility_is_least"}
    if again:
        values |= dict.fromkeys(again)
        values["undecoded"] = (*said.undecoded, group)
        values["repeated"] = (*said.repeated, group)
    return replace(said, named=said.named | part.named, **values)


def _read_group(group: str) -> Elements | None:
    """What one group says; None if it is not understood as a whole."""
    if group == "CAVOK":
        sky = _named(ceiling_agl_ft=OK_CEILING_AGL_FT, weather=())
        return _and(_seen(TEN_KM_SM, is_least=True), sky, group)
    if _SEEN.fullmatch(group):
        return Elements()
    readers = (_wind, _visibility, _sky, _temperatures, _altimeter, _present_weather)
    return next((part for read in readers if (part := read(group)) is not None), None)


def _named(**values: Any) -> Elements:
    return Elements(named=frozenset(values), **values)


def _wind(group: str) -> Elements | None:
    match = _WIND.fullmatch(group)
    if match is None:
        return None
    if match["mean"] == "//":
        return _named(wind=None)
    kt_per_unit = _KT_PER_UNIT[match["unit"]]
    mean_kt, gust_kt = (
        None if speed is None else float(speed.removeprefix("P")) * kt_per_unit
        for speed in (match["mean"], match["gust"])
    )
    toward = match["toward"]
    directions_deg = [
        float(text) for text in (toward, match["low"], match["high"]) if _digits(text)
    ]
    if mean_kt is None or max(directions_deg, default=0.0) > 360.0:
        return None
    if max(mean_kt, gust_kt or 0.0) > _MOST_WIND_KT:
        return None
    try:
        wind = Wind(
            from_true_deg=float(toward) if _digits(toward) else None,
            mean_kt=mean_kt,
            gust_kt=gust_kt,
            between_true_deg=(directions_deg[-2], directions_deg[-1]) if match["low"] else None,
        )
    except RangeError:  # a gust below the mean
        return None
    return _named(wind=wind)


def _digits(text: str | None) -> bool:
    return text is not None and text.isdigit()


def _visibility(group: str) -> Elements | None:
    if group in {"////", "////SM", "////NDV"}:
        return _seen(None)
    if (meters := _METERS.fullmatch(group)) is not None:
        far = meters[1] == "9999"
        return _seen(TEN_KM_SM if far else float(meters[1]) * SM_PER_M, is_least=far)
    miles = _MILES.fullmatch(group)
    if miles is None or not (miles["whole"] or miles["top"]):
        return None
    top, bottom = int(miles["top"] or 0), int(miles["bottom"] or 1)
    if top >= bottom:
        return None
    seen_sm = int(miles["whole"] or 0) + top / bottom
    return _seen(seen_sm, is_least=group.startswith("P"))


def _seen(visibility_sm: float | None, *, is_least: bool = False) -> Elements:
    return _named(visibility_sm=visibility_sm, visibility_is_least=is_least)


def _temperatures(group: str) -> Elements | None:
    match = _TEMPERATURES.fullmatch(group)
    if match is None or not (match[1] or match[2]):
        return None
    air_degc, dew_degc = (_whole_degc(text) for text in match.groups())
    if not all(
        _LEAST_DEGC <= degc <= _MOST_DEGC for degc in (air_degc, dew_degc) if degc is not None
    ):
        return None
    return _named(temperature_degc=air_degc, dewpoint_degc=dew_degc)


def _whole_degc(text: str | None) -> float | None:
    if text is None or text == "//":
        return None
    return float(text.replace("M", "-"))


def _altimeter(group: str) -> Elements | None:
    match = _PRESSURE.fullmatch(group)
    if match is None:
        return None
    if match[2] == "////":
        return _named(altimeter_inhg=None)
    inhg = float(match[2]) / 100.0 if match[1] == "A" else float(match[2]) / HPA_PER_INHG
    return _named(altimeter_inhg=inhg) if 25.0 <= inhg <= 32.0 else None


def _sky(group: str) -> Elements | None:
    """Ceiling that one sky group makes: infinite for none, None for one of unknown height."""
    if group == "NCD":
        return _named(ceiling_agl_ft=inf)
    if group == "VV///" or _NO_LAYER.fullmatch(group):
        return _named(ceiling_agl_ft=None)
    if not _LAYER.fullmatch(group):
        return None
    layers, vertical_ft = _library_sky(group)
    if vertical_ft is not None:
        return _named(ceiling_agl_ft=float(vertical_ft))
    if len(layers) != 1:
        return None
    amount, base_agl_ft = layers[0]
    if amount in {"BKN", "OVC"}:
        return _named(ceiling_agl_ft=base_agl_ft)
    if amount in {"SKC", "CLR", "NSC"} and base_agl_ft is not None:
        return None
    return _named(ceiling_agl_ft=OK_CEILING_AGL_FT if amount == "NSC" else inf)


def _present_weather(group: str) -> Elements | None:
    if group in {"NSW", "//"}:
        return _named(weather=())
    if group == "VCSH" or (_WEATHER.fullmatch(group) and _library_knows_weather(group)):
        return _named(weather=(group,))
    return None


@cache
def _library() -> Any:
    from metar_taf_parser.parser.parser import MetarParser

    return MetarParser()


def _library_sky(group: str) -> tuple[list[tuple[str, float | None]], float | None]:
    """Layers as (amount, base [ft]) and vertical visibility [ft], as the library reads them."""
    from metar_taf_parser.model.model import Metar

    container = Metar()
    _library().general_parse(container, group)
    layers = [(cloud.quantity.value, cloud.height) for cloud in container.clouds]
    return [(a, None if b is None else float(b)) for a, b in layers], container.vertical_visibility


def _library_knows_weather(group: str) -> bool:
    from metar_taf_parser.model.model import Metar

    container = Metar()
    _library().general_parse(container, group)
    return bool(container.weather_conditions)
