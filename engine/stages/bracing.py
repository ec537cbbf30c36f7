"""Stage 4, bracing: what pulls on every support, which need a brace, and where its foot goes on the real ground."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.plane import Point
from engine.checklist import Item
from engine.findings import Finding
from engine.job.job import Job
from engine.stages.layout import Layout
from engine.stages.posts import Posts
from engine.stages.survey import Survey

READS = ("rules", "stock", "fence", "gates")


@dataclass(frozen=True)
class BraceLeg:
    """One brace: inclined post from below the top eye to a foot `foot_distance_ft` away along an arm of the fence.

    `axial_lbf` is compression, `uplift_lbf` what lifts the post, `thrust_lbf` the level push on the foot.
    """

    id: str
    support: str
    azimuth_deg: float
    foot_distance_ft: float
    foot: Point
    foot_level_ft: float
    length_ft: float
    axial_lbf: float
    uplift_lbf: float
    thrust_lbf: float
    stock_reaches: bool
    clear: bool


@dataclass(frozen=True)
class SupportPull:
    """The pull of the cables on one support and what it would see without a brace.

    `pull_lbf` toward `azimuth_deg`; `moment_lbf_ft` at the ground against `yield_lbf_ft` of the post (None for tree or structure).
    """

    support: str
    pull_lbf: float
    azimuth_deg: float | None
    moment_lbf_ft: float
    yield_lbf_ft: float | None
    share: float | None
    braces: int
    why: str
    legs: tuple[BraceLeg, ...]


@dataclass(frozen=True)
class Bracing:
    """Pulls at every support in layout order, and the braces they need."""

    pulls: Mapping[str, SupportPull]
    brace_count: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def bracing(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Bracing:
    raise NotImplementedError
