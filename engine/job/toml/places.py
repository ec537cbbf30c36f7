"""Where in the text of a job file a path of keys stands. Run only to explain an error, over text tomllib accepted."""

import re
import tomllib
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from engine.job.errors import Located, PathInFile, Problem
from engine.job.toml.toml_tokens import BASIC, LITERAL, LONG_BASIC, LONG_LITERAL

Offsets = dict[PathInFile, int]

_PART = rf"(?:{BASIC}|{LITERAL}|[A-Za-z0-9_-]+)"
_KEY = re.compile(rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*")
_GAP = re.compile(r"(?:[\s,]++|#[^\n]*)*+")
_EQUALS = re.compile(r"[ \t]*=[ \t]*")
_SCALAR = re.compile(rf"{LONG_BASIC}|{LONG_LITERAL}|{BASIC}|{LITERAL}|[^,\]}}\n#]*")


def locate(text: str, data: Mapping[str, Any], problems: Iterable[Problem]) -> list[Located]:
    """Problems with their places in the text, in file order."""
    offsets = _offsets(text)
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    located = []
    for problem in problems:
        offset = next((offsets[problem.path[:n]] for n in range(len(problem.path), 0, -1) if problem.path[:n] in offsets), 0)
        line = bisect_right(starts, offset)
        located.append(Located(line, offset - starts[line - 1] + 1, *_names(data, problem.path), problem.message))
    return sorted(located, key=lambda place: (place.line, place.column))


def line_column(text: str, offset: int) -> tuple[int, int]:
    """Line and column, from 1, of a place in a text."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def key_text(key: str) -> str:
    """A key as TOML writes it: bare where it can be, else quoted. Source: TOML v1.0.0 specification, "Keys". Valid for: keys without
    surrogates."""
    if re.fullmatch(r"[A-Za-z0-9_-]+", key):
        return key
    escaped = key.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(f"\\u{ord(c):04x}" if ord(c) < 32 or ord(c) == 127 else c for c in escaped) + '"'


def _names(data: Mapping[str, Any], path: PathInFile) -> tuple[str, str]:
    """Table and field of a path: `posts.P7` and `station_ft`, `log` and `entry 4, post`."""
    value: Any = data
    table: list[str] = []
    field: list[str] = []
    for part in path:
        value = value[part] if _has(value, part) else None
        if isinstance(part, int):
            field.append(f"{'entry' if table == ['log'] else 'item'} {part + 1}")
        elif not field and (isinstance(value, dict) or (isinstance(value, list) and part == "log")):
            table.append(key_text(part))
        else:
            field.append(part)
    return ".".join(table), ", ".join(field)


def _has(value: object, part: str | int) -> bool:
    if isinstance(value, dict):
        return part in value
    return isinstance(value, list) and isinstance(part, int) and 0 <= part < len(value)


def _offsets(text: str) -> Offsets:
    """Offset of every key and list item of a text."""
    offsets: Offsets = {}
    counts: dict[PathInFile, int] = {}
    here: PathInFile = ()
    at = _gap(text, 0)
    while at < len(text):
        start = at
        if text[at] == "[":
            here, at = _heading(text, at, counts)
            _note_start(offsets, here, start)
        else:
            at = _pair(text, at, here, offsets)
        at = max(_gap(text, at), start + 1)
    return offsets


def _heading(text: str, at: int, counts: dict[PathInFile, int]) -> tuple[PathInFile, int]:
    """The path of a heading, list tables counted, and the offset behind it."""
    many = text.startswith("[[", at)
    parts, at = _key(text, _gap(text, at + 1 + many))
    path: PathInFile = ()
    for index, part in enumerate(parts):
        path = (*path, part)
        if many and index == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path, text.index("]", at) + 1 + many


def _pair(text: str, at: int, here: PathInFile, offsets: Offsets) -> int:
    parts, end = _key(text, at)
    path = (*here, *parts)
    _note_start(offsets, path, at)
    equals = _EQUALS.match(text, end)
    return _value(text, equals.end() if equals else end, path, offsets)


def _value(text: str, at: int, path: PathInFile, offsets: Offsets) -> int:
    opening = text[at : at + 1]
    if opening not in ("[", "{"):
        found = _SCALAR.match(text, at)
        return found.end() if found else at
    closing, count = ("]" if opening == "[" else "}"), 0
    at = _gap(text, at + 1)
    while at < len(text) and text[at] != closing:
        if opening == "{":
            at = _pair(text, at, path, offsets)
        else:
            _note_start(offsets, (*path, count), at)
            at = _value(text, at, (*path, count), offsets)
            count += 1
        at = _gap(text, at)
    return at + 1


def _key(text: str, at: int) -> tuple[PathInFile, int]:
    """The parts of the dotted key at an offset, and the offset behind it."""
    found = _KEY.match(text, at)
    return (_parts(found[0]), found.end()) if found else ((), at)


@lru_cache(maxsize=2048)
def _parts(key: str) -> PathInFile:
    """The parts of a dotted key, decoded by tomllib: the same few keys stand in every row of a table."""
    parts: list[str] = []
    inner: object = tomllib.loads(f"{key} = 0")
    while isinstance(inner, dict):
        name, inner = next(iter(inner.items()))
        parts.append(name)
    return tuple(parts)


def _note_start(offsets: Offsets, path: PathInFile, at: int) -> None:
    for n in range(1, len(path) + 1):
        offsets.setdefault(path[:n], at)


def _gap(text: str, at: int) -> int:
    found = _GAP.match(text, at)
    return found.end() if found else at
