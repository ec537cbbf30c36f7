"""Two versions of a job made into one: what only one side changed is taken, log and ticks are joined, the rest is asked."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from engine.calc.phrases import first_few, listed
from engine.job.errors import PathInFile
from engine.job.merge.asked import Conflict, Keep, Side, in_order
from engine.job.merge.asked_posts import SettledCopies, plans_settled, posts_settled
from engine.job.merge.began import MISSING, Began, facts_of, known_start, names_before, told_start
from engine.job.merge.came_in import came_in
from engine.job.merge.joined_log import joined_log
from engine.job.merge.joined_ticks import joined_ticks
from engine.job.merge.lengths_as_typed import lengths_as_typed
from engine.job.merge.lone_facts import LoneFacts, lone_facts
from engine.job.merge.misfits import fields_changed, made_to_fit
from engine.job.merge.plans_back import PLAN_TABLES
from engine.job.merge.records_apart import records_apart
from engine.job.merge.renamed_records import CalledAlike, called_alike
from engine.job.merge.taken_layouts import with_taken_layouts
from engine.job.merge.taken_out import Names, ticked_besides, with_asked_back
from engine.job.merge.told_apart import told_apart
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SignedEntry, struck, with_entries
from engine.job.model.words.key_words import FIELD_TABLES, fact_words, told_value
from engine.job.model.words.refusals import problems_of

SIGNED_THERE, SIGNED_HERE, WHOLE = ("record",), ("record", "here"), ("whole",)
GO_ON_SIGNED = "go on with the signed job; mine is kept until it is reopened"
"""What is asked of no single fact: a side that was signed, and two versions that don't fit together."""
MOST_APART = 4
"""Of what two layouts of one name have otherwise."""


@dataclass(frozen=True, slots=True)
class Merged:
    """The job of both sides, sentences on what came in from theirs, and what has to be asked. Where something has to be asked, `job` holds
    what was to be kept. `lone` is what only ours and what only theirs had, where no version is known that both came from."""

    job: Job
    came_in: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    lone: tuple[LoneFacts, LoneFacts] = (LoneFacts(), LoneFacts())


def merge(base: Job | None, ours: Job, theirs: Job, keep: Side | Keep = "ours") -> Merged:
    """One job from two that were changed apart, the same whichever is named first.

    Log entries are joined by id, every other fact is taken from the side that changed it. Where both changed one fact the kept side's
    stands, and it is asked; `keep` says whose that is, for all or for each. What isn't kept of the log is struck, an overruled tick goes
    into the log. Of two things of one name one gets another. A version signed by the other side stands as it was signed.
    """
    start = base or Job()
    if theirs.record is not None and theirs.record != start.record and ours != base:
        says = "The job was signed off on the other side meanwhile, without what you changed."
        return Merged(theirs, tuple(came_in(start, theirs)), (Conflict(SIGNED_THERE, "", "", GO_ON_SIGNED, says),))
    signed = ours.record is not None and theirs != start
    conflicts: list[Conflict] = []
    if signed:
        ours = _without_signature(start, ours)
        again = "The job changed on disk while you signed. Look at what came in, then sign again."
        conflicts.append(Conflict(SIGNED_HERE, "", "take in what came; the signature doesn't hold", "", again))
    if ours == theirs or (base is not None and base in (ours, theirs)):
        job = lengths_as_typed(base, ours, theirs, theirs if ours == base else ours)
        return Merged(job, tuple(came_in(ours, job)), tuple(conflicts))
    keep = keep if isinstance(keep, Keep) else Keep(otherwise=keep)
    alike = called_alike(start, ours, theirs, keep) if base else CalledAlike(start, ours, theirs)
    records = records_apart(alike.start if base else None, alike.ours, alike.theirs)
    apart = told_apart(records.start if base else names_before(told_start(records.ours, records.theirs)), records.ours, records.theirs)
    began = known_start(records.start, apart.ours, apart.theirs) if base else told_start(apart.ours, apart.theirs)
    job, asked = _joined(began, apart.ours, apart.theirs, alike.named, keep)
    job = lengths_as_typed(records.start if base else None, apart.ours, apart.theirs, job)
    merged = Merged(job, (*alike.says, *records.says, *apart.says, *came_in(apart.ours, job)), (*conflicts, *alike.conflicts, *asked))
    return merged if base else replace(merged, lone=lone_facts(began, apart.ours, apart.theirs, job))


