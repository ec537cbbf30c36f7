"""An entry of a post from before a plan or a new way: what of it that plan took over as it stood, and how the plan is without it."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from engine.job.edit.plan_taken_back import NewPlan
from engine.job.edit.stations_after import post_after, stands_so
from engine.job.model.fence import Post
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, DropEntry, LogEntry, MoveEntry, OfPost, RerouteEntry, SwapEntry, live
from engine.job.model.words.log_sentences import called


class WithoutEntry(NamedTuple):
    """The plan as it is without an entry, what else is struck with it, and a sentence on both."""

    posts: Mapping[str, Post]
    also: tuple[LogEntry, ...]
    says: str


def plans_since(job: Job, entry: LogEntry) -> list[NewPlan]:
    """Plans and new ways that stand and came after an entry, the first one first."""
    standing = live(job.log)
    return [one for one in standing[standing.index(entry) + 1 :] if isinstance(one, NewPlan)]


def without_entry(job: Job, entry: OfPost) -> WithoutEntry:
    """The plan of today without an entry from before it.

    A plan holds a post where it stood then. As long as no later one wrote that post anew it goes back to where it would have stood; what a
    plan laid out for itself stays, and so do the two supports that a new way was drawn through.
    """
    first = plans_since(job, entry)[0]
    posts = _posts_without(job, entry)
    after = live(job.log)[live(job.log).index(entry) + 1 :]
    of_it = [one for one in after if isinstance(one, OfPost) and one.post == entry.post] if isinstance(entry, AddEntry) else []
    if posts is None:
        also = tuple(one for one in of_it if after.index(one) < after.index(first))
        return WithoutEntry(job.posts, also, _stays(job, entry, first))
    return WithoutEntry(posts, tuple(of_it), f"{called(first)} took that over: {_goes(entry)}.")


def _posts_without(job: Job, entry: OfPost) -> Mapping[str, Post] | None:
    """The plan's posts without what an entry did; None where none of them is as it left it."""
    plan, *later = plans_since(job, entry)
    now = job.posts.get(entry.post)
    if plan.before is None or any(_wrote(one, entry.post, held=now is not None) for one in later) or _drawn_through(plan, entry.post):
        return None
    entries = _of_its_plan(job, entry, plan)
    others = [one for one in entries if one is not entry]
    row = plan.before.posts.get(entry.post)
    if isinstance(entry, DropEntry):
        back = post_after(plan, _stood(row, others)) if isinstance(plan, RerouteEntry) and now is None and row is not None else None
        return None if back is None or later else _put_back(job, plan.before.plan, entry.post, back)
    if now is None or (row is None) != isinstance(entries[0], AddEntry) or _is_swapped(others):
        return None
    was = post_after(plan, _stood(row, entries))
    if was is None or not stands_so(now, was, swapped=isinstance(entry, SwapEntry)):
        return None
    if isinstance(entry, AddEntry):
        return None if later else {name: post for name, post in job.posts.items() if name != entry.post}
    back = post_after(plan, _stood(row, others))
    if back is None:
        return None
    fields = {field: getattr(back, field) for field in ("station_ft", "offset_ft", "support", "at", "meant_ft")}
    return {**job.posts, entry.post: now.model_copy(update=fields)}


def _of_its_plan(job: Job, entry: OfPost, plan: NewPlan) -> list[OfPost]:
    """What was logged of a post on the plan that the entry was said of: up to the next one."""
    standing = live(job.log)
    last = standing.index(plan)
    first = max((n for n, one in enumerate(standing[:last]) if isinstance(one, NewPlan)), default=-1)
    return [one for one in standing[first + 1 : last] if isinstance(one, OfPost) and one.post == entry.post]


def _wrote(plan: NewPlan, post: str, *, held: bool) -> bool:
    """Whether a later plan may have put a post elsewhere, or in or out."""
    if plan.before is None or _drawn_through(plan, post):
        return True
    return post in plan.before.posts or (post in plan.before.plan) != held


def _drawn_through(plan: NewPlan, post: str) -> bool:
    return isinstance(plan, RerouteEntry) and post in (plan.from_post, plan.to_post)


def _is_swapped(entries: Iterable[OfPost]) -> bool:
    return any(isinstance(one, SwapEntry) for one in entries)


def _stood(row: Post | None, entries: Iterable[OfPost]) -> Post | None:
    """A post of a plan as the log left it, by the stations of its line; one that was swapped, at the station it had."""
    for one in entries:
        if isinstance(one, AddEntry):
            row = Post(line=one.line, station_ft=one.station_ft, offset_ft=one.offset_ft, kind=one.post_kind)
        elif isinstance(one, DropEntry):
            row = None
        elif row is not None and isinstance(one, SwapEntry):
            row = row.model_copy(update={"support": "tree", "at": one.tree})
        elif row is not None and isinstance(one, MoveEntry):
            meant_ft = row.station_ft if row.meant_ft is None else row.meant_ft
            there = {"station_ft": row.station_ft + one.along_ft, "offset_ft": row.offset_ft + one.out_ft, "meant_ft": meant_ft}
            row = row.model_copy(update=there)
    return row


def _put_back(job: Job, order: tuple[str, ...], name: str, post: Post) -> dict[str, Post]:
    """The plan with a post again, behind the one that stood before it."""
    before = [one for one in order[: order.index(name)] if one in job.posts]
    at = list(job.posts).index(before[-1]) + 1 if before else 0
    rows = list(job.posts.items())
    return dict([*rows[:at], (name, post), *rows[at:]])


def _goes(entry: OfPost) -> str:
    if isinstance(entry, AddEntry):
        return f"{entry.post} goes out of the plan"
    return f"{entry.post} comes back" if isinstance(entry, DropEntry) else f"{entry.post} goes back to where it stood"


def _stays(job: Job, entry: OfPost, plan: NewPlan) -> str:
    """That the plan is as it was, and why."""
    if isinstance(plan, RerouteEntry) and entry.post in plan.out:
        return f"{entry.post} came out with {_lower(called(plan))}: only the log changes."
    last = called(plans_since(job, entry)[-1])
    if entry.post in job.posts:
        return f"{last} stays as it is, and {entry.post} where it has it: only the log changes. If it stands elsewhere, move it."
    return f"{last} stays as it is, without {entry.post}: only the log changes."


def _lower(says: str) -> str:
    return says[:1].lower() + says[1:]
