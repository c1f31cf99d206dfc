"""How hot loops are compiled: once, kept on disk under a name made from their sources.

The name changes with any kernel, so that no compiled code outlives the source of what it
calls. Files named ``_*.py`` in this folder hold kernels: plain loops over arrays and numbers.
"""

import os
from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba

from lubberline.ways.ahead import compiled_folder

Function = TypeVar("Function", bound=Callable[..., Any])


if not os.environ.get("NUMBA_CACHE_DIR"):
    numba.config.CACHE_DIR = str(compiled_folder())  # type: ignore[attr-defined]


def compiled(function: Function) -> Function:
    """The function, compiled when it is first called with its types."""
    return cast(Function, numba.njit(cache=True, error_model="numpy")(function))


def leaf(function: Function) -> Function:
    """The same for what makes no arrays of its own: twice as quick, most kernels being small.

    Without the runtime (``_nrt``) nothing counts the uses of the arrays that are handed on,
    which took half of the search's time; its caller holds them.
    """
    options: dict[str, Any] = {"cache": True, "error_model": "numpy", "_nrt": False}
    return cast(Function, numba.njit(**options)(function))
