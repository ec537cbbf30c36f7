"""Which posts stand in a sleeve in the ground, by all that is ticked of sleeve and post: a depth that wasn't read leaves it there."""

from collections.abc import Collection, Iterable, Mapping
from datetime import datetime
from typing import NamedTuple

from engine.calc.remember import remembered_of
from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.tick_facts import same_place
from engine.stages.counted_work import CountedWork
from engine.stages.layout.stage import Layout
from engine.stages.posts.sleeves.emptied import TOLD_BY
from engine.stages.posts.stage import Posts


def posts_in_sleeves(layout: Layout, posts: Posts, checklists: Mapping[StageName, Checklist]) -> Mapping[str, datetime]:
    """Posts that stand in a sleeve as they stand today, with when that was first ticked; those too that a correction too small for a second
    sleeve left in theirs. A pin doesn't say in which sleeve of its place: of a post that gave one up it tells nothing."""
    return _in_sleeves(layout, posts, checklists["posts"], checklists["bracing"])


@remembered_of
def _in_sleeves(layout: Layout, posts: Posts, of_posts: Checklist, of_braces: Checklist) -> dict[str, datetime]:
    ticks = [tick for what in TOLD_BY[:-1] for tick in of_posts.tally.done.get(what, {}).items()]
    ticks += [(name, tick) for name, tick in of_braces.tally.done.get("pinned", {}).items() if name not in posts.gave_up]
    found = {name: one.at for name, one in posts.serve.items()}
    driven = {name: None for name, one in layout.supports.items() if one.support == "driven"}
    for name, tick in ticks:
        at = tick.at
        if name in driven and (name not in found or at < found[name]):
            found[name] = at
    return {name: found[name] for name in {**posts.serve, **driven} if name in found}


class SleevesDriven(NamedTuple):
    """Posts that need a sleeve of this job, in order, and those that stand in one of it, each with the stock row that it is of."""

    needed: Collection[str]
    used: Mapping[str, str]


def sleeves_driven(driven: Collection[str], posts: Posts, in_sleeves: Mapping[str, datetime], done: CountedWork, row: str) -> SleevesDriven:
    """Of these posts those that count in this job: a repair needs no sleeve for a post that stands in one from before, a little way off or
    with a depth that nobody read then. A depth that was said not to be needed tells of no sleeve. One of another stock row than the
    fence's is none of those that it needs."""
    read = done.of("posts", "driven_depth")
    needed = dict.fromkeys(name for name in driven if name not in in_sleeves or done.since(in_sleeves[name]))
    rows = {name: posts.serve[name].row or row if name in posts.serve and name not in read else row for name in in_sleeves}
    used = {name: rows[name] for name in needed if name in read or (name in in_sleeves and done.since(in_sleeves[name]))}
    return SleevesDriven(needed, used | _open_again(driven, in_sleeves, posts, done))


def stood_before(posts: Posts, done: CountedWork) -> set[str]:
    """Posts that a repair finds standing, whether or not anybody ticked that they are plumb: with eyes in, or pinned in their sleeve. A pin
    tells nothing of one that gave a sleeve up."""
    eyed = [name for name, tick in done.of("posts", "eyes").items() if not done.since(tick.at)]
    return {*eyed, *(name for name, tick in done.of("bracing", "pinned").items() if not done.since(tick.at) and name not in posts.gave_up)}


def _open_again(driven: Iterable[str], in_sleeves: Collection[str], posts: Posts, done: CountedWork) -> dict[str, str]:
    """Posts that stand in a sleeve of this job though all that was ticked there is open again: with eyes at another height, or of another
    row."""
    found: dict[str, str] = {}
    others = {*driven}.difference(in_sleeves)
    pins = [line for line in done.checklists["bracing"].told if line.item.key.what == "pinned" and line.item.subject not in posts.gave_up]
    for line in (*done.checklists["posts"].told, *pins):
        _, name, what = line.item.key
        if line.was is not None and line.was.state == "done" and line.was.of.stock and name in others and what in TOLD_BY:
            then, now = line.was.of, line.item.of
            if done.since(line.was.at) and then.words[:1] == now.words[:1] and all(map(same_place, then.places, now.places)):
                found.setdefault(name, then.stock[0])
    return found
