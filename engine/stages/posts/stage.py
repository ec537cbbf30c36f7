"""Stage 3, sleeves and posts: how deep, how high, how long, and what a tree or a structure wants instead.

Limits: depth figures assume undisturbed ground whose strength a word says, not a test; frost is not counted. Wind follows a code's formula
for open screens, the ground that for short piles without a factor, for a gust is short. A bay has one height, which changes at supports
only; on a deck it is the rail's. A base plate counts as holding like a wall: its bolts aren't worked out.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.remember import remembered, remembered_same
from engine.calc.statics.blown_fence import Push
from engine.calc.tolerances import ROUNDING_IN
from engine.checklist import Item, TicksOf, WantedReading, counts
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.checks import Tick
from engine.job.model.fence import SupportKind
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import TickFacts
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.stage import Layout, Support
from engine.stages.made_of import Rows, carried_by
from engine.stages.posts.adjoining import bays_at, keep_outs_at
from engine.stages.posts.arms import Arm, arms_of, held_arms
from engine.stages.posts.braced_sleeves import braced_findings, pulled_aside
from engine.stages.posts.depths import Depths, depths_of, footing_depth_in, half_sleeve_in
from engine.stages.posts.emptied import emptied_places, stands_in
from engine.stages.posts.heights import BayHeight, bay_heights, heights_at, usual_height
from engine.stages.posts.old_sleeves import OldSleeve, old_sleeve_items, old_sleeves, reused
from engine.stages.posts.plates import EyesInWords, heights_in_words, plate_findings
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.sleeve_ticks import SleevesBefore, old_sleeve_tick, sleeve_tick, sleeves_before
from engine.stages.posts.top_line import cut_post, straight_tops_ft
from engine.stages.posts.wind_on_fence import fence_wind, wind_on_posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("posts")

READS = (
    "rules", "stock", "fence", "surfaces", "heights", "gates", "posts", "log", "utility_notice", TicksOf("driven_depth"),
    TicksOf("old_sleeve"), "repair_of",
)  # fmt: skip

STANDS_OUT_IN = 2.0
"""How much of a sleeve may stand out of the ground when it is solid part way: common practice, no source."""


@dataclass(frozen=True)
class Posts:
    """The work at every support, in layout order, and how the fence hangs in every bay; `eye_low_ft` and `eye_high_ft` are the fence's
    own, where no stretch of another height and no deck changes them. `footing_in` is what a code's formula for footings would ask at
    `footing_at`, the post that the wind bends most: None past 12 ft. `arms` are those of the fence that leave each support, `winds` what
    the wind of the rules does to driven posts. `reused` are posts of a repair that stand in an old sleeve, with the post it was of."""

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
    footing_at: str = ""
    footing_in: float | None = None
    arms: Mapping[str, tuple[Arm, ...]] = field(default_factory=dict, metadata=UNPRINTED)
    winds: Mapping[str, Push] = field(default_factory=dict, metadata=UNPRINTED)
    reused: Mapping[str, str] = field(default_factory=dict, metadata=UNPRINTED)


def posts(job: Job, survey: Survey, layout: Layout) -> Posts:
    """The work at every support: depth, eyes, the even top line and what to cut; with findings and checklist.

    A post keeps half a sleeve in its sleeve (or all the depth driven, where that is less); the rest of its length goes first to
    the even top line, then to standing deeper.
    Source: common practice, no source, for half the sleeve and the eyes; engine.calc.statics for the load depth.
    Valid for: any job; what the job lacks is None, with a finding.
    """
    stock = stock_of(job.stock)
    usual = usual_height(job)
    sleeve, post = stock.get(job.fence.sleeve), stock.get(job.fence.post)
    post_ft = post.length_ft if post else None
    hangs = bay_heights(job, layout)
    meeting = heights_at(layout, hangs)
    tall_ft = {name: (row or (usual,))[0].height_ft for name, row in meeting.items()}
    blows = fence_wind(job.fence, job.rules.cables.exposure, stock)
    winds = wind_on_posts(blows, layout, hangs, tall_ft, job.rules.cables.wind_mph) if blows else {}
    depths = depths_of(job, stock, winds)
    most = max(winds, key=lambda name: winds[name].bending_lbf_ft, default="")
    joining = bays_at(layout)
    arms = {name: arms_of(support, joining[name], layout, hangs) for name, support in layout.supports.items()}
    tops_ft = straight_tops_ft(layout, hangs, usual.height_ft)
    emptied = emptied_places(job)
    stands = {name: stands_in(job, support, emptied) for name, support in layout.supports.items()}
    why_not = _why_not(job, layout, stands)
    before = sleeves_before(job.log)
    braced = {name for name, spokes in arms.items() if held_arms(spokes, job.rules.layout.corner_deg)}
    aside = {name for name, spokes in arms.items() if len(spokes) > 1 and _pulled_aside(job.rules, spokes, meeting[name][0], sleeve)}
    work = {
        name: _work(
            support,
            _depth(job, layout, support, depths, stands[name], before, name in braced, name in aside),
            (meeting[name] or (usual,))[0],
            why_not[name],
            tops_ft[name],
            post_ft,
            support.at in job.surfaces,
        )
        for name, support in layout.supports.items()
    }
    given_up = old_sleeves(job, survey, layout, emptied)
    kinds = [support.support for support in layout.supports.values()]
    return Posts(
        work=work,
        hangs=hangs,
        eye_low_ft=usual.eyes.low_ft,
        eye_high_ft=usual.eyes.high_ft,
        driven_count=kinds.count("driven"),
        tree_count=kinds.count("tree"),
        structure_count=kinds.count("structure") - sum(bool(post.plate_on) for post in work.values()),
        plate_count=sum(bool(post.plate_on) for post in work.values()),
        findings=(*(_findings(job, work, depths, post_ft) if "driven" in kinds else ()), *plate_findings(job, layout, work)),
        items=(
            *_items(job, layout, work, {name: heights_in_words(row or (usual,)) for name, row in meeting.items()}, stands),
            *old_sleeve_items(job, given_up),
        ),
        old_sleeves=given_up,
        winds=winds,
        footing_at=most,
        footing_in=footing_depth_in(winds[most], sleeve.diameter_in, job.rules.posts) if most and sleeve and sleeve.diameter_in else None,
        arms=arms,
        reused=reused(job, layout),
    )


def _why_not(job: Job, layout: Layout, stands: Mapping[str, TickFacts]) -> dict[str, str]:
    """Why nothing is driven at a support now, in words; empty where it may be, and where it stood before a repair."""
    supports = list(layout.supports.values())
    areas = keep_outs_at([support.xy for support in supports], layout.keep_outs)
    why = {}
    for support, area in zip(supports, areas, strict=True):
        if support.at in job.surfaces:
            why[support.id] = f"it stands on a base plate on {support.at}"
        elif support.support != "driven":
            why[support.id] = f"the {support.support} carries the eyes"
        elif area is not None:
            why[support.id] = area.why
        else:
            seen = job.utility_notice.marks_seen or _stood_before(job, layout, support.id, stands[support.id])
            why[support.id] = "" if seen else "the utility marks have not been seen"
    return why


def _stood_before(job: Job, layout: Layout, name: str, of: TickFacts) -> bool:
    """Whether a repair found a sleeve there, of this post or of one that came out."""
    tick = job.checks.get(ItemKey("posts", name, "driven_depth")) if job.repair_of is not None else None
    if tick is not None and job.repair_of is not None and tick.at <= job.repair_of.until and counts(tick, of, layout.stood):
        return True
    return old_sleeve_tick(job.repair_of, "driven_depth", of) is not None


class _Depth(NamedTuple):
    """The depths of one support, in; None where there is none, where it isn't known or not read."""

    sleeve_in: float | None
    half_in: float | None
    load_in: float | None
    wanted_in: float | None
    driven_in: float | None
    braced: bool = False


