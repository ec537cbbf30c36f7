"""Stage 9, punch list: what is unfinished or out of rule, every way out for a dog, and the plan against what was built."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.checklist import Checklist, Item
from engine.findings import Finding, StageName
from engine.job.job import Job
from engine.stages.cables import Cables
from engine.stages.fabric import Fabric
from engine.stages.gate import Gates
from engine.stages.layout import Layout
from engine.stages.survey import Survey
from engine.takeoff import Takeoff

READS = ("rules", "dogs", "yards", "lines", "posts", "log", "checks", "fence")


@dataclass(frozen=True)
class WayOut:
    """A place a dog could get out: where, how big (in), and what closes it. Largest first."""

    where: str
    subject: str
    opening_in: float
    closes_with: str


@dataclass(frozen=True)
class Change:
    """One support whose built place differs from the plan, or that was added, swapped or dropped."""

    support: str
    what: str
    moved_ft: float


@dataclass(frozen=True)
class Unfinished:
    """Open items of one stage."""

    stage: StageName
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Punch:
    """The closing list."""

    unfinished: tuple[Unfinished, ...]
    open_findings: tuple[Finding, ...]
    ways_out: tuple[WayOut, ...]
    changes: tuple[Change, ...]
    takeoff: Takeoff
    signed: bool
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def punch(
    job: Job,
    survey: Survey,
    layout: Layout,
    cables: Cables,
    fabric: Fabric,
    gates: Gates,
    checklists: Mapping[StageName, Checklist],
    findings: tuple[Finding, ...],
    takeoff: Takeoff,
) -> Punch:
    raise NotImplementedError
