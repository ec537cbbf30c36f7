"""Stage 8, gate: opening, frame, diagonals, wires, hinge pull, and the swing over the real ground."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.plane import Point
from engine.checklist import Item
from engine.findings import Finding
from engine.job.base import Side
from engine.job.job import Job
from engine.stages.layout import Layout
from engine.stages.posts import Posts
from engine.stages.survey import Survey

READS = ("rules", "stock", "fence", "gates", "dogs")


@dataclass(frozen=True)
class Swing:
    """A leaf swung from shut to square open on one side: its least clearance over the ground (in), where, and the arc for a picture."""

    side: Side
    least_in: float
    at_deg: float
    at_ft: float
    clear: bool
    arc: tuple[Point, ...]


@dataclass(frozen=True)
class Leaf:
    """One leaf of a gate: hinge and latch supports' places, frame cuts, diagonals and face wire."""

    hinge: Point
    latch: Point
    width_ft: float
    height_ft: float
    stile_ft: float
    rail_ft: float
    diagonal_ft: float
    wire_ft: float
    wire_from: str
    wire_to: str
    weight_lb: float
    hinge_spacing_ft: float
    hinge_pull_lbf: float
    brace_force_lbf: float


@dataclass(frozen=True)
class GateWork:
    """All of one gate: opening wanted and as laid out, leaves, swings both ways and the better side, ground under it."""

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
    raise NotImplementedError