@remembered_same
def _pulled_aside(rules: Rules, spokes: tuple[Arm, ...], hang: BayHeight, sleeve: StockRow | None) -> bool:
    half_in = half_sleeve_in(sleeve, rules.posts) if sleeve else None
    if half_in is None or sleeve is None or sleeve.diameter_in is None:
        return False
    return pulled_aside(rules, spokes, hang.eyes, half_in, sleeve.diameter_in)


def _depth(
    job: Job, layout: Layout, support: Support, depths: Depths, on: TickFacts, before: SleevesBefore, braced: bool, aside: bool
) -> _Depth:
    """The depths of one support; where a brace or the cables of a bend load it for good all of its sleeve is asked."""
    load_in = depths.load_in.get(support.id)
    if support.support != "driven":
        return _Depth(depths.sleeve_in, None, load_in, None, None)
    key = ItemKey("posts", support.id, "driven_depth")
    driven_in = _read_in(sleeve_tick(job.checks, key, on, layout.stood, before))
    if driven_in is None:
        driven_in = _read_in(old_sleeve_tick(job.repair_of, "driven_depth", on))
    return _Depth(
        depths.sleeve_in,
        depths.half_in,
        load_in,
        depths.sleeve_in if braced or aside else depths.wanted_in(support.id),
        driven_in,
        braced,
    )


