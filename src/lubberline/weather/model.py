"""Wind, reports, forecasts and winds aloft, as they hold at a place and a time.

Values only; ``report`` reads them from METAR and TAF text. Directions are true and say where
the wind comes from, as in the texts. Anything that was not reported is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import LubberlineError, RangeError, ShapeError
from lubberline.weather.advice import Area, Notice, PilotReport


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Direction it blows from, mean speed, and gust speed where one was given.

    ``from_true_deg`` None is a variable wind: any direction has to be reckoned with.
    ``between_true_deg`` is the range, clockwise from its first to its second direction,
    where the text gives one beside the mean direction (180V260).
    """

    from_true_deg: float | None
    mean_kt: float
    gust_kt: float | None = None
    between_true_deg: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        """A gust below the mean is a misread report."""
        if self.gust_kt is not None and self.gust_kt < self.mean_kt:
            raise RangeError(
                f"gust_kt is {self.gust_kt:g} kt but mean_kt is {self.mean_kt:g} kt;"
                " a gust is at least the mean wind"
            )

    @property
    def worst_kt(self) -> float:
        """The gust where there is one, else the mean."""
        return self.mean_kt if self.gust_kt is None else self.gust_kt


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What holds at one place over one span of time, and the text that says so.

    ``ceiling_agl_ft`` is the lowest broken or overcast layer or vertical visibility;
    infinite when the text says that there is none, None when it does not say. ``weather``
    holds the weather groups as coded: ("-RA", "BR"). ``visibility_is_least``: it is that far or
    farther (P6SM, 9999).
    """

    from_utc: datetime
    until_utc: datetime
    wind: Wind | None
    visibility_sm: float | None
    ceiling_agl_ft: float | None
    text: str
    weather: tuple[str, ...] = ()
    visibility_is_least: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One METAR or SPECI: what was observed at a station.

    ``undecoded`` holds the groups that were not understood; an element is None rather than
    guessed where one of them may have said something else. ``text`` is the whole report.
    """

    station: str
    observed_utc: datetime
    wind: Wind | None
    visibility_sm: float | None
    ceiling_agl_ft: float | None
    temperature_degc: float | None
    dewpoint_degc: float | None
    altimeter_inhg: float | None
    text: str
    weather: tuple[str, ...] = ()
    undecoded: tuple[str, ...] = ()
    visibility_is_least: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """One TAF: prevailing spans in order, and temporary or probable ones apart.

    The prevailing spans fill the validity without gap or overlap; a canceled forecast has
    none. Temporary spans are cut where the prevailing ones change.
    """

    station: str
    issued_utc: datetime
    valid_from_utc: datetime
    valid_until_utc: datetime
    prevailing: tuple[Conditions, ...]
    temporary: tuple[Conditions, ...]
    text: str
    undecoded: tuple[str, ...] = ()


class UnreadableText(LubberlineError):  # noqa: N818 - named after the text, not the event
    """A weather text that is not what it should be, and why."""

    def __init__(self, text: str, reason: str) -> None:
        self.text = text
        self.reason = reason
        super().__init__(f"{text!r}: {reason}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A piece of a weather text that was not read: where it stands, and why."""

    line: int
    text: str
    reason: str

    def __str__(self) -> str:
        """One line: place, text, reason."""
        return f"line {self.line}: {self.text!r}: {self.reason}"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class WindsAloft:
    """Wind and temperature by height; columns of shape (m,), heights ascending.

    Between heights the east and north components are interpolated; outside, the nearest
    height holds. Empty columns mean that nothing is known; a temperature that is not known
    is NaN.
    """

    msl_ft: FloatArray
    from_true_deg: FloatArray
    wind_kt: FloatArray
    oat_degc: FloatArray

    def __post_init__(self) -> None:
        """Copy and lock the columns, then hold them to what the docstring says."""
        for field in fields(self):
            column = np.array(getattr(self, field.name), dtype=np.float64)
            column.flags.writeable = False
            object.__setattr__(self, field.name, column)
        shapes = {field.name: getattr(self, field.name).shape for field in fields(self)}
        if len(set(shapes.values())) != 1 or self.msl_ft.ndim != 1:
            raise ShapeError(f"columns of winds aloft must share one 1-d shape, got {shapes}")
        if not (np.diff(self.msl_ft) > 0.0).all():
            heights = ", ".join(f"{height:g}" for height in self.msl_ft)
            raise ShapeError(f"heights of winds aloft must ascend, each once, got {heights} ft")


@dataclass(frozen=True, slots=True, kw_only=True)
class AloftStation:
    """One row of a table of winds aloft, as it stands and decoded.

    The place is None where nobody knows the station. ``open_msl_ft`` are the heights at which
    the wind is only known to be 199 kt or more, ``light_msl_ft`` those at which it is light and
    variable (0 kt in ``winds``), ``undecoded`` the groups that were not understood: they are NaN.
    """

    name: str
    winds: WindsAloft
    text: str
    lat_deg: float | None = None
    lon_deg: float | None = None
    open_msl_ft: tuple[float, ...] = ()
    light_msl_ft: tuple[float, ...] = ()
    undecoded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AloftTable:
    """One table of winds aloft: when it was made, for which time, and when it is for use."""

    valid_utc: datetime
    use_from_utc: datetime
    use_until_utc: datetime
    stations: tuple[AloftStation, ...]
    text: str
    based_utc: datetime | None = None
    undecoded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """All the weather a flight was given, and what of it was not read.

    ``aloft`` is what holds for this flight, from the pilot's own rows or from ``tables``.
    """

    reports: Mapping[str, Report]
    forecasts: Mapping[str, Forecast]
    aloft: WindsAloft
    unread: tuple[Unread, ...] = ()
    tables: tuple[AloftTable, ...] = ()
    pilot_reports: tuple[PilotReport, ...] = ()
    areas: tuple[Area, ...] = ()
    notices: tuple[Notice, ...] = ()
