"""The loops of a fence, and how each pulls in every state."""

from collections.abc import Container, Mapping
from itertools import groupby

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_same
from engine.calc.statics.cable_sag import ruling_span_ft
from engine.job.model.fence import Fence
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.hung_weight import hung_weight, ice_weight
from engine.stages.bracing.loop_runs import closed_loops, loops_of, named, runs_of
from engine.stages.bracing.what_pulls import LoopStates, loop_states, only_pulled
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.stage import Posts


@dataclass(frozen=True)
class StrungLoop:
    """A loop's bays in order, the one span that changes as they do, and what it pulls in every state."""

    id: str
    bays: tuple[Bay, ...]
    ruling_ft: float
    states: LoopStates


def strung_loops(
    job: Job, stock: Mapping[str, StockRow], layout: Layout, posts: Posts, cable: Cable | None, firm: Container[str]
) -> dict[str, StrungLoop]:
    """Every loop: one keeps to one height, so that where the fence's height changes, or it runs up a deck, one ends and the next begins."""
    built = closed_loops(job.checks, layout.supports)
    rows = [
        loop
        for line in layout.lines.values()
        for run in runs_of(layout, line)
        for _, level in groupby(run, key=lambda bay: posts.hangs[bay.id])
        for loop in loops_of(list(level), firm, job.rules.cables, built)
    ]
    return {
        name: _strung(name, job.rules.cables, job.fence, stock, cable, posts.hangs[bays[0].id], *bays) for name, bays in named(rows, built)
    }


@remembered_same
def _strung(
    name: str, rules: CableRules, fence: Fence, stock: Mapping[str, StockRow], cable: Cable | None, hang: BayHeight, *bays: Bay
) -> StrungLoop:
    ruling_ft = ruling_span_ft([bay.plan_ft for bay in bays])
    states = only_pulled(rules.tension_lbf)
    if cable is not None:
        weight, ice = hung_weight(fence, hang.eyes, stock), ice_weight(fence, hang.eyes, stock, rules.ice_in) if rules.ice_in else None
        # to a hundredth of a foot, so that loops alike are solved once
        states = loop_states(cable, rules, max(0.01, round(ruling_ft, 2)), weight, ice)
    return StrungLoop(name, bays, ruling_ft, states)
