"""A fresh layout round what is driven: what stands stays, the rest is spread anew, and every post keeps a name that is its own."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from math import copysign, hypot
from typing import Any

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft, station_offset
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, listed, plural
from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT, TAPE_FT
from engine.findings import StageName
from engine.job.edit import edits
from engine.job.edit.plan_taken_back import with_plan_before
from engine.job.model.fence import Post
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import OfPost
from engine.job.model.rules import LayoutRules
from engine.stages.layout.bays import bay_id
from engine.stages.layout.fixed_supports import FixedSupport, Staying
from engine.stages.layout.gates_afresh import in_openings, left_without_posts, why_not_set
from engine.stages.layout.keep_outs import Ground, blocked_on, keep_outs
from engine.stages.layout.line_tracks import Track, meetings, place, tracks
from engine.stages.layout.propose import post_of, proposed_lines
from engine.stages.layout.siting_findings import over_limit, stand_in_keep_outs, worst_of
from engine.stages.layout.stage import Bay, Layout, Support, meant_elsewhere_ft, past_trees
from engine.walk import Walk

MOST_NAMED = 4
"""More than these are counted."""
_WHEN = datetime(2000, 1, 1, tzinfo=UTC)
"""A layout asks no clock; the plan tried here is thrown away."""
_BUILT: tuple[StageName, ...] = ("posts", "bracing", "fabric", "staking")
"""Stages whose ticks say that what they are about stands; of a cable loop it is the tick that it is closed."""


@dataclass(frozen=True)
class FreshLayout:
    """A fresh layout, or why there is none.

    `posts` is the plan it makes; `steps` are log entries for what a plan can't hold (a support past its line's end, a tree off a corner);
    `opened` are ticks that no longer fit where a post or bay has changed. `says` sums it up;
    `same` where nothing would change; `why_none` are sentences, and where there is one nothing else is offered.
    """

    posts: Mapping[str, Post]
    steps: tuple[Mapping[str, Any], ...]
    opened: tuple[ItemKey, ...]
    says: str
    same: bool
    why_none: tuple[str, ...]


def standing(job: Job, walk: Walk) -> set[str]:
    """Supports that stand: by their own ticks, those of a brace, bay or loop on them, or in a sleeve that was driven a little way off."""
    carried: dict[str, tuple[str, ...]] = {name: (name,) for name in walk.layout.supports}
    carried |= {name: (bay.from_id, bay.to_id) for name, bay in walk.layout.bays.items()}
    carried |= {name: loop.supports for name, loop in walk.cables.loops.items()}
    done = (row for stage in _BUILT for row in walk.checklists[stage].tally.done.items())
    built = {subject for what, ticks in done if what != "diameter" for subject in ticks}
    closed = {key.subject for key, tick in job.checks.items() if (key.stage, key.what) == ("cables", "closed") and tick.state == "done"}
    on_them = (carried.get(subject, ()) for subject in built | closed)
    return set(walk.posts.serve).union(*on_them) & set(walk.layout.supports)


def whole_sleeves(walk: Walk) -> list[tuple[str, Point]]:
    """Old sleeves that stay in the ground, by the posts that they were of, where it is known where they are."""
    return [(old.post, old.there) for old in walk.posts.old_sleeves if old.stays and old.there is not None]


def fresh_layout(job: Job, walk: Walk) -> FreshLayout:
    """A fresh layout in which what stands is pinned where it stands today and the rest is spread anew, clear of every keep-out of today.

    What stands where a gate wants a post is that gate's post; a post along a line that stands in an opening goes out, and nothing is driven
    near its sleeve. Ends, corners, tees and gate posts that aren't driven stay where they are too, while the lines still want them there. A
    post keeps its id where it goes less than half a foot, or where no tick or log entry names it and it goes less than half a bay.
    """
    placed = tracks(job, walk.survey)
    met = meetings(job, placed)
    stands = standing(job, walk)
    out = stands & in_openings(job, walk.layout, placed)
    held = stands - out
    driven = [one.xy for one in walk.layout.supports.values() if one.support == "driven"]
    given_up = [(name, walk.layout.supports[name].xy) for name in sorted(out)]
    ground = keep_outs(job, walk.survey, placed, driven, [*whole_sleeves(walk), *given_up])
    lines = proposed_lines(job, walk.survey, placed, met, ground, _staying(walk, placed, held))
    named = {line: _with_names(job, walk.layout, line, row) for line, row in lines.items()}
    posts = {name: post for name, post in job.posts.items() if post.line not in placed}
    steps: list[Mapping[str, Any]] = []
    free = edits.next_post_ids(job, walk.layout.supports)
    for line, row in named.items():
        for one in row:
            name = one.id or next(free)
            today = walk.layout.supports.get(name)
            posts[name], more = _post_and_steps(job, placed[line], name, one, today)
            steps += more
    past, after = past_trees(_job_with_plan(job, posts, steps), walk.survey, held)
    posts = {name: was if (was := job.posts.get(name)) == post else post for name, post in past.items()}
    held_now = tuple(name for name in posts if name in held)
    same, bare = _changes_nothing(walk.layout, after), left_without_posts(after)
    says = _summed_up(walk.layout, after, held_now, out)
    why_none = (*_why_none(job.rules.layout, walk.layout, after, placed, ground, held), *why_not_set(job, walk.layout, after, placed))
    return FreshLayout(
        posts, tuple(steps), tuple(_ticks_that_fall(job, walk.layout, after)), says if same else " ".join((says, *bare)), same,
        why_none or (tuple(bare) if same else ()),
    )  # fmt: skip


def accepted_again(job: Job, fresh: FreshLayout, at: datetime, by: str) -> Job:
    """Job with a fresh layout as its plan, noted in the log; flags and taped bays that no longer fit are open again."""
    done = edits.apply_steps(edits.layout_alone(job, fresh.posts, at, by), fresh.steps, at, by, why="as it stood")
    if fresh.opened:
        done = done.model_copy(update={"checks": {key: tick for key, tick in done.checks.items() if key not in fresh.opened}})
    return with_plan_before(job, done, [key for key in job.checks if key in fresh.opened])


def _staying(walk: Walk, placed: Mapping[str, Track], held: Collection[str]) -> Staying:
    """Today's supports by line, held or handy."""
    rows = {
        line: tuple(_as_it_stands(track, walk.layout.supports[name]) for name in walk.layout.lines[line].supports)
        for line, track in placed.items()
    }
    return Staying(
        {line: tuple(one for one in row if one.id in held) for line, row in rows.items()},
        {line: tuple(one for one in row if one.id not in held) for line, row in rows.items()},
    )


