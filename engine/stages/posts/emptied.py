"""Which ticks say that a post's sleeve is in the ground, and places that one came out of or was cut off at: one driven there again is
another sleeve."""

from collections.abc import Mapping, Sequence

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.remember import remembered
from engine.calc.tolerances import TAPE_FT
from engine.job.model.checks import Tick
from engine.job.model.fence import Fence, Post
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import SleeveLeftEntry, live, ticks_before
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.made_of import Rows, carried_at, stock_rows
from engine.stages.posts.standing_supports import Stand
from engine.stages.sorted_ticks import sorted_ticks

Emptied = Mapping[str, Sequence[Point]]
"""By post, a place for every sleeve of it of which the crew said what became."""

SLEEVE = "sleeve"
TOLD_BY = ("driven_depth", "solid", "plumb", "eyes", "pinned")
"""What is ticked of a driven sleeve or of a post that stands in one, whether its depth was read or not."""
_OF_NO_OTHER = ("driven_depth", "solid")


def emptied_places(job: Job) -> Emptied:
    """What the ticks of old sleeves and the log say."""
    found: dict[str, list[Point]] = {}
    for entry in live(job.log):
        if isinstance(entry, SleeveLeftEntry):
            found.setdefault(entry.post, []).append((entry.east_ft, entry.north_ft))
    for key, tick in (*sorted_ticks(job.checks).by_what.get("old_sleeve", {}).items(), *ticks_before(job.log)):
        if (key.stage, key.what) == ("posts", "old_sleeve"):
            found.setdefault(key.about, []).extend((at.east_ft, at.north_ft) for at in tick.of.places)
    return found


def sleeve_words(emptied: Emptied, post: str, there: Point) -> str:
    """What stands at a post's place as a tick says it: `sleeve`, or `sleeve 2` once the first was pulled or cut off there."""
    before = sum(distance_ft(place, there) <= TAPE_FT for place in emptied.get(post, ()))
    return f"{SLEEVE} {before + 1}" if before else SLEEVE


def sleeve_said(of: TickFacts) -> str:
    """Which sleeve of its place a tick was made for."""
    return of.words[0] if of.words else SLEEVE


def tells_of_sleeve(key: ItemKey, tick: Tick, emptied: Emptied, plan: Mapping[str, Post]) -> bool:
    """Whether a tick says that a sleeve went into the ground. Posts on plates are plumb too, and trees have eyes: of these only what says
    that it stands in a sleeve, or where an older file doesn't say in what, if the plan has it driven. A pin doesn't say which sleeve of its
    place: it tells as long as the first wasn't pulled or cut off there."""
    stage, post, what = key
    if tick.state != "done" or what not in TOLD_BY:
        return False
    if what == "pinned":
        there = [(at.east_ft, at.north_ft) for at in tick.of.places[:1]]
        return stage == "bracing" and [sleeve_words(emptied, post, spot) for spot in there] == [SLEEVE]
    if stage != "posts" or what in _OF_NO_OTHER:
        return stage == "posts"
    if not tick.of.words:
        return post in plan and plan[post].support == "driven"
    return sleeve_said(tick.of).split(" ")[0] == SLEEVE


def stands_in(fence: Fence, stand: Stand, on_plate: bool, emptied: Emptied) -> TickFacts:
    """What carries the eyes, and where: what a tick of a post is made for."""
    if stand.driven and not on_plate:
        return _facts(stand.there, sleeve_words(emptied, stand.id, stand.xy), stock_rows(fence.sleeve))
    on = f"base plate on {stand.at}" if on_plate else f"{stand.at}"
    return _facts(stand.there, on, carried_at(fence, stand.support, on_plate))


@remembered
def _facts(there: At, on: str, stock: Rows) -> TickFacts:
    return TickFacts((there,), (), (on,), stock)
