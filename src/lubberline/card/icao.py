"""Flight plan messages in the ICAO form, for the pilot to file by whatever service they use.

Nothing is filed by the program. Text is upper case letters, digits and the signs that the form
allows; what it cannot carry is refused by the number of its item, never altered silently.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from math import floor
from typing import Final

from lubberline.errors import LubberlineError

NOWHERE: Final = "ZZZZ"  # an aerodrome or type without a designator; item 18 then says which
# Indicators of item 18 in their order: [ICAO4444]_ appendix 3.
INDICATORS: Final = (
    *("STS", "PBN", "NAV", "COM", "DAT", "SUR", "DEP", "DEST", "DOF", "REG", "EET", "SEL", "TYP"),
    *("CODE", "DLE", "OPR", "ORGN", "PER", "ALTN", "RALT", "TALT", "RIF", "RMK"),
)
_FREE: Final = r"[A-Z0-9 .,'+/?]"  # hyphen and brackets begin and end fields
_RULES: Final = {
    "7": (r"[A-Z0-9]{2,7}", "2 to 7 letters and digits, no hyphen", "QHRN"),
    "8": (r"[IVYZ][SNGMX]?", "flight rules I, V, Y or Z and type S, N, G, M or X", "VG"),
    "9": (r"\d{0,2}[A-Z][A-Z0-9]{1,3}/[LMHJ]", "type designator / wake category", "ZZZZ/L"),
    "10": (r"(?:N|[A-Z0-9]+)/(?:N|[A-Z0-9]+)", "radio and navigation / surveillance", "SG/C"),
    "13": (r"[A-Z]{4}(?:[01]\d|2[0-3])[0-5]\d", "four letters and a time", "ZZZZ2040"),
    "15": (
        r"(?:N|K)\d{4}(?:VFR|[FA]\d{3}|[SM]\d{4})(?: [A-Z0-9/]+)+",
        "speed, level and route",
        "N0150VFR DCT",
    ),
    "16": (r"[A-Z]{4}\d\d[0-5]\d(?: [A-Z]{4}){0,2}", "four letters and a time", "ZZZZ0035"),
}
# Codes of items 10a and 10b (memory; S, A, B, D, F, G and A, C, B1, B2, U1, U2 read).
_RADIO: Final = "N|[SABCDFGHIKLORTUVWXYZ]|E[1-3]|J[1-7]|M[1-3]|P[1-9]"
_SURVEILLANCE: Final = "N|[ACEHILPSX]|[BUV][12]|[DG]1"
# A word of the route: DCT, VFR, IFR, a designator, a place by degrees, by minutes, or by bearing
# and distance; after a point, a change of speed and level.
_LEVEL: Final = r"(?:VFR|[FA]\d{3}|[SM]\d{4})"
_ROUTE_WORD: Final = re.compile(
    r"(?:[A-Z][A-Z0-9]{1,6}|\d\d[NS]\d{3}[EW]|\d{4}[NS]\d{5}[EW]|[A-Z]{2,5}\d{6})"
    rf"(?:/(?:[NK]\d{{4}}|M\d{{3}}){_LEVEL})?"
)
_SURVIVAL: Final = "PDMJ"  # polar, desert, maritime, jungle
_JACKETS: Final = "LFUV"  # light, fluorescein, UHF, VHF
_RADIOS: Final = "UVE"  # UHF 243.0, VHF 121.5, beacon


class BadMessage(LubberlineError):  # noqa: N818 - named after the message
    """A message that the form does not allow; ``problems`` name items, in their order."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("the flight plan cannot be written: " + "; ".join(self.problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplement:
    """Item 19: what searchers need. ``persons_count`` None is "to be notified".

    The endurance is written in whole minutes, rounded down.
    """

    endurance_min: float
    persons_count: int | None
    pilot: str
    colors: str
    radios: str = ""
    survival: str = ""
    jackets: str = ""
    dinghies: str = ""
    remarks: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightPlanForm:
    """Items 7 to 19 of a flight plan, as numbers and words.

    ``departure``, ``destination`` and ``alternates`` are four letters; any other name goes into
    item 18 by itself. ``route`` are designators or positions of ``position_text``; ``other`` is
    item 18 by indicator.
    """

    call_sign: str
    type_designator: str
    equipment: str
    surveillance: str
    departure: str
    off_block_utc: datetime
    true_airspeed_kt: float
    level: str
    route: tuple[str, ...]
    destination: str
    elapsed_min: float
    alternates: tuple[str, ...] = ()
    rules: str = "V"
    kind: str = "G"
    wake: str = "L"
    other: Mapping[str, str] = field(default_factory=dict)
    supplement: Supplement | None = None


