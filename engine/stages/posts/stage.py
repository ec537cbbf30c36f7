"""Stage 3, sleeves and posts: how deep, how high, how long, and what a tree or a structure wants instead.

Limits: depth figures assume undisturbed ground whose strength a word says, not a test; frost is not counted. Wind follows a code's formula
for open screens, the ground that for short piles without a factor, for a gust is short. A bay has one height, which changes at supports
only; on a deck it is the rail's. A base plate counts as holding like a wall: its bolts aren't worked out.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import field
from itertools import chain

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.statics.blown_fence import Push
from engine.calc.tolerances import TAPE_FT
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.stage import Layout
from engine.stages.posts.arms import Arm
from engine.stages.posts.at_support import AtSupport, PostBasis, at_supports, post_basis
from engine.stages.posts.braced_sleeves import braced_findings
from engine.stages.posts.depths import footing_depth_in
from engine.stages.posts.heights import BayHeight, base_level_ft, bay_heights
from engine.stages.posts.plates import plate_findings
from engine.stages.posts.post_work import PostWork, worked_posts
from engine.stages.posts.sleeves.beside_sleeves import beside_old_sleeves, off_their_sleeves
from engine.stages.posts.sleeves.emptied import TOLD_BY
from engine.stages.posts.sleeves.old_sleeves import (
    OldSleeve,
    Serving,
    old_sleeve_items,
    old_sleeves,
    reused,
    said_both,
)
from engine.stages.posts.top_line import straight_tops_ft
from engine.stages.survey.stage import Survey

_finding = FindingOf("posts")

READS = (
    "rules", "stock", "fence", "structures", "surfaces", "heights", "gates", "posts", "log", "utility_notice", TicksOf("old_sleeve"),
    "repair_of", *map(TicksOf, TOLD_BY),
)  # fmt: skip


@dataclass(frozen=True)
class Posts:
    """The work at every support, in layout order, and how the fence hangs in every bay; `eye_low_ft` and `eye_high_ft` are the fence's
    own, where no stretch of another height and no deck changes them. `footing_in` is what a code's formula for footings would ask at
    `footing_at`, the post that the wind bends most: None past 12 ft. `arms` are those of the fence that leave each support, `heights` the
    different ones that meet there, `winds` what the wind of the rules does to driven posts. `reused` are posts that stand in a sleeve
    which another gave up, or in a repair in one of before, with the post it was of; `serve` those that stand in such a one of this job, or
    in their own though a correction too small for a second one put them elsewhere, with when it was driven. `gave_up` are those that gave
    one up, in this job or before."""

    work: Mapping[str, PostWork]
    hangs: Mapping[str, BayHeight]
    eye_low_ft: float
    eye_high_ft: float
    plate_count: int
    driven_count: int
    tree_count: int
    structure_count: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
    old_sleeves: tuple[OldSleeve, ...] = ()
    serve: Mapping[str, Serving] = field(default_factory=dict, metadata=UNPRINTED)
    footing_at: str = ""
    footing_in: float | None = None
    arms: Mapping[str, tuple[Arm, ...]] = field(default_factory=dict, metadata=UNPRINTED)
    heights: Mapping[str, tuple[BayHeight, ...]] = field(default_factory=dict, metadata=UNPRINTED)
    winds: Mapping[str, Push] = field(default_factory=dict, metadata=UNPRINTED)
    reused: Mapping[str, str] = field(default_factory=dict, metadata=UNPRINTED)
    gave_up: frozenset[str] = field(default=frozenset(), metadata=UNPRINTED)


def posts(job: Job, survey: Survey, layout: Layout) -> Posts:
    """The work at every support: depth, eyes, the even top line and what to cut; with findings and checklist.

    A post keeps half a sleeve in its sleeve (or all the depth driven, where that is less); the rest of its length goes first to
    the even top line, then to standing deeper.
    Source: common practice, no source, for half the sleeve and the eyes; engine.calc.statics for the load depth.
    Valid for: any job; what the job lacks is None, with a finding.
    """
    stock = stock_of(job.stock)
    basis = post_basis(job.rules, job.fence, stock)
    hangs = bay_heights(job, layout)
    at = at_supports(basis, layout, hangs, job.surfaces)
    worked = worked_posts(job, layout, basis, at, straight_tops_ft(layout, hangs, basis.usual.height_ft))
    work = {name: one.work for name, one in worked.items()}
    noted = {name: one.work for name, one in worked.items() if one.noted}
    winds = {name: one.push for name, one in at.items() if one.push is not None}
    most = max(winds, key=lambda name: winds[name].bending_lbf_ft, default="")
    sleeves = old_sleeves(job, survey, layout)
    before = job.repair_of
    earlier = (*before.gone, *(one.post for one in before.sleeves.values())) if before is not None else ()
    kinds = Counter(one.stand.support for one in at.values())
    plates = sum(bool(post.plate_on) for post in work.values()) if job.surfaces else 0
    return Posts(
        work=work,
        hangs=hangs,
        eye_low_ft=basis.usual.eyes.low_ft,
        eye_high_ft=basis.usual.eyes.high_ft,
        driven_count=kinds["driven"],
        tree_count=kinds["tree"],
        structure_count=kinds["structure"] - plates,
        plate_count=plates,
        findings=(
            *(_findings(job, noted, basis) if kinds["driven"] else ()),
            *(low for name, one in at.items() if (low := _wall_low(job, layout.supports[name].line, one)) is not None),
            *plate_findings(job, layout, work),
            *beside_old_sleeves(job, layout, sleeves.old),
            *said_both(job, sleeves.old),
            *off_their_sleeves(layout, sleeves.again),
        ),
        items=(*chain.from_iterable(one.items for one in worked.values()), *old_sleeve_items(job, sleeves.old)),
        old_sleeves=sleeves.old,
        serve=sleeves.serve,
        winds=winds,
        footing_at=most,
        footing_in=footing_depth_in(winds[most], basis.sleeve_width_in, job.rules.posts) if most and basis.sleeve_width_in else None,
        arms={name: one.arms for name, one in at.items()},
        heights={name: one.heights for name, one in at.items()},
        reused={**sleeves.reused, **reused(job, layout)},
        gave_up=frozenset((*earlier, *(one.post for one in sleeves.old))),
    )


def _findings(job: Job, noted: Mapping[str, PostWork], basis: PostBasis) -> tuple[Finding, ...]:
    found = [_stopped_short(job, post) for post in noted.values() if post.stopped_short]
    if basis.sleeve is None:
        found.append(_lacks("sleeve_unknown", job.fence.sleeve, "length and diameter", "its depth can't be worked out"))
    elif basis.wind is None:
        found.append(_lacks("wind_unknown", "the fabric", "wire and pitch, at least 30 % open", "the wind on a post can't be worked out"))
    if basis.post_ft is None:
        found.append(_lacks("post_unknown", job.fence.post, "length", "no post can be cut"))
    return (*found, *braced_findings(noted), *_posts_too_short(job, noted))


def _wall_low(job: Job, line: str, there: AtSupport) -> Finding | None:
    """A wall that ends under the highest eye that is in it."""
    stand = there.stand
    wall = job.structures.get(stand.at or "") if stand.support == "structure" else None
    if wall is None or wall.height_ft is None or not wall.holds_eyes:
        return None
    floor_ft = stand.level_ft - stand.lift_ft
    eye_ft = max(base_level_ft(stand, hang) + hang.eyes.high_ft for hang in (there.heights or (there.hang,))) - floor_ft
    if eye_ft <= wall.height_ft + TAPE_FT:
        return None
    says = f"{stand.id}'s top eye is at {format_ft_in(eye_ft)}, and {stand.at}, which holds it, is {format_ft_in(wall.height_ft)} high."
    do = f"Tape it again; if it is so low, say in the survey that it holds no eyes and lay {line} out afresh, which ends it at a post."
    return _finding("wall_low", "fix", (stand.id, str(stand.at)), says, do)


def _stopped_short(job: Job, post: PostWork) -> Finding:
    assert post.driven_in is not None
    assert post.depth_half_in is not None
    share = "half of it" if job.rules.posts.driven_share == 0.5 else "the least"
    return _finding(
        "sleeve_stopped_short",
        "fix",
        (post.support,),
        f"{post.support}'s sleeve stopped at {format_in(post.driven_in)}; {share} is {format_in(post.depth_half_in)}.",
        settle_words("it", accepted=True),
    )


def _lacks(code: str, what: str, sizes: str, so: str) -> Finding:
    return _finding(code, "fix", ("job",), f"The stock doesn't give {sizes} of {what}, so {so}.", "Add the sizes to the stock.")


def _posts_too_short(job: Job, work: Mapping[str, PostWork]) -> tuple[Finding, ...]:
    """One finding a job: the post that lacks most, with all that lack."""
    short = {name: post.lacks_in for name, post in work.items() if post.lacks_in > 0}
    if not short:
        return ()
    worst = max(short, key=lambda name: short[name])
    said = {
        name: f"{name} needs a post of {format_ft_in(work[name].post_cut_ft or 0.0)}, {format_in(short[name])} longer than {job.fence.post}"
        for name in (worst, *(name for name in short if name != worst))
    }
    return (
        _finding.of_many(
            "post_too_short", "fix", said, "short too", "Bring longer posts, or lower the fence and look at its braces again."
        ),
    )
