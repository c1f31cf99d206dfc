"""Signs for a terminal that cannot show ours: each keeps its meaning, none becomes "?".

"?" is the marker of what is not known; a sign that a terminal replaced by it would lie.
"""

import codecs
from typing import Final

NAME: Final = "lubberline.plain"
PLAIN: Final = {
    "│": "|",
    "┼": "+",
    "─": "-",
    "●": "o",
    "◐": "c",
    "✖": "x",
    "±": "+-",
    "°": " deg",
    "→": "->",
    "…": "...",
    "▪": "#",
    "▲": "^",
    "▼": "v",
    **dict(zip("▁▂▃▄▅▆▇█", "_.:-=+*#", strict=True)),
    "↑": "^",
    "↓": "v",
    "\N{EN DASH}": "-",
}


def register() -> str:
    """Make the replacement known to text streams; its name for their ``errors``."""
    codecs.register_error(NAME, _plain)
    return NAME


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start : error.end]
    return "".join(PLAIN.get(sign, "_") for sign in lost), error.end
