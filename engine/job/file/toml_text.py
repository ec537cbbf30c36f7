"""Tables of a job to TOML text: always the same text for the same tables, a record a heading, so that changes read well."""

from collections.abc import Iterator, Mapping
from typing import Any

import tomli_w

from engine.job.file.places import key_text

_TABLES = (
    "job", "dogs", "utility_notice", "rules", "stock", "points", "shots", "structures", "trees", "obstacles", "utilities",
    "boundaries", "decks", "fence", "lines", "surfaces", "heights", "gates", "yards", "posts", "log", "checks", "record",
)  # fmt: skip
_END_MARK = "[end]\ncomplete = true\n"


def write_text(data: Mapping[str, Any]) -> str:
    """The text of a job file: single values first, tables in the order of the trade, `[end]` last."""
    order = {name: place for place, name in enumerate(_TABLES)}
    names = sorted((name for name in data if name != "end"), key=lambda name: order.get(name, len(order)))
    single = {name: data[name] for name in names if not _is_table(data[name])}
    parts = [_flat(single)] if single else []
    for name in names:
        if name not in single:
            parts.extend(_blocks(key_text(name), data[name]))
    return "\n".join([*parts, _END_MARK])


def _blocks(heading: str, table: Any) -> Iterator[str]:
    """The text of a table and of the tables in it, a heading each."""
    if isinstance(table, list | tuple):
        yield from (f"[[{heading}]]\n{_flat(row)}" for row in table)
        return
    inner = {key: value for key, value in table.items() if _is_table(value)}
    single = {key: value for key, value in table.items() if key not in inner}
    if single or not inner:
        yield f"[{heading}]\n{_flat(single)}"
    for key, value in inner.items():
        yield from _blocks(f"{heading}.{key_text(key)}", value)


def _flat(table: Mapping[str, Any]) -> str:
    """Keys and single values, a line each; None is left out."""
    return tomli_w.dumps({key: value for key, value in table.items() if value is not None})


def _is_table(value: object) -> bool:
    rows = isinstance(value, list | tuple) and bool(value) and all(isinstance(row, Mapping) for row in value)
    return rows or isinstance(value, Mapping)
