"""Stage 8, gate: opening, frame, diagonals, wires, hinge pull, and the swing over the real ground."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from engine.calc.gate import opening_ft
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.checklist import Item, Reading
from engine.findings import Finding, Level
from engine.job.base import Side
from engine.job.fence import Gate
from engine.job.job import Job
from engine.job.rules import Rules
from engine.stages.layout import Bay, Layout
from engine.stages.parts.dogs import least_gap_in
from engine.stages.parts.leaf_weight import leaf_weight_lb
from engine.stages.parts.leaves import Leaf, Opening, Swing, leaves_of, opening_of, swings_of
from engine.stages.posts import Posts
from engine.stages.survey import Survey
from engine.stock import stock_of

__all__ = ["READS", "GateWork", "Gates", "Leaf", "Swing", "gate"]

READS = ("rules", "stock", "fence", "gates", "dogs", "checks.bottom_gap", "checks.opening")

SLOPES_IN = 2.0
"""A rise in the opening over this wants matched posts and a trimmed rail: common practice, no source."""
ALIKE_IN = 0.1
"""Swings whose clearances differ by less than this are equally good."""
TWO_PEOPLE_FT = 4.0
"""A leaf wider than this is hung by two people: common practice, no source."""


@dataclass(frozen=True)
class GateWork:
    """All of one gate: opening wanted and as laid out, leaves, swings both ways and the better side, ground under it.

    `ground_rise_ft` is walking along the line. `bottom_gap_most_in` is under a level bottom edge at the lowest ground of the opening.
    `clear_width_in` is left to pass with every leaf square open. Of two leaves the first hangs on the post nearer the line's start.
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


