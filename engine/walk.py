"""The walk: everything worked out from a job, nine stages in order. A pure function: the same job gives the same walk everywhere."""

from collections import defaultdict, deque
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from operator import is_
from types import ModuleType
from typing import Protocol, TypeVar

from engine.checklist import Checklist, Item, answer, reading_findings
from engine.findings import STAGES, Finding, StageName
from engine.job.checks import Tick
from engine.job.job import Job
from engine.stages import bracing, cables, fabric, gate, layout, posts, punch, staking, survey
from engine.takeoff import Takeoff, takeoff


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


def walk(job: Job) -> Walk:
    """Everything worked out from a job.

    A stage whose parts of the job and whose earlier results are the same objects as a moment ago is not worked out again.
    Arguments: job; units are in its field names.
    Returns: Walk; never raises for a job that loads, whatever is missing or wrong in it is a finding.
    Source: see each stage.
    Valid for: any job that loads.
    """
    surveyed = _once(survey, survey.survey, job)
    laid = _once(layout, layout.layout, job, surveyed)
    stood = _once(posts, posts.posts, job, laid)
    braced = _once(bracing, bracing.bracing, job, surveyed, laid, stood)
    strung = _once(cables, cables.cables, job, laid, stood, braced)
    hung = _once(fabric, fabric.fabric, job, surveyed, laid, stood, strung)
    staked = _once(staking, staking.staking, job, surveyed, laid, hung)
    gates = _once(gate, gate.gate, job, surveyed, laid, stood)
    results: tuple[StageResult, ...] = (surveyed, laid, stood, braced, strung, hung, staked, gates)
    ticks = _by_stage(job.checks)
    checklists: dict[StageName, Checklist] = {}
    found: dict[StageName, tuple[Finding, ...]] = {}
    for name, result in zip(STAGES, results, strict=False):
        checklists[name], found[name] = _answered(name, result, ticks)
    counted = takeoff(job, laid, braced, strung, hung, staked, gates, checklists)
    open_findings = tuple(finding for of_stage in found.values() for finding in of_stage)
    closing = punch.punch(job, surveyed, laid, hung, gates, checklists, open_findings, counted)
    checklists["punch"], found["punch"] = _answered("punch", closing, ticks)
    return Walk(surveyed, laid, stood, braced, strung, hung, staked, gates, closing, checklists, found, counted)


def _by_stage(checks: Mapping[str, Tick]) -> dict[str, dict[str, Tick]]:
    """Ticks by the stage that their key begins with."""
    ticks: dict[str, dict[str, Tick]] = defaultdict(dict)
    for key, tick in checks.items():
        ticks[key.partition(".")[0]][key] = tick
    return ticks


def _answered(name: StageName, result: StageResult, ticks: Mapping[str, Mapping[str, Tick]]) -> tuple[Checklist, tuple[Finding, ...]]:
    checklist = answer(name, result.items, ticks.get(name, {}))
    return checklist, (*result.findings, *reading_findings(checklist))


def _parts(job: Job, field: str) -> Iterator[object]:
    """What a stage reads of a job by one word of its READS: a field, or by `checks.WHAT` the ticks of that item only."""
    name, _, what = field.partition(".")
    if what:
        yield from (part for key, tick in job.checks.items() if key.endswith(f".{what}") for part in (key, tick))
    else:
        yield getattr(job, name)


R = TypeVar("R")
_KEPT = 4
_memory: dict[str, deque[tuple[tuple[object, ...], object]]] = {}


def _once(module: ModuleType, stage: Callable[..., R], job: Job, *earlier: object) -> R:
    """The stage's result, from memory when every part it reads is the very object it read before.

    A fresh result that equals a remembered one is given as that one, so that what builds on it isn't worked out again: most ticks
    change nothing but a checklist.
    """
    parts = (*(part for field in module.READS for part in _parts(job, field)), *earlier)
    kept = _memory.setdefault(module.__name__, deque(maxlen=_KEPT))
    for known, result in tuple(kept):
        if len(known) == len(parts) and all(map(is_, known, parts)):
            return result  # type: ignore[return-value]  # kept under this stage's own name
    fresh = stage(job, *earlier)
    same = next((result for _, result in tuple(kept) if result == fresh), fresh)
    kept.append((parts, same))
    return same
