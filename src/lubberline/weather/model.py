"""Wind, reports, forecasts and winds aloft, as they hold at a place and a time.

Values only; ``report`` reads them from METAR and TAF text. Directions are true and say where
the wind comes from, as in the texts. Anything that was not reported is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Direction it blows from, mean speed, and gust speed where one was given.

    ``from_true_deg`` None is a variable wind: any direction has to be reckoned with.
    """

    from_true_deg: float | None
    mean_kt: float
    gust_kt: float | None = None

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
    infinite when the text says that there is none, None when it does not say.
    """

    from_utc: datetime
    until_utc: datetime
    wind: Wind | None
    visibility_sm: float | None
    ceiling_agl_ft: float | None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One METAR or SPECI: what was observed at a station."""

    station: str
    observed_utc: datetime
    wind: Wind | None
    visibility_sm: float | None
    ceiling_agl_ft: float | None
    temperature_degc: float | None
    dewpoint_degc: float | None
    altimeter_inhg: float | None
    text: str
    undecoded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """One TAF: prevailing spans in order, and temporary or probable ones apart."""

    station: str
    issued_utc: datetime
    valid_from_utc: datetime
    valid_until_utc: datetime
    prevailing: tuple[Conditions, ...]
    temporary: tuple[Conditions, ...]
    text: str


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class WindsAloft:
    """Wind and temperature by height; columns of shape (m,), heights ascending.

    Between heights the east and north components are interpolated; outside, the nearest
    height holds. Empty columns mean that nothing is known.
    """

    msl_ft: FloatArray
    from_true_deg: FloatArray
    wind_kt: FloatArray
    oat_degc: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """All the weather a flight was given."""

    reports: Mapping[str, Report]
    forecasts: Mapping[str, Forecast]
    aloft: WindsAloft
