"""Identifiers of their own for volumes, however often a name is used."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from lubberline.places.model import Volume


def identified(volumes: Iterable[Volume]) -> tuple[Volume, ...]:
    """The volumes; one whose identifier was taken before has a number behind it."""
    times: Counter[str] = Counter()
    taken: set[str] = set()
    kept = []
    for one in volumes:
        name = one.id
        while name in taken:
            times[one.id] += 1
            name = f"{one.id}-{times[one.id] + 1}"
        taken.add(name)
        kept.append(one if name == one.id else replace(one, id=name))
    return tuple(kept)
