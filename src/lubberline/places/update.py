"""Which official files hold today, where they lie, and bringing them.

The 28-day subscription changes on fixed days (the AIRAC cycle); its files carry
the day in their names. The obstacle file has one name and is renewed daily.
"""

import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Final

from lubberline.fetch import Addresses, Client, Downloaded, download

CYCLE: Final = timedelta(days=28)
_A_CYCLE_DAY: Final = date(2026, 5, 14)  # the effective day of an example row in the dossier
_MONTHS: Final = "JanFebMarAprMayJunJulAugSepOctNovDec"

Progress = Callable[[str, int, int | None], object]


def cycle_day(day: date) -> date:
    """The day on which the cycle that holds on ``day`` began.

    >>> cycle_day(date(2026, 7, 9)), cycle_day(date(2026, 7, 8))
    (datetime.date(2026, 7, 9), datetime.date(2026, 6, 11))
    """
    return _A_CYCLE_DAY + (day - _A_CYCLE_DAY) // CYCLE * CYCLE


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficialFile:
    """A published file: its data set's name, the name it is kept under, and its address.

    The file's name carries the day of its cycle, because most files do not say it inside.
    """

    data_set: str
    url: str
    begun: date | None = None

    @property
    def name(self) -> str:
        """The name of the file."""
        return f"{self.data_set}-{self.begun}.zip" if self.begun else f"{self.data_set}.zip"


def official_files(addresses: Addresses, day: date) -> tuple[OfficialFile, ...]:
    """The files of the cycle that holds on a day.

    The subscription as CSV, class airspace, special use airspace, and the obstacles of the day.
    """
    begun = cycle_day(day)
    csv_day = f"{begun.day:02d}_{_MONTHS[3 * begun.month - 3 : 3 * begun.month]}_{begun.year}"
    return (
        OfficialFile(
            data_set="nasr-csv",
            url=f"{addresses.subscription}/extra/{csv_day}_CSV.zip",
            begun=begun,
        ),
        OfficialFile(
            data_set="class-airspace",
            url=f"{addresses.subscription}/{begun}/class_airspace_shape_files.zip",
            begun=begun,
        ),
        OfficialFile(
            data_set="special-use",
            url=f"{addresses.subscription}/{begun}/aixm5.0.zip",
            begun=begun,
        ),
        OfficialFile(data_set="obstacles", url=f"{addresses.obstacles}/DAILY_DOF_DAT.ZIP"),
    )


def bring(
    client: Client, file: OfficialFile, folder: Path, progress: Progress | None = None
) -> Downloaded:
    """Download one file into a folder, whole and readable as a zip file.

    Raises
    ------
    NoAnswer
        If it cannot be had; an older one that is there stays.
    """
    return download(
        client,
        file.url,
        folder / file.name,
        check=_a_whole_zip,
        progress=progress and (lambda done, whole: progress(file.name, done, whole)),
    )


def forget_older(file: OfficialFile, folder: Path) -> None:
    """Remove what was brought of the same kind for other cycles."""
    of_kind = re.compile(rf"{re.escape(file.data_set)}(-\d{{4}}-\d\d-\d\d)?\.zip(\.\w+)?")
    for path in folder.iterdir():
        if of_kind.fullmatch(path.name) and not path.name.startswith(file.name):
            path.unlink()


def _a_whole_zip(path: Path) -> None:
    try:
        with zipfile.ZipFile(path) as archive:
            damaged = archive.testzip()
    except (zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError) as exc:
        raise ValueError(f"not a zip file: {exc}") from exc
    if damaged is not None:
        raise ValueError(f"{damaged} in it is damaged")