def _joined(began: Began, ours: Job, theirs: Job, named: tuple[Names, Names], keep: Keep) -> tuple[Job, list[Conflict]]:
    start = began.ours
    unsure = not began.sure and any(getattr(ours, table) != getattr(theirs, table) for table in PLAN_TABLES)
    plans = plans_settled(began, ours, theirs, keep, also=unsure)
    both = posts_settled(start, plans.ours, plans.theirs, keep)
    tables, differ = _tables(began, both, named, keep)
    if not plans.conflicts and any(conflict.path[0] in PLAN_TABLES for conflict in differ):
        plans = plans_settled(began, ours, theirs, keep, also=True)
        both = posts_settled(start, plans.ours, plans.theirs, keep)
        tables, differ = _tables(began, both, named, keep)
    whole, ticked = _put_together(began, both, tables, keep)
    asked = [*plans.conflicts, *both.conflicts, *ticked, *differ]
    if _checked(whole)[0] is None:
        both, whole, misfits = _made_to_fit(began, both, named, keep)
        asked += misfits
    job, broken = _unless_broken(whole, both, keep)
    return with_taken_layouts(start, ours, theirs, job), [*asked, *broken]


def _made_to_fit(
    began: Began, both: SettledCopies, named: tuple[Names, Names], keep: Keep
) -> tuple[SettledCopies, dict[str, Any], tuple[Conflict, ...]]:
    """Copies that break a rule only together, once it is settled whose changes stand; what they make; and what has to be asked."""

    def whole(copies: SettledCopies) -> dict[str, Any]:
        return _put_together(began, copies, _tables(began, copies, named, keep)[0], keep)[0]

    fitting = made_to_fit(began, both, lambda copies: _checked(whole(copies))[1], keep)
    return fitting, whole(fitting), fitting.conflicts


def _put_together(began: Began, both: SettledCopies, tables: Mapping[str, Any], keep: Keep) -> tuple[dict[str, Any], tuple[Conflict, ...]]:
    """The joined tables with log and ticks of both, and what of these has to be asked."""
    ticks = joined_ticks(began.ours, both.ours, both.theirs, keep)
    known = {entry.id for side in (both.ours, both.theirs) for entry in side.log}
    overruled = tuple(entry for entry in ticks.superseded if entry.id not in known)
    log = joined_log(began.ours.log, with_entries(both.ours.log, overruled), with_entries(both.theirs.log, overruled))
    return {**tables, "log": log, "checks": ticks.checks, "record": both.ours.record}, ticks.conflicts


def _tables(began: Began, both: SettledCopies, named: tuple[Names, Names], keep: Keep) -> tuple[dict[str, Any], list[Conflict]]:
    conflicts: list[Conflict] = []
    start = began.ours if began.sure else Job()
    ticked = ticked_besides(start, both.ours, both.theirs)
    tables = _merged_value(began.facts, facts_of(both.ours), facts_of(both.theirs), (), keep, conflicts, ticked)
    tables, back = with_asked_back(start, both.ours, both.theirs, named, tables, keep)
    return tables, [*conflicts, *back]


def _without_signature(start: Job, ours: Job) -> Job:
    known = {entry.id for entry in start.log}
    log = tuple(entry for entry in ours.log if entry.id in known or not isinstance(entry, SignedEntry))
    return ours.model_copy(update={"record": None, "log": log})


def _merged_value(
    base: Any, ours: Any, theirs: Any, path: PathInFile, keep: Keep, conflicts: list[Conflict], ticked: Mapping[PathInFile, str]
) -> Any:
    """One value from three: the changed one, or table by table, or the kept one with a conflict, which tells what else was `ticked`."""
    if ours == theirs:
        return _in_one_order(base, ours, theirs)
    if theirs == base:
        return ours
    if ours == base:
        return theirs
    if isinstance(ours, dict) and isinstance(theirs, dict) and not _one_layout(path):
        held = base if isinstance(base, dict) else {}

        def joined(keep: Keep, asked: list[Conflict]) -> dict[str, Any]:
            rows = ((key, *(side.get(key, MISSING) for side in (held, ours, theirs))) for key in in_order(held, ours, theirs))
            merged = {key: _merged_value(was, one, other, (*path, key), keep, asked, ticked) for key, was, one, other in rows}
            return {key: value for key, value in merged.items() if value is not MISSING}

        made_twice = base is MISSING and len(path) > 1
        if not _is_record(path) or not (
            made_twice or any(not _stands_alone(path, joined(Keep(otherwise=side), [])) for side in ("ours", "theirs"))
        ):
            return joined(keep, conflicts)
        alike = {key: value for key, value in ours.items() if theirs.get(key, MISSING) == value}
        words = [listed(list(fields_changed(path, held | alike, side))) for side in (ours, theirs)]
    elif isinstance(ours, dict) and isinstance(theirs, dict):
        stands = "new" if base is MISSING else "changed"
        words = [f"{stands}, with {first_few(list(_apart(path, *both)), MOST_APART)}" for both in ((ours, theirs), (theirs, ours))]
    else:
        words = [_side_words(path, side, ticked.get(path, "")) for side in (ours, theirs)]
    asked = Conflict(path, fact_words(path), *words)
    conflicts.append(asked)
    return ours if keep.of(asked) == "ours" else theirs


