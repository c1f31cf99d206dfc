"""Added data sets asked for a region or a name, the most trusted first."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from lubberline.places.corridor import Corridor
from lubberline.places.index import Index
from lubberline.places.kept import Kept, KeptData
from lubberline.places.merge import is_unanswered, merged
from lubberline.places.model import Aerodrome, Places, Source, VisualPoint, Waypoint


def ranked(opened: Sequence[tuple[Kept, Index]], at_utc: datetime) -> list[tuple[Kept, Index]]:
    """The most trusted first: priority, then valid at that time, then the newer."""

    def rank(one: tuple[Kept, Index]) -> tuple[int, int, float, float]:
        kept, index = one
        began_utc = index.source.valid_from_utc or datetime.min.replace(tzinfo=UTC)
        newer = (-began_utc.timestamp(), -kept.added_utc.timestamp())
        return (-kept.priority, _doubt(index.source, at_utc), *newer)

    return sorted(opened, key=rank)


def _doubt(source: Source, at_utc: datetime) -> int:
    """0 if valid at that time, 1 if its source does not say, 2 if not."""
    begun = source.valid_from_utc is None or source.valid_from_utc <= at_utc
    lasts = source.valid_until_utc is None or at_utc < source.valid_until_utc
    said = source.valid_from_utc is not None and source.valid_until_utc is not None
    return 2 if not (begun and lasts) else 0 if said else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Opened data sets, the most trusted first, to be asked for a region or a name."""

    indexes: tuple[Index, ...]

    def along(self, corridor: Corridor, own: Places | None = None) -> Places:
        """All that lies near a route, with the pilot's own places."""
        near = [index.near(corridor) for index in self.indexes]
        groups = {one.group for data in near for one in data.volumes if is_unanswered(one)}
        called = (one for group in groups - {""} for one in self.called(group))
        return merged(own, near, beyond=[one for one in called if isinstance(one, Aerodrome)])

    def called(self, name: str) -> Iterator[Aerodrome | VisualPoint | Waypoint]:
        """Everything of that name, from the most trusted source on."""
        for index in self.indexes:
            yield from index.named(name)


def asked(data: KeptData, names: Collection[str], at_utc: datetime) -> Asked:
    """Open the data sets of these names, for a time."""
    opened = [(one, data.open(one)) for one in data.named(names)]
    return Asked(indexes=tuple(index for _, index in ranked(opened, at_utc)))
