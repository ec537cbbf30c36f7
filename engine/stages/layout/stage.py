"""Stage 2, layout: where every support stands, the bays between them, and how a crew sets them out.

Limits: exact over its grid for fewest driven posts, then even bays; it doesn't weigh the digging. A trunk where the bays have nothing to
spare is told, not avoided. The bay limit is tested on the slope. Moves are logged beside the accepted plan; only a fresh layout or a new
way rewrites it, and the log says what went.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import field
from itertools import repeat

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import distance_ft
from engine.calc.remember import remembered_columns, remembered_same
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.checklist import Item, Stood, TicksOf, WantedReading
from engine.findings import UNPRINTED, Finding
from engine.job.model.fence import Post
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import GateRules
from engine.job.model.site import Tree
from engine.job.model.tick_facts import MOWER, At, Size, TickFacts
from engine.stages.layout.bays import Bay, LineLayout, bays, line_layouts
from engine.stages.layout.keep_outs import KeepOut, keep_outs
from engine.stages.layout.layout_facts import LayoutFacts
from engine.stages.layout.layout_findings import layout_findings
from engine.stages.layout.line_tracks import meetings, tracks
from engine.stages.layout.propose import near_trees, propose
from engine.stages.layout.set_out import Clearance, StringLine, TapeTie, clearances_along, diagonals, string_lines, tape_ties
from engine.stages.layout.shared_supports import gate_posts, members
from engine.stages.layout.sleeves_in_ground import Emptied, emptied_places
from engine.stages.layout.todays_supports import Support, rows, stood_beside, supports, today
from engine.stages.layout.trunks import past_trunks
from engine.stages.survey.stage import LineSurvey, Survey

__all__ = [
    "READS", "Bay", "Clearance", "KeepOut", "Layout", "LineLayout", "StringLine", "Support", "TapeTie", "layout", "planned_posts",
]  # fmt: skip

MOST_ROUNDS = 4
"""How often a plan is looked at again for runs through trunks."""

READS = (
    "rules", "structures", "trees", "obstacles", "utilities", "boundaries", "decks", "lines", "gates", "posts", "log",
    "repair_of", TicksOf("old_sleeve"),
)  # fmt: skip


@dataclass(frozen=True)
class Layout:
    """The whole set-out. `accepted` is whether the job holds a plan; otherwise this is the proposal. `stood` is where supports stood that
    the log moved, added or left out, `emptied` what the crew said of sleeves that were given up."""

    accepted: bool
    supports: Mapping[str, Support]
    bays: Mapping[str, Bay]
    lines: Mapping[str, LineLayout]
    ties: Mapping[str, TapeTie]
    strings: tuple[StringLine, ...]
    diagonals: tuple[tuple[str, str, float], ...]
    clearances: tuple[Clearance, ...]
    keep_outs: tuple[KeepOut, ...]
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
    stood: Stood = field(default_factory=dict, metadata=UNPRINTED)
    emptied: Emptied = field(default_factory=dict, metadata=UNPRINTED)

    def places(self, *names: str) -> tuple[At, ...]:
        """Where supports stand, as a tick says it."""
        return tuple(self.supports[name].there for name in names)


def layout(job: Job, survey: Survey) -> Layout:
    """Where every support stands today, and how it is set out. Today is the accepted plan with the log's moves, swaps, additions and drops
    in their order, or the proposal while there is no plan."""
    return _of(_proposed(job, survey) if not job.posts else _laid(job, survey, job.posts))


def _of(laid: LayoutFacts) -> Layout:
    strings = string_lines(laid.rows)
    return Layout(
        bool(laid.job.posts), laid.supports, laid.bays, line_layouts(laid.rows, laid.bays), laid.ties, strings,
        diagonals(laid.rows), laid.clearances, laid.ground.areas, layout_findings(laid),
        tuple(_items(laid.job, laid, strings)), laid.stood, laid.emptied,
    )  # fmt: skip


def _proposed(job: Job, survey: Survey) -> LayoutFacts:
    placed = tracks(job, survey)
    plan = propose(job, survey, placed, meetings(job, placed), keep_outs(job, survey, placed))
    return _past(job, survey, plan, ())[1]


def past_trees(job: Job, survey: Survey, held: Collection[str]) -> tuple[dict[str, Post], Layout]:
    """A job's plan with runs that go past the trunks in their way, by posts set a little off their lines, and its layout."""
    plan, laid = _past(job, survey, job.posts, held)
    return plan, _of(laid)


def _past(job: Job, survey: Survey, plan: Mapping[str, Post], held: Collection[str]) -> tuple[dict[str, Post], LayoutFacts]:
    """Round by round, for a post that is moved has two runs; a plan has few trees in its way."""
    plan, laid = dict(plan), _laid(job, survey, plan)
    for _ in range(MOST_ROUNDS):
        moves = past_trunks(laid, held)
        if not moves:
            break
        plan |= {name: plan[name].model_copy(update={"offset_ft": round(plan[name].offset_ft + out, 4)}) for name, out in moves.items()}
        laid = _laid(job, survey, plan)
    return plan, laid


