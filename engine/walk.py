"""The walk: everything worked out from a job, nine stages in order. A pure function: the same job gives the same walk everywhere."""

from collections import deque
from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cached_property, partial
from operator import is_
from types import ModuleType
from typing import Protocol, TypeVar

from engine.answers import NOT_ANSWERED, Answered, answered_again
from engine.calc import remember
from engine.calc.frozen import dataclass
from engine.calc.units import Units, in_units, units_now
from engine.checklist import Checklist, Item, Stood, TicksOf, changed_findings, reading_findings
from engine.findings import STAGES, Finding, StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.stages.bracing import stage as bracing
from engine.stages.cables import stage as cables
from engine.stages.fabric import stage as fabric
from engine.stages.gate import stage as gate
from engine.stages.layout import stage as layout
from engine.stages.layout.sleeves_in_ground import repair_now
from engine.stages.posts import stage as posts
from engine.stages.posts.sleeves.sleeve_ticks import with_sleeves_back
from engine.stages.posts_in_sleeves import posts_in_sleeves
from engine.stages.punch import stage as punch
from engine.stages.sorted_ticks import SortedTicks, sorted_ticks
from engine.stages.staking import stage as staking
from engine.stages.standing_line import as_it_stood, drives_anew, new_cable, new_fabric, without_last_visit, without_marks
from engine.stages.survey import stage as survey
from engine.stages.takeoff import Takeoff, takeoff


class StageResult(Protocol):
    """What every stage result has."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Findings of the stage."""
        ...

    @property
    def items(self) -> tuple[Item, ...]:
        """Checklist items of the stage."""
        ...


@dataclass(frozen=True)
class Walk:
    """Nine results in order, with the checklists and findings of each stage (readings out of range included) and the take-off."""

    survey: survey.Survey
    layout: layout.Layout
    posts: posts.Posts
    bracing: bracing.Bracing
    cables: cables.Cables
    fabric: fabric.Fabric
    staking: staking.Staking
    gate: gate.Gates
    punch: punch.Punch
    checklists: Mapping[StageName, Checklist]
    stage_findings: Mapping[StageName, tuple[Finding, ...]]
    takeoff: Takeoff

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, in stage order."""
        return tuple(finding for found in self.stage_findings.values() for finding in found)

    @cached_property
    def in_sleeves(self) -> Mapping[str, datetime]:
        """Posts that stand in a sleeve in the ground, with when that was first ticked."""
        return posts_in_sleeves(self.layout, self.posts, self.checklists)


def walk(job: Job) -> Walk:
    """Everything worked out from a job. A stage whose parts of the job and whose earlier results are the same objects as a moment ago is
    not worked out again; inside a stage `remembered` does the same for one post, bay or loop. Safe to call from several threads. Lengths
    in its sentences are in the job's units."""
    with in_units(job.job.units):
        return _walked(job)


def begin(job: Job) -> None:
    """A walk's first two stages, which the whole of it then finds: for a moment in which there isn't time for all."""
    with in_units(job.job.units):
        _begun(job)


def _begun(job: Job) -> tuple[Job, SortedTicks, survey.Survey, layout.Layout]:
    if (begun := repair_now(job)) is not job.repair_of:
        job = job.model_copy(update={"repair_of": begun})
    ticks = _kept("ticks", (job.checks,), lambda: _sorted(job.checks))
    surveyed = _once(ticks, survey, survey.survey, job)
    return job, ticks, surveyed, _once(ticks, layout, layout.layout, job, surveyed)


def _walked(job: Job) -> Walk:
    job, ticks, surveyed, laid = _begun(job)
    once = partial(_once, ticks)
    stood = once(posts, posts.posts, job, surveyed, laid)
    braced = once(bracing, bracing.bracing, job, surveyed, laid, stood)
    strung = once(cables, cables.cables, job, surveyed, laid, stood, braced)
    hung = once(fabric, fabric.fabric, job, surveyed, laid, stood, strung)
    staked = once(staking, staking.staking, job, surveyed, laid, hung)
    gates = once(gate, gate.gate, job, surveyed, laid, stood)
    results: tuple[StageResult, ...] = (surveyed, laid, stood, braced, strung, hung, staked, gates)
    checklists: dict[StageName, Checklist] = {}
    found: dict[StageName, tuple[Finding, ...]] = {}
    given = dict(ticks.by_stage)
    given["posts"] = with_sleeves_back(given.get("posts", {}), stood.items, job.log, laid.stood, job.repair_of)
    drive: tuple[tuple[StageName, StageResult], ...] = (("posts", stood), ("bracing", braced), ("staking", staked), ("gate", gates))
    anew = job.repair_of is not None and drives_anew(
        job, (_answered(name, result, given.get(name, {}), laid.stood)[0] for name, result in drive)
    )
    given["survey"] = without_marks(given.get("survey", {}), job, anew=anew)
    for name, result in zip(STAGES, results, strict=False):
        checklists[name], said = _answered(name, result, given.get(name, {}), laid.stood)
        found[name] = as_it_stood(said, job, checklists[name], anew=anew)
    strung, hung = new_cable(job, strung, checklists["cables"]), new_fabric(job, hung, checklists["fabric"])
    counted = takeoff(job, laid, stood, braced, strung, hung, staked, gates, checklists)
    open_findings = tuple(finding for of_stage in found.values() for finding in of_stage)
    closing = punch.punch(job, surveyed, laid, stood, hung, gates, checklists, open_findings, counted)
    own = without_last_visit(ticks.by_stage.get("punch", {}), job, checklists)
    checklists["punch"], found["punch"] = _answered("punch", closing, own, laid.stood)
    return Walk(surveyed, laid, stood, braced, strung, hung, staked, gates, closing, checklists, found, counted)