def _as_it_stands(track: Track, support: Support) -> FixedSupport:
    shared = support.line != track.name
    station, offset = support.on_line(track.name, track.path)
    station = station % track.length_ft if track.closed and station != track.length_ft else station
    meant = station if support.meant == support.xy else station_offset(track.path, support.meant)[0]
    return FixedSupport(station, support.kind, support.support, support.at, offset, support.id, meant, shared)


def _post_and_steps(job: Job, track: Track, name: str, one: FixedSupport, today: Support | None) -> tuple[Post, list[Mapping[str, Any]]]:
    """The post as the plan holds it, with what has to be logged besides so that it stands where it does. One that was moved out of reach
    stays planned where it was meant, for the turn or gate there is its own."""
    if today is not None and one.id and one.support == "driven" and distance_ft(today.planned, today.xy) > job.rules.layout.move_reach_ft:
        meant_ft, aside_ft = station_offset(track.path, today.planned)
        along_ft = one.station_ft - meant_ft
        if track.closed and abs(along_ft) > track.length_ft / 2:
            along_ft -= copysign(track.length_ft, along_ft)
        post = post_of(track.name, replace(one, station_ft=meant_ft, offset_ft=aside_ft))
        return post, [{"kind": "move", "post": name, "along_ft": along_ft, "out_ft": one.offset_ft - aside_ft}]
    station = min(max(one.station_ft, 0.0), track.length_ft)
    was = job.posts.get(name)
    post = post_of(track.name, one if station == one.station_ft else replace(one, station_ft=station), was)
    if post is was and station == one.station_ft and today is not None and not today.moved and today.meant == today.xy:
        return post, []
    there = place(track, station, one.offset_ft)
    elsewhere_ft = meant_elsewhere_ft(today) if today is not None and distance_ft(there, today.xy) <= ONE_SUPPORT_FT else None
    if elsewhere_ft != post.meant_ft:
        post = post.model_copy(update={"meant_ft": elsewhere_ft})
    if abs(station - one.station_ft) > SAME_SPOT_FT:
        return post, [{"kind": "move", "post": name, "along_ft": one.station_ft - station}]
    if today is not None and today.moved and one.support == "tree" and distance_ft(there, today.xy) > SAME_SPOT_FT:
        return post, [{"kind": "swap", "post": name, "tree": one.at}]
    return post, []


