"""How hot loops are compiled: once, kept on disk under a name made from their sources.

The name changes with any kernel, so that no compiled code outlives the source of what it
calls. Files named ``_*.py`` in this folder hold kernels: plain loops over arrays and numbers.
"""

import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

Function = TypeVar("Function", bound=Callable[..., Any])


def _cache_folder() -> Path:
    """A folder of the user's cache for exactly these sources."""
    sources = sorted(Path(__file__).parent.glob("_*.py"))
    digest = hashlib.sha256(b"".join(path.read_bytes() for path in sources)).hexdigest()[:16]
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "lubberline" / "compiled" / digest


if not os.environ.get("NUMBA_CACHE_DIR"):
    numba.config.CACHE_DIR = str(_cache_folder())  # type: ignore[attr-defined]


def compiled(function: Function) -> Function:
    """The function, compiled when it is first called with its types."""
    return cast(Function, numba.njit(cache=True, error_model="numpy")(function))
