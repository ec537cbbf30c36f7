"""The log as a file holds it, by time, and as a job holds it, in the order in which entries take effect.

Two laptops may mix the two: a move made before a plan that didn't know of it counts from that plan on. Such an entry says in the file
which one it follows.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate, pairwise
from typing import Any

from engine.job.errors import Problem
from engine.job.model.log_entries import LogEntry, in_time

FOLLOWS = "follows"
"""The key of an entry in the file: the id of the entry that it takes effect after, next to it, whatever their times."""


def by_time(log: tuple[LogEntry, ...]) -> list[tuple[LogEntry, str | None]]:
    """Entries by time, each with the id of the one before it by effect where that one, or one before that, is later; else with None."""
    latest = accumulate((entry.at for entry in log), max)
    follows = {entry.id: before.id for until, (before, entry) in zip(latest, pairwise(log), strict=False) if entry.at < until}
    return [(entry, follows.get(entry.id)) for entry in (in_time(log) if follows else log)]


def by_effect(tables: Any) -> tuple[list[int], list[Problem]]:
    """The numbers of a file's log entries in the order in which they take effect, and what is wrong with what they say of it."""
    log = tables if isinstance(tables, list) else []
    following: dict[str | None, list[int]] = defaultdict(list)
    waiting, found = set(), []
    for number, table in enumerate(log):
        if isinstance(table, Mapping) and FOLLOWS in table:
            if isinstance(table[FOLLOWS], str):
                waiting.add(number)
                following[table[FOLLOWS]].append(number)
            else:
                found.append(Problem(("log", number, FOLLOWS), "this is the id of another log entry, a text.", table[FOLLOWS]))
    order = []
    for number in range(len(log)):
        ahead = [] if number in waiting else [number]
        while ahead:
            order.append(last := ahead.pop())
            ahead += reversed(following.pop(_id(log[last]), ()))
    return order, [*found, *_lost(log, sorted(waiting.difference(order)))]


def without_follows(tables: Mapping[str, Any]) -> dict[str, Any]:
    """A file's tables without what its log says of the order."""
    log = tables.get("log")
    if not isinstance(log, list) or not any(isinstance(table, Mapping) and FOLLOWS in table for table in log):
        return dict(tables)
    plain = [{key: said for key, said in table.items() if key != FOLLOWS} if isinstance(table, Mapping) else table for table in log]
    return {**tables, "log": plain}


def _id(table: Any) -> str | None:
    name = table.get("id") if isinstance(table, Mapping) else None
    return name if isinstance(name, str) else None


def _lost(log: Sequence[Any], lost: Sequence[int]) -> Iterator[Problem]:
    ids = {_id(table) for table in log}
    for number in lost:
        name = log[number][FOLLOWS]
        known = "these entries follow each other in a circle" if name in ids else f"no log entry is called {name}"
        yield Problem(("log", number, FOLLOWS), f"{known}. Name the entry that this one takes effect after, or take the line out.", name)
