"""Every sleeve that was driven and that its post doesn't stand in today, by the ticks of it, and which post stands in it instead."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from itertools import compress

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.remember import remembered_columns
from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT, TAPE_FT
from engine.checklist import standing_then
from engine.job.model.checks import Tick
from engine.job.model.job import Job
from engine.job.model.log_entries import ticks_before
from engine.job.model.signed_record import RepairOf
from engine.job.model.tick_facts import TickFacts
from engine.stages.layout.sleeves_in_ground import Emptied, repair_now, sleeve_at
from engine.stages.layout.stage import Layout
from engine.stages.layout.todays_supports import Support
from engine.stages.posts.sleeves.emptied import SLEEVE, TOLD_BY, sleeve_said, sleeve_words, tells_of_sleeve
from engine.stages.sorted_ticks import sorted_ticks

_NEAR_FT = ONE_SUPPORT_FT + SAME_SPOT_FT
"""Half a foot may be rounded."""


@dataclass(frozen=True)
class DrivenSleeve:
    """A sleeve as it was first ticked: of which post, when, where, and which of that place; `said` is whether its tick says so itself,
    `row` of which stock, `anew` when and where its post was ticked next, `first` when it went in where another post stood in it before."""

    post: str
    at: datetime
    there: Point | None
    said: bool
    which: str
    row: str = ""
    anew: datetime | None = None
    anew_there: Point | None = None
    first: datetime | None = None

    @property
    def went_in(self) -> datetime:
        """When it was driven."""
        return self.first or self.at


def driven_sleeves(job: Job, layout: Layout) -> list[DrivenSleeve]:
    """Every sleeve that went in and that none stands in today, each once, by the first tick of it."""
    by_what, repair_of, emptied = sorted_ticks(job.checks).by_what, repair_now(job), layout.emptied
    tells = partial(tells_of_sleeve, emptied=emptied, plan=job.posts)
    told = [(key, tick) for what in TOLD_BY for key, tick in by_what.get(what, {}).items()]
    again = [(key, tick) for key, tick in ticks_before(job.log) if tells(key, tick)]
    stand_today = [layout.supports.get(key.subject) for key, _ in told]
    elsewhere = _elsewhere(stand_today, [key.what for key, _ in told], [tick for _, tick in told])
    off = [key.subject for key, tick in compress(told, elsewhere) if tells(key, tick)]  # most stand where they stood
    asked = {*emptied, *(key.subject for key, _ in again), *off}
    read = [
        DrivenSleeve(
            key.subject,
            tick.at,
            _read_at(layout, key.subject, tick.at, tick.of),
            bool(tick.of.places),
            sleeve_said(tick.of),
            "".join(tick.of.stock[:1]),
        )
        for key, tick in (*(one for one in told if one[0].subject in asked and tells(*one)), *again)
        if not (key.what != "driven_depth" and _stands_since_before(repair_of, tick))
    ]
    kept: list[DrivenSleeve] = []
    of_post: dict[str, list[DrivenSleeve]] = {}
    for one in sorted(read, key=lambda one: one.at):
        of_post.setdefault(one.post, []).append(one)
    for one in sorted(read, key=lambda one: one.at):
        today = driven_today(layout, one.post)
        stands = today is not None and one.there is not None and distance_ft(today, one.there) <= TAPE_FT
        if stands and one.said and one.there is not None:
            stands = one.which == sleeve_words(emptied, one.post, one.there)
        known = any((other.post, other.which) == (one.post, one.which) and same_spot(other.there, one.there) for other in kept)
        if not stands and not known:
            last = max(other.at for other in of_post[one.post] if other.which == one.which and same_spot(other.there, one.there))
            after = next((other for other in of_post[one.post] if other.at > last), None)
            kept.append(one if after is None else replace(one, anew=after.at, anew_there=after.there))
    return _each_once(kept, emptied)


def _each_once(sleeves: Sequence[DrivenSleeve], emptied: Emptied) -> list[DrivenSleeve]:
    """Sleeves in order, one that another post was set into since as that one's alone, as old as it is."""
    found: list[DrivenSleeve] = []
    for one in sleeves:
        before = next((old for old in found if old.post != one.post and is_near(one.there, old) and is_whole(old, emptied)), None)
        if before is None:
            found.append(one)
        else:
            found.remove(before)
            found.append(replace(one, first=before.went_in, row=before.row))
    return found


def is_whole(sleeve: DrivenSleeve, emptied: Emptied) -> bool:
    """Whether nobody said that it was pulled or cut off."""
    return sleeve.there is not None and sleeve.which == sleeve_words(emptied, sleeve.post, sleeve.there)


def post_in(sleeve: DrivenSleeve, layout: Layout) -> str | None:
    """The driven post that stands in a sleeve which another, or its own elsewhere, gave up: the nearest that leaves no room for a second
    beside it. None does in one that was pulled or cut off."""
    if not is_whole(sleeve, layout.emptied) or sleeve.there is None:
        return None
    driven = ((distance_ft(one.xy, sleeve.there), name) for name, one in layout.supports.items() if one.support == "driven")
    off_ft, name = min(driven, default=(ONE_SUPPORT_FT + 1, ""))
    return name if off_ft <= _NEAR_FT else None


@remembered_columns
def _elsewhere(today: Support | None, what: str, tick: Tick) -> bool:
    """Whether a post doesn't stand in the first sleeve of the place where this was ticked, or may not."""
    of = tick.of
    if today is None or today.support != "driven" or not of.places or (what != "pinned" and sleeve_said(of) != SLEEVE):
        return True
    at = of.places[0]
    return at != today.there and distance_ft(today.xy, (at.east_ft, at.north_ft)) > TAPE_FT


def _stands_since_before(repair_of: RepairOf | None, tick: Tick) -> bool:
    """Whether a sleeve stood there before a repair: a post that is set into it since is plumb, and drives none."""
    if repair_of is None or repair_of.stood(tick.at):
        return False
    return any(sleeve_at(repair_of, (at.east_ft, at.north_ft)) is not None for at in tick.of.places[:1])


def driven_today(layout: Layout, post: str) -> Point | None:
    """Where a post stands in a sleeve today."""
    today = layout.supports.get(post)
    return today.xy if today is not None and today.support == "driven" else None


def is_near(place: Point | None, sleeve: DrivenSleeve) -> bool:
    """Whether no second sleeve fits between a place and a sleeve."""
    return place is not None and sleeve.there is not None and distance_ft(place, sleeve.there) <= _NEAR_FT


def same_spot(one: Point | None, other: Point | None) -> bool:
    """Whether two places are one as far as a tape tells, or neither is known."""
    return one == other if one is None or other is None else distance_ft(one, other) <= TAPE_FT


def _read_at(layout: Layout, post: str, at: datetime, of: TickFacts) -> Point | None:
    """Where a sleeve was read: as its tick says, or else by the plan and the log of its time."""
    if of.places:
        return (of.places[0].east_ft, of.places[0].north_ft)
    if post in layout.stood:
        return standing_then(layout.stood, post, at)
    return layout.supports[post].xy if post in layout.supports else None
