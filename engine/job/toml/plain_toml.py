"""TOML as this program writes it, read several times faster than a parser of all TOML does; what is written otherwise is left to that.

A value a line, a list a line an entry, tables and rows of tables under headings of their own; no comments.
"""

import json
import re
from datetime import date, datetime
from typing import Any

from engine.job.toml.toml_tokens import MOST_PARTS

_TEXT = r'"[^"\\\x00-\x1f\x7f]*+"'
_ESCAPED = r'"(?:[^"\\\x00-\x1f\x7f]|\\["\\bfnrt])*+"'
_WHOLE = r"-?(?:0|[1-9][0-9]{0,17})"
_NUMBER = rf"{_WHOLE}\.[0-9]+(?:e[+-][0-9]+)?"
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_MOMENT = rf"{_DAY} [0-9]{{2}}:[0-9]{{2}}:[0-9]{{2}}(?:[+-][0-9]{{2}}:[0-9]{{2}})"
_KEY = rf"[A-Za-z0-9_-]++|{_TEXT}"
_VALUE = rf"(?:{_ESCAPED}|{_NUMBER}|{_WHOLE}|true|false)"
_LINE = re.compile(
    rf"(?:(?P<key>{_KEY}) = (?:(?P<text>{_TEXT})|(?P<number>{_NUMBER})|(?P<json>{_ESCAPED}|{_WHOLE}|true|false)|(?P<moment>{_MOMENT})"
    rf"|(?P<day>{_DAY})|\[(?:\n(?P<list>(?:    {_VALUE},\n)++))?\])"
    rf"|\[\[(?P<rows>{_KEY})\]\]|\[(?P<table>(?:{_KEY})(?:\.(?:{_KEY}))*+)\]|)\n|(?P<other>)"
)
"""One line, or a list with its lines. Anything else is `other` at once: no search goes past it, however long the text."""
_PART = re.compile(_KEY)


def plain_tables(text: str) -> dict[str, Any] | None:
    """The tables of a text that is written as this program writes; None where it may be anything else, wrong TOML too."""
    data: dict[str, Any] = {}
    here, seen = data, set[tuple[str | int, ...]]()
    for found in _LINE.finditer(text):
        key, written, number, plain, moment, day, entries, rows, table, other = found.groups()
        if other is not None:
            return data if found.end() == len(text) else None
        if key:
            name = key.strip('"')
            if name in here:
                return None
            try:
                here[name] = (
                    written[1:-1] if written
                    else float(number) if number
                    else json.loads(plain) if plain
                    else datetime.fromisoformat(moment) if moment
                    else date.fromisoformat(day) if day
                    else json.loads(f"[{entries[:-2]}]") if entries
                    else []
                )  # fmt: skip
            except ValueError:
                return None
        elif table or rows:
            inner = _opened(data, rows) if rows else _entered(data, table, seen)
            if inner is None:
                return None
            here = inner
    return data


def _opened(data: dict[str, Any], name: str) -> dict[str, Any] | None:
    """A new row under its name; None where the name stands for something else."""
    rows = data.setdefault(name.strip('"'), _Rows())
    if not isinstance(rows, _Rows):
        return None
    rows.append({})
    return rows[-1]  # type: ignore[no-any-return]  # the row just made


class _Rows(list[Any]):
    """Rows of tables, told apart from a list that is a value."""


def _entered(data: dict[str, Any], heading: str, seen: set[tuple[str | int, ...]]) -> dict[str, Any] | None:
    """The table of a heading, one within the last row of a list too; None where it was there before, or a value stands where it should."""
    parts = tuple(part.strip('"') for part in _PART.findall(heading))
    if len(parts) > MOST_PARTS:
        return None
    path: list[str | int] = []
    here: Any = data
    for n, part in enumerate(parts, 1):
        here = here.setdefault(part, {})
        path.append(part)
        if isinstance(here, _Rows) and n < len(parts):
            path.append(len(here))
            here = here[-1]
        if not isinstance(here, dict):
            return None
    if tuple(path) in seen:
        return None
    seen.add(tuple(path))
    return here  # type: ignore[no-any-return]  # a table of this reader's own
