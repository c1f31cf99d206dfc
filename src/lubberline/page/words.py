"""What airspace is, as sentences of the page."""

from collections.abc import Iterable, Iterator

from lubberline.page.charting import height_words
from lubberline.places import Volume


def airspace_sentences(volumes: Iterable[Volume]) -> Iterator[str]:
    """Every volume with its class, its heights in full and who answers for it."""
    for volume in sorted(volumes, key=lambda one: (one.airspace_class, one.name)):
        answers = f", {_facility(volume)}" if volume.facility else ""
        yield (
            f"{volume.name} ({volume.airspace_class}): {height_words(volume.floor)} to"
            f" {height_words(volume.ceiling)}{answers}"
        )


def _facility(volume: Volume) -> str:
    frequency = f" {volume.frequency_mhz:.3f}" if volume.frequency_mhz else ""
    return f"{volume.facility}{frequency}"
