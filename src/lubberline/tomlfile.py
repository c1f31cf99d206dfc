"""TOML files the pilot writes, held to a schema at the door.

A file is read whole, checked whole, and refused in one error that lists every problem with
line, key, what was found, what is expected and an example. Line numbers come from a concrete
syntax tree that is only built once something is wrong. Which keys exist is the schema's
business; what the values mean is the room's.
"""

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any, Final, TypeAlias, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails, InitErrorDetails, PydanticCustomError

from lubberline.errors import BadFile, Problem

MAX_BYTES: Final = 4_000_000  # own: a file written by hand is never this large


class Schema(BaseModel):
    """Base of every file schema: unknown keys, NaN and infinity are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=False)


Model = TypeVar("Model", bound=BaseModel)
Location: TypeAlias = tuple[str | int, ...]


def read_text(path: Path, what: str) -> str:
    """The text of a file, or one clear refusal; ``what`` names the kind of file expected."""
    if not path.exists():
        raise BadFile(path, [Problem(key="file", found="nothing", expected=what)])
    if path.is_dir():
        raise BadFile(path, [Problem(key="file", found="a directory", expected=what)])
    size = path.stat().st_size
    if size > MAX_BYTES:
        found = f"{size:,} bytes"
        raise BadFile(path, [Problem(key="file", found=found, expected=f"{what} under 4 MB")])
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as exc:
        found = f"bytes that are not UTF-8 text at offset {exc.start}"
        raise BadFile(path, [Problem(key="file", found=found, expected=what)]) from exc
    if "\0" in text:
        raise BadFile(path, [Problem(key="file", found="binary data", expected=what)])
    return text


def read_toml(path: Path, schema: type[Model]) -> Model:
    """The file's content as a checked schema instance.

    Raises
    ------
    BadFile
        If the file is missing, not text, not TOML, or does not fit the schema: all problems
        of the file together.
    """
    text = read_text(path, "a TOML file")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as exc:
        raise BadFile(path, [_syntax_problem(text, str(exc))]) from exc
    try:
        return schema.model_validate(data)
    except ValidationError as exc:
        problems = problems_of(exc, schema, _line_numbers(text))
        raise BadFile(path, sorted(problems, key=lambda p: (p.line or 0, p.key))) from exc


def problems_of(
    error: ValidationError, schema: type[BaseModel], lines: Mapping[Location, int] | None = None
) -> list[Problem]:
    """Everything a schema found wrong, in our words; ``lines`` where the format has them.

    A list that came out too short only because some of its items were refused is no problem
    of its own.
    """
    details = error.errors()
    refused = {detail["loc"][:end] for detail in details for end in range(len(detail["loc"]))}
    return [
        _problem(detail, schema, lines or {})
        for detail in details
        if detail["type"] != "too_short" or detail["loc"] not in refused
    ]


def refusal(problems: Iterable[tuple[Location, Any, str]]) -> ValidationError:
    """An error for a validator to raise, so that each problem is told at its own place.

    Each problem is a place below the validated value, what was found there (None for nothing),
    and what was expected.
    """
    return ValidationError.from_exception_data(
        "refusal",
        [
            InitErrorDetails(
                type=PydanticCustomError("value_error", "{expected}", {"expected": expected}),
                loc=location,
                input=found,
            )
            for location, found, expected in problems
        ],
    )


def lines_of(path: Path) -> dict[Location, int]:
    """Line of every key, table and array element of a TOML file that was read before."""
    return _line_numbers(read_text(path, "a TOML file"))


def _syntax_problem(text: str, message: str) -> Problem:
    place = re.search(r" \(at line (\d+), column (\d+)\)", message)
    line = int(place[1]) if place else len(text.splitlines()) or 1
    shown = text.splitlines()[line - 1].strip() if text.splitlines()[line - 1 :] else "the end"
    reason = message.split(" (at ")[0]
    return Problem(
        line=line, key="syntax", found=f"{shown!r} ({reason})", expected="TOML", example="key = 1.5"
    )


def _problem(
    error: ErrorDetails, schema: type[BaseModel], lines: Mapping[Location, int]
) -> Problem:
    location: Location = tuple(part for part in error["loc"])
    field = _field(schema, location)
    name = next((part for part in reversed(location) if isinstance(part, str)), "file")
    example = f"{name} = {field.examples[0]}" if field is not None and field.examples else ""
    absent = error["type"] == "missing" or error["input"] is None
    if error["type"] == "extra_forbidden":
        example = _nearest_key(schema, location)
    return Problem(
        line=_nearest_line(lines, location),
        key=".".join(f"{part}" for part in location) or "file",
        found="nothing" if absent else _shown(error["input"]),
        expected=_expected(error),
        example=example,
    )


def _expected(error: ErrorDetails) -> str:
    """What would be right, in our words where the schema library's do not read well."""
    match error["type"]:
        case "missing":
            return "a value"
        case "extra_forbidden":
            return "a known key"
        case "timezone_aware":
            return "a time with its zone: UTC ends in Z"
        case "too_short":
            return (
                f"at least {error['ctx']['min_length']} items, not {error['ctx']['actual_length']}"
            )
        case "too_long":
            return (
                f"at most {error['ctx']['max_length']} items, not {error['ctx']['actual_length']}"
            )
    return error["msg"].removeprefix("Input should be ").removeprefix("Value error, ")