@dataclass(frozen=True)
class Gates:
    """Every gate of the job."""

    gates: Mapping[str, GateWork]
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def gate(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Gates:
    """Every gate: its opening, the leaves to build, the swing over the ground both ways, and what keeps a dog from getting under it.

    Arguments: job; results of earlier stages, lengths in ft.
    Returns: Gates, in file order; a gate that can't be worked out is left out, with a finding (the layout's, where it lacks its posts).
    Source: common practice, no source, for gaps, insets and tolerances; engine.calc.gate for the rest.
    Valid for: any job. The ground off the line counts as the line's own, which is told.
    """
    openings = {bay.gate: bay for bay in layout.bays.values() if bay.gate is not None}
    stock = stock_of(job.stock)
    row = stock.get(job.fence.gate_tube)
    tube_in = row.diameter_in if row else None
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
        weight_lb = leaf_weight_lb(asked.leaf_width_ft, job.rules, job.fence, stock)
        try:
            works[name] = _work(job.rules, job.fence.height_ft, name, asked, bay, opening, tube_in, weight_lb)
        except OutOfRange as past:
            found.append(_not_made(name, past))
            continue
        found += _findings(job, works[name], asked, opening, posts)
    return Gates(
        gates=works,
        findings=(*found, *_ground_note(survey, works, openings)),
        items=tuple(item for work in works.values() for item in _items(job, work)),
    )


@remembered
def _work(
    all_rules: Rules, height_ft: float, name: str, asked: Gate, bay: Bay, opening: Opening, tube_in: float, weight_lb: float
) -> GateWork:
    rules = all_rules.gate
    leaves = leaves_of(asked, rules, opening, height_ft, tube_in, weight_lb)
    swings = swings_of(asked, rules, opening, leaves)
    hinge, latch = (opening.start, opening.end) if asked.hinge == "start" else (opening.end, opening.start)
    open_leaf_in = tube_in + rules.gap_in / (asked.leaves + 1)
    piece_ft = asked.leaf_width_ft + all_rules.fabric.overrun_in / 12
    return GateWork(
        gate=name,
        hinge_post=hinge.id,
        latch_post=latch.id,
        opening_wanted_ft=opening_ft(asked.leaf_width_ft, asked.leaves, rules.gap_in),
        opening_ft=bay.plan_ft,
        leaves=leaves,
        swings=swings,
        better=_better(swings, asked.opens),
        ground_rise_ft=opening.end_level_ft - opening.start_level_ft,
        bottom_gap_most_in=rules.bottom_gap_in + 12 * (opening.highest_ft - opening.lowest_ft),
        clear_width_in=12 * bay.plan_ft - asked.leaves * open_leaf_in,
        fabric_wire_ft=asked.leaves * piece_ft,
        fabric_mesh_ft=asked.leaves * piece_ft,
    )


def _better(swings: tuple[Swing, ...], opens: Side) -> Side:
    best = max(swings, key=lambda swing: swing.least_in)
    wanted = next(swing for swing in swings if swing.side == opens)
    return opens if best.least_in - wanted.least_in < ALIKE_IN else best.side


def _finding(code: str, level: Level, subjects: tuple[str, ...], says: str, do: str) -> Finding:
    return Finding(code, level, "gate", subjects, says, do)


def _tube_unknown(job: Job, name: str) -> Finding:
    says = f"The stock doesn't give the diameter of {job.fence.gate_tube}, so the frame of gate {name} can't be cut."
    return _finding("tube_unknown", "fix", (name,), says, "Add it to the stock.")


def _not_made(name: str, past: OutOfRange) -> Finding:
    says = f"Gate {name} can't be worked out as it stands: {past.why}."
    return _finding("gate_not_worked", "fix", (name,), says, "Look at its leaf, its rules and its frame tube in the stock.")


def _findings(job: Job, work: GateWork, asked: Gate, opening: Opening, posts: Posts) -> Iterator[Finding]:
    yield from _opening_findings(job, work)
    yield from _swing_findings(work, asked)
    yield from _slope_findings(work, posts)
    if f"gate.{work.gate}.bottom_gap" not in job.checks:
        yield from _gap_findings(job, work, opening)


def _opening_findings(job: Job, work: GateWork) -> Iterator[Finding]:
    rules, name = job.rules.gate, work.gate
    off_in = 12 * (work.opening_ft - work.opening_wanted_ft)
    if abs(off_in) > rules.opening_tolerance_in and f"gate.{name}.opening" not in job.checks:
        apart, wanted = format_ft_in(work.opening_ft), format_ft_in(work.opening_wanted_ft)
        says = f"The posts of gate {name} stand {apart} apart; {wanted} is wanted."
        way = "toward" if off_in > 0 else "away from"
        do = f"Move {work.latch_post} {format_in(abs(off_in))} {way} {work.hinge_post}."
        yield _finding("gate_opening_off", "fix", (name, work.hinge_post, work.latch_post), says, do)
    if rules.mower_width_in > work.clear_width_in:
        says = f"The mower is {format_in(rules.mower_width_in)} wide, and gate {name} leaves {format_in(work.clear_width_in)} to pass."
        yield _finding("gate_mower", "fix", (name,), says, "Take a wider leaf, or two leaves.")


def _swing_findings(work: GateWork, asked: Gate) -> Iterator[Finding]:
    wanted, other = sorted(work.swings, key=lambda swing: swing.side != asked.opens)
    if wanted.clear:
        return
    passes = "strikes the ground" if wanted.least_in < 0 else f"passes {format_in(wanted.least_in)} over the ground"
    where = f"at {wanted.at_deg:.0f}° and {format_ft_in(wanted.at_ft)} from the hinge"
    says = f"Gate {work.gate} {passes} when it opens {wanted.side}, {where}."
    do = f"Hang it to open {other.side}." if other.clear else "Hang it higher, or cut the ground down."
    yield _finding("gate_drags", "fix", (work.gate,), says, do)


def _slope_findings(work: GateWork, posts: Posts) -> Iterator[Finding]:
    if abs(work.ground_rise_ft) * 12 <= SLOPES_IN:
        return
    goes = "rises" if work.ground_rise_ft > 0 else "falls"
    says = f"The ground under gate {work.gate} {goes} {format_in(12 * abs(work.ground_rise_ft))}."
    tops = {name: posts.work[name].top_level_ft for name in (work.hinge_post, work.latch_post) if name in posts.work}
    low = min(tops, key=lambda name: tops[name], default=work.latch_post)
    short_ft = max(tops.values(), default=0.0) - min(tops.values(), default=0.0)
    match = f"Let {low} stand {format_in(12 * short_ft)} higher so that both tops match" if short_ft > 0.01 else "Match both post tops"
    do = f"{match}, and trim the bottom rail to the slope."
    yield _finding("gate_on_slope", "note", (work.gate, work.hinge_post, work.latch_post), says, do)


def _gap_findings(job: Job, work: GateWork, opening: Opening) -> Iterator[Finding]:
    gap_in, rule_in = work.bottom_gap_most_in, job.rules.gate.bottom_gap_max_in
    dog_in = least_gap_in(job.dogs.values())
    low = opening.start.id if opening.start_level_ft < opening.end_level_ft else opening.end.id
    toward = f", most toward {low}" if work.ground_rise_ft else ""
    at = f"{'up to ' if toward else ''}{format_in(gap_in)} under gate {work.gate}{toward}"
    do = "Trim the bottom rail to the slope, fill the low side, or hang a strip of wire below the rail."
    if dog_in is not None and gap_in >= dog_in:
        says = f"There is {at}, and the smallest dog gets through about {format_in(dog_in)} (judgement)."
        yield _finding("gate_gap_lets_dog_out", "stop", (work.gate,), says, do)
    elif gap_in > rule_in:
        yield _finding("gate_gap_over_rule", "fix", (work.gate,), f"There is {at}, over the {format_in(rule_in)} rule.", do)


def _ground_note(survey: Survey, works: Mapping[str, GateWork], openings: Mapping[str, Bay]) -> Iterator[Finding]:
    """One note a job: what the swing doesn't know."""
    shot = tuple(name for name in works if survey.lines[openings[name].line].level_shots)
    if shot:
        says = "A swing is worked out from the ground on the fence line; what rises beside the line isn't in it."
        do = "Swing a stick as long as the leaf at the height of its bottom edge before it is hung."
        yield _finding("swing_ground", "note", shot, says, do)


def _items(job: Job, work: GateWork) -> Iterator[Item]:
    rules, name = job.rules.gate, work.gate
    slack_ft, square_ft = rules.opening_tolerance_in / 12, rules.diagonal_tolerance_in / 12

    def item(what: str, says: str, reading: Reading | None = None) -> Item:
        return Item(f"gate.{name}.{what}", "gate", name, f"{name}: {says}", reading)

    wanted_ft = work.opening_wanted_ft
    posts = f"{work.hinge_post} to {work.latch_post}"
    yield item("opening", f"opening, {posts}", Reading("ft", wanted_ft, wanted_ft - slack_ft, wanted_ft + slack_ft))
    for number, leaf in enumerate(work.leaves, 1):
        which, after = (f"leaf {number}, ", f"{number}") if len(work.leaves) > 1 else ("", "")
        square = Reading("ft", leaf.diagonal_ft, leaf.diagonal_ft - square_ft, leaf.diagonal_ft + square_ft)
        yield item(f"diagonal_a{after}", f"{which}first diagonal, corner to corner", square)
        yield item(f"diagonal_b{after}", f"{which}other diagonal, within {format_in(rules.diagonal_tolerance_in)} of the first", square)
    if max(leaf.width_ft for leaf in work.leaves) > TWO_PEOPLE_FT:
        yield item("two_people", "two people to lift and hang a leaf this wide")
    yield item("hinge_plumb", "hinge side plumb")
    yield item("hung", "hung and adjusted")
    yield item("swing_clear", f"swings clear, opening {work.better}")
    yield item("latch_holds", "latch holds when pushed and pulled")
    yield item("bottom_gap", "bottom gap at its widest", Reading("in", rules.bottom_gap_in, 0.0, rules.bottom_gap_max_in))
