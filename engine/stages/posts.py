"""Stage 3, sleeves and posts: how deep, how high, how long, and what a tree or a structure wants instead."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.checklist import Item
from engine.findings import Finding
from engine.job.job import Job
from engine.stages.layout import Layout

READS = ("rules", "stock", "fence", "trees", "structures", "checks", "utility_notice", "utilities")


@dataclass(frozen=True)
class PostWork:
    """What to do at one support. Heights are above the ground at the support; depths and lengths of tree and structure eyes are None.

    `depth_half_in` is the practice rule, `depth_load_in` the soil-and-load depth (guidance; None where it passes its limit),
    `depth_wanted_in` the depth asked for; `driven_in` the crew's reading. `sleeve_cut_in` is what to cut off a sleeve that is solid
    part way. `post_cut_ft` is the length to cut the stock post to for an even top line, `top_level_ft` that top's level.
    """

    support: str
    drivable: bool
    why_not: str
    depth_half_in: float | None
    depth_load_in: float | None
    depth_wanted_in: float | None
    driven_in: float | None
    sleeve_cut_in: float | None
    eye_low_ft: float
    eye_high_ft: float
    top_level_ft: float
    post_cut_ft: float | None
    post_off_in: float | None


@dataclass(frozen=True)
class Posts:
    """The work at every support, in layout order."""

    work: Mapping[str, PostWork]
    eye_low_ft: float
    eye_high_ft: float
    driven_count: int
    tree_count: int
    structure_count: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def posts(job: Job, layout: Layout) -> Posts:
    raise NotImplementedError
