"""A job as the tables of its file, and the digest that seals them."""

import hashlib
import json
from collections.abc import Mapping
from datetime import date, time
from typing import Any

from pydantic import BaseModel

from engine.calc.typed_length import TypedLength
from engine.job.file.log_order import FOLLOWS, by_time
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.job.model.rules import Rules
from engine.job.model.tick_facts import NO_FACTS, TickFacts

BOOKKEEPING = ("format", "format_minor", "written_by", "revision", "parent", "saved_on", "saved_at", "earlier", "runs")
_EMPTY: tuple[object, ...] = (None, "", (), {}, NO_FACTS)


def tables_of(job: Job) -> dict[str, Any]:
    """The tables of a job, ready to be written. What is empty by default is left out; of the rules and of what was said
    first only what differs from the defaults is kept. A length that was typed in metres stands as it was typed."""
    tables: dict[str, Any] = table_of(job.model_copy(update={"log": ()}))
    told = ((table_of(entry), follows) for entry, follows in by_time(job.log))
    log = [{**table, FOLLOWS: follows} if follows else table for table, follows in told]
    return {name: table for name, table in {**tables, **({"log": log} if log else {})}.items() if table != {}}


def seal_digest(data: Mapping[str, Any]) -> str:
    """The digest that a signed-off file carries: over everything in it but its bookkeeping and that digest itself.

    It stands for what the file says, not for how it is laid out: comments, order of tables, and 25 or 25.0 don't matter.
    Source: FIPS 180-4; derived: JSON with sorted keys as the bytes to hash.
    """
    return hashlib.sha256(spelled(said_in(data))).hexdigest()


def said_in(data: Mapping[str, Any], besides: tuple[str, ...] = ()) -> dict[str, Any]:
    """What a file says of its job: without its bookkeeping, the digest of the whole, and what else of its record is named."""
    said = {name: table for name, table in data.items() if name not in (*BOOKKEEPING, "end")}
    if isinstance(said.get("record"), Mapping):
        said["record"] = {key: value for key, value in said["record"].items() if key not in ("digest", *besides)}
    return said


def spelled(said: Any) -> bytes:
    """What is said, spelled one way only."""
    return json.dumps(_plain(said), sort_keys=True, separators=(",", ":")).encode()


def table_of(value: Any) -> Any:
    """A record as its table holds it, without what is empty by default; of the rules and of what was said first only what differs."""
    if isinstance(value, ItemKey | TickFacts):
        return str(value)
    if isinstance(value, Rules | Rough):
        return table_of(value.model_dump(exclude_defaults=True))
    if isinstance(value, BaseModel):
        fields = type(value).model_fields
        held = {name: getattr(value, name) for name in fields}
        return {name: table_of(inner) for name, inner in held.items() if not (inner in _EMPTY and inner == fields[name].default)}
    if isinstance(value, Mapping):
        return {str(name): table_of(inner) for name, inner in value.items()}
    if isinstance(value, tuple | list):
        return [table_of(inner) for inner in value]
    return value.text if isinstance(value, TypedLength) else value


def _plain(value: Any) -> Any:
    """A value that JSON writes one way only. Text and whole numbers are by far the most: they are told by their class."""
    kind = type(value)
    if kind is str or kind is int:
        return value
    if kind is float:
        return int(value) if value.is_integer() else value
    if kind is dict or isinstance(value, Mapping):
        return {name: inner if type(inner) is str else _plain(inner) for name, inner in value.items() if inner is not None}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value.isoformat() if isinstance(value, date | time) else value
