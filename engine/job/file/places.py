"""Where in the text of a job file a path of keys stands. Run only to explain an error, over text tomllib accepted."""

import re
import tomllib
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Mapping
from difflib import SequenceMatcher, get_close_matches
from typing import Any

from engine.job.errors import Located, PathInFile, Problem
from engine.job.file.toml_tokens import BASIC, LITERAL, LONG_BASIC, LONG_LITERAL

Offsets = dict[PathInFile, int]

_PART = rf"(?:{BASIC}|{LITERAL}|[A-Za-z0-9_-]+)"
_KEY = re.compile(rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*")
_GAP = re.compile(r"(?:[\s,]++|#[^\n]*)*+")
_EQUALS = re.compile(r"[ \t]*=[ \t]*")
_SCALAR = re.compile(rf"{LONG_BASIC}|{LONG_LITERAL}|{BASIC}|{LITERAL}|[^,\]}}\n#]*")


def place_of(text: str, path: PathInFile) -> tuple[int, int]:
    """Line and column, from 1, of the deepest part of a path that the text has.

    Arguments: text that tomllib accepts, line ends as newlines; path of keys, list places from 0.
    Returns: where its key (or list item) starts; for a missing field its table's heading; (1, 1) where nothing fits.
    Source: derived: TOML v1.0.0 grammar, each key decoded by tomllib.
    Valid for: text that tomllib accepts.

    >>> place_of("format = 1\\n[posts.P1]\\nkind = 'line'\\n", ("posts", "P1", "kind"))
    (3, 1)
    """
    return line_column(text, _deepest(_offsets(text), path))


def locate(text: str, data: Mapping[str, Any], problems: Iterable[Problem]) -> list[Located]:
    """Problems with their places in the text, in file order.

    Arguments: text that tomllib accepts; data, its tables; problems with paths into them.
    Source: derived.
    Valid for: text that tomllib accepts.
    """
    offsets = _offsets(text)
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    located = []
    for problem in problems:
        offset = _deepest(offsets, problem.path)
        line = bisect_right(starts, offset)
        located.append(Located(line, offset - starts[line - 1] + 1, *_names(data, problem.path), problem.message))
    return sorted(located, key=lambda place: (place.line, place.column))


def line_column(text: str, offset: int) -> tuple[int, int]:
    """Line and column, from 1, of a place in a text.

    Arguments: text; offset in characters, 0 to its length.
    Source: derived.
    Valid for: any text.
    """
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def nearest(key: str, allowed: Iterable[str]) -> str | None:
    """The allowed key that a misspelt one most likely meant; capitals don't count.

    Arguments: key as written; allowed keys.
    Returns: one of them, or None where none is near.
    Source: derived: Ratcliff and Obershelp matching as difflib does it, at 0.6; of equally near ones that with the same letters.
    Valid for: any text.
    """
    folded = {name.casefold(): name for name in sorted(allowed)}
    written = key[:80].casefold()
    close = get_close_matches(written, folded, n=3)
    return folded[max(close, key=lambda name: _likeness(name, written))] if close else None


def _likeness(name: str, written: str) -> tuple[float, int]:
    return SequenceMatcher(None, name, written).ratio(), (Counter(name) & Counter(written)).total()


def key_text(key: str) -> str:
    """A key as TOML writes it: bare where it can be, else quoted.

    Arguments: key, any text.
    Source: TOML v1.0.0 specification, "Keys".
    Valid for: keys without surrogates.
    """
    if re.fullmatch(r"[A-Za-z0-9_-]+", key):
        return key
    escaped = key.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(f"\\u{ord(c):04x}" if ord(c) < 32 or ord(c) == 127 else c for c in escaped) + '"'


def _deepest(offsets: Offsets, path: PathInFile) -> int:
    return next((offsets[path[:n]] for n in range(len(path), 0, -1) if path[:n] in offsets), 0)


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
            _put(offsets, here, start)
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
    _put(offsets, path, at)
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
            _put(offsets, (*path, count), at)
            at = _value(text, at, (*path, count), offsets)
            count += 1
        at = _gap(text, at)
    return at + 1


def _key(text: str, at: int) -> tuple[PathInFile, int]:
    """The parts of the dotted key at an offset, decoded by tomllib, and the offset behind it."""
    found = _KEY.match(text, at)
    if not found:
        return (), at
    parts: list[str] = []
    inner: object = tomllib.loads(f"{found[0]} = 0")
    while isinstance(inner, dict):
        key, inner = next(iter(inner.items()))
        parts.append(key)
    return tuple(parts), found.end()


def _put(offsets: Offsets, path: PathInFile, at: int) -> None:
    for n in range(1, len(path) + 1):
        offsets.setdefault(path[:n], at)


def _gap(text: str, at: int) -> int:
    found = _GAP.match(text, at)
    return found.end() if found else at