def _laid(job: Job, survey: Survey, plan: Mapping[str, Post]) -> LayoutFacts:
    placed = tracks(job, survey)
    met = meetings(job, placed)
    now = today(job, survey, placed, plan)
    ground = keep_outs(job, survey, placed, [one.there for one in now.stands.values() if one.support == "driven"])
    lines = members(job, placed, met, now.stands)
    stood = stood_beside(now, lines, placed)
    gates = gate_posts(job, placed, now.stands, lines)
    emptied = emptied_places(job)
    standing = supports(placed, now.stands, lines, gates, emptied)
    along = rows(placed, lines, standing)
    between = bays(along, gates)
    tied = tape_ties(job, survey, along)
    clear = clearances_along(job, survey, along)
    trees = near_trees(job, survey, placed)
    return LayoutFacts(
        job, survey, placed, met, ground, trees, lines, gates, standing, along, between, tied, clear, now.lost, stood, emptied
    )


def _items(job: Job, laid: LayoutFacts, strings: tuple[StringLine, ...]) -> Iterator[Item]:
    """String lines, gate openings, flags, bays."""
    there = {name: support.place for name, support in laid.supports.items()}
    yield from (_string(line, laid.survey.lines[line]) for line in dict.fromkeys(string.line for string in strings))
    yield from (_opening(gate, there[one], there[other], job.rules.gate) for gate, (one, other) in laid.gates.items())
    yield from _flag([there[name] for name, support in laid.supports.items() if support.support == "driven"])
    bays = [bay for bay in laid.bays.values() if bay.gate is None]
    ends = [there[bay.from_id] for bay in bays], [there[bay.to_id] for bay in bays]
    trunk = {name: job.trees.get(support.at or "") if support.support == "tree" else None for name, support in laid.supports.items()}
    trunks = [trunk[bay.from_id] for bay in bays], [trunk[bay.to_id] for bay in bays]
    yield from _taped(bays, *ends, *trunks, repeat(job.rules.layout.bay_max_ft))


@remembered_same
def _string(line: str, ground: LineSurvey) -> Item:
    """Of what it runs through."""
    corners = zip(ground.vertices, ground.path, strict=True)
    sizes = tuple(Size(f"{name} {way}", ft) for name, at in corners for way, ft in zip(("east", "north"), at, strict=True))
    return Item(ItemKey("layout", line, "string"), f"{line}: string line up", of=TickFacts(sizes=sizes))


@remembered_same
def _opening(gate: str, one: At, other: At, rules: GateRules) -> Item:
    facts = TickFacts((one, other), (Size(MOWER, rules.mower_width_in / 12),))
    return Item(ItemKey("layout", gate, "clear"), f"{gate}: opening clear for the mower", of=facts)


@remembered_columns
def _flag(there: At) -> Item:
    return Item(ItemKey("layout", there.support, "flag"), f"{there.support}: flag set", of=TickFacts((there,)))


@remembered_columns
def _taped(bay: Bay, start: At, end: At, from_tree: Tree | None, to_tree: Tree | None, longest_ft: float) -> Item:
    """A bay that is longer or shorter than planned by more than its two supports may be off their places isn't the one that stands. The
    tape is held at a tree's bark."""
    from_ft, to_ft = (ONE_SUPPORT_FT + (tree.diameter_in / 24 if tree is not None else 0.0) for tree in (from_tree, to_tree))
    slope_ft, slack_ft = bay.slope_ft, from_ft + to_ft
    high_ft = min(slope_ft + slack_ft, longest_ft)
    wanted = WantedReading("ft", slope_ft, max(0.0, min(slope_ft - slack_ft, high_ft)), high_ft)
    return Item(ItemKey("layout", bay.id, "taped"), f"{start.support} to {end.support}: taped", wanted, TickFacts((start, end)))


def planned_posts(layout: Layout, plan: Mapping[str, Post] = {}) -> dict[str, Post]:
    """A layout's supports as the plan that the accept edit keeps; of the plan that it was laid out by, what stands as planned stays."""
    return {name: plan[name] if name in plan and not one.moved else _planned_post(one) for name, one in layout.supports.items()}


@remembered_same
def _planned_post(one: Support) -> Post:
    return Post(
        line=one.line, station_ft=one.station_ft, offset_ft=one.offset_ft, kind=one.kind, support=one.support, at=one.at,
        meant_ft=meant_elsewhere_ft(one),
    )  # fmt: skip


def meant_elsewhere_ft(support: Support) -> float | None:
    """The station that a plan keeps of a support that stands elsewhere than it was meant to; None where it stands there."""
    return support.meant_ft if distance_ft(support.meant, support.xy) > ONE_SUPPORT_FT else None