def _with_names(job: Job, today: Layout, line: str, row: Sequence[FixedSupport]) -> list[FixedSupport]:
    """The line's supports with the ids that they keep, nearest first and never one past another; the others have none yet."""
    kept = {one.id for one in row}
    old = [one for one in today.supports.values() if one.line == line and one.id not in kept]
    fresh = [n for n, one in enumerate(row) if not one.id]
    pairs = sorted(
        (hypot(one.station_ft - row[n].station_ft, one.offset_ft - row[n].offset_ft), k, n)
        for k, one in enumerate(old)
        for n in fresh
        if (one.support, one.at) == (row[n].support, row[n].at)
    )
    given: dict[int, int] = {}
    half_bay_ft = job.rules.layout.bay_max_ft / 2
    for away_ft, k, n in pairs:
        crosses = any((n - other) * (k - given[other]) <= 0 for other in given)
        if not crosses and (away_ft <= ONE_SUPPORT_FT or (away_ft <= half_bay_ft and not _spoken_of(job, old[k].id))):
            given[n] = k
    return [replace(one, id=old[given[n]].id) if n in given else one for n, one in enumerate(row)]


def _spoken_of(job: Job, name: str) -> bool:
    """Whether a tick, of it or of a bay that ends or ended on it, or a log entry names a post."""
    posts = {*job.posts, *(entry.post for entry in job.log if isinstance(entry, OfPost))}
    ticked = {key.about for key in job.checks}
    bays = (bay_id(*ends) for other in posts for ends in ((name, other), (other, name)))
    return name in ticked or any(bay in ticked for bay in bays) or any(getattr(entry, "post", "") == name for entry in job.log)


def _job_with_plan(job: Job, posts: Mapping[str, Post], steps: Sequence[Mapping[str, Any]]) -> Job:
    """The job with this plan, to be laid out and thrown away; what was found in the ground stays."""
    return edits.apply_steps(edits.layout_alone(job, posts, _WHEN, ""), steps, _WHEN, "")


def _ticks_that_fall(job: Job, today: Layout, after: Layout) -> Iterator[ItemKey]:
    """Flags of posts that keep their id a little way off, and taped bays that are another length now."""
    for name, one in after.supports.items():
        old = today.supports.get(name)
        if old is not None and distance_ft(old.xy, one.xy) > TAPE_FT:
            yield from (key for key in [ItemKey("layout", name, "flag")] if key in job.checks)
    for name, bay in after.bays.items():
        was = today.bays.get(name)
        if was is not None and abs(was.slope_ft - bay.slope_ft) > TAPE_FT:
            yield from (key for key in [ItemKey("layout", name, "taped")] if key in job.checks)