def filed_plan(form: FlightPlanForm) -> str:
    """The FPL message.

    Raises
    ------
    BadMessage
        If an item is not what the form allows: all of them together.

    References
    ----------
    [ICAO4444]_ appendix 3: structure 3-7-8-9-10-13-15-16-18-19, rules of the fields.
    """
    form = _with_names_in_item_18(form)
    items = _items(form)
    problems = [*_wrong(items), *_unsaid(items, form.other), *_wrong_18(form.other)]
    if problems := [*problems, *_wrong_19(form.supplement)]:
        raise BadMessage(problems)
    supplement = "" if form.supplement is None else f"-{_item_19(form.supplement)}"
    seven, *rest = items.values()
    return f"(FPL-{seven}-{'-'.join(rest)}-{_item_18(form.other)}{supplement})"


def delay(form: FlightPlanForm, to_utc: datetime) -> str:
    """The DLA message: another off-block time for the plan that was filed."""
    return _short("DLA", form, f"{_place(form.departure)}{to_utc:%H%M}")


def cancellation(form: FlightPlanForm) -> str:
    """The CNL message."""
    return _short("CNL", form, f"{_place(form.departure)}{form.off_block_utc:%H%M}")


def change(form: FlightPlanForm, changed: FlightPlanForm) -> str:
    """The CHG message: every item of ``changed`` that differs from what was filed.

    Raises
    ------
    BadMessage
        If nothing differs, or if call sign, departure or destination do: those take a
        cancellation and a new plan.
    """
    before, after = _whole_items(form), _whole_items(changed)
    fixed = [item for item in ("7", "13", "16") if before[item][:4] != after[item][:4]]
    if fixed:
        raise BadMessage(f"item {item} cannot be changed: cancel and file anew" for item in fixed)
    differing = [item for item in after if before[item] != after[item]]
    if not differing:
        raise BadMessage(["nothing differs from what was filed"])
    filed_plan(changed)
    head = _short("CHG", form, f"{_place(form.departure)}{form.off_block_utc:%H%M}")
    return f"{head[:-1]}{''.join(f'-{item}/{after[item]}' for item in differing)})"


def position_text(lat_deg: float, lon_deg: float) -> str:
    """A place as degrees and minutes run together.

    >>> position_text(41.099, -130.515)
    '4106N13031W'
    """
    return f"{_minutes(lat_deg, 2, 'NS')}{_minutes(lon_deg, 3, 'EW')}"


def _minutes(angle_deg: float, digits: int, signs: str) -> str:
    whole, minutes = divmod(round(abs(angle_deg) * 60.0), 60)
    return f"{whole:0{digits}d}{minutes:02d}{signs[angle_deg < 0.0]}"


def _items(form: FlightPlanForm) -> dict[str, str]:
    route = " ".join([*(f"DCT {point}" for point in form.route), "DCT"])
    alternates = "".join(f" {_place(one)}" for one in form.alternates)
    return {
        "7": form.call_sign,
        "8": f"{form.rules}{form.kind}",
        "9": f"{form.type_designator}/{form.wake}",
        "10": f"{form.equipment}/{form.surveillance}",
        "13": f"{_place(form.departure)}{form.off_block_utc:%H%M}",
        "15": f"N{round(form.true_airspeed_kt):04d}{form.level} {route}",
        "16": f"{_place(form.destination)}{_hours_minutes(form.elapsed_min)}{alternates}",
    }


def _whole_items(form: FlightPlanForm) -> dict[str, str]:
    form = _with_names_in_item_18(form)
    supplement = {} if form.supplement is None else {"19": _item_19(form.supplement)}
    return _items(form) | {"18": _item_18(form.other)} | supplement


def _with_names_in_item_18(form: FlightPlanForm) -> FlightPlanForm:
    """Names that are not four letters, and the day of the flight, said in item 18."""
    other = {"DOF": f"{form.off_block_utc:%y%m%d}"} | dict(form.other)
    named = {"DEP": [form.departure], "DEST": [form.destination], "ALTN": [*form.alternates]}
    for indicator, places in named.items():
        if spoken := [one for one in places if _place(one) == NOWHERE and one != NOWHERE]:
            other.setdefault(indicator, " ".join(spoken))
    return replace(form, other=other)


def _place(name: str) -> str:
    return name if re.fullmatch("[A-Z]{4}", name) else NOWHERE


def _item_18(other: Mapping[str, str]) -> str:
    return " ".join(f"{one}/{other[one]}" for one in INDICATORS if one in other) or "0"


