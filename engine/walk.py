"""The walk: everything worked out from a job, nine stages in order. A pure function; the same job gives the same walk everywhere."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.checklist import Checklist
from engine.findings import Finding, StageName
from engine.job.job import Job
from engine.stages.bracing import Bracing
from engine.stages.cables import Cables
from engine.stages.fabric import Fabric
from engine.stages.gate import Gates
from engine.stages.layout import Layout
from engine.stages.posts import Posts
from engine.stages.punch import Punch
from engine.stages.staking import Staking
from engine.stages.survey import Survey
from engine.takeoff import Takeoff


@dataclass(frozen=True)
class Walk:
    """Nine results in order, with the checklists and findings of each stage (readings out of range included) and the take-off."""

    survey: Survey
    layout: Layout
    posts: Posts
    bracing: Bracing
    cables: Cables
    fabric: Fabric
    staking: Staking
    gate: Gates
    punch: Punch
    checklists: Mapping[StageName, Checklist]
    stage_findings: Mapping[StageName, tuple[Finding, ...]]
    takeoff: Takeoff

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, in stage order."""
        return tuple(finding for found in self.stage_findings.values() for finding in found)


def walk(job: Job) -> Walk:
    raise NotImplementedError