def _changes_nothing(today: Layout, after: Layout) -> bool:
    def rows(laid: Layout) -> dict[str, tuple[object, ...]]:
        return {name: (one.line, one.kind, one.support, one.at) for name, one in laid.supports.items()}

    both = [(one.xy, after.supports[name].xy) for name, one in today.supports.items() if name in after.supports]
    there = all(distance_ft(was, now) <= SAME_SPOT_FT for was, now in both)
    return rows(today) == rows(after) and there


def _summed_up(today: Layout, after: Layout, held: Sequence[str], out: Collection[str]) -> str:
    """What stays, what of it is a gate's post from now on, what moves, comes and goes, and which of that goes `out` of an opening."""
    moved = [name for name in after.supports if name in today.supports and _comes_to(today, after, name)]
    come = [name for name in after.supports if name not in today.supports]
    gone = [name for name in today.supports if name not in after.supports]
    hung = [f"{name} is a post of gate {after.supports[name].gate} now" for name in held if _becomes_gate_post(today, after, name)]
    parts = hung + [
        f"{listed(names)} {plural(len(names), *words)}"
        for names, words in (
            (moved, ("moves", "move")),
            (come, ("comes", "come")),
            ([name for name in gone if name not in out], ("goes", "go")),
            (
                [name for name in gone if name in out],
                ("stands in a gate's opening and comes out", "stand in a gate's opening and come out"),
            ),
        )
        if names
    ]
    stay = "Nothing stands yet"
    if held:
        who = listed(held) if len(held) <= MOST_NAMED else counted(len(held), "support")
        stay = f"{who} {plural(len(held), 'stays where it stands', 'stay where they stand')}"
    return f"{'; '.join([stay, *parts])}."


def _becomes_gate_post(today: Layout, after: Layout, name: str) -> bool:
    return after.supports[name].kind == "gate" and today.supports[name].kind != "gate"


def _why_none(
    rules: LayoutRules, today: Layout, after: Layout, placed: Mapping[str, Track], ground: Ground, held: Collection[str]
) -> Iterator[str]:
    """Why the best there is won't do: a bay over its limit that isn't there today as it is, a new post in a keep-out."""
    for one, areas in stand_in_keep_outs(after.supports.values(), ground):
        if _comes_to(today, after, one.id):
            yield f"{one.line} wants a {one.kind} post at {format_ft_in(one.station_ft)}, and there: stands in {worst_of(areas).why}."
    for bay in after.bays.values():
        was = today.bays.get(bay.id)
        stood = was is not None and bay.slope_ft <= was.slope_ft + SAME_SPOT_FT and {bay.from_id, bay.to_id} <= set(held)
        if over_limit(rules, bay) and not stood:
            yield _too_long(after, placed[bay.line], ground, held, bay)


def _comes_to(today: Layout, after: Layout, name: str) -> bool:
    """Whether a support isn't there today, or not there."""
    return name not in today.supports or distance_ft(today.supports[name].xy, after.supports[name].xy) > SAME_SPOT_FT


def _too_long(after: Layout, track: Track, ground: Ground, held: Collection[str], bay: Bay) -> str:
    """The stretch between what stands either side, how long its bay would be, and what keeps posts out of it."""
    row = after.lines[track.name].supports
    at = row.index(bay.from_id)
    fixed = [n for n, name in enumerate(row) if name in held or after.supports[name].kind != "line"]
    low = row[max((n for n in fixed if n <= at), default=0)]
    high = row[min((n for n in fixed if n > at), default=len(row) - 1)]
    parts = [part for part in blocked_on(track.path, track.stations_ft, ground) if part[0] < bay.end_ft and part[1] > bay.start_ft]
    whys = dict.fromkeys(f"{ground.areas[part[2]].why} from {format_ft_in(part[0], 1)} to {format_ft_in(part[1], 1)}" for part in parts)
    why = f": nothing may be driven in {listed(list(whys))}" if whys else ""
    limit = format_ft_in(after.bays[bay.id].slope_ft)
    return f"Between {low} and {high} on {track.name} no layout keeps the limit; the best still has a bay of {limit}{why}."
