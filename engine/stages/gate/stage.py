"""Stage 8, gate: opening, frame, diagonals, wires, hinge pull, and the swing over the real ground.

Limits: a swing runs over the line's own ground and over the triangles between it and the levels shot beside it; a hump among three shots
isn't seen, and ground nobody shot counts as level square to the line, which is told.
"""

from collections.abc import Iterator, Mapping
from math import inf
from typing import Literal

from engine.calc.cutting.run_shares import count_along
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.gate_leaf import opening_ft
from engine.calc.tolerances import ALIKE_IN, SAME_SPOT_FT, TAPE_IN
from engine.checklist import Item, TicksOf, WantedReading, standing_tick
from engine.findings import Finding, FindingOf
from engine.job.model.base import Side
from engine.job.model.checks import Tick
from engine.job.model.fence import Gate
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.bracing.leaf_weight import leaf_weight_lb
from engine.stages.gate.diagonals import DIAGONALS_READ, diagonal_items, out_of_square
from engine.stages.gate.gate_leaves import Leaf, Opening, leaves_of, opening_of
from engine.stages.gate.swings import Swing, stations_to_shoot_ft, swings_of
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.survey.dog_gaps import least_gap_in
from engine.stages.survey.stage import Survey

_finding = FindingOf("gate")

__all__ = ["READS", "GateWork", "Gates", "Leaf", "Swing", "gate"]

READS = ("rules", "stock", "fence", "gates", "dogs", TicksOf("bottom_gap"), TicksOf("opening"), *DIAGONALS_READ)

SLOPES_IN = 2.0
"""A rise in the opening over this wants matched posts and a trimmed rail: common practice, no source."""
ALL_KNOWN = 0.99
"""A swing over ground that is known for this share needs no more levels."""
SCREWS = 16
"""In one leaf: two in each end of each tube, common practice, no source."""
TWO_PEOPLE_FT = 4.0
"""A leaf wider than this is hung by two people: common practice, no source."""


@dataclass(frozen=True)
class GateWork:
    """All of one gate: opening wanted and as laid out, leaves, swings both ways and the better side, ground under it.

    `ground_rise_ft` is walking along the line. `bottom_gap_most_in` is under a level bottom edge at the lowest ground of the opening.
    `clear_width_in` is left to pass with every leaf square open. Of two leaves the first hangs on the post nearer the line's start.
    `post_heights_ft` are the hinge post's and the latch post's over their own ground, to the level top of the leaves; `side_gap_in` is
    each gap where all are alike; `dog_in` the smallest gap that a dog of the job gets through. `hang_in` is how high over the highest
    ground of the opening the leaves hang so that they clear on the better side, and `gap_then_in` what that leaves at the lowest.
    `rings` hold the fabric to the frames, all round.
    """

    gate: str
    hinge_post: str
    latch_post: str
    opening_wanted_ft: float
    opening_ft: float
    leaves: tuple[Leaf, ...]
    swings: tuple[Swing, ...]
    better: Side
    ground_rise_ft: float
    bottom_gap_most_in: float
    clear_width_in: float
    fabric_wire_ft: float
    fabric_mesh_ft: float
    post_heights_ft: tuple[float, float]
    side_gap_in: float
    dog_in: float | None
    hang_in: float
    gap_then_in: float
    screws: int
    rings: int


