"""Two versions of a job made into one: what only one side changed is taken, log and ticks are joined, the rest is asked."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import ValidationError

from engine.job.errors import PathInFile
from engine.job.merge.merge_log import joined_log, with_free_post_ids
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import problems
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, SignedEntry, SupersededEntry
from engine.job.model.log_sentences import sentence
from engine.job.model.refusals import problems_of

Side = Literal["ours", "theirs"]
Ticks = Mapping[ItemKey, Tick]
_JOINED = ("format", "log", "checks", "record")


class _Missing:
    """Stands where a side has no such key."""


MISSING = _Missing()


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact that both sides changed: where, what each says (None where it took it out), and a sentence."""

    path: PathInFile
    ours: object
    theirs: object
    says: str


@dataclass(frozen=True, slots=True)
class Merged:
    """The job of both sides, sentences on what came in from theirs, and what has to be asked.

    Where something has to be asked, `job` holds the side that was to be kept.
    """

    job: Job
    came_in: tuple[str, ...]
    conflicts: tuple[Conflict, ...]


def merge(base: Job | None, ours: Job, theirs: Job, keep: Side = "ours") -> Merged:
    """One job from two that were changed apart.

    Log entries are joined by id, ticks by the newest, every other fact is taken from the side that changed it. A post that both
    sides added under one id gets another id on our side. A version signed by the other side stands as it was signed.
    """
    start = base or Job()
    if theirs.record is not None and theirs.record != start.record:
        says = "The job was signed off on the other side meanwhile. What you changed since isn't in it: reopen it to add that."
        return Merged(theirs, tuple(came_in(start, theirs)), (Conflict(("record",), None, theirs.record, says),))
    signed = ours.record is not None and theirs != start
    ours, renamed = with_free_post_ids(start, _without_signature(start, ours) if signed else ours, theirs)
    again = "The job changed on disk while you signed. Look at what came in, then sign again."
    conflicts = [Conflict(("record",), None, None, again)] if signed else []
    tables = _merged_value(_facts(start) if base else MISSING, _facts(ours), _facts(theirs), (), keep, conflicts)
    whole = {**tables, "log": joined_log(start.log, ours.log, theirs.log), "checks": _ticks(start.checks, ours.checks, theirs.checks)}
    job, broken = _unless_broken({**whole, "record": ours.record}, ours if keep == "ours" else theirs)
    return Merged(job, (*renamed, *came_in(start, theirs)), (*conflicts, *broken))


def _without_signature(start: Job, ours: Job) -> Job:
    known = {entry.id for entry in start.log}
    log = tuple(entry for entry in ours.log if entry.id in known or not isinstance(entry, SignedEntry))
    return ours.model_copy(update={"record": None, "log": log})


def _facts(job: Job) -> dict[str, Any]:
    return job.model_dump(exclude=set(_JOINED))


def _merged_value(base: Any, ours: Any, theirs: Any, path: PathInFile, keep: Side, conflicts: list[Conflict]) -> Any:
    """One value from three: the changed one, or table by table, or the kept one with a conflict."""
    if ours == theirs or theirs == base:
        return ours
    if ours == base:
        return theirs
    if isinstance(ours, dict) and isinstance(theirs, dict):
        held = base if isinstance(base, dict) else {}
        merged = {
            key: _merged_value(held.get(key, MISSING), ours.get(key, MISSING), theirs.get(key, MISSING), (*path, key), keep, conflicts)
            for key in [*ours, *(key for key in theirs if key not in ours)]
        }
        return {key: value for key, value in merged.items() if value is not MISSING}
    where = " ".join(map(str, path))
    says = f"Both sides changed {where}: here {_side_words(ours)}, on the disk {_side_words(theirs)}."
    conflicts.append(Conflict(path, _or_none(ours), _or_none(theirs), says))
    return ours if keep == "ours" else theirs


def _or_none(value: object) -> object:
    return None if value is MISSING else value


def _side_words(value: object) -> str:
    if value is MISSING:
        return "it was taken out"
    if isinstance(value, dict):
        return "it was changed"
    return ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _ticks(base: Ticks, ours: Ticks, theirs: Ticks) -> dict[ItemKey, Tick]:
    """Ticks of both sides: the changed one, of two changed ones the newest."""
    merged = {key: _newer_tick(base.get(key), ours.get(key), theirs.get(key)) for key in [*ours, *theirs]}
    return {key: tick for key, tick in merged.items() if tick is not None}


def _newer_tick(base: Tick | None, ours: Tick | None, theirs: Tick | None) -> Tick | None:
    if ours == base or theirs == base:
        return theirs if ours == base else ours
    if ours is None or theirs is None:
        return ours or theirs
    return ours if ours.at >= theirs.at else theirs


def _unless_broken(tables: dict[str, Any], kept: Job) -> tuple[Job, list[Conflict]]:
    """The merged job where it keeps every rule, else the kept side and why."""
    try:
        job = Job.model_validate(tables)
        broken = problems(job)
    except ValidationError as error:
        broken = problems_of(error, Job)
    if not broken:
        return job, []
    says = "The two versions don't fit together, so one of them has to be kept: "
    return kept, [Conflict(problem.path, problem.value, problem.value, says + problem.message) for problem in broken]


def came_in(base: Job, theirs: Job) -> Iterator[str]:
    """A sentence for everything that theirs has and the base hasn't, or the other way round."""
    known = {entry.id for entry in base.log}
    fresh = (entry for entry in theirs.log if entry.id not in known)
    yield from (_entry_words(entry) for entry in fresh if not isinstance(entry, SupersededEntry))  # its tick is told
    gone = known - {entry.id for entry in theirs.log}
    yield from (f"Taken back: {sentence(entry)}" for entry in base.log if entry.id in gone)
    before = {entry.id: entry for entry in base.log}
    for entry in theirs.log:
        if entry.id in before and (entry.struck_at is None) != (before[entry.id].struck_at is None):
            yield f"{'Stands again' if entry.struck_at is None else 'Taken back'}: {sentence(entry)}"
    for key in [*theirs.checks, *(key for key in base.checks if key not in theirs.checks)]:
        tick = theirs.checks.get(key)
        if tick != base.checks.get(key):
            yield f"{key}: {tick.state}, by {tick.by}." if tick else f"{key}: open again."
    yield from _changed_facts(_facts(base), _facts(theirs))


def _entry_words(entry: LogEntry) -> str:
    by = f", by {entry.by}" if entry.by else ""
    words = f"{entry.post} is new" if isinstance(entry, AddEntry) else "Logged"
    return f"{words}{by}: {sentence(entry)}"


def _changed_facts(base: Mapping[str, Any], theirs: Mapping[str, Any]) -> Iterator[str]:
    for table in theirs:
        before, after = base[table], theirs[table]
        for key in [*after, *(key for key in before if key not in after)]:
            if key not in after:
                yield f"{table} {key} was taken out."
            elif after[key] != before.get(key, MISSING):
                yield f"{table} {key} was {'changed' if key in before else 'added'}."
