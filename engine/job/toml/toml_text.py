"""Tables to TOML text: always the same text for the same tables, a record a heading, so that changes read well."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import tomli_w

from engine.job.toml.places import key_text

_END_MARK = "[end]\ncomplete = true\n"


def whole_text(first: Mapping[str, Any], parts: Iterable[str]) -> str:
    """The text of a job file: the single values that stand first, the blocks of its records, `[end]` last."""
    return "\n".join([*([_flat(first)] if first else []), *parts, _END_MARK])


def blocks(heading: str, table: Any) -> Iterator[str]:
    """The text of a table and of the tables in it, a heading each."""
    if isinstance(table, list | tuple):
        for row in table:
            yield from _record(f"[[{heading}]]", heading, row, bare=True)
    else:
        yield from _record(f"[{heading}]", heading, table, bare=False)


def _record(first: str, heading: str, table: Mapping[str, Any], *, bare: bool) -> Iterator[str]:
    """A record with its own heading where it says something by itself, or stands `bare` in a list; then the tables in it."""
    inner = {key: value for key, value in table.items() if _is_table(value)}
    single = {key: value for key, value in table.items() if key not in inner}
    if single or bare or not inner:
        yield f"{first}\n{_flat(single)}"
    for key, value in inner.items():
        yield from blocks(f"{heading}.{key_text(key)}", value)


def _flat(table: Mapping[str, Any]) -> str:
    """Keys and single values, a line each; None is left out."""
    return tomli_w.dumps({key: value for key, value in table.items() if value is not None})


def _is_table(value: object) -> bool:
    rows = isinstance(value, list | tuple) and bool(value) and all(isinstance(row, Mapping) for row in value)
    return rows or isinstance(value, Mapping)
