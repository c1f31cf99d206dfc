"""Rules that a reviewer should not have to remember."""

import ast
import importlib
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "src" / "lubberline"
SOURCES = sorted(PACKAGE.rglob("*.py"))

# A number, or one column of numbers; what holds several columns names each of them inside.
NUMBER = re.compile(r"^(Annotated\[)?((list|Sequence|Iterable)\[)?(float|FloatArray|ArrayLike)\b")
UNIT_IS_DATA = {
    *("line.py", "arrays.py", "tables.py", "units.py", "wording.py", "_power_schema.py"),
    *("agreement.py", "align.py", "change.py", "chart.py", "conditions.py", "cusum.py", "trend.py"),
    *("_recent.py", "_shrunk.py", "fading.py", "_smoother.py"),
}
UNITS = {
    *("ft", "nm", "m", "km", "kt", "mps", "fpm", "deg", "rad", "degc", "degf"),
    *("k", "inhg", "hpa", "pa", "s", "min", "h", "utc", "lb", "kg", "in"),
    *("lbin", "gal", "gph", "hp", "mhz", "sm", "percent", "days", "degps", "nt", "year"),
    *("px", "mm", "pt", "mps2", "kt2", "hz", "l", "mb", "kmh", "qt", "rpm", "psi"),
}
DIMENSIONLESS = ("_ratio", "_fraction", "_count", "_index", "_factor")
# Statistics in the unit of their data, and columns that are named one by one.
ANY_UNIT = {
    *("value", "values", "sigma", "sigmas", "low", "high", "target", "buffer", "tolerance"),
    *("level", "usual", "smallest_change"),
    *("axes", "channels", "column", "path", "steps", "step"),
}
HOSTS = re.compile("|".join(["py" + "pi.org", "python" + "hosted", "npm" + "js", "/wo" + "rk/"]))
CITED = re.compile(r"\[([A-Z0-9][A-Z0-9.\-]*)\]_")
LISTED = re.compile(r"^\| ([A-Z0-9][A-Z0-9.\-]*) \|", re.MULTILINE)


def numbers() -> Iterator[tuple[str, str]]:
    """Every argument and field annotated as a number, as the source spells it."""
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            match node:
                case ast.arg(arg=name, annotation=kind):
                    pass
                case ast.AnnAssign(target=ast.Name(id=name), annotation=kind):
                    pass
                case _:
                    continue
            # Compiled kernels calculate with whatever they are given, in the plane's miles.
            free = path.name in UNIT_IS_DATA or path.parent.name == "search"
            if kind and NUMBER.search(ast.unparse(kind)) and not free:
                yield f"{path.relative_to(ROOT)}:{kind.lineno}", name


@pytest.mark.parametrize(("place", "name"), list(numbers()))
def test_a_number_carries_its_unit(place: str, name: str) -> None:
    carries = name.endswith(DIMENSIONLESS) or name.rsplit("_", 1)[-1].lower() in UNITS
    assert carries or name in ANY_UNIT, f"{place}: {name}"


def test_every_cited_source_is_listed_and_every_listed_source_cited() -> None:
    cited = {key for path in SOURCES for key in CITED.findall(path.read_text(encoding="utf-8"))}
    listed = LISTED.findall((ROOT / "docs" / "sources.md").read_text(encoding="utf-8"))
    assert cited == set(listed)
    assert len(listed) == len(set(listed)), "a source is listed twice"


@pytest.mark.parametrize("path", [p for p in SOURCES if p.name == "__init__.py"], ids=str)
def test_a_front_door_only_imports_and_names(path: Path) -> None:
    for node in ast.parse(path.read_text(encoding="utf-8")).body[1:]:
        assert isinstance(node, ast.ImportFrom | ast.Assign), f"{path}:{node.lineno}"


@pytest.mark.parametrize(
    "room", sorted(p.name for p in PACKAGE.iterdir() if (p / "__init__.py").exists())
)
def test_a_front_door_names_only_what_exists(room: str) -> None:
    module = importlib.import_module(f"lubberline.{room}")
    names = getattr(module, "__all__", [])
    assert list(names) == sorted(names, key=lambda n: (not n.isupper(), n[0].islower(), n))
    assert all(hasattr(module, name) for name in names)


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_module_is_short_and_says_what_it_knows(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), "no opening paragraph"
    assert len(text.splitlines()) <= 400, "split it: one idea per module"


def text_files() -> Iterator[Path]:
    suffixes = {".py", ".md", ".toml", ".typ", ".html", ".css", ".yml", ".lock", ".txt"}
    for path in ROOT.rglob("*"):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") and part != ".ci" for part in parts)
        if not hidden and parts[0] != "out" and (path.suffix in suffixes or path.name == "run"):
            yield path


def test_no_text_names_a_package_host_or_a_machine_path() -> None:
    named = [str(p) for p in text_files() if HOSTS.search(p.read_text(encoding="utf-8"))]
    assert named == []
