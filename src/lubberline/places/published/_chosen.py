"""Which files of a place a reader looks into."""

from lubberline.places.published._account import refusal
from lubberline.places.published.zips import Files, Member


def chosen(files: Files, *endings: str) -> list[Member]:
    """Those whose names end so, or a file alone whatever its name.

    Raises
    ------
    BadFile
        If there is none.
    """
    found = files.ending(*endings) or [one for one in files.members if len(files.members) == 1]
    if not found:
        raise refusal(files.path, "no such file", f"a file in {', '.join(endings)}")
    return found
