"""Gate: a row a check, a column a gate; then what to build, with the same columns."""

from collections.abc import Callable, Iterable, Mapping

from engine.calc.lengths import format_ft_in, format_in
from engine.findings import LEVELS, Finding
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, left_over, sheet, worst_by_subject
from engine.stages.gate.stage import GateWork, Swing
from engine.walk import Walk

CHECKS = {
    "opening": "opening",
    "diagonal_a": "first diagonal",
    "diagonal_b": "other diagonal",
    "diagonal_a1": "leaf 1, first diagonal",
    "diagonal_b1": "leaf 1, other diagonal",
    "diagonal_a2": "leaf 2, first diagonal",
    "diagonal_b2": "leaf 2, other diagonal",
    "two_people": "two people to hang it",
    "hinge_plumb": "hinge side plumb",
    "hung": "hung and adjusted",
    "swing_clear": "swings clear",
    "latch_holds": "latch holds",
    "ground_sleeve": "drop rod's sleeve flush",
    "drop_rod": "drop rod holds",
    "held_open": "hooks hold it open",
    "bottom_gap": "bottom gap",
}
"""What is asked of gates, in order, in words without the gate's name."""
TOLD_AT = {
    "gate_opening_off": "opening",
    "gate_mower": "opening",
    "gate_out_of_square": "diagonal_b",
    "gate_on_slope": "hung",
    "gate_drags": "swing_clear",
    "drop_rod_blocked": "ground_sleeve",
    "gate_gap_lets_dog_out": "bottom_gap",
    "gate_gap_over_rule": "bottom_gap",
}
"""The check that settles a finding of a gate, by its code."""
FACE_WIRES = "face wires"
SIZES: Mapping[str, Callable[[GateWork], str]] = {
    "hinge post to latch post": lambda gate: f"{gate.hinge_post} to {gate.latch_post}",
    "opening wanted": lambda gate: format_ft_in(gate.opening_wanted_ft),
    "leaf": lambda gate: _each(1, gate, format_ft_in(gate.leaves[0].width_ft)),
    "uprights": lambda gate: _each(2, gate, format_ft_in(gate.leaves[0].stile_ft)),
    "rails": lambda gate: _each(2, gate, format_ft_in(gate.leaves[0].rail_ft)),
    "both diagonals": lambda gate: format_ft_in(gate.leaves[0].diagonal_ft, 16),
    FACE_WIRES: lambda gate: _each(2, gate, format_ft_in(gate.leaves[0].wire_ft)),
    "hinges apart": lambda gate: format_ft_in(gate.leaves[0].hinge_spacing_ft),
    "wire, and as much mesh": lambda gate: format_ft_in(gate.fabric_wire_ft),
    "rings": lambda gate: f"{gate.rings}",
    "screws": lambda gate: f"{gate.screws}",
    "drop rod on": lambda gate: f"leaf {gate.standing}" if gate.standing else "",
    "opens best": lambda gate: gate.better,
    "level shots tell of that swing": lambda gate: f"{_swing(gate).known_share:.0%}" if gate.to_shoot_ft else "",
    "shoot both posts and midway, off the line": lambda gate: _to_shoot(gate),
    "hang it over the highest ground": lambda gate: format_in(gate.hang_in),
    "gap then at the lowest": lambda gate: format_in(gate.gap_then_in),
    "smallest dog gets through": lambda gate: "" if gate.dog_in is None else format_in(gate.dog_in),
    "side gaps, each": lambda gate: format_in(gate.side_gap_in),
    "clear width": lambda gate: format_in(gate.clear_width_in),
}
"""What to build a gate by, in the order of the work."""


def _each(in_leaf: int, gate: GateWork, size: str) -> str:
    """How many of a size: those of one leaf for each."""
    count = in_leaf * len(gate.leaves)
    return size if count == 1 else f"{count} of {size}"


def _swing(gate: GateWork) -> Swing:
    return next(swing for swing in gate.swings if swing.side == gate.better)


def _to_shoot(gate: GateWork) -> str:
    """How far off the line, and on which side, levels make the ground of the swing known."""
    return f"{format_ft_in(gate.leaves[0].width_ft, 1)} {gate.better}" if gate.to_shoot_ft else ""


def gate_sheet(walk: Walk) -> Sheet:
    """Every check of every gate side by side, and the sizes to build and hang each by."""
    asked, found, gates = Asked(walk.checklists["gate"]), walk.stage_findings["gate"], walk.gate.gates
    heads = tuple(Column(name, right=True) for name in gates)
    only = next(iter(gates)) if len(gates) == 1 else ""
    checks = []
    for what, words in CHECKS.items():
        cells = tuple(asked.cell("gate", name, what) for name in gates)
        if any(cell.line for cell in cells):
            checks.append(Row(only, (Cell(figure=words), *cells), _worst(found, what)))
    sizes = ((_named(words, gates.values()), *(Cell(figure=size(work)) for work in gates.values())) for words, size in SIZES.items())
    told = tuple(Row(only, cells) for cells in sizes if any(cell.figure for cell in cells[1:]))
    parts = (SheetPart((Column("check", long=True), *heads), tuple(checks)), SheetPart((Column("to build", long=True), *heads), told))
    return sheet("gate", (*parts, left_over(asked, "gate", "besides", worst_by_subject(found))))


def _named(words: str, gates: Iterable[GateWork]) -> Cell:
    """The name of a row; that of the face wires says between which corners they run."""
    runs = {f"{leaf.wire_from} to {leaf.wire_to}" for gate in gates for leaf in gate.leaves} if words == FACE_WIRES else set()
    return Cell(figure=", ".join((words, *sorted(runs))))


def _worst(found: Iterable[Finding], what: str) -> Finding | None:
    """The worst finding of any gate that this row settles."""
    of_row = [one for one in found if (one.item.what if one.item else TOLD_AT.get(one.code)) == what]
    return min(of_row, key=lambda one: LEVELS.index(one.level), default=None)
