"""Records that one side took out and the other called otherwise, ticked or read something of: asked, however it stands in their tables."""

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from engine.calc.phrases import listed
from engine.job.edit.subjects import records_of
from engine.job.errors import PathInFile
from engine.job.merge.asked import Conflict, Keep, in_order
from engine.job.merge.joined_ticks import only_lacks_facts
from engine.job.model.job import Job
from engine.job.model.words.key_words import item_words, record_words, said_words

Names = Collection[tuple[str, str]]
"""Of records, by table and name."""
MOST_SAID = 3


def with_asked_back(
    start: Job, ours: Job, theirs: Job, named: tuple[Names, Names], tables: Mapping[str, Any], keep: Keep
) -> tuple[dict[str, Any], list[Conflict]]:
    """The joined tables with what stands after all, and what has to be asked. `named` are by side the names that it gave."""
    joined, conflicts = dict(tables), []
    for here, (side, other) in enumerate(((ours, theirs), (theirs, ours))):
        for (table, name), did in _touched(start, side, other, named[1 - here]).items():
            words = "it was taken out", f"it stands, and {did}"
            asked = Conflict((table, name), record_words(table, name), *(words if here == 0 else words[::-1]))
            conflicts.append(asked)
            if keep.of(asked) == ("theirs" if here == 0 else "ours"):
                rows = {**joined[table], name: getattr(other, table)[name].model_dump()}
                order = in_order(getattr(start, table), getattr(ours, table), getattr(theirs, table))
                joined[table] = {row: rows[row] for row in order if row in rows}
    return joined, conflicts


def ticked_besides(start: Job, ours: Job, theirs: Job) -> dict[PathInFile, str]:
    """What was ticked or read of records that the other side took out, in words."""
    both = ((ours, theirs), (theirs, ours))
    return {(table, name): did for side, other in both for (table, name), did in _ticks_of(start, side, other).items()}


def _touched(start: Job, side: Job, other: Job, named: Names) -> dict[tuple[str, str], str]:
    """What a side took out, as it was in the version before, and what the other did to it."""
    found = {record: "is called so now" for record in named if _taken_out(start, side, other, record)}
    found |= _ticks_of(start, side, other)
    return {(table, name): did for (table, name), did in found.items() if getattr(other, table)[name] == getattr(start, table)[name]}


def _ticks_of(start: Job, side: Job, other: Job) -> dict[tuple[str, str], str]:
    ticked: dict[tuple[str, str], list[str]] = {}
    for record, says in _ticked(start, side, other):
        ticked.setdefault(record, []).append(says)
    more = {record: [f"{len(said) - MOST_SAID} more"] if len(said) > MOST_SAID else [] for record, said in ticked.items()}
    return {record: f"was ticked: {listed([*said[:MOST_SAID], *more[record]])}" for record, said in ticked.items()}


def _ticked(start: Job, side: Job, other: Job) -> Iterator[tuple[tuple[str, str], str]]:
    for key, tick in other.checks.items():
        was = start.checks.get(key)
        if tick == was or only_lacks_facts(was, tick):
            continue
        stood = list(records_of(start, key))
        out = [record for record in stood if _taken_out(start, side, other, record)]
        if out and not any(name in getattr(side, table) for table, name in stood):
            yield out[0], f"{item_words(key)} {said_words(tick)}" if tick.reading is not None else item_words(key)


def _taken_out(start: Job, side: Job, other: Job, record: tuple[str, str]) -> bool:
    table, name = record
    return name in getattr(start, table) and name in getattr(other, table) and name not in getattr(side, table)
