"""The pictures of a flight's ways as files: the map and each way's heights, as SVG and PNG."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from lubberline.errors import RangeError
from lubberline.loop import Prepared
from lubberline.page.figure import Figure
from lubberline.page.figure_svg import figure_svg
from lubberline.page.map_picture import map_picture
from lubberline.page.profile_picture import way_profile

PNG_DPI: Final = 192.0  # two dots for a pixel of the picture
_SHEET: Final = """#set page(width: auto, height: auto, margin: 0pt)
#image(bytes(sys.inputs.svg), format: "svg")"""


def write_pictures(prepared: Prepared, folder: Path) -> list[Path]:
    """Write the map and a profile for each way into a folder, over older ones; their paths.

    Raises
    ------
    RangeError
        If the folder cannot be made or written into.
    """
    made = [(figure.caption.name, figure_svg(figure)) for figure in _figures(prepared)]
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, svg in made:
            for path, content in (
                (folder / f"{name}.svg", svg.encode()),
                (folder / f"{name}.png", _png(svg)),
            ):
                path.write_bytes(content)
                written.append(path)
    except OSError as exc:
        raise RangeError(f"{folder}: {exc.strerror}; expected a folder to write into") from exc
    return written


def _figures(prepared: Prepared) -> Iterator[Figure]:
    yield map_picture(prepared.plan, prepared.ways, prepared.way)
    for number, way in enumerate(prepared.ways, 1):
        yield way_profile(prepared.plan, number, way)


def _png(svg: str) -> bytes:
    """The same as dots, by the compiler that prints the card, in the letters that come with it."""
    import typst

    made = typst.compile(
        _SHEET.encode(),
        format="png",
        ppi=PNG_DPI,
        ignore_system_fonts=True,
        sys_inputs={"svg": svg},
    )
    return bytes(made)
