"""Items, ticks and records of a file in a few words."""

from engine.calc.lengths import format_ft_in, format_in
from engine.job.errors import PathInFile
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import NOUNS
from engine.job.model.item_key import ItemKey
from engine.job.model.words.field_words import field_words

_MORE_NOUNS = {
    "job": "The job's", "fence": "The fence's", "rules": "The rules for", "utility_notice": "The utility notice's", "points": "Point",
    "stock": "Stock row", "rough": "The first talk's", "repair_of": "The job before's",
}  # fmt: skip
FIELD_TABLES = ("job", "fence", "rules", "utility_notice", "rough", "repair_of")
"""Tables that hold fields, not records."""


def item_words(key: ItemKey) -> str:
    """An item by what it is about and what is asked: `P7 driven depth`."""
    subject = "" if key.subject == "job" else f"{key.about} "
    return f"{subject}{key.what.replace('_', ' ')}".strip()


def said_words(tick: Tick) -> str:
    """What a tick says by itself: its reading, or its state where nothing was read."""
    if tick.reading_in is not None:
        return format_in(tick.reading_in)
    return tick.state if tick.reading_ft is None else format_ft_in(tick.reading_ft)


def fact_words(path: PathInFile) -> str:
    """A field of a record, or a record, by its place in the file: `Post P7, station`, `The fence's height`."""
    table, name = str(path[0]), str(path[1]) if len(path) > 1 else ""
    if len(path) < 3:
        return record_words(table, name)
    field = field_words(table, str(path[2]))
    return f"{record_words(table, name)}, {field[:1].lower()}{field[1:]}"


def record_words(table: str, name: str) -> str:
    """A record by its kind and name, or a field of a table that has no records: `Post P7`, `The fence's height`; that table without one."""
    noun = {**NOUNS, **_MORE_NOUNS}.get(table, table)
    if table not in FIELD_TABLES:
        return f"{noun} {name}"
    if not name:
        return noun.removesuffix("'s")
    field = field_words(table, name)
    return f"{noun} {field[:1].lower()}{field[1:]}"
