"""A job file in pieces, one a record: what didn't change since the last save is neither written out nor read back again.

A piece stands under a heading of its own, so that TOML reads it alone as it reads it in the whole; the whole is the pieces one after
the other. `write.write_text` is the same text the long way round, and the tests hold the two together.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from engine.job.file.file_text import refused
from engine.job.file.heading import Heading, first_lines
from engine.job.file.job_tables import lean
from engine.job.file.places import key_text
from engine.job.file.toml_text import END_MARK, TABLES, blocks, flat
from engine.job.model.base import Part
from engine.job.model.job import FORMAT, Job

MOST_KEPT = 20_000


@dataclass(frozen=True, slots=True)
class Piece:
    """One record's text, the record, and the keys that lead to it; a log entry has its list's name only."""

    record: Part
    keys: tuple[str, ...]
    text: str


_written: dict[tuple[tuple[str, ...], int], Piece] = {}
_read_back: dict[str, Part] = {}


def pieces(job: Job) -> Iterator[Piece]:
    """Every record of a job as text, in the order of the file."""
    for name in TABLES:
        value = getattr(job, name)
        if isinstance(value, Mapping):
            yield from (_piece(record, (name, key)) for key, record in value.items())
        elif isinstance(value, tuple):
            yield from (_piece(record, (name,)) for record in value)
        elif value is not None and (piece := _piece(value, (name,))).text:
            yield piece


def text_of(heading: Heading, parts: list[Piece]) -> str:
    """The text of a job file from its pieces."""
    return "\n".join([_first(heading), *(piece.text for piece in parts), END_MARK])


def reads_back(piece: Piece) -> bool:
    """Whether a piece, read by itself, is the record it was written from."""
    if _read_back.get(piece.text) == piece.record:
        return True
    try:
        said = tomllib.loads(piece.text)
        if any(refused(said, ())) or _held(Job.model_validate(said)) != [(piece.keys, piece.record)]:
            return False
    except (ValueError, RecursionError):
        return False
    _keep(_read_back, piece.text, piece.record)
    return True


def heading_reads_back(heading: Heading) -> bool:
    """Whether a heading, read by itself, is the one it was written from."""
    try:
        said = tomllib.loads(_first(heading))
        return said.pop("format") == FORMAT and not any(refused(said, ())) and Heading.model_validate(said) == heading
    except ValueError:
        return False


def _held(job: Job) -> list[tuple[tuple[str, ...], Part]]:
    """What a job read from one piece holds that isn't there by default."""
    found: list[tuple[tuple[str, ...], Part]] = []
    for name in job.model_fields_set:
        value = getattr(job, name)
        if isinstance(value, Mapping):
            found += [((name, key), record) for key, record in value.items()]
        elif isinstance(value, tuple):
            found += [((name,), record) for record in value]
        else:
            found.append(((name,), value))
    return found


def _first(heading: Heading) -> str:
    return flat(first_lines(heading))


def _piece(record: Part, keys: tuple[str, ...]) -> Piece:
    """The record's piece, from memory while it is the very same record."""
    kept = _written.get((keys, id(record)))
    if kept is not None and kept.record is record:
        return kept
    table: Any = lean(record)
    heading = ".".join(map(key_text, keys))
    wanted = [table] if keys == ("log",) else table
    made = Piece(record, keys, "\n".join(blocks(heading, wanted)) if table or len(keys) > 1 else "")
    _keep(_written, (keys, id(record)), made)
    return made


def _keep(memory: dict[Any, Any], key: object, value: object) -> None:
    if len(memory) >= MOST_KEPT:
        memory.clear()
    memory[key] = value