def _shown(value: Any) -> str:
    text = str(value) if isinstance(value, date) else repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _nearest_line(lines: Mapping[Location, int], location: Location) -> int | None:
    """Line of the key, or of the nearest table above it that the file does have."""
    for end in range(len(location), 0, -1):
        if location[:end] in lines:
            return lines[location[:end]]
    return None


def _nearest_key(schema: type[BaseModel], location: Location) -> str:
    known = [name for owner in _models(schema, location[:-1]) for name in owner.model_fields]
    near = difflib.get_close_matches(str(location[-1]), known, n=1)
    return f"{near[0]} = ..." if near else "remove the line"


def _field(schema: type[BaseModel], location: Location) -> Any:
    """The schema's field for a place in the file, None where there is none."""
    while location and isinstance(location[-1], int):
        location = location[:-1]
    if not location:
        return None
    name = str(location[-1])
    fields = (owner.model_fields.get(name) for owner in _models(schema, location[:-1]))
    return next((field for field in fields if field is not None), None)


def _models(schema: type[BaseModel], location: Location) -> list[type[BaseModel]]:
    """The nested schemas that a place in the file may belong to: several for a union."""
    owners = [schema]
    for part in location:
        fields = [owner.model_fields[part] for owner in owners if part in owner.model_fields]
        if fields:
            owners = [model for field in fields for model in _nested_models(field.annotation)]
    return owners


def _nested_models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _nested_models(argument)


def _line_numbers(text: str) -> dict[Location, int]:
    """Line of every key, table and array element in the file, by its path."""
    import tree_sitter
    import tree_sitter_toml

    parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
    lines: dict[Location, int] = {}
    array_counts: dict[Location, int] = {}
    for node in parser.parse(text.encode()).root_node.named_children:
        if node.type == "pair":
            _walk_pair(node, (), lines)
        elif node.type in ("table", "table_array_element"):
            prefix = _absolute(_key(node.named_children[0]), array_counts)
            if node.type == "table_array_element":
                index = array_counts.get(prefix, -1) + 1
                array_counts[prefix] = index
                lines.setdefault(prefix, node.start_point.row + 1)
                prefix = (*prefix, index)
            lines.setdefault(prefix, node.start_point.row + 1)
            for pair in node.named_children[1:]:
                if pair.type == "pair":
                    _walk_pair(pair, prefix, lines)
    return lines


def _absolute(key: Location, array_counts: Mapping[Location, int]) -> Location:
    """A table's key with the index of the array element that it is nested in."""
    path: Location = ()
    for number, part in enumerate(key):
        path = (*path, part)
        if number < len(key) - 1 and path in array_counts:
            path = (*path, array_counts[path])
    return path


def _walk_pair(node: Any, prefix: Location, lines: dict[Location, int]) -> None:
    path = (*prefix, *_key(node.named_children[0]))
    lines.setdefault(path, node.start_point.row + 1)
    _walk_value(node.named_children[-1], path, lines)


def _walk_value(node: Any, path: Location, lines: dict[Location, int]) -> None:
    children = [child for child in node.named_children if child.type != "comment"]
    if node.type == "inline_table":
        for pair in children:
            _walk_pair(pair, path, lines)
    elif node.type == "array":
        for index, child in enumerate(children):
            lines[(*path, index)] = child.start_point.row + 1
            _walk_value(child, (*path, index), lines)


def _key(node: Any) -> Location:
    if node.type == "dotted_key":
        return tuple(part for child in node.named_children for part in _key(child))
    text = node.text.decode()
    return (text.strip("\"'") if node.type == "quoted_key" else text,)