@remembered
def _work(
    support: Support, depth: _Depth, hang: BayHeight, why_not: str, straight_ft: float, post_ft: float | None, on_plate: bool
) -> PostWork:
    height_ft, cut = hang.height_ft, None
    if on_plate and post_ft is not None:
        cut = cut_post(support.level_ft, straight_ft - support.level_ft, straight_ft, post_ft, 0.0, 0.0)
    elif post_ft is not None and depth.wanted_in is not None and depth.half_in is not None and depth.sleeve_in is not None:
        depth_in = depth.wanted_in if depth.driven_in is None else min(depth.driven_in, depth.sleeve_in)
        cut = cut_post(support.level_ft, height_ft, straight_ft, post_ft, depth_in / 12, min(depth.half_in, depth_in) / 12)
    return PostWork(
        support=support.id,
        drivable=not why_not,
        why_not=why_not,
        depth_half_in=depth.half_in,
        depth_load_in=depth.load_in,
        depth_wanted_in=depth.wanted_in,
        driven_in=depth.driven_in,
        sleeve_in=depth.sleeve_in,
        sleeve_cut_in=_sleeve_cut_in(depth),
        eye_low_ft=hang.eyes.low_ft,
        eye_high_ft=hang.eyes.high_ft,
        top_level_ft=cut.top_level_ft if cut else support.level_ft + height_ft,
        post_cut_ft=cut.cut_ft if cut else None,
        post_off_in=cut.off_ft * 12 if cut else None,
        in_sleeve_in=cut.in_sleeve_ft * 12 if cut and not on_plate else None,
        plate_on=support.at or "" if on_plate else "",
        braced=depth.braced,
    )


def _read_in(tick: Tick | None) -> float | None:
    if tick is None or tick.reading_ft is None:
        return tick.reading_in if tick else None
    return tick.reading_ft * 12


def _sleeve_cut_in(depth: _Depth) -> float | None:
    """What to cut off a sleeve that is solid part way; nothing where it is too shallow to stay."""
    if depth.sleeve_in is None or depth.half_in is None or depth.driven_in is None:
        return None
    return max(0.0, depth.sleeve_in - depth.driven_in - STANDS_OUT_IN) if depth.half_in <= depth.driven_in < depth.sleeve_in else None


def _findings(job: Job, work: Mapping[str, PostWork], depths: Depths, post_ft: float | None) -> tuple[Finding, ...]:
    found = [_stopped_short(job, post) for post in work.values() if post.stopped_short]
    if depths.sleeve_in is None:
        found.append(_lacks("sleeve_unknown", job.fence.sleeve, "length and diameter", "its depth can't be worked out"))
    elif not depths.load_in:
        found.append(_lacks("wind_unknown", "the fabric", "wire and pitch, at least 30 % open", "the wind on a post can't be worked out"))
    if post_ft is None:
        found.append(_lacks("post_unknown", job.fence.post, "length", "no post can be cut"))
    return (*found, *braced_findings(work), *_posts_too_short(job, work))


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
    short = {name: -post.post_off_in for name, post in work.items() if post.post_off_in is not None and post.post_off_in < -ROUNDING_IN}
    if not short:
        return ()
    worst = max(short, key=lambda name: short[name])
    said = {
        name: f"{name} needs a post of {format_ft_in(work[name].post_cut_ft or 0.0)}, {format_in(short[name])} longer than {job.fence.post}"
        for name in (worst, *(name for name in short if name != worst))
    }
    return (_finding.of_many("post_too_short", "fix", said, "short too", "Bring longer posts or lower the fence."),)


def _items(
    job: Job, layout: Layout, work: Mapping[str, PostWork], heights: Mapping[str, EyesInWords], stands: Mapping[str, TickFacts]
) -> Iterator[Item]:
    """What each support asks; `heights` are those of its eyes, in words."""
    for name, support in layout.supports.items():
        standing = (stands[name], carried_by(job, (support,)))
        yield from _items_of(support.support, work[name], heights[name], job.rules.layout.tree_min_in, standing)


@remembered
def _items_of(
    support: SupportKind, post: PostWork, heights: EyesInWords, tree_min_in: float, standing: tuple[TickFacts, Rows]
) -> tuple[Item, ...]:
    name, (on, carried) = post.support, standing
    at_post = on._replace(stock=carried)
    at_eyes = at_post._replace(words=(*on.words, f"eyes at {heights.kept}"))
    of = {"plumb": at_post, "eyes": at_eyes}
    return tuple(
        Item(ItemKey("posts", name, what), f"{name}: {says}", reading, of.get(what, on))
        for what, says, reading in _asked(support, post, heights.said, tree_min_in)
    )


def _asked(support: SupportKind, post: PostWork, heights: str, tree_min_in: float) -> tuple[tuple[str, str, WantedReading | None], ...]:
    if post.plate_on:
        cut = "" if post.post_cut_ft is None else f", post cut to {format_ft_in(post.post_cut_ft)}"
        return (
            ("plate", f"base plate bolted down on {post.plate_on}{cut}", None),
            ("plumb", "post plumb both ways", None),
            ("eyes", f"eyes at {heights}", None),
        )
    if support == "tree":
        return (
            ("diameter", "tree, diameter at the eyes", WantedReading("in", low=tree_min_in)),
            ("eyes", f"eyes pre-drilled and screwed in at {heights}", None),
        )
    if support == "structure":
        return (("eyes", f"eyes at {heights.removesuffix(' over the ground')}, into solid wood away from an edge", None),)
    return (
        ("driven_depth", "sleeve driven, depth", WantedReading("in", post.depth_wanted_in, post.depth_half_in, post.sleeve_in, told=True)),
        ("solid", "sleeve solid", None),
        ("plumb", "post plumb both ways", None),
        ("eyes", f"eyes at {heights}", None),
    )
