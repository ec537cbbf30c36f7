"""Places that a post's sleeve came out of, or was cut off at: one driven there again is another sleeve."""

from collections.abc import Mapping, Sequence

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.remember import remembered, remembered_of
from engine.calc.tolerances import TAPE_FT
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import SleeveLeftEntry, live, ticks_before
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.layout.stage import Support
from engine.stages.made_of import Rows, carried_by, stock_rows

Emptied = Mapping[str, Sequence[Point]]
"""By post, a place for every sleeve of it of which the crew said what became."""

SLEEVE = "sleeve"


def emptied_places(job: Job) -> Emptied:
    """What the ticks of old sleeves and the log say."""
    found: dict[str, list[Point]] = {}
    for entry in live(job.log):
        if isinstance(entry, SleeveLeftEntry):
            found.setdefault(entry.post, []).append((entry.east_ft, entry.north_ft))
    for key, tick in (*ticks_of(job.checks, "old_sleeve"), *ticks_before(job.log)):
        if (key.stage, key.what) == ("posts", "old_sleeve"):
            found.setdefault(key.about, []).extend((at.east_ft, at.north_ft) for at in tick.of.places)
    return found


@remembered_of
def ticks_of(checks: Mapping[ItemKey, Tick], what: str) -> list[tuple[ItemKey, Tick]]:
    """The ticks of one item of every post."""
    return [(key, tick) for key, tick in checks.items() if (key.stage, key.what) == ("posts", what)]


def sleeve_words(emptied: Emptied, post: str, there: Point) -> str:
    """What stands at a post's place as a tick says it: `sleeve`, or `sleeve 2` once the first was pulled or cut off there."""
    before = sum(distance_ft(place, there) <= TAPE_FT for place in emptied.get(post, ()))
    return f"{SLEEVE} {before + 1}" if before else SLEEVE


def sleeve_said(of: TickFacts) -> str:
    """Which sleeve of its place a tick was made for."""
    return of.words[0] if of.words else SLEEVE


def stands_in(job: Job, support: Support, emptied: Emptied) -> TickFacts:
    """What carries the eyes, and where: what a tick of a post is made for."""
    on = f"{support.at}"
    if support.at in job.surfaces:
        on = f"base plate on {support.at}"
    elif support.support == "driven":
        on = sleeve_words(emptied, support.id, support.xy)
        return _facts(support.there, on, stock_rows(job.fence.sleeve))
    return _facts(support.there, on, carried_by(job, (support,)))


@remembered
def _facts(there: At, on: str, stock: Rows) -> TickFacts:
    return TickFacts((there,), (), (on,), stock)
