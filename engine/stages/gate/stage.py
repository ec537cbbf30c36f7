"""Stage 8, gate: opening, frame, diagonals, wires, hinge pull, and the swing over the real ground.

Limits: a swing runs over the line's own ground and over the triangles between it and the levels shot beside it; a hump among three shots
isn't seen, and ground nobody shot counts as level square to the line: the figures say how much of the swing is known.
"""

from collections.abc import Iterator, Mapping
from math import inf
from typing import Literal, NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_rows, remembered_same
from engine.calc.tolerances import SAME_SPOT_FT, TAPE_IN
from engine.checklist import Item, TicksOf, WantedReading, is_done
from engine.findings import Finding, FindingOf
from engine.job.model.fence import Fence, Gate
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.job.model.rules import GateRules, Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import APART, RINGS, TAKEN, Size, TickFacts
from engine.stages.bracing.leaf_weight import leaf_weight_lb
from engine.stages.gate.diagonals import DIAGONALS_READ, diagonal_items, out_of_square
from engine.stages.gate.gate_leaves import Leaf, Opening, opening_of
from engine.stages.gate.gate_work import GateWork, gate_work, on_its_line
from engine.stages.gate.pairs import pair_items, rod_findings
from engine.stages.gate.swings import Swing
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.stage import Bay, Layout
from engine.stages.made_of import OfFence, carried_by, leaf_of
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Stand, stands_of
from engine.stages.survey.dog_gaps import gets_through
from engine.stages.survey.stage import LineSurvey, Survey

_finding = FindingOf("gate")

__all__ = ["READS", "GateWork", "Gates", "Leaf", "Swing", "gate"]

READS = ("rules", "stock", "fence", "gates", "dogs", "surfaces", TicksOf("bottom_gap"), TicksOf("opening"), *DIAGONALS_READ)

SLOPES_IN = 2.0
"""A rise in the opening over this wants matched posts and a trimmed rail: common practice, no source."""
TWO_PEOPLE_FT = 4.0
"""A leaf wider than this is hung by two people: common practice, no source."""


