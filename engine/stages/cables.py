"""Stage 5, cable loops: where loops begin and end, what to cut, how tight, and what weather and a leaning dog do to them."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.cutting import CutPlan
from engine.checklist import Item
from engine.findings import Finding
from engine.job.job import Job
from engine.stages.bracing import Bracing
from engine.stages.layout import Layout
from engine.stages.posts import Posts

READS = ("rules", "stock", "fence", "checks")


@dataclass(frozen=True)
class BayCable:
    """One bay of a loop: sag of top and bottom cable at mid-bay at the target tension, and what a lean on mid-bay does."""

    bay: str
    loop: str
    span_ft: float
    sag_in: float
    push_out_in: float
    push_tension_lbf: float


@dataclass(frozen=True)
class Loop:
    """A closed rectangle of one cable: its supports and bays in order, its run, and the length to cut."""

    id: str
    line: str
    supports: tuple[str, ...]
    bays: tuple[str, ...]
    run_ft: float
    cut_ft: float
    ruling_span_ft: float
    tension_lbf: float
    cold_lbf: float
    hot_lbf: float
    safety: float
    within: bool


@dataclass(frozen=True)
class Cables:
    """All loops, all bays, and the plan for cutting the spools."""

    loops: Mapping[str, Loop]
    bays: Mapping[str, BayCable]
    loop_of: Mapping[str, str]
    cable_weight_plf: float
    strength_lbf: float
    spools: CutPlan
    total_ft: float
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def cables(job: Job, layout: Layout, posts: Posts, bracing: Bracing) -> Cables:
    raise NotImplementedError
