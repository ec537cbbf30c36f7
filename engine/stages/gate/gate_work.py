"""All of one gate worked out: leaves, swings, gaps and what goes into them."""

from collections.abc import Mapping
from dataclasses import replace

from engine.calc.cutting.run_shares import count_along
from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered
from engine.calc.statics.gate_leaf import opening_ft
from engine.calc.tolerances import ALIKE_IN
from engine.job.model.base import Side
from engine.job.model.fence import Gate
from engine.job.model.people import Dog
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockKind
from engine.stages.gate.gate_leaves import Leaf, Opening, leaves_of
from engine.stages.gate.swings import Swing, stations_to_shoot_ft, swings_of
from engine.stages.survey.dog_gaps import least_gap_in

ALL_KNOWN = 0.99
"""A swing over ground that is known for this share needs no more levels."""
SCREWS = 16
"""In one leaf: two in each end of each tube, common practice, no source."""
IN_LEAF: Mapping[StockKind, int] = {"gate corner": 4, "screw": SCREWS, "hinge": 2, "turnbuckle": 2}
"""What one leaf takes by the piece."""
BY_LENGTH: tuple[StockKind, ...] = ("wire", "mesh", "gate tube", "brace wire")
"""What leaves take by length."""


@dataclass(frozen=True)
class GateWork:
    """All of one gate: opening wanted and as laid out, leaves, swings both ways and the better side, ground under it.

    `ground_rise_ft` is walking along the line. `bottom_gap_most_in` is under a level bottom edge at the lowest ground of the opening.
    `clear_width_in` is left to pass with every leaf square open. Of two leaves the first hangs on the post nearer the line's start.
    `post_heights_ft` are the hinge post's and the latch post's over their own ground, to the level top of the leaves; `side_gap_in` is
    each gap where all are alike; `dog_in` the smallest gap that a dog of the job gets through; `digs` is whether one digs and may there,
    for the opening is `on_soil`. `hang_in` is how high over the highest
    ground of the opening the leaves hang so that they clear on the better side, and `gap_then_in` what that leaves at the lowest.
    `rings` hold the fabric to the frames, all round. `to_shoot_ft` are stations where a level a leaf's width off the line, on the better
    side, would make the ground of the swing known: none where it is, or where no level was shot along the line at all. Of two
    leaves the one on the latch post, `standing` (its number, 0 of one leaf), is held by a drop rod while the other opens first.
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
    on_soil: bool
    digs: bool
    hang_in: float
    gap_then_in: float
    screws: int
    rings: int
    to_shoot_ft: tuple[float, ...]
    standing: int

    @property
    def taken_ft(self) -> Mapping[StockKind, float]:
        """What its leaves take of what comes by length, by its kind, ft."""
        frames_ft = sum(2 * (leaf.stile_ft + leaf.rail_ft) for leaf in self.leaves)
        faces_ft = sum(2 * leaf.wire_ft for leaf in self.leaves)
        return dict(zip(BY_LENGTH, (self.fabric_wire_ft, self.fabric_mesh_ft, frames_ft, faces_ft), strict=True))

    @property
    def rod_spot(self) -> Point | None:
        """Where the drop rod goes into the ground: under the free end of the leaf that stands; None of one leaf."""
        return self.leaves[self.standing - 1].latch if self.standing else None


def on_its_line(work: GateWork, start_ft: float) -> GateWork:
    """The gate with its stations as they are taped along its line."""
    return replace(work, to_shoot_ft=tuple([start_ft + at_ft for at_ft in work.to_shoot_ft])) if work.to_shoot_ft else work


@remembered
def gate_work(
    all_rules: Rules,
    height_ft: float,
    name: str,
    asked: Gate,
    wide_ft: float,
    opening: Opening,
    tube_in: float,
    weight_lb: float,
    dogs: tuple[Dog, ...],
) -> GateWork:
    """One gate between its two posts so far apart, stations from the first of them. Raises: OutOfRange where such a leaf can't be made."""
    rules = all_rules.gate
    leaves = leaves_of(asked, rules, opening, height_ft, tube_in, weight_lb)
    swings = swings_of(asked, rules, opening, leaves)
    hinge, latch = (opening.start, opening.end) if asked.hinge == "start" else (opening.end, opening.start)
    open_leaf_in = tube_in + rules.gap_in / (asked.leaves + 1)
    piece_ft = asked.leaf_width_ft + all_rules.fabric.overrun_in / 12
    better = _better(swings, asked.opens)
    best = next(swing for swing in swings if swing.side == better)
    top_ft = opening.highest_ft + rules.bottom_gap_in / 12 + leaves[0].height_ft
    most_in = rules.bottom_gap_in + 12 * (opening.highest_ft - opening.lowest_ft)
    level_ft = {opening.start.id: opening.start_level_ft, opening.end.id: opening.end_level_ft}
    return GateWork(
        gate=name,
        hinge_post=hinge.id,
        latch_post=latch.id,
        opening_wanted_ft=opening_ft(asked.leaf_width_ft, asked.leaves, rules.gap_in),
        opening_ft=wide_ft,
        leaves=leaves,
        swings=swings,
        better=better,
        ground_rise_ft=opening.end_level_ft - opening.start_level_ft,
        bottom_gap_most_in=most_in,
        clear_width_in=12 * wide_ft - asked.leaves * open_leaf_in,
        fabric_wire_ft=asked.leaves * piece_ft,
        fabric_mesh_ft=asked.leaves * piece_ft,
        post_heights_ft=(top_ft - level_ft[hinge.id], top_ft - level_ft[latch.id]),
        side_gap_in=12 * (wide_ft - asked.leaves * asked.leaf_width_ft) / (asked.leaves + 1),
        dog_in=least_gap_in(dogs),
        on_soil=opening.on_soil,
        digs=opening.on_soil and any(dog.digs for dog in dogs),
        hang_in=rules.bottom_gap_in + best.raise_in,
        gap_then_in=most_in + best.raise_in,
        screws=SCREWS * asked.leaves,
        rings=sum(count_along(2 * (leaf.width_ft + leaf.height_ft), rules.ring_ft) - 1 for leaf in leaves),
        to_shoot_ft=stations_to_shoot_ft(opening) if opening.line.shot and best.known_share < ALL_KNOWN else (),
        standing=0 if asked.leaves == 1 else 2 if asked.hinge == "start" else 1,
    )


def _better(swings: tuple[Swing, ...], opens: Side) -> Side:
    best = max(swings, key=lambda swing: swing.least_in)
    wanted = next(swing for swing in swings if swing.side == opens)
    return opens if best.least_in - wanted.least_in < ALIKE_IN else best.side