def _in_one_order(base: Any, ours: Any, theirs: Any) -> Any:
    """Two that differ in the order of their rows at most, in the order of the side that changed it."""
    if not isinstance(ours, dict) or not isinstance(theirs, dict):
        return ours
    held = base if isinstance(base, dict) else {}
    mine, yours, before = list(ours), list(theirs), list(held)
    names = mine if yours in (mine, before) else yours if mine == before else in_order(held, ours, theirs)
    return {name: _in_one_order(held.get(name), ours[name], theirs[name]) for name in names}


def _one_layout(path: PathInFile) -> bool:
    """Whether this is an alternative, which is kept as one side has it: a layout made of two is nobody's."""
    return len(path) == 2 and path[0] == "alternatives"


def _apart(path: PathInFile, one: Mapping[str, Any], other: Mapping[str, Any]) -> Iterator[str]:
    """What a layout has that another one of its name has otherwise: `height 6' 0"`, `gate side`, `no gate side`."""
    for key in in_order((), one, other):
        value, yours, at = one.get(key, MISSING), other.get(key, MISSING), (*path, key)
        what = fact_words(at).removeprefix(f"{fact_words(path[:2])}, ").removeprefix("fence, ")
        if value == yours:
            continue
        if isinstance(value, dict):
            yield from _apart(at, value, yours) if isinstance(yours, dict) else (what,)
        else:
            yield f"no {what}" if value in (MISSING, None, "") else f"{what} {told_value(at[2:], value)}"


def _is_record(path: PathInFile) -> bool:
    """Whether this is one record, or a table that holds only fields."""
    return len(path) == (1 if path and path[0] in FIELD_TABLES and path[0] != "rules" else 2)


def _stands_alone(path: PathInFile, fields: dict[str, Any]) -> bool:
    """Whether a record of which each side changed something keeps the rules of its kind."""
    try:
        Job.model_validate({path[0]: {path[1]: fields} if len(path) > 1 else fields})
    except ValidationError:
        return False
    return True


def _side_words(path: PathInFile, value: object, ticked: str) -> str:
    if value is MISSING:
        return "it was taken out"
    if isinstance(value, dict):
        return f"it stands, was changed, and {ticked}" if ticked else "it stands, and was changed"
    return told_value(path, value)


def _unless_broken(tables: dict[str, Any], sides: SettledCopies, keep: Keep) -> tuple[Job, list[Conflict]]:
    """The merged job where it keeps every rule; else the kept side's with the log and the ticks of both, or the kept side; and why."""
    job, broken = _checked(tables)
    if job is not None:
        return job, []
    more = f" And {len(broken) - 1} more like it." if len(broken) > 1 else ""
    misfit = f"{broken[0].message}{more}"
    why = f"The two versions don't fit together, so one of them has to be kept: {misfit}"
    here, there = (f"all as it is {where}, with log and ticks of both" for where in ("here", "on the other side"))
    asked = Conflict(WHOLE, misfit, here, there, why)
    kept = sides.ours if keep.of(asked) == "ours" else sides.theirs
    both, still = _checked(fallback := {**kept.model_dump(), "log": tables["log"], "checks": tables["checks"]})
    if both is None:
        both, _ = _checked({**fallback, "log": _without_what_does_not_fit(tables["log"], kept, still)})
    return both or kept, [asked]


def _without_what_does_not_fit(log: tuple[LogEntry, ...], kept: Job, broken: list[Any]) -> tuple[LogEntry, ...]:
    """The log of both with the other side's entries struck that the kept side has no place for: they stay to be read."""
    wrong = {problem.path[1] for problem in broken if problem.path[0] == "log" and len(problem.path) > 1}
    mine = {entry.id for entry in kept.log}
    last = max((entry for entry in log if entry.id in mine), key=lambda entry: (entry.at, entry.id), default=log[-1])
    at = max(entry.at for entry in log)
    return tuple(struck(entry, at, last.by) if n in wrong and entry.id not in mine else entry for n, entry in enumerate(log))


def _checked(tables: dict[str, Any]) -> tuple[Job | None, list[Any]]:
    try:
        job = Job.model_validate(tables)
        broken = problems(job)
    except ValidationError as error:
        return None, problems_of(error, Job)
    return (None if broken else job), broken