@dataclass(frozen=True)
class Gates:
    """Every gate of the job."""

    gates: Mapping[str, GateWork]
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def gate(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Gates:
    """Every gate: its opening, the leaves to build, the swing over the ground both ways, and what keeps a dog from getting under it.

    A gate that can't be worked out is left out, with a finding (the layout's, where it lacks its posts). Where no level was shot beside
    the line the ground there counts as the line's own, which is told.
    Source: common practice, no source, for gaps, insets and tolerances; engine.calc.statics.gate_leaf for the rest.
    """
    openings = {bay.gate: bay for bay in layout.bays.values() if bay.gate is not None}
    stock = stock_of(job.stock)
    row = stock.get(job.fence.gate_tube)
    tube_in = row.diameter_in if row else None
    dog_in = least_gap_in(job.dogs.values())
    works: dict[str, GateWork] = {}
    found: list[Finding] = []
    for name, asked in job.gates.items():
        bay = openings.get(name)
        if bay is None or bay.line not in survey.lines:
            continue
        if tube_in is None:
            found.append(_tube_unknown(job, name))
            continue
        opening = opening_of(bay, layout.supports[bay.from_id], layout.supports[bay.to_id], survey.lines[bay.line])
        over_ft = posts.hangs[bay.id].height_ft
        weight_lb = leaf_weight_lb(asked.leaf_width_ft, over_ft, job.rules, job.fence, stock)
        try:
            works[name] = _work(job.rules, over_ft, name, asked, bay, opening, tube_in, weight_lb, dog_in)
        except OutOfRange as past:
            found.append(_not_made(name, past))
            continue
        found += _findings(job, layout, name, works[name], opening, posts)
    return Gates(
        gates=works,
        findings=tuple(found),
        items=tuple(item for work in works.values() for item in _items(job, layout, work)),
    )


@remembered
def _work(
    all_rules: Rules,
    height_ft: float,
    name: str,
    asked: Gate,
    bay: Bay,
    opening: Opening,
    tube_in: float,
    weight_lb: float,
    dog_in: float | None,
) -> GateWork:
    rules = all_rules.gate
    leaves = leaves_of(asked, rules, opening, height_ft, tube_in, weight_lb)
    swings = swings_of(asked, rules, opening, leaves)
    hinge, latch = (opening.start, opening.end) if asked.hinge == "start" else (opening.end, opening.start)
    open_leaf_in = tube_in + rules.gap_in / (asked.leaves + 1)
    piece_ft = asked.leaf_width_ft + all_rules.fabric.overrun_in / 12
    better = _better(swings, asked.opens)
    raise_in = next(swing.raise_in for swing in swings if swing.side == better)
    top_ft = opening.highest_ft + rules.bottom_gap_in / 12 + leaves[0].height_ft
    most_in = rules.bottom_gap_in + 12 * (opening.highest_ft - opening.lowest_ft)
    level_ft = {opening.start.id: opening.start_level_ft, opening.end.id: opening.end_level_ft}
    return GateWork(
        gate=name,
        hinge_post=hinge.id,
        latch_post=latch.id,
        opening_wanted_ft=opening_ft(asked.leaf_width_ft, asked.leaves, rules.gap_in),
        opening_ft=bay.plan_ft,
        leaves=leaves,
        swings=swings,
        better=better,
        ground_rise_ft=opening.end_level_ft - opening.start_level_ft,
        bottom_gap_most_in=most_in,
        clear_width_in=12 * bay.plan_ft - asked.leaves * open_leaf_in,
        fabric_wire_ft=asked.leaves * piece_ft,
        fabric_mesh_ft=asked.leaves * piece_ft,
        post_heights_ft=(top_ft - level_ft[hinge.id], top_ft - level_ft[latch.id]),
        side_gap_in=12 * (bay.plan_ft - asked.leaves * asked.leaf_width_ft) / (asked.leaves + 1),
        dog_in=dog_in,
        hang_in=rules.bottom_gap_in + raise_in,
        gap_then_in=most_in + raise_in,
        screws=SCREWS * asked.leaves,
        rings=sum(count_along(2 * (leaf.width_ft + leaf.height_ft), rules.ring_ft) - 1 for leaf in leaves),
    )


def _better(swings: tuple[Swing, ...], opens: Side) -> Side:
    best = max(swings, key=lambda swing: swing.least_in)
    wanted = next(swing for swing in swings if swing.side == opens)
    return opens if best.least_in - wanted.least_in < ALIKE_IN else best.side


def _tube_unknown(job: Job, name: str) -> Finding:
    says = f"The stock doesn't give the diameter of {job.fence.gate_tube}, so the frame of gate {name} can't be cut."
    return _finding("tube_unknown", "fix", (name,), says, "Add it to the stock.")


def _not_made(name: str, past: OutOfRange) -> Finding:
    says = f"Gate {name} can't be worked out as it stands: {past.why}."
    return _finding("gate_not_worked", "fix", (name,), says, "Look at its leaf, its rules and its frame tube in the stock.")


def _findings(job: Job, layout: Layout, name: str, work: GateWork, opening: Opening, posts: Posts) -> Iterator[Finding]:
    yield from _opening_findings(job, layout, work)
    yield from out_of_square(name, work.leaves, job.rules.gate.diagonal_tolerance_in, job.checks, layout.stood)
    yield from _swing_findings(work, job.gates[name])
    yield from _slope_findings(work, posts)
    if reading_at(job, layout, work, "bottom_gap") is None:
        yield from _gap_findings(job, work, opening)
    yield from _ground_note(work, job.gates[name], opening)


def _opening_findings(job: Job, layout: Layout, work: GateWork) -> Iterator[Finding]:
    rules, name = job.rules.gate, work.gate
    off_in = 12 * (work.opening_ft - work.opening_wanted_ft)
    if abs(off_in) > rules.opening_tolerance_in and reading_at(job, layout, work, "opening") is None:
        apart, wanted = format_ft_in(work.opening_ft), format_ft_in(work.opening_wanted_ft)
        by = f"{format_in(abs(off_in))} too {'wide' if off_in > 0 else 'narrow'}"
        says = f"The posts of gate {name} stand {apart} apart, {by}; {wanted} is wanted."
        settle = settle_words(f"{work.latch_post} or {work.hinge_post}", accepted=True)
        do = settle if layout.accepted else "Put the gate where its two posts may stand that far apart."
        yield _finding("gate_opening_off", "fix", (name, work.hinge_post, work.latch_post), says, do)
    if rules.mower_width_in > work.clear_width_in:
        says = f"The mower is {format_in(rules.mower_width_in)} wide, and gate {name} leaves {format_in(work.clear_width_in)} to pass."
        yield _finding("gate_mower", "fix", (name,), says, "Use a wider leaf, or two leaves.")


def _swing_findings(work: GateWork, asked: Gate) -> Iterator[Finding]:
    wanted, other = sorted(work.swings, key=lambda swing: swing.side != asked.opens)
    if wanted.clear:
        return
    passes = "strikes the ground" if wanted.least_in < 0 else f"passes {format_in(wanted.least_in)} over the ground"
    where = f"at {wanted.at_deg:.0f}° and {format_ft_in(wanted.at_ft)} from the hinge"
    says = f"Gate {work.gate} {passes} when it opens {wanted.side}, {where}."
    do = f"Hang it to open {other.side}." if other.clear else _higher(work)
    yield _finding("gate_drags", "fix", (work.gate,), says, do)


def _higher(work: GateWork) -> str:
    """How high a leaf has to hang that drags both ways, on the side where that is less, and what the dog makes of it."""
    high = f"{format_in(work.hang_in)} over the highest ground of the opening"
    dog = work.dog_in is not None and work.gap_then_in >= work.dog_in
    strip = " and a strip of wire below the rail, because the smallest dog can get under it" if dog else ""
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
    dog_in = work.dog_in
    low = opening.start.id if opening.start_level_ft < opening.end_level_ft else opening.end.id
    toward = f", most toward {low}" if work.ground_rise_ft else ""
    at = f"{'up to ' if toward else ''}{format_in(gap_in)} under gate {work.gate}{toward}"
    do = "Trim the bottom rail to the slope, fill the low side, or hang a strip of wire below the rail."
    if dog_in is not None and gap_in >= dog_in:
        says = f"There is {at}, and the smallest dog gets through anything over about {format_in(dog_in)} (judgement)."
        yield _finding("gate_gap_lets_dog_out", "stop", (work.gate,), says, do)
    elif gap_in > rule_in:
        yield _finding("gate_gap_over_rule", "fix", (work.gate,), f"There is {at}, over the {format_in(rule_in)} rule.", do)


def _ground_note(work: GateWork, asked: Gate, opening: Opening) -> Iterator[Finding]:
    """What the swing doesn't know, and what to shoot; nothing is said where no level was shot along the line at all."""
    line, side = opening.line, work.better
    share = next(swing.known_share for swing in work.swings if swing.side == side)
    if not line.level_shots or share >= ALL_KNOWN:
        return
    stations = dict.fromkeys(format_ft_in(station_ft, 1) for station_ft in stations_to_shoot_ft(opening))
    part = "isn't shot" if share == 0 else f"is shot for {share:.0%} of the swing"
    says = f"The ground {side} of gate {work.gate} {part}; the rest counts as level square to the line."
    shots = f"{format_ft_in(asked.leaf_width_ft, 1)} {side} of {line.name} at {', '.join(stations)}"
    yield _finding("swing_ground", "note", (work.gate,), says, f"Shoot levels {shots}, or swing a stick as long as the leaf there.")


def _between(layout: Layout, work: GateWork) -> TickFacts:
    """A gate's two posts: what a tick for its opening is made for."""
    return TickFacts(layout.places(work.hinge_post, work.latch_post))


def _hung(layout: Layout, work: GateWork) -> TickFacts:
    """The two posts and the leaves between them."""
    sizes = tuple(Size(f"leaf {number} wide", leaf.width_ft) for number, leaf in enumerate(work.leaves, 1))
    return _between(layout, work)._replace(sizes=sizes)


def reading_at(job: Job, layout: Layout, work: GateWork, what: Literal["opening", "bottom_gap"]) -> Tick | None:
    """The tick for a gate's opening or its bottom gap, as long as the gate is the one that was read."""
    of = _between(layout, work) if what == "opening" else _hung(layout, work)
    return standing_tick(job.checks, ItemKey("gate", work.gate, what), of, layout.stood)


def _items(job: Job, layout: Layout, work: GateWork) -> Iterator[Item]:
    rules, name = job.rules.gate, work.gate
    slack_ft = rules.opening_tolerance_in / 12

    def item(what: str, says: str, of: TickFacts, reading: WantedReading | None = None) -> Item:
        return Item(ItemKey("gate", name, what), f"{name}: {says}", reading, of)

    wanted_ft = work.opening_wanted_ft
    posts = f"{work.hinge_post} to {work.latch_post}"
    opening = WantedReading("ft", wanted_ft, wanted_ft - slack_ft, wanted_ft + slack_ft)
    yield item("opening", f"opening, {posts}", _between(layout, work), opening)
    yield from diagonal_items(name, work.leaves, rules.diagonal_tolerance_in)
    hung = _hung(layout, work)
    if max(leaf.width_ft for leaf in work.leaves) > TWO_PEOPLE_FT:
        yield item("two_people", "two people to lift and hang a leaf this wide", TickFacts(sizes=hung.sizes))
    yield item("hinge_plumb", "hinge side plumb", TickFacts(layout.places(work.hinge_post)))
    yield item("hung", "hung and adjusted", hung)
    yield item("swing_clear", f"swings clear, opening {work.better}", hung._replace(words=(work.better,)))
    yield item("latch_holds", "latch holds when pushed and pulled", hung)
    yield item("bottom_gap", "bottom gap at its widest", hung, WantedReading("in", rules.bottom_gap_in, 0.0, rules.bottom_gap_max_in))
