"""Stage 7, staking: where every stake through the apron goes, and where none may."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.checklist import Item
from engine.findings import Finding
from engine.job.job import Job
from engine.stages.fabric import Fabric
from engine.stages.layout import Layout
from engine.stages.survey import Survey

READS = ("rules", "stock", "fence", "utilities")


@dataclass(frozen=True)
class BayStakes:
    """Stake stations of one bay on its line; `uncovered` are gaps over the limit that a keep-out leaves: (from, to)."""

    bay: str
    stations_ft: tuple[float, ...]
    uncovered: tuple[tuple[float, float], ...]
    blocked_by: tuple[str, ...]


@dataclass(frozen=True)
class Staking:
    """Stakes of every bay, their total and the spare to load."""

    bays: Mapping[str, BayStakes]
    total: int
    spare: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def staking(job: Job, survey: Survey, layout: Layout, fabric: Fabric) -> Staking:
    raise NotImplementedError
