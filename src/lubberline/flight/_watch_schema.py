"""The form of ``[watch]`` in ``flight.toml``. Private to the reader in ``file``."""

from datetime import UTC, date
from typing import Annotated
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AwareDatetime, Field, Strict, field_validator

from lubberline.flight.watch import Beacon, BeaconKind, Watch
from lubberline.tomlfile import Schema


class BeaconForm(Schema):
    """A transmitter that helps to be found."""

    kind: Annotated[BeaconKind, Field(examples=["'ELT 406 MHz'"])]
    registered: Annotated[bool | None, Field(examples=["true"])] = None
    battery_until: Annotated[date | None, Strict(), Field(examples=["2029-06-30"])] = None


class WatchForm(Schema):
    """Who knows of the flight, when it is overdue, whom to call then, and what helps a search."""

    who: Annotated[str, Field(min_length=1, max_length=80, examples=["'Ada at the office'"])]
    phone: Annotated[str, Field(min_length=1, max_length=40, examples=["'000 0100'"])]
    call: Annotated[str, Field(min_length=1, max_length=120, examples=["'flight service'"])]
    overdue_min: Annotated[float | None, Field(ge=0, le=1_440, examples=[30])] = None
    overdue_utc: Annotated[
        Annotated[AwareDatetime, Strict()] | None, Field(examples=["2026-11-25T23:00:00Z"])
    ] = None
    persons_count: Annotated[int | None, Field(ge=1, le=1_000, examples=[1])] = None
    survival: Annotated[
        tuple[Annotated[str, Field(min_length=1, max_length=80)], ...],
        Field(examples=["['life vest']"]),
    ] = ()
    beacon: tuple[BeaconForm, ...] | None = None
    zone: Annotated[str, Field(examples=["'America/Anchorage'"])] = ""

    @field_validator("zone")
    @classmethod
    def _known(cls, name: str) -> str:
        """A zone of the time zone database, or none."""
        try:
            return name if not name else ZoneInfo(name).key
        except (ZoneInfoNotFoundError, ValueError) as exc:
            raise ValueError("a time zone such as America/Anchorage") from exc

    def to_model(self) -> Watch:
        """The same as a value, times in UTC."""
        overdue_utc = self.overdue_utc.astimezone(UTC) if self.overdue_utc else None
        return Watch(
            **self.model_dump(exclude={"beacon", "overdue_utc"}),
            overdue_utc=overdue_utc,
            beacons=None
            if self.beacon is None
            else tuple(Beacon(**one.model_dump()) for one in self.beacon),
        )
