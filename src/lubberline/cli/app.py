"""The command group, and the one place where a refusal becomes a message and exit code 1.

Heavy imports sit inside the commands, so that help is instant.
"""

import gc
import sys
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from lubberline import __version__
from lubberline.errors import LubberlineError

EPILOG = "fit, ways, card, [fly], flown, drift: one loop; the next flight begins with the last."


class _Commands(TyperGroup):
    """Commands in the order of the loop; refusals end them with one clear error."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command; a refusal, ours or the file system's, is shown without a traceback."""
        try:
            return super().invoke(ctx)
        except LubberlineError as exc:
            typer.echo(f"error: {exc}", err=True)
            raise typer.Exit(1) from exc
        except OSError as exc:
            if exc.filename is None:
                raise  # about no file of the pilot's: a defect
            found = f"{exc.filename}: {exc.strerror}"
            typer.echo(f"error: {found}; expected a file that may be read or written", err=True)
            raise typer.Exit(1) from exc

    def list_commands(self, ctx: Any) -> list[str]:
        """Commands as they were added, not by the alphabet."""
        return list(self.commands)


app = typer.Typer(
    name="lubberline",
    cls=_Commands,
    help="Fix a flight's numbers before take-off, and measure the recorded flight against them.",
    epilog=EPILOG,
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _show_version(asked: bool) -> None:
    if asked:
        typer.echo(f"lubberline {__version__}")
        raise typer.Exit


@app.callback()
def _group(
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Show the version and exit.", callback=_show_version, is_eager=True
        ),
    ] = False,
) -> None:
    """What holds for every command."""


def main() -> None:
    """Entry point of the ``lubberline`` command."""
    # Modules make objects by the ten thousand, all of them kept: looking for waste among them
    # as often as usual takes a tenth of a command.
    gc.set_threshold(50_000)
    from lubberline.cli import commands, plain_signs  # noqa: F401 - registers the commands

    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=plain_signs.register())
    app()
