"""Which ticks say that a post's sleeve is in the ground, and which sleeve of its place."""

from collections.abc import Mapping

from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered
from engine.job.model.checks import Tick
from engine.job.model.fence import Fence, Post
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.layout.sleeves_in_ground import Emptied, sleeve_number
from engine.stages.made_of import Rows, carried_at, stock_rows
from engine.stages.posts.standing_supports import Stand

SLEEVE = "sleeve"
TOLD_BY = ("driven_depth", "solid", "plumb", "eyes", "pinned")
"""What is ticked of a driven sleeve or of a post that stands in one, whether its depth was read or not."""
_OF_NO_OTHER = ("driven_depth", "solid")


def sleeve_words(emptied: Emptied, post: str, there: Point) -> str:
    """What stands at a post's place as a tick says it: `sleeve`, or `sleeve 2` once the first was pulled or cut off there."""
    return _numbered(sleeve_number(emptied, post, there))


def _numbered(nth: int) -> str:
    return f"{SLEEVE} {nth}" if nth > 1 else SLEEVE


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


def stands_in(fence: Fence, stand: Stand, on_plate: bool) -> TickFacts:
    """What carries the eyes, and where: what a tick of a post is made for. Which sleeve of its place that is, its words say."""
    nth = stand.there.sleeve
    there = stand.there._replace(sleeve=1) if nth > 1 else stand.there
    if stand.driven and not on_plate:
        return _facts(there, _numbered(nth), stock_rows(fence.sleeve))
    on = f"base plate on {stand.at}" if on_plate else f"{stand.at}"
    return _facts(there, on, carried_at(fence, stand.support, on_plate))


@remembered
def _facts(there: At, on: str, stock: Rows) -> TickFacts:
    return TickFacts((there,), (), (on,), stock)
