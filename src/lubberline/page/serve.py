"""The local page: a folder's flights as reports, on this machine only.

The server is loaded when it is asked for, so that writing a report does not wait for it.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fastapi import FastAPI

LOCAL_ADDRESS: Final = "127.0.0.1"


def make_app(home: Path) -> "FastAPI":
    """The application for one pilot's folder."""
    from lubberline.page.app import build_app

    return build_app(home)


def serve_folder(directory: Path, *, port: int) -> None:
    """Answer on 127.0.0.1 until stopped."""
    import uvicorn

    uvicorn.run(make_app(directory), host=LOCAL_ADDRESS, port=port, log_level="warning")
