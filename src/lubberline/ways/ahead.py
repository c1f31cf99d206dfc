"""The search compiled ahead of its first use, in the background.

Compiling takes most of a minute once for every version of the kernels; what comes of it lies in
the user's cache, under a name made from their sources. Nothing heavy is imported here.
"""

import hashlib
import os
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Final

_started: Final[list[subprocess.Popen[bytes]]] = []  # not waited for, nor missed
AGAIN_S: Final = 300.0  # own: a compilation that has not ended by then is taken for dead


def compiled_folder() -> Path:
    """A folder of the user's cache for exactly these kernels."""
    sources = sorted((Path(__file__).parent / "search").glob("_*.py"))
    digest = hashlib.sha256(b"".join(path.read_bytes() for path in sources)).hexdigest()[:16]
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "lubberline" / "compiled" / digest


def is_compiled() -> bool:
    """Whether a search can begin at once."""
    return (compiled_folder() / "done").exists()


def mark_compiled() -> None:
    """A search has ended: all of it is compiled."""
    with suppress(OSError):
        (compiled_folder() / "done").touch()


def compile_in_background() -> bool:
    """Start a compilation that outlives this process, unless there is or was one."""
    begun = compiled_folder() / "begun"
    if is_compiled() or (begun.exists() and time.time() - begun.stat().st_mtime < AGAIN_S):
        return False
    try:
        begun.parent.mkdir(parents=True, exist_ok=True)
        begun.touch()
        _started.append(
            subprocess.Popen(
                [sys.executable, "-m", "lubberline.ways.ahead"],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        )
    except OSError:
        return False  # no cache, no second process: the first search compiles
    return True


def compile_now() -> None:
    """Solve a small problem with everything in it that kernels look at."""
    from lubberline.ways.search import find_ways
    from lubberline.ways.search.scene import prepare
    from lubberline.ways.search.tracks import Sought
    from lubberline.ways.small import small_problem

    find_ways(small_problem())
    prepared = prepare(small_problem())  # what only tight skies ask for
    list(Sought(prepared, prepared.scene_for(frozenset())).sloped([]))
    mark_compiled()


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(10)
    compile_now()
