"""The logs of two copies joined: every entry of both, in time order; what a plan or a new way of one side didn't know comes after it.

A plan holds the moves that stand before it in the log: one that the other side had made earlier would be lost in it by its time.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from heapq import heapify, heappop, heappush
from itertools import pairwise

from engine.job.merge.told_apart import same_entry
from engine.job.model.log_entries import LogEntry, ObstacleEntry, OfPost, PlannedEntry, RerouteEntry, unstruck

Log = Sequence[LogEntry]


def joined_log(base: Log, ours: Log, theirs: Log) -> tuple[LogEntry, ...]:
    """All entries of both sides but those that one of them took out. What either side struck stays struck."""
    started, mine, yours = ({entry.id: entry for entry in log} for log in (base, ours, theirs))
    joined = {}
    for name in {**mine, **yours}:
        one, other = mine.get(name), yours.get(name)
        if one is not None and other is not None:
            joined[name] = _struck_as(started.get(name), one, other)
        elif name not in started and (only := one or other) is not None:
            joined[name] = only
    whole = {tuple(entry.id for entry in log) for log in (ours, theirs) if joined.keys() <= {entry.id for entry in log}}
    if len(whole) == 1:
        return tuple(joined[name] for name in whole.pop() if name in joined)
    return _in_order(joined, (base, ours, theirs), (mine, yours))


def _struck_as(base: LogEntry | None, ours: LogEntry, theirs: LogEntry) -> LogEntry:
    """An entry as the side that changed it has it, whichever of them struck it; where both struck it, as struck first."""
    if ours == base or theirs == base:
        return theirs if ours == base else ours
    struck = [entry for entry in (ours, theirs) if entry.struck_at is not None]
    first = min(struck, key=lambda entry: (entry.struck_at, entry.struck_by), default=ours)
    said = [entry for entry in (ours, theirs) if not same_entry(base, entry)]
    kept = min(said, key=lambda entry: unstruck(entry).model_dump_json(), default=first)
    return kept.model_copy(update={"struck_at": first.struck_at, "struck_by": first.struck_by})


def _in_order(
    joined: Mapping[str, LogEntry], logs: tuple[Log, Log, Log], sides: tuple[Mapping[str, LogEntry], ...]
) -> tuple[LogEntry, ...]:
    """By time and id, but what counts from another entry on comes after it, as it did where it was logged."""
    after: dict[str, set[str]] = defaultdict(set)
    for number, log in enumerate(logs):
        chained = [entry.id for entry in log if entry.id in joined and (number == 0 or _of_plan(joined[entry.id]))]
        for earlier, later in (*pairwise(chained), *_at_once(entry for entry in log if entry.id in joined)):
            after[earlier].add(later)
    for side, other in (sides, sides[::-1]):
        only = [entry for entry in joined.values() if entry.id not in side and _of_plan(entry)]
        for plan in joined.values():
            if plan.id in side and plan.id not in other and isinstance(plan, PlannedEntry | RerouteEntry) and plan.struck_at is None:
                for entry in only:
                    first, second = (entry, plan) if isinstance(entry, ObstacleEntry) else (plan, entry)
                    after[first.id].add(second.id)
    return tuple(joined[name] for name in _sorted(joined, after))


def _at_once(log: Iterable[LogEntry]) -> Iterator[tuple[str, str]]:
    """Each entry and the one before it of the same second."""
    last: dict[datetime, str] = {}
    for entry in log:
        if entry.at in last:
            yield last[entry.at], entry.id
        last[entry.at] = entry.id


def _of_plan(entry: LogEntry) -> bool:
    """Whether what an entry says depends on what came before it; what is struck says nothing any more."""
    depends = isinstance(entry, OfPost | PlannedEntry | RerouteEntry) or (isinstance(entry, ObstacleEntry) and entry.east_ft is None)
    return depends and entry.struck_at is None


def _sorted(joined: Mapping[str, LogEntry], after: Mapping[str, set[str]]) -> Iterable[str]:
    """Names in time order as far as what comes after what allows it."""
    waits: dict[str, int] = dict.fromkeys(joined, 0)
    for later in after.values():
        for name in later:
            waits[name] += 1
    ready = [(joined[name].at, name) for name, count in waits.items() if count == 0]
    heapify(ready)
    done: dict[str, None] = {}
    while len(done) < len(joined):
        if not ready:
            heappush(ready, min((joined[name].at, name) for name in joined if name not in done))
        _, name = heappop(ready)
        if name in done:
            continue
        done[name] = None
        for following in after.get(name, ()):
            waits[following] -= 1
            if waits[following] == 0:
                heappush(ready, (joined[following].at, following))
    return done