def _sorted(checks: Mapping[ItemKey, Tick]) -> SortedTicks:
    ticks = sorted_ticks(checks)
    return SortedTicks({stage: _as_kept(stage, own) for stage, own in ticks.by_stage.items()}, ticks.by_what)


def _as_kept(stage: str, own: Mapping[ItemKey, Tick]) -> Mapping[ItemKey, Tick]:
    """A stage's ticks as the very object of before, where they are the same: its checklist is then answered as it was."""
    return _kept(f"{stage} ticks", (*own, *own.values()), lambda: own)


def _answered(name: StageName, result: StageResult, own: Mapping[ItemKey, Tick], stood: Stood) -> tuple[Checklist, tuple[Finding, ...]]:
    checklist, found = _kept(f"{name} answered", (result.items, stood, own), lambda: _checked(name, result.items, own, stood))
    return checklist, (*result.findings, *found)


def _checked(
    name: StageName, items: tuple[Item, ...], ticks: Mapping[ItemKey, Tick], stood: Stood
) -> tuple[Checklist, tuple[Finding, ...]]:
    before = units_now(), name
    answered = _last[before] = answered_again(items, ticks, stood, _last.get(before, NOT_ANSWERED))
    checklist = answered.checklist
    return checklist, (*reading_findings(name, checklist), *changed_findings(name, checklist))


def _parts(job: Job, ticks: SortedTicks, read: str | TicksOf) -> tuple[object, ...]:
    """What a stage reads of a job by one of its READS: a field, or the ticks of one item only."""
    if not isinstance(read, TicksOf):
        return (getattr(job, read),)
    of_it = ticks.by_what.get(read.what, {})
    found = (*of_it, *of_it.values())
    return found if read.matter is None or read.matter(job, found) else ()


def take_in(walked: Walk) -> None:
    """Know what another process worked out: where it is worked out here too and comes to the same, these objects are given."""
    for name in STAGES[:-1]:  # the closing list is never remembered
        _memory.setdefault(f"engine.stages.{name}.stage", deque(maxlen=_KEPT)).append(((), getattr(walked, name)))


R = TypeVar("R")
_KEPT = 8
_COMPARED = 3
"""A result is compared with so many of those that are kept, the last ones: what differs in little differs late."""
_memory: dict[str, deque[tuple[tuple[object, ...], object]]] = {}
_last: dict[tuple[Units, StageName], Answered] = {}


def forget() -> None:
    """Empty every memory, so that the next walk is worked out from nothing: for tests and benches."""
    _memory.clear()
    _last.clear()
    remember.forget()


def _once(ticks: SortedTicks, module: ModuleType, stage: Callable[..., R], job: Job, *earlier: object) -> R:
    """The stage's result, from memory when every part it reads is the very object it read before. A fresh result that equals a remembered
    one is given as that one, so that what builds on it isn't worked out again: most ticks change nothing but a checklist."""
    parts = (*(part for field in module.READS for part in _parts(job, ticks, field)), *earlier)
    return _kept(module.__name__, parts, lambda: _as_before(module.__name__, stage(job, *earlier)))


def _kept(name: str, parts: tuple[object, ...], work: Callable[[], R]) -> R:
    """What was made of these very objects before; else it is made, and kept with the last few. Threads share it: each reads a copy of what
    is kept."""
    kept, parts = _memory.setdefault(name, deque(maxlen=_KEPT)), (units_now(), *parts)
    for known, result in tuple(kept):
        if len(known) == len(parts) and all(map(is_, known, parts)):
            return result  # type: ignore[return-value]  # kept under this one's own name
    fresh = work()
    kept.append((parts, fresh))
    return fresh


def _as_before(name: str, fresh: R) -> R:
    kept = (result for _, result in tuple(_memory[name])[-_COMPARED:])
    return next((result for result in kept if result == fresh and _in_one_order(result, fresh)), fresh)


def _in_one_order(one: object, other: object) -> bool:
    """Whether the tables of two equal results go in one order."""
    return all(list(table) == list(getattr(other, name)) for name, table in vars(one).items() if isinstance(table, dict))
