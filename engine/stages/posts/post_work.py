"""The work at one support, as the posts stage gives it."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import repeat
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.remember import ByParts, remembered, remembered_columns, remembered_same
from engine.calc.tolerances import ROUNDING_IN
from engine.checklist import Item, StoodAt, WantedReading, counts
from engine.job.model.checks import Tick
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry
from engine.job.model.signed_record import RepairOf
from engine.job.model.tick_facts import TickFacts
from engine.stages.layout.keep_outs import KeepOut
from engine.stages.layout.stage import Layout
from engine.stages.posts.adjoining import keep_outs_at
from engine.stages.posts.at_support import AtSupport, PostBasis
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_items import post_items
from engine.stages.posts.sleeves.sleeve_ticks import counting_tick, old_sleeve_tick, sleeves_before
from engine.stages.posts.standing_supports import Stand
from engine.stages.posts.top_line import cut_post
from engine.stages.sorted_ticks import sorted_ticks

STANDS_OUT_IN = 2.0
"""How much of a sleeve may stand out of the ground when it is solid part way: common practice, no source."""


class StoodPost(NamedTuple):
    """As much of a post as counts for what pulls at it: its eyes over the ground, ft, and how deep its sleeve is, or is asked to be, in."""

    low_ft: float
    high_ft: float
    depth_in: float | None


_stood = remembered(StoodPost)


@dataclass(frozen=True)
class PostWork:
    """What to do at one support. Heights are above the ground at the support; depths and lengths of tree and structure eyes are None.

    `drivable` is whether a sleeve may be driven there now, else `why_not` says why. `depth_half_in` is the practice rule,
    `depth_load_in` the soil-and-load depth (guidance; None where it passes its limit), `depth_wanted_in` the depth asked for, `driven_in`
    the crew's reading, `sleeve_in` the sleeve's length, the deepest it goes. `sleeve_cut_in` is what to cut off a sleeve that is
    solid part way. `post_cut_ft` is the length to cut the stock post to for an even top line, `top_level_ft` that top's level,
    `post_off_in` what comes off (negative: the stock post is that much
    too short), `in_sleeve_in` how much of it stands in the sleeve. `plate_on` names the hard ground that a post on a base plate stands
    on; it has no sleeve, and its `post_cut_ft` is all above that floor. `braced` is whether it is an end, corner or tee that a brace holds.
    Where fences of several heights meet, the eyes are the highest's.
    """

    support: str
    drivable: bool
    why_not: str
    depth_half_in: float | None
    depth_load_in: float | None
    depth_wanted_in: float | None
    driven_in: float | None
    sleeve_in: float | None
    sleeve_cut_in: float | None
    eye_low_ft: float
    eye_high_ft: float
    top_level_ft: float
    post_cut_ft: float | None
    post_off_in: float | None
    in_sleeve_in: float | None = None
    plate_on: str = ""
    braced: bool = False

    @cached_property
    def stopped_short(self) -> bool:
        """Whether the sleeve went in less than the practice rule asks, as a tape reads both."""
        return self.driven_in is not None and not WantedReading("in", low=self.depth_half_in).passes(self.driven_in)

    @cached_property
    def stood(self) -> StoodPost:
        """Its eyes and its depth, the very same for posts alike."""
        return _stood(self.eye_low_ft, self.eye_high_ft, self.depth_wanted_in if self.driven_in is None else self.driven_in)

    @property
    def short_of_its_brace(self) -> bool:
        """Whether the sleeve of a braced post is deep enough by practice and short of what its brace asks."""
        if not self.braced or self.driven_in is None or self.depth_wanted_in is None or self.stopped_short:
            return False
        return not WantedReading("in", low=self.depth_wanted_in).passes(self.driven_in)

    @property
    def lacks_in(self) -> float:
        """How much the stock post is too short, in; 0 where it isn't."""
        return -self.post_off_in if self.post_off_in is not None and self.post_off_in < -ROUNDING_IN else 0.0


class WorkedPost(NamedTuple):
    """One support's work and what it asks, and whether something of it is `noted` in a finding."""

    work: PostWork
    items: tuple[Item, ...]
    noted: bool


class _Day(NamedTuple):
    """What is the same for every support today."""

    basis: PostBasis
    marks_seen: bool
    repair_of: RepairOf | None


_day = remembered_same(_Day)


