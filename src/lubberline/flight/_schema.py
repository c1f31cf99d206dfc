"""The form of ``flight.toml``, and what makes each part of it impossible by itself.

Private to the reader in ``file``. Whether the names in it exist is asked of the other files.
"""

from typing import Annotated, Any

from pydantic import AwareDatetime, Field, Strict, ValidationInfo, field_validator

from lubberline.flight._cost_schema import CostForm
from lubberline.flight._filing_schema import FilingForm
from lubberline.flight._route_schema import SearchForm, WayForm
from lubberline.flight._watch_schema import WatchForm
from lubberline.flight.model import Hire
from lubberline.measured import Measured, written_in
from lubberline.pilot import FlownAs
from lubberline.tomlfile import Location, refusal

FileName = Annotated[str, Field(pattern=r"^[\w-][\w.-]*$")]
Time = Annotated[AwareDatetime, Strict()]  # a number is no time
_ONCE = {"way": "name", "wind_aloft": "msl_ft"}


class WindAloftForm(Measured):
    """Wind and temperature at one height."""

    msl_ft: Annotated[float, Field(ge=0, le=60_000, examples=[3000])]
    from_true_deg: Annotated[float, Field(ge=0, le=360, examples=[250])]
    wind_kt: Annotated[float, Field(ge=0, le=250, examples=[18])]
    oat_degc: Annotated[float, Field(ge=-90, le=60, examples=[8])]


class FlightForm(Measured):
    """The file format. Keys, units and bounds here are the pilot's contract."""

    title: Annotated[str, Field(min_length=1, examples=["'Wren Island to Marl'"])]
    departure: Annotated[str, Field(min_length=1, examples=["'QWRN'"])]
    destination: Annotated[str, Field(min_length=1, examples=["'QMRL'"])]
    off_block_utc: Annotated[Time, Field(examples=["2026-11-25T21:00:00Z"])]
    arrive_by_utc: Annotated[Time | None, Field(examples=["2026-11-25T22:15:00Z"])] = None
    closes_utc: Annotated[Time | None, Field(examples=["2026-11-26T01:00:00Z"])] = None
    aircraft: Annotated[FileName, Field(examples=["'heron'"])]
    standard: Annotated[FileName, Field(examples=["'commercial'"])] = "private"
    taxi_out_min: Annotated[float, Field(ge=0, le=120, examples=[8])]
    taxi_in_min: Annotated[float, Field(ge=0, le=120, examples=[5])]
    pattern_min: Annotated[float, Field(ge=0, le=60, examples=[3])] = 0.0
    carries_persons: Annotated[bool, Field(examples=["false"])] = False
    role: Annotated[FlownAs | None, Field(examples=["'command'"])] = None
    hire: Annotated[Hire | None, Field(examples=["'rental'"])] = None
    to_inspection: Annotated[bool, Field(examples=["false"])] = False
    night_landing: Annotated[bool, Field(examples=["false"])] = False
    flight_following: Annotated[bool, Field(examples=["true"])] = True
    departure_runway: Annotated[str | None, Field(examples=["'24'"])] = None
    destination_runway: Annotated[str | None, Field(examples=["'27'"])] = None
    load_lb: Annotated[
        dict[str, Annotated[float, written_in("lb"), Field(ge=0, le=5_000)]],
        Field(examples=["{ front = 175 }"]),
    ]
    fuel_gal: Annotated[
        dict[str, Annotated[float, written_in("gal"), Field(ge=0, le=1_000)]],
        Field(examples=["{ left = 20 }"]),
    ]
    alternates: Annotated[
        tuple[Annotated[str, Field(min_length=1)], ...], Field(examples=["['QSDG']"])
    ] = ()
    data_sets: Annotated[tuple[str, ...], Field(examples=["['all']"])] = ()
    weather: Annotated[FileName | None, Field(examples=["'weather.txt'"])] = None
    watch: WatchForm | None = None
    cost: CostForm | None = None
    filing: FilingForm | None = None
    wind_aloft: tuple[WindAloftForm, ...] = ()
    search: SearchForm | None = None
    way: Annotated[tuple[WayForm, ...], Field(validate_default=True)] = ()

    @field_validator("arrive_by_utc", "closes_utc")
    @classmethod
    def _after_leaving(cls, arrive_utc: Any, info: ValidationInfo) -> Any:
        """Nobody arrives before leaving."""
        off_block_utc = info.data.get("off_block_utc")
        if arrive_utc is not None and off_block_utc is not None and arrive_utc <= off_block_utc:
            raise ValueError(f"a time after off_block_utc, {off_block_utc}")
        return arrive_utc

    @field_validator("alternates")
    @classmethod
    def _elsewhere(cls, names: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        """An alternate is not the destination, and named once."""
        used = [info.data.get("destination"), *names]
        wrong: list[tuple[Location, Any, str]] = [
            ((index,), name, "an aerodrome that is neither the destination nor named above")
            for index, name in enumerate(names)
            if name in used[: index + 1]
        ]
        if wrong:
            raise refusal(wrong)
        return names

    @field_validator("watch")
    @classmethod
    def _overdue_after_leaving(
        cls, watch: WatchForm | None, info: ValidationInfo
    ) -> WatchForm | None:
        """Nobody is missed before leaving."""
        off_block_utc = info.data.get("off_block_utc")
        overdue_utc = watch.overdue_utc if watch is not None else None
        if off_block_utc is not None and overdue_utc is not None and overdue_utc <= off_block_utc:
            expected = f"a time after off_block_utc, {off_block_utc}"
            raise refusal([(("overdue_utc",), overdue_utc, expected)])
        return watch

    @field_validator("way")
    @classmethod
    def _some_way(cls, ways: tuple[WayForm, ...], info: ValidationInfo) -> tuple[WayForm, ...]:
        """A route of the pilot's own, or the wish that ways be found."""
        if not ways and info.data.get("search") is None:
            expected = "at least one [[way]], or a [search] table for ways to be found"
            raise refusal([((), None, expected)])
        return ways

    @field_validator("wind_aloft", "way")
    @classmethod
    def _each_once(cls, rows: tuple[Any, ...], info: ValidationInfo) -> tuple[Any, ...]:
        """One wind for a height, one way of a name."""
        key = _ONCE[str(info.field_name)]
        seen = [getattr(row, key) for row in rows]
        twice: list[tuple[Location, Any, str]] = [
            ((index, key), value, f"a {key} that is not used above")
            for index, value in enumerate(seen)
            if value in seen[:index]
        ]
        if twice:
            raise refusal(twice)
        return rows
