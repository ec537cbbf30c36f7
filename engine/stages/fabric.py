"""Stage 6, wire and mesh: what to cut for each loop, the apron the ground leaves in every bay, rings and ties."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.cutting import CutPlan
from engine.checklist import Item
from engine.findings import Finding
from engine.job.job import Job
from engine.stages.cables import Cables
from engine.stages.layout import Layout
from engine.stages.posts import Posts
from engine.stages.survey import Survey

READS = ("rules", "stock", "fence", "dogs")


@dataclass(frozen=True)
class LoopFabric:
    """Wire and mesh for one loop, with its rings and ties."""

    loop: str
    wire_cut_ft: float
    mesh_cut_ft: float
    cable_rings: int
    mesh_rings: int
    seam_rings: int
    corner_ties: int

    @property
    def rings(self) -> int:
        """All hog rings of the loop."""
        return self.cable_rings + self.mesh_rings + self.seam_rings


@dataclass(frozen=True)
class BayApron:
    """What the ground leaves of the wire's lower edge along one bay, at every foot and every ground break.

    `stations_ft`, `height_in` (bottom cable over ground) and `apron_in` are parallel; a negative apron is a hole of that height under
    the wire. `least_*` is the worst spot; `short` are stretches under the rule as (from, to, least apron in).
    """

    bay: str
    stations_ft: tuple[float, ...]
    height_in: tuple[float, ...]
    apron_in: tuple[float, ...]
    least_apron_in: float
    least_at_ft: float
    short: tuple[tuple[float, float, float], ...]
    infill_ft: float


@dataclass(frozen=True)
class Fabric:
    """Fabric of every loop and bay, roll plans, and totals."""

    loops: Mapping[str, LoopFabric]
    bays: Mapping[str, BayApron]
    wire_width_in: float
    mesh_width_in: float
    lap_in: float
    wire_rolls: CutPlan
    mesh_rolls: CutPlan
    rings: int
    ties: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def fabric(job: Job, survey: Survey, layout: Layout, posts: Posts, cables: Cables) -> Fabric:
    raise NotImplementedError