def worked_posts(
    job: Job, layout: Layout, basis: PostBasis, at: Mapping[str, AtSupport], tops_ft: Mapping[str, float]
) -> dict[str, WorkedPost]:
    """The work at every support, by what meets there, by its top, and by what was read of its sleeve."""
    read, stood = sorted_ticks(job.checks).of("posts", "driven_depth"), layout.stood
    past = {key.subject: entries for key, entries in sleeves_before(job.log).items() if key.what == "driven_depth"}
    older = {name for name in stood if name in read and not read[name].of.places}
    worked = _worked_post(
        repeat(_day(basis, job.utility_notice.marks_seen, job.repair_of)),
        at.values(),
        tops_ft.values(),
        keep_outs_at([one.stand.xy for one in at.values()], layout.keep_outs),
        [one.on for one in at.values()],
        list(map(read.get, at)),
        [stood[name] if name in older else None for name in at],
        ByParts(past.get(name, ()) for name in at),
    )
    return dict(zip(at, worked, strict=True))


@remembered_columns
def _worked_post(
    day: _Day,
    at: AtSupport,
    top_ft: float,
    area: KeepOut | None,
    on: TickFacts,
    tick: Tick | None,
    stood: tuple[StoodAt, ...] | None,
    past: Sequence[SupersededEntry],
) -> WorkedPost:
    stand, basis = at.stand, day.basis
    there = {stand.id: stood} if stood else {}
    sleeve_in, half_in = (basis.sleeve.sleeve_in, basis.sleeve.half_in) if basis.sleeve else (None, None)
    depth = _Depth(sleeve_in, half_in if stand.driven else None, at.load_in, at.wanted_in, None, at.braced)
    if stand.driven:
        driven_in = _read_in(counting_tick(tick, on, there, past))
        depth = depth._replace(driven_in=_read_in(old_sleeve_tick(day.repair_of, "driven_depth", on)) if driven_in is None else driven_in)
    why_not = _why_not(at, area)
    if not (why_not or day.marks_seen or _stood_before(day.repair_of, tick, on, there)):
        why_not = "the utility marks have not been seen"
    work = _work(stand, depth, at.hang, why_not, top_ft, basis.post_ft, at.on_plate)
    items = post_items(
        stand.support, stand.id, work.plate_on, work.post_cut_ft if at.on_plate else None, at.said, basis.rules.layout.tree_min_in,
        (depth.wanted_in, depth.half_in, depth.sleeve_in), on, at.carried,
    )  # fmt: skip
    noted = work.stopped_short or work.short_of_its_brace or work.lacks_in > 0
    return WorkedPost(work, items, noted)


def _why_not(at: AtSupport, area: KeepOut | None) -> str:
    """Why nothing is driven at a support, in words; empty where it may be, once the utility marks are seen."""
    if at.on_plate:
        return f"it stands on a base plate on {at.stand.at}"
    if not at.stand.driven:
        return f"the {at.stand.support} carries the eyes"
    return area.why if area is not None else ""


def _stood_before(repair_of: RepairOf | None, tick: Tick | None, of: TickFacts, stood: Mapping[str, tuple[StoodAt, ...]]) -> bool:
    """Whether a repair found a sleeve there, of this post or of one that came out."""
    if repair_of is not None and tick is not None and tick.state != "left open" and tick.at <= repair_of.until and counts(tick, of, stood):
        return True
    return old_sleeve_tick(repair_of, "driven_depth", of) is not None


class _Depth(NamedTuple):
    """The depths of one support, in; None where there is none, where it isn't known or not read."""

    sleeve_in: float | None
    half_in: float | None
    load_in: float | None
    wanted_in: float | None
    driven_in: float | None
    braced: bool = False


def _work(
    stand: Stand, depth: _Depth, hang: BayHeight, why_not: str, straight_ft: float, post_ft: float | None, on_plate: bool
) -> PostWork:
    height_ft, cut = hang.height_ft, None
    if on_plate and post_ft is not None:
        cut = cut_post(stand.level_ft, straight_ft - stand.level_ft, straight_ft, post_ft, 0.0, 0.0)
    elif post_ft is not None and depth.wanted_in is not None and depth.half_in is not None and depth.sleeve_in is not None:
        depth_in = depth.wanted_in if depth.driven_in is None else min(depth.driven_in, depth.sleeve_in)
        cut = cut_post(stand.level_ft, height_ft, straight_ft, post_ft, depth_in / 12, min(depth.half_in, depth_in) / 12)
    return PostWork(
        support=stand.id,
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
        top_level_ft=cut.top_level_ft if cut else stand.level_ft + height_ft,
        post_cut_ft=cut.cut_ft if cut else None,
        post_off_in=cut.off_ft * 12 if cut else None,
        in_sleeve_in=cut.in_sleeve_ft * 12 if cut and not on_plate else None,
        plate_on=stand.at or "" if on_plate else "",
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
