"""The loops of a fence, and how each pulls in every state."""

from collections.abc import Mapping
from itertools import groupby, repeat

from engine.calc.frozen import dataclass
from engine.calc.remember import ByParts, remembered_columns, remembered_rows, remembered_same
from engine.calc.statics.brace import eye_pull
from engine.calc.statics.cable_sag import ruling_span_ft
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.stages.bracing.hung_weight import hung_weight, ice_weight
from engine.stages.bracing.loop_runs import LoopTick, loop_ticks, loops_of, named, runs_of
from engine.stages.bracing.tubes import BraceBasis
from engine.stages.bracing.what_pulls import LoopStates, loop_states, only_pulled
from engine.stages.layout.stage import Layout
from engine.stages.posts.arms import Arm
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Span, Stand, spans_of, stands_of


@dataclass(frozen=True)
class StrungLoop:
    """A loop's bays in order, the one span that changes as they do, and what it pulls in every state."""

    id: str
    bays: tuple[Span, ...]
    ruling_ft: float
    states: LoopStates


def strung_loops(basis: BraceBasis, checks: Mapping[ItemKey, Tick], layout: Layout, posts: Posts) -> dict[str, StrungLoop]:
    """Every loop: one keeps to one height, so that where the fence's height changes, or it runs up a deck, one ends and the next begins."""
    built, stands, spans = loop_ticks(checks, layout.supports), stands_of(layout), spans_of(layout)
    loops: list[tuple[Span, ...]] = []
    for line in layout.lines.values():
        bays, on_it = tuple(map(spans.__getitem__, line.bays)), set(line.supports)
        loops += _loops_along(
            basis,
            bays,
            tuple(map(posts.hangs.__getitem__, line.bays)),
            tuple(map(stands.__getitem__, line.supports)),
            tuple(map(posts.arms.__getitem__, line.supports)),
            tuple(map(posts.work.__getitem__, line.supports)),
            tuple(one for one in built if one.ends.first in on_it),
        )
    called = dict(named(loops, built))
    hangs = [posts.hangs[bays[0].id] for bays in called.values()]
    return dict(zip(called, _strung(repeat(basis), called, hangs, ByParts(called.values())), strict=True))


@remembered_rows
def _loops_along(
    basis: BraceBasis,
    bays: tuple[Span, ...],
    hangs: tuple[BayHeight, ...],
    stands: tuple[Stand, ...],
    arms: tuple[tuple[Arm, ...], ...],
    work: tuple[PostWork, ...],
    built: tuple[LoopTick, ...],
) -> list[tuple[Span, ...]]:
    """The loops of one line, of its bays and how each hangs, of its supports with their arms and work, and of what is closed already."""
    hang_of = {bay.id: hang for bay, hang in zip(bays, hangs, strict=True)}
    firm = {one.id for one, spokes, done in zip(stands, arms, work, strict=True) if _is_firm(basis, one, spokes, done)}
    levels = (tuple(level) for run in runs_of(bays, built) for _, level in groupby(run, key=lambda bay: hang_of[bay.id]))
    return [loop for level in levels for loop in loops_of(level, firm, basis.rules.cables, built)]


@remembered_same
def _is_firm(basis: BraceBasis, stand: Stand, arms: tuple[Arm, ...], work: PostWork) -> bool:
    """Whether loops meet here rather than at a line post: at all but those in a line, and where the fence bends so much that a post wants a
    brace at the target tension.

    Source: common practice, no source.
    """
    rules, yield_lbf_ft = basis.rules, basis.tubes.yield_lbf_ft
    if stand.kind != "line" or not stand.driven or work.braced:
        return True
    if yield_lbf_ft is None:
        return False
    level_lbf = eye_pull(rules.cables.tension_lbf, [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft) for arm in arms]).level_lbf
    return level_lbf * (work.eye_low_ft + work.eye_high_ft) / yield_lbf_ft > rules.bracing.yield_share


@remembered_columns
def _strung(basis: BraceBasis, name: str, hang: BayHeight, bays: tuple[Span, ...]) -> StrungLoop:
    rules, fence, stock = basis.rules.cables, basis.fence, basis.stock
    ruling_ft = ruling_span_ft([bay.plan_ft for bay in bays])
    states = only_pulled(rules.tension_lbf)
    if basis.cable is not None:
        weight, ice = hung_weight(fence, hang.eyes, stock), ice_weight(fence, hang.eyes, stock, rules.ice_in) if rules.ice_in else None
        # to a hundredth of a foot, so that loops alike are solved once
        states = loop_states(basis.cable, rules, max(0.01, round(ruling_ft, 2)), weight, ice)
    return StrungLoop(name, bays, ruling_ft, states)