@dataclass(frozen=True)
class Gates:
    """Every gate of the job."""

    gates: Mapping[str, GateWork]
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def gate(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Gates:
    """Every gate: its opening, the leaves to build, the swing over the ground both ways, and what keeps a dog from getting under it.

    A gate that can't be worked out is left out, with a finding (the layout's, where it lacks its posts). Where no level was shot beside
    the line the ground there counts as the line's own; `to_shoot_ft` says what would tell it.
    Source: common practice, no source, for gaps, insets and tolerances; engine.calc.statics.gate_leaf for the rest.
    """
    openings = {bay.gate: bay for bay in layout.bays.values() if bay.gate is not None}
    stock, surfaces, stands = stock_of(job.stock), tuple(job.surfaces), stands_of(layout)
    row = stock.get(job.fence.gate_tube)
    tube_known = row is not None and row.diameter_in is not None
    works: dict[str, GateWork] = {}
    found: list[Finding] = []
    items: list[Item] = []
    for name, asked in job.gates.items():
        bay = openings.get(name)
        if bay is None or bay.line not in survey.lines:
            continue
        if not tube_known:
            found.append(_tube_unknown(job, name))
            continue
        start, end, line = stands[bay.from_id], stands[bay.to_id], survey.lines[bay.line]
        try:
            opening, work = _worked(name, asked, bay, start, end, line, posts.hangs[bay.id], job.rules, job.fence, stock, job.dogs)
        except OutOfRange as past:
            found.append(_not_made(name, past))
            continue
        works[name] = work
        ticked = _ticked(work, (job.rules.gate, job.fence, stands[work.hinge_post], stands[work.latch_post]), surfaces)
        found += _findings(job, layout, work, opening, ticked, posts)
        items += ticked.items
    return Gates(gates=works, findings=tuple(found), items=tuple(items))


@remembered_same
def _worked(
    name: str,
    asked: Gate,
    bay: Bay,
    start: Stand,
    end: Stand,
    line: LineSurvey,
    hang: BayHeight,
    rules: Rules,
    fence: Fence,
    stock: Mapping[str, StockRow],
    dogs: Mapping[str, Dog],
) -> tuple[Opening, GateWork]:
    """A gate in its opening, of a tube that is known. Raises: OutOfRange where such a leaf can't be made."""
    opening, over_ft = opening_of(asked, bay, start, end, line), hang.height_ft
    weight_lb = leaf_weight_lb(asked.leaf_width_ft, over_ft, rules, fence, stock)
    tube_in = stock[fence.gate_tube].diameter_in or 0.0
    work = gate_work(rules, over_ft, name, asked, bay.plan_ft, opening, tube_in, weight_lb, tuple(dogs.values()))
    return opening, on_its_line(work, bay.start_ft)


def _tube_unknown(job: Job, name: str) -> Finding:
    says = f"The stock doesn't give the diameter of {job.fence.gate_tube}, so the frame of gate {name} can't be cut."
    return _finding("tube_unknown", "fix", (name,), says, "Add it to the stock.")


def _not_made(name: str, past: OutOfRange) -> Finding:
    says = f"Gate {name} can't be worked out as it stands: {past.why}."
    return _finding("gate_not_worked", "fix", (name,), says, "Look at its leaf, its rules and its frame tube in the stock.")


def _findings(job: Job, layout: Layout, work: GateWork, opening: Opening, ticked: "_Ticked", posts: Posts) -> Iterator[Finding]:
    def is_read(what: Literal["opening", "swing_clear", "bottom_gap"], of: TickFacts) -> bool:
        """Whether a tick stands for it, as long as the gate is the one that was read."""
        return is_done(job.checks, ItemKey("gate", work.gate, what), of, layout.stood)

    yield from _opening_findings(job, layout, work, read=is_read("opening", ticked.between))
    yield from out_of_square(job, work.gate, work.leaves, layout.stood)
    if not is_read("swing_clear", _clear_of(work, ticked.hung)):
        yield from _swing_findings(job, work)
    yield from rod_findings(work, layout)
    yield from _slope_findings(work, posts)
    if not is_read("bottom_gap", ticked.hung):
        yield from _gap_findings(job, work, opening)


def _opening_findings(job: Job, layout: Layout, work: GateWork, *, read: bool) -> Iterator[Finding]:
    rules, name = job.rules.gate, work.gate
    off_in = 12 * (work.opening_ft - work.opening_wanted_ft)
    if abs(off_in) > rules.opening_tolerance_in and not read:
        apart, wanted = format_ft_in(work.opening_ft), format_ft_in(work.opening_wanted_ft)
        by = f"{format_in(abs(off_in))} too {'wide' if off_in > 0 else 'narrow'}"
        says = f"The posts of gate {name} stand {apart} apart, {by}; {wanted} is wanted."
        driven = [post for post in (work.latch_post, work.hinge_post) if layout.supports[post].support == "driven"]
        settle = layout.accepted and driven
        do = settle_words(" or ".join(driven), accepted=True) if settle else "Put the gate where its two posts may stand that far apart."
        yield _finding("gate_opening_off", "fix", (name, work.hinge_post, work.latch_post), says, do)
    if rules.mower_width_in > work.clear_width_in:
        says = f"The mower is {format_in(rules.mower_width_in)} wide, and gate {name} leaves {format_in(work.clear_width_in)} to pass."
        yield _finding(
            "gate_mower",
            "fix",
            (name,),
            says,
            "Use a wider leaf, or two leaves; they want posts further apart, and more ground to swing over.",
        )


def _swing_findings(job: Job, work: GateWork) -> Iterator[Finding]:
    wanted, other = sorted(work.swings, key=lambda swing: swing.side != job.gates[work.gate].opens)
    if wanted.clear:
        return
    worst, which = wanted.of_worst, f", leaf {wanted.worst}," if len(work.leaves) > 1 else ""
    passes = "strikes the ground" if worst.least_in < 0 else f"passes {format_in(worst.least_in)} over the ground"
    where = f"at {worst.at_deg:.0f}° and {format_ft_in(worst.at_ft)} from the hinge"
    says = f"Gate {work.gate}{which} {passes} when it opens {wanted.side}, {where}."
    do = f"Hang it to open {other.side}." if other.clear else _higher(work, job.rules.gate.bottom_gap_max_in)
    yield _finding("gate_drags", "fix", (work.gate,), says, do)


def _higher(work: GateWork, rule_in: float) -> str:
    """How high a leaf has to hang that drags both ways, on the side where that is less, and what the dog makes of it."""
    high = f"{format_in(work.hang_in)} over the highest ground of the opening"
    strip = (
        f" and a strip of wire below the rail, because {_who(work)} can get under it" if _lets_out(work, work.gap_then_in, rule_in) else ""
    )
    return f"Hang it to open {work.better}, {high}{strip}; or cut the ground down."


def _slope_findings(work: GateWork, posts: Posts) -> Iterator[Finding]:
    if abs(work.ground_rise_ft) * 12 <= SLOPES_IN:
        return
    goes = "rises" if work.ground_rise_ft > 0 else "falls"
    says = f"The ground under gate {work.gate} {goes} {format_in(12 * abs(work.ground_rise_ft))}."
    tops = {name: posts.work[name].top_level_ft for name in (work.hinge_post, work.latch_post) if name in posts.work}
    low = min(tops, key=lambda name: tops[name], default=work.latch_post)
    short_ft = max(tops.values(), default=0.0) - min(tops.values(), default=0.0)
    match = "Match both post tops"
    if short_ft > SAME_SPOT_FT:
        match = f"Set {low} {format_in(12 * short_ft)} higher so that both tops match"
        if (more_in := 12 * short_ft - _may_rise_in(posts.work[low])) > TAPE_IN:
            match = f"Bring a post {format_in(more_in)} longer for {low} so that both tops match"
    do = f"{match}, and trim the bottom rail to the slope."
    yield _finding("gate_on_slope", "note", (work.gate, work.hinge_post, work.latch_post), says, do)


def _may_rise_in(post: PostWork) -> float:
    """How much higher the stock post may stand: by what is cut off it, and by what its sleeve may give up of it."""
    spare_in = max(0.0, (post.in_sleeve_in or 0.0) - (post.depth_half_in or 0.0))
    return inf if post.post_off_in is None else post.post_off_in + spare_in


def _gap_findings(job: Job, work: GateWork, opening: Opening) -> Iterator[Finding]:
    gap_in, rule_in = work.bottom_gap_most_in, job.rules.gate.bottom_gap_max_in
    low = opening.start.id if opening.start_level_ft < opening.end_level_ft else opening.end.id
    toward = f", most toward {low}" if work.ground_rise_ft else ""
    at = f"{'up to ' if toward else ''}{format_in(gap_in)} under gate {work.gate}{toward}"
    do = "Trim the bottom rail to the slope, fill the low side, or hang a strip of wire below the rail."
    if work.dog_in is not None and _lets_out(work, gap_in, rule_in):
        needs = f"the smallest dog gets through anything over about {format_in(work.dog_in)} (judgement)"
        digs = f"a dog that digs makes any gap over the {format_in(rule_in)} rule wide enough"
        says = f"There is {at}, and {needs if gap_in >= work.dog_in else digs}."
        yield _finding("gate_gap_lets_dog_out", "stop", (work.gate,), says, do)
    elif gap_in > rule_in:
        yield _finding("gate_gap_over_rule", "fix", (work.gate,), f"There is {at}, over the {format_in(rule_in)} rule.", do)


def _lets_out(work: GateWork, gap_in: float, rule_in: float) -> bool:
    return work.dog_in is not None and gets_through(gap_in, rule_in, work.dog_in, dug=work.digs)


def _who(work: GateWork) -> str:
    return "the smallest dog" if work.dog_in is not None and work.gap_then_in >= work.dog_in else "a dog that digs"


class _Ticked(NamedTuple):
    """What a tick for a gate's opening is made for, its two posts, and one for what hangs there, posts and leaves; and all items."""

    between: TickFacts
    hung: TickFacts
    items: tuple[Item, ...]


def _clear_of(work: GateWork, hung: TickFacts) -> TickFacts:
    """What a tick for a clear swing is made for: what hangs, and the side it opens to."""
    return hung._replace(words=(work.better,))


@remembered_rows
def _ticked(work: GateWork, given: tuple[GateRules, Fence, Stand, Stand], surfaces: tuple[str, ...]) -> _Ticked:
    rules, fence, hinge, latch = given
    made_for = OfFence(fence, surfaces)
    between = TickFacts((hinge.there, latch.there), stock=carried_by(made_for, (hinge, latch)))
    wide = tuple(Size(f"leaf {number} wide", leaf.width_ft) for number, leaf in enumerate(work.leaves, 1))
    high = tuple(Size(f"leaf {number} high", leaf.height_ft) for number, leaf in enumerate(work.leaves, 1))
    hung = between._replace(sizes=(*wide, *high), stock=(*between.stock, *leaf_of(made_for)))
    hinge_side = TickFacts((hinge.there,), stock=carried_by(made_for, (hinge,)))
    return _Ticked(between, hung, tuple(_items(rules, made_for, work, between, hung, hinge_side)))


def _taken(rules: GateRules, work: GateWork) -> Iterator[Size]:
    """How far apart the rings of the leaves are, and what the leaves take of fabric, tube and face wire."""
    yield Size(f"frame rings{APART}", rules.ring_ft)
    for kind, taken_ft in work.taken_ft.items():
        yield Size(f"{kind}{TAKEN}", round(taken_ft, 3))


def _items(rules: GateRules, of: OfFence, work: GateWork, between: TickFacts, hung: TickFacts, hinge_side: TickFacts) -> Iterator[Item]:
    name = work.gate
    slack_ft = rules.opening_tolerance_in / 12

    def item(what: str, says: str, facts: TickFacts, reading: WantedReading | None = None) -> Item:
        return Item(ItemKey("gate", name, what), f"{name}: {says}", reading, facts)

    wanted_ft = work.opening_wanted_ft
    posts = f"{work.hinge_post} to {work.latch_post}"
    opening = WantedReading("ft", wanted_ft, wanted_ft - slack_ft, wanted_ft + slack_ft)
    yield item("opening", f"opening, {posts}", between, opening)
    yield from diagonal_items(name, work.leaves, rules.diagonal_tolerance_in, of.fence.gate_tube)
    if max(leaf.width_ft for leaf in work.leaves) > TWO_PEOPLE_FT:
        yield item("two_people", "two people to lift and hang a leaf this wide", TickFacts(sizes=hung.sizes, stock=leaf_of(of)))
    yield item("hinge_plumb", "hinge side plumb", hinge_side)
    yield item("hung", "hung and adjusted", hung._replace(sizes=(*hung.sizes, *_taken(rules, work)), words=(f"{work.rings} {RINGS}",)))
    clear = "swings clear" if len(work.leaves) == 1 else "each leaf swings clear by itself"
    yield item("swing_clear", f"{clear}, opening {work.better}", _clear_of(work, hung))
    yield from pair_items(work, hung)
    most_in = rules.bottom_gap_max_in if work.dog_in is None else min(rules.bottom_gap_max_in, work.dog_in)
    yield item("latch_holds", "latch holds when pushed and pulled", hung)
    yield item("bottom_gap", "bottom gap at its widest", hung, WantedReading("in", rules.bottom_gap_in, 0.0, most_in))