def _item_19(said: Supplement) -> str:
    persons = "TBN" if said.persons_count is None else f"{said.persons_count:03d}"
    parts = {
        "E": _hours_minutes(floor(said.endurance_min + 1e-6)),
        "P": persons,
        "R": said.radios,
        "S": said.survival,
        "J": said.jackets,
        "D": said.dinghies,
        "A": said.colors,
        "N": said.remarks,
        "C": said.pilot,
    }
    return " ".join(f"{letter}/{text}" for letter, text in parts.items() if text)


def _wrong(items: Mapping[str, str]) -> Iterator[str]:
    for item, text in items.items():
        pattern, expected, example = _RULES[item]
        if not re.fullmatch(pattern, text):
            yield f"item {item}: found {text!r}, expected {expected}; e.g. {example}"
    for word in items["15"].split(" ")[1:]:
        if not _ROUTE_WORD.fullmatch(word):
            expected = "DCT, a designator, or degrees and minutes"
            yield f"item 15, route: found {word!r}, expected {expected}; e.g. 4106N13031W"
    radio, _, surveillance = items["10"].partition("/")
    for name, letters, known in (("10a", radio, _RADIO), ("10b", surveillance, _SURVEILLANCE)):
        codes = re.findall(r"[A-Z]\d?|.", letters)
        unknown = [one for one in codes if not re.fullmatch(known, one)]
        if len(set(codes)) < len(codes) or ("N" in codes and len(codes) > 1) or unknown:
            yield f"item {name}: found {letters!r}, expected known codes, each once, N alone"


def _unsaid(items: Mapping[str, str], other: Mapping[str, str]) -> Iterator[str]:
    """What one item says that item 18 has to explain."""
    radio = items["10"].partition("/")[0]
    asked = (
        ("9", NOWHERE in items["9"], ("TYP",)),
        ("10a", "R" in radio, ("PBN",)),
        ("10a", "Z" in radio, ("COM", "NAV", "DAT")),
        ("13", items["13"].startswith(NOWHERE), ("DEP",)),
        ("16", items["16"].startswith(NOWHERE), ("DEST",)),
        ("16", f" {NOWHERE}" in items["16"], ("ALTN",)),
    )
    for item, said, indicators in asked:
        if said and not any(one in other for one in indicators):
            missing = "/ or ".join(indicators)
            yield f"item 18: found no {missing}/, expected it since item {item} asks for it"


def _wrong_18(other: Mapping[str, str]) -> Iterator[str]:
    for indicator, text in other.items():
        if indicator not in INDICATORS:
            yield f"item 18: found {indicator!r}, expected one of {', '.join(INDICATORS)}"
        elif not re.fullmatch(r"[A-Z0-9 .,'+?]+", text):
            yield f"item 18, {indicator}: found {text!r}, expected capital letters and digits"


def _wrong_19(said: Supplement | None) -> Iterator[str]:
    if said is None:
        return
    sets = {"R": (said.radios, _RADIOS), "S": (said.survival, _SURVIVAL)}
    sets["J"] = (said.jackets, _JACKETS)
    for letter, (text, allowed) in sets.items():
        if not set(text) <= set(allowed) or len(set(text)) < len(text):
            yield f"item 19, {letter}: found {text!r}, expected letters of {allowed}, each once"
    if said.persons_count is not None and not 1 <= said.persons_count <= 999:
        yield f"item 19, P: found {said.persons_count}, expected 1 to 999"
    for letter, text in {"A": said.colors, "C": said.pilot}.items():
        if not re.fullmatch(f"{_FREE}+", text):
            yield f"item 19, {letter}: found {text!r}, expected capital letters and digits"
    for letter, text in {"D": said.dinghies, "N": said.remarks}.items():
        if not re.fullmatch(f"{_FREE}*", text):
            yield f"item 19, {letter}: found {text!r}, expected capital letters and digits"


def _short(kind: str, form: FlightPlanForm, departure: str) -> str:
    form = _with_names_in_item_18(form)
    items = _items(form)
    if problems := [*_wrong(items), *_wrong_18(form.other)]:
        raise BadMessage(problems)
    other = {one: form.other[one] for one in ("DEP", "DEST", "DOF") if one in form.other}
    return f"({kind}-{form.call_sign}-{departure}-{_place(form.destination)}-{_item_18(other)})"


def _hours_minutes(elapsed_min: float) -> str:
    """Four figures, rounded to the nearest minute."""
    hours, left = divmod(round(elapsed_min), 60)
    return f"{hours:02d}{left:02d}"
