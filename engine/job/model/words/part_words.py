"""What was changed in a signed-off file since, part by part, as a crew says it: `The reading of P4 driven depth was changed.`"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from engine.calc.phrases import counted, first_few
from engine.job.errors import shown
from engine.job.model.cross_checks import NOUNS
from engine.job.model.log_entries import LogEntry
from engine.job.model.words.field_words import field_words
from engine.job.model.words.key_words import CHECKS, FIELD_TABLES, LOG, RECORD, fact_words, record_words, stock_words, ticked_words
from engine.job.model.words.log_sentences import called, day_of

MOST_NAMED = 6
"""So many parts of one kind are named before the others are counted."""
ORDER = "The order of the log's entries was changed."
LIST_CHANGED = "The seal's own list of parts was changed, too, or taken out: what else was changed can't be named by it."
ONLY_THE_NUMBER = (
    "Every part is as the seal's own list has it: the number of the seal was changed, or a part was changed together with that list."
)
_LONGEST_NAME, _LONGEST = 80, 1_000
_TICKS = ("tick", "reading")
_MANY = {"utilities": "utilities", "boundaries": "boundaries", "surfaces": "hard stretches", "heights": "changes of height"}
_NOUN = {**NOUNS, "points": "point", "stock": "stock row", LOG: "log entry"}

How = Literal["changed", "put in", "taken out", "read", "order", "only written otherwise"]


class ChangedPart(NamedTuple):
    """A part of the file by its table, `record.supports` for one in a table, and its name there: of a tick its key, of a log entry its id.
    `read` is a tick whose reading, or more than that, was changed; `order` is of the log as a whole; what was `only written otherwise` says
    what it said."""

    table: str
    name: str
    how: How


@dataclass(frozen=True, slots=True)
class PartsChanged:
    """What was changed in a file since it was signed, by its own list of parts; nothing where that list isn't `sound`."""

    parts: tuple[ChangedPart, ...]
    sound: bool


def changed_words(changed: PartsChanged, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """A sentence a kind of part and what became of it; `log` is the job's, as the file has it now."""
    if not changed.sound:
        return (LIST_CHANGED,)
    entries = {entry.id: entry for entry in log}
    kinds: dict[tuple[str, How], list[str]] = defaultdict(list)
    for part in changed.parts:
        kinds[part.table, part.how].append(part.name)
    told = (_sentence(table, how, names, entries) for (table, how), names in kinds.items())
    return tuple(shown(says, _LONGEST) for says in told) or (ONLY_THE_NUMBER,)


def _sentence(table: str, how: How, names: Sequence[str], entries: dict[str, LogEntry]) -> str:
    became = "changed" if how == "read" else how
    if how == "order":
        return ORDER
    if len(names) == 1:
        return f"{_one(table, how, names[0], entries)} was {became}."
    told = [shown(_in_a_row(table, name, entries), _LONGEST_NAME) for name in names]
    return f"{_several(table, how, len(names))} were {became}: {first_few(told, MOST_NAMED)}."


def _one(table: str, how: How, name: str, entries: dict[str, LogEntry]) -> str:
    if table == CHECKS:
        return f"The {_TICKS[how == 'read']} of {shown(_in_a_row(table, name, entries), _LONGEST_NAME)}"
    if table == LOG:
        return called(entries[name]) if name in entries else f"A log entry {day_of(name)}".strip()
    outer, _, inner = table.partition(".")
    if inner:
        return fact_words((outer, inner, shown(name, _LONGEST_NAME)))
    if table == RECORD:
        return f"What the record has under {_in_a_row(table, name, entries)}"
    return record_words(table, shown(name, _LONGEST_NAME)).strip()


def _in_a_row(table: str, name: str, entries: dict[str, LogEntry]) -> str:
    """A part among others of its kind."""
    if table == CHECKS:
        return ticked_words(name)
    if table == LOG:
        return _small(called(entries[name])) if name in entries else f"one {day_of(name) or 'of an unknown day'}"
    if table == "stock":
        return stock_words(name)
    return field_words(table, name).lower() if _of_fields(table) else name


def _several(table: str, how: How, count: int) -> str:
    """How many of which kind: `2 points`, `3 readings`, `2 things of the fence`, `4 of the record's supports`."""
    outer, _, inner = table.partition(".")
    if table == CHECKS:
        return counted(count, _TICKS[how == "read"])
    if table == LOG:
        return counted(count, "log entry", "log entries")
    if _of_fields(table):
        return f"{counted(count, 'thing')} of {_small(_whole(outer))}{f' {inner}' if inner else ''}"
    if inner:
        return f"{count} of {_small(_whole(outer))}'s {_stem(inner)}"
    noun = _NOUN.get(table, table).lower()
    return counted(count, noun, _MANY.get(table, ""))


def _of_fields(table: str) -> bool:
    """Whether the names in a table are fields, not names that people gave."""
    return table == RECORD or table.partition(".")[0] == "rules" or table in FIELD_TABLES


def _whole(table: str) -> str:
    """A table that parts are in: `The record`, `The fence`."""
    return "The record" if table == RECORD else record_words(table, "").strip()


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"


def _stem(inner: str) -> str:
    return inner.removesuffix("_ft").replace("_", " ")
