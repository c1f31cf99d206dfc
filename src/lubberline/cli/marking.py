"""The command for the pilot's own marks; its body is in ``mark``."""

from pathlib import Path
from typing import Annotated

import typer


def mark(
    flight: Annotated[Path, typer.Argument(help="The flight's folder, or its flight.toml.")],
    marks: Annotated[
        list[str] | None,
        typer.Option("--mark", help="PHASE=inside, close or outside.", metavar="PHASE=WORD"),
    ] = None,
    notes: Annotated[
        list[str] | None, typer.Option("--note", help="One sentence.", metavar="PHASE=TEXT")
    ] = None,
) -> None:
    """How did it go, from memory? Your own marks, before you see the result."""
    from lubberline.cli.mark import mark_flight

    mark_flight(flight, marks or (), notes or ())
