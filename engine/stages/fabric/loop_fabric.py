"""Wire and mesh of one loop: the pieces to cut from rolls, with rings and ties."""

from collections.abc import Mapping, Sequence

from engine.calc.cutting.run_shares import count_along, partition_run
from engine.calc.frozen import dataclass
from engine.calc.remember import remembered, remembered_columns, remembered_same
from engine.job.model.fence import Fence
from engine.job.model.rules import FabricRules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids
from engine.stages.cables.cable_loop import Loop
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span

Pieces = dict[str, float]


@dataclass(frozen=True)
class LoopFabric:
    """Wire and mesh for one loop, with its rings and ties."""

    loop: str
    wire_cut_ft: float
    mesh_cut_ft: float
    cable_rings: int
    mesh_rings: int
    seam_rings: int
    splice_rings: int
    splices: int
    corner_ties: int

    def __hash__(self) -> int:
        """Of a few fields: loops are looked up often and are seldom alike."""
        return hash((self.loop, self.wire_cut_ft, self.mesh_cut_ft))

    @property
    def rings_by(self) -> Mapping[str, int]:
        """Hog rings by the item that they go in with: to the bottom cable, to the top cable, and where mesh meets wire, up splices too."""
        return {"wire_hung": self.cable_rings, "mesh_hung": self.mesh_rings, "seam_ringed": self.seam_rings + self.splice_rings}

    @property
    def rings(self) -> int:
        """All hog rings of the loop."""
        return self.cable_rings + self.mesh_rings + self.seam_rings + self.splice_rings


@dataclass(frozen=True)
class FabricRoll:
    """One kind of fabric as the stock gives it."""

    word: str
    name: str
    width_in: float
    length_ft: float | None


@dataclass(frozen=True)
class CutFabric:
    """A loop's fabric with the pieces that it is cut in, ft."""

    fabric: LoopFabric
    wire: Pieces
    mesh: Pieces


@remembered_same
def rolls_of(fence: Fence, stock: Mapping[str, StockRow]) -> tuple[FabricRoll, FabricRoll]:
    """Wire and mesh."""
    rolls = []
    for word, name in zip(("wire", "mesh"), fabric_ids(fence), strict=True):
        row = stock.get(name)
        rolls.append(FabricRoll(word, (row and row.name) or name, (row and row.width_in) or 0.0, row.length_ft if row else None))
    return rolls[0], rolls[1]


@remembered_columns
def cut_fabric(
    rules: FabricRules,
    wire_roll: FabricRoll,
    mesh_roll: FabricRoll,
    loop: Loop,
    hang: BayHeight,
    laps: int,
    tied: int,
    bays: Sequence[Span],
    along_ground_ft: Sequence[float | None],
) -> CutFabric:
    """A loop's fabric, by rules, rolls, height, how many of its ends lap another loop's, how many of its posts are tied, and how long the
    ground is under each bay, None where it isn't known.

    Wire is as long as each bay along the ground, break by break, and never less than straight from support to support.
    """
    slopes_ft = [bay.slope_ft for bay in bays]
    along_ft = [max(ground_ft or 0.0, slope_ft) for ground_ft, slope_ft in zip(along_ground_ft, slopes_ft, strict=True)]
    wire, mesh = _pieces(rules, loop.id, along_ft, wire_roll), _pieces(rules, loop.id, slopes_ft, mesh_roll)
    splices = [(roll, len(pieces) - 1 + laps) for roll, pieces in ((wire_roll, wire), (mesh_roll, mesh)) if roll.width_in]
    fabric = LoopFabric(
        loop=loop.id,
        wire_cut_ft=sum(wire.values()),
        mesh_cut_ft=sum(mesh.values()),
        cable_rings=count_along(loop.run_ft, rules.ring_cable_ft),
        mesh_rings=count_along(loop.run_ft, rules.ring_mesh_ft),
        seam_rings=count_along(loop.run_ft, rules.ring_seam_ft),
        splice_rings=sum(count * count_along(roll.width_in / 12, rules.ring_splice_ft) for roll, count in splices),
        splices=sum(count for _, count in splices),
        corner_ties=tied * count_along(hang.height_ft, rules.tie_corner_in / 12),
    )
    return CutFabric(_known(fabric), wire, mesh)


@remembered
def _known(fabric: LoopFabric) -> LoopFabric:
    """The very same where it is like it: how a loop is leaned on may be all that changed."""
    return fabric


def _pieces(rules: FabricRules, loop: str, bays_ft: Sequence[float], roll: FabricRoll) -> Pieces:
    """Lengths to cut for one loop; more than one where no roll is as long, the fewest that end at supports."""
    over_ft, lap_ft = rules.overrun_in / 12, rules.lap_in / 12
    whole_ft = sum(bays_ft) + over_ft
    most_ft = (roll.length_ft or 0.0) - over_ft - lap_ft
    if roll.length_ft is None or whole_ft <= roll.length_ft or most_ft <= 0 or len(bays_ft) == 1:
        return {loop: whole_ft}
    parts = partition_run(bays_ft, [True] * (len(bays_ft) - 1), 0.0, most_ft)
    lengths = [sum(bays_ft[first : last + 1]) + (lap_ft if first else 0.0) for first, last in parts]
    lengths[-1] += over_ft
    return {f"{loop}-{_letter(place)}": length for place, length in enumerate(lengths)}


def _letter(place: int) -> str:
    return chr(ord("a") + place) if place < 26 else f"{place + 1}"
