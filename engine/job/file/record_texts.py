"""A job as text, record by record: one that stands in the version before as it is now keeps the text it has there."""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from engine.job.file.job_tables import table_of
from engine.job.file.log_order import FOLLOWS, by_time
from engine.job.model.base import Part
from engine.job.model.job import Job
from engine.job.toml.places import key_text
from engine.job.toml.toml_text import blocks

Place = tuple[str, object]
"""A table of the file and the key in it: a log entry has its number in the list, what stands alone has none."""


class RecordText(NamedTuple):
    """A record, its text in the file, empty where a table that stands alone says nothing, and the log entry that it says it follows."""

    record: Part
    text: str
    follows: str | None = None


RecordTexts = Mapping[Place, RecordText]


def record_texts(job: Job, before: RecordTexts) -> dict[Place, RecordText]:
    """The text of every record of a job in the order of the file; the very record that stood in the version before isn't written anew."""
    return {
        place: _known(before, place, record, follows) or RecordText(record, _text(place, record, follows), follows)
        for place, record, follows in _records(job)
    }


def only_new(job: Job, before: RecordTexts) -> Job:
    """A job of only those records that the version before didn't hold, or not as they are."""
    tables: dict[str, Any] = {}
    for (name, key), record, follows in _records(job):
        if _known(before, (name, key), record, follows) is None:
            if key is None:
                tables[name] = record
            else:
                tables.setdefault(name, {})[key] = record
    fresh = {id(entry) for entry in tables.get("log", {}).values()}
    return Job().model_copy(update={**tables, "log": tuple(entry for entry in job.log if id(entry) in fresh)})


def _known(before: RecordTexts, place: Place, record: Part, follows: str | None) -> RecordText | None:
    found = before.get(place)
    return found if found is not None and found.record is record and found.follows == follows else None


def _records(job: Job) -> Iterator[tuple[Place, Part, str | None]]:
    """Every record with its place in the file; a log entry with the one that it follows out of its time."""
    for name, value in job:
        if isinstance(value, dict):
            yield from (((name, key), record, None) for key, record in value.items())
        elif isinstance(value, tuple):
            yield from (((name, number), record, follows) for number, (record, follows) in enumerate(by_time(value)))
        elif isinstance(value, Part):
            yield (name, None), value, None


def _text(place: Place, record: Part, follows: str | None) -> str:
    name, key = place
    table = table_of(record)
    if key is None:
        return "\n".join(blocks(name, table)) if table else ""
    if isinstance(key, int):
        return "\n".join(blocks(name, [{**table, FOLLOWS: follows}]))
    return "\n".join(blocks(f"{name}.{key_text(str(key))}", table))
