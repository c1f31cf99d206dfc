"""Running the migrations. Imported only when one runs: their library is slow to load."""

from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

FOLDER: Final = Path(__file__).parent / "migrations"


def config(connection: Connection | None = None) -> Config:
    """Settings for the migration library; there is no settings file."""
    settings = Config()
    # A percent sign in the path would be read as the start of a variable.
    settings.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    settings.attributes["connection"] = connection
    return settings


def upgrade(connection: Connection) -> None:
    """Bring the database to the newest revision, inside the caller's transaction."""
    command.upgrade(config(connection), "head")
