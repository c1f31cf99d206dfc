"""The lines that mean the same in every picture: each way's own, and what was flown."""

from typing import Final

from lubberline.page.figure import Stroke

WAY_INK_COUNT: Final = 6  # how many inks the page has for ways
# Chosen to stay apart for color-blind eyes, on light and dark paper; dashes differ as well.
WAY_DASHES: Final = ("9px,4px", "3px,3px", "12px,3px,3px,3px", "6px,6px", "14px,5px")
FLOWN: Final = Stroke(ink="ink", width_px=1.8)
LIMIT: Final = Stroke(ink="ink", width_px=1.3)
GROUND: Final = Stroke(ink="ground", width_px=1.0)


def way_stroke(number: int, *, is_chosen: bool) -> Stroke:
    """A way's line: solid and thick if it is the chosen one."""
    ink = f"way-{(number - 1) % WAY_INK_COUNT + 1}"
    if is_chosen:
        return Stroke(ink=ink, width_px=4.5)
    return Stroke(ink=ink, width_px=2.2, dash=WAY_DASHES[(number - 1) % len(WAY_DASHES)])
