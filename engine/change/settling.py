"""A post settled: what there is to choose from, the one edit an offer is judged by and saved with, and an item ticked with its reading."""

from collections.abc import Sequence
from datetime import datetime
from math import hypot, pi

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import listed
from engine.change.beyond_reach import from_first_point, refuse_far_steps
from engine.change.candidates import Step
from engine.checklist import ChecklistLine, Item
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import same_facts
from engine.stages.layout.stage import Support
from engine.walk import Walk


@dataclass(frozen=True)
class TreeChoice:
    """One tree that has a place: its distance from the post, its girth as a tape goes round it, and the supports it is."""

    tree: str
    away_ft: float
    girth_in: float
    carries: tuple[str, ...]

    @property
    def words(self) -> str:
        """On one line."""
        carried = f"carries {listed(list(self.carries))} already" if self.carries else "carries nothing yet"
        return f"{self.tree}  {format_ft_in(self.away_ft)} away, {format_in(self.girth_in)} round, {carried}"


def posts_to_choose(walk: Walk, chosen: str | None, *, trees: bool = False) -> list[Support]:
    """Driven posts in plan order, of which one may be moved or swapped, and trees where one may be left out; the chosen one first, or those
    of the bay or loop that is chosen."""
    kinds, bay, loop = ("driven", "tree") if trees else ("driven",), walk.layout.bays.get(chosen or ""), walk.cables.loops.get(chosen or "")
    first = (bay.from_id, bay.to_id) if bay is not None else loop.supports if loop is not None else (chosen,)
    return sorted((one for one in walk.layout.supports.values() if one.support in kinds), key=lambda support: support.id not in first)


def tree_choices(job: Job, walk: Walk, post: str) -> tuple[TreeChoice, ...]:
    """Every tree with a place, the nearest first."""
    there, supports = walk.layout.supports[post], walk.layout.supports
    found = []
    for name, tree in job.trees.items():
        point = walk.survey.points.get(tree.point)
        if point is not None:
            away_ft = hypot(point.east_ft - there.east_ft, point.north_ft - there.north_ft)
            carries = tuple(other for other, support in supports.items() if support.support == "tree" and support.at == name)
            found.append(TreeChoice(name, away_ft, pi * tree.diameter_in, carries))
    return tuple(sorted(found, key=lambda choice: choice.away_ft))


def settled(job: Job, before: Walk, steps: Sequence[Step], at: datetime, by: str, *, why: str = "") -> Job:
    """Job with a post settled, offered or typed, however many log entries it takes; `before` is its walk."""
    steps = from_first_point(job, before, steps)
    done = edits.apply_steps(job, steps, at, by, why=why)
    refuse_far_steps(job, before, steps)
    return done


def ticked(job: Job, item: Item, at: datetime, by: str, value: float | None = None, reason: str = "") -> Job:
    """Job with an item done, and its reading where it asks for one, with the reason where that is out of range."""
    if value is None or item.reading is None:
        return edits.tick(job, item.key, at, by, of=item.of)
    feet, inches = (value, None) if item.reading.unit == "ft" else (None, value)
    return edits.tick(job, item.key, at, by, reading_ft=feet, reading_in=inches, note=reason, of=item.of)


def opened(job: Job, lines: Sequence[ChecklistLine], at: datetime, by: str) -> Job:
    """Job with an item open again, the first, and what hangs on it; what they were ticked with goes into the log."""
    first, *hung = lines
    return edits.untick_all(edits.untick(job, first.item.key, at, by, first.tick), [line.item.key for line in hung], at, by)


def asked_as_then(walked: Walk, item: Item) -> bool:
    """Whether an item is asked of what it was about when somebody began to read it."""
    line = walked.checklists[item.key.stage].by_key.get(item.key)  # type: ignore[index]  # a key of ours names a stage
    return line is not None and same_facts(line.item.of, item.of)


def refused(walked: Walk, post: str) -> bool:
    """Whether the ground refused a planned post: its sleeve stopped short, so it can't stay."""
    return walked.layout.accepted and post in walked.posts.work and walked.posts.work[post].stopped_short


def to_settle(walked: Walk, ticked: ItemKey) -> str | None:
    """The post that has to be settled now that this item is ticked; None where the crew goes on to the next item."""
    return ticked.subject if ticked == ItemKey("posts", ticked.subject, "driven_depth") and refused(walked, ticked.subject) else None


def why_refused(walked: Walk, post: str) -> str:
    """Why a sleeve stopped: the reason given with its reading, else where it stopped."""
    line = walked.checklists["posts"].by_key.get(ItemKey("posts", post, "driven_depth"))
    return (line.tick.note if line and line.tick else "") or stopped_says(walked, post)


def stopped_says(walked: Walk, post: str) -> str:
    """Where a post's sleeve stopped."""
    return f"{post} stopped at {format_in(walked.posts.work[post].driven_in or 0.0)}"
