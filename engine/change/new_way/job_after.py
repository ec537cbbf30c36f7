"""A stretch of a line taken another way: the job as it is then, with everything that stays in its place."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, TypeVar

import shapely

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, azimuth_deg, deflection_deg, distance_ft, station_offset
from engine.calc.phrases import listed
from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT, TOUCHING_FT
from engine.change.fresh_layout import whole_sleeves
from engine.change.new_way.given_up import LAID, GivenUp
from engine.change.new_way.kept_ground import StationsNow, along_and_off_ft, held_levels, levels_now, line_now, stations_now
from engine.job.edit import edits
from engine.job.edit.next_record import free_name
from engine.job.edit.plan_taken_back import with_plan_before
from engine.job.errors import EditRefused
from engine.job.model.base import Side
from engine.job.model.cross_checks import point_names
from engine.job.model.fence import Gate, HeightChange, Post, Surface
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.shots import AT_A_POST, WHERE_IT_STANDS, OffsetShot
from engine.stages.cables.loop_items import ROUND_AGAIN
from engine.stages.layout.fixed_supports import FixedSupport
from engine.stages.layout.keep_outs import keep_outs, standing_in
from engine.stages.layout.line_tracks import Track, meetings, place, tracks
from engine.stages.layout.propose import post_of, proposed_between
from engine.stages.layout.stage import past_trees, planned_posts
from engine.stages.layout.trunks import is_in_a_way
from engine.stages.survey.stage import LineSurvey, Survey, placed
from engine.stages.survey.survey_facts import line_stations_ft
from engine.walk import Walk

R = TypeVar("R", Gate, Surface, HeightChange)
F = TypeVar("F", Surface, HeightChange)


@dataclass(frozen=True)
class _NewLine:
    """The line as it goes from now on: its points and path, and where the two supports that stay come in it."""

    points: tuple[str, ...]
    first: int
    last: int
    new: Mapping[str, OffsetShot]


def with_new_way(
    job: Job, before: Walk, given_up: GivenUp, at: datetime, by: str, *, why: str = "", stays: Sequence[str] | None = None
) -> Job:
    """Job with a stretch of a line taken another way, its new part laid out anew and everything else left where it stands.

    The two supports that stay become points of the line, measured from the run they stand on. Posts, gates and levels past the stretch keep
    their places and get the stations of the line as it goes now; levels inside become ground beside it, and where what stays needs it, the
    ground that it stands on is held by a level there. Ticks of loops that are cut, and of their fabric, go, and so does the one that all
    loops were read again; those of supports that came out are kept.
    """
    drawn = _line_drawn(job, before, given_up)
    line = job.lines[given_up.line].model_copy(update={"points": drawn.points})
    levels = {name: shot for name, shot in job.shots.items() if shot.method == "level" and shot.line == given_up.line}
    tables: dict[str, Any] = {"lines": {**job.lines, given_up.line: line}, "shots": {**job.shots, **drawn.new}}
    # its levels get their stations by the line as it goes now: nothing is asked of them before that is drawn
    asked = job.model_copy(update={**tables, "shots": {name: shot for name, shot in tables["shots"].items() if name not in levels}})
    if missing := [name for name in given_up.way.through if name not in point_names(job)]:
        raise EditRefused(f"There is no point {listed(missing)}. Survey it first, or correct the name.", "through")
    surveyed = placed(asked)
    tracks_now = tracks(asked, surveyed)
    track = tracks_now.get(given_up.line)
    if track is None or len(track.path) != len(drawn.points):
        raise EditRefused(_not_drawn(surveyed, given_up), "through")
    if _runs_over_itself(track.path, drawn):
        says = f"The new way would run over {given_up.line} where that stays. Name points that keep it clear of the fence."
        raise EditRefused(says, "through")
    shift_ft = -given_up.to_ft if given_up.wraps else track.stations_ft[drawn.last] - given_up.to_ft
    if strange := [name for name in stays or () if name not in given_up.age_days]:
        driven = listed(list(given_up.age_days)) if given_up.age_days else "none"
        raise EditRefused(f"No driven sleeve of {listed(strange)} is in that stretch. Driven there: {driven}.", "stays")
    found = stations_now(given_up, tracks(job, before.survey)[given_up.line], track, drawn.first, drawn.last)
    tables |= _tables_past(job, found)
    tables["posts"] = _kept_posts(job, before, found, drawn)
    ends = (given_up.way.from_post, given_up.way.to_post)
    held = held_levels(job.model_copy(update=tables), levels_now(found, levels), surveyed, before, given_up.line, ends)
    tables["shots"] = {**tables["shots"], **held}
    opened = _of_cut_loops(job, given_up.loops)
    unticked = edits.untick_all(job, opened, at, by)
    logged = edits.new_way(unticked, tables, _entry_fields(before, job, given_up, shift_ft, why, stays), at, by)
    on_its_ground = replace(surveyed, lines={**surveyed.lines, given_up.line: line_now(logged, held, surveyed, given_up.line)})
    left = given_up.stays if stays is None else stays
    sleeves = {name: before.layout.supports[name].xy for name in given_up.age_days}
    whole = [*whole_sleeves(before), *((name, sleeves[name]) for name in left)]
    pulled = [there for name, there in sleeves.items() if name not in left]
    done = logged.model_copy(update={"posts": _plan_with_new_supports(logged, on_its_ground, given_up, tracks_now, drawn, whole, pulled)})
    return with_plan_before(job, done, opened)


def _not_drawn(surveyed: Survey, given_up: GivenUp) -> str:
    missing = [name for name in given_up.way.through if name not in surveyed.points]
    if missing:
        return f"No place yet for {listed(missing)}. Survey that first."
    return f"{given_up.line} can't run like that: two of its points would be in the same place."


def _runs_over_itself(path: Sequence[Point], drawn: _NewLine) -> bool:
    """Whether the new part meets itself, or the part that stays anywhere but where it leaves it and joins it again."""
    wraps = drawn.last < drawn.first
    new = path[drawn.first :] if wraps else path[drawn.first : drawn.last + 1]
    kept = [path[: drawn.first + 1]] if wraps else [path[: drawn.first + 1], path[drawn.last :]]
    way = shapely.linestrings(new)
    meets = shapely.intersection(way, [shapely.linestrings(part) for part in kept if len(part) > 1])
    ends = {new[0], new[-1]}
    only_there = ends.issuperset(map(tuple, shapely.get_coordinates(meets).tolist())) and not shapely.length(meets).any()
    at_its_ends = only_there or shapely.MultiPoint([*ends]).buffer(ONE_SUPPORT_FT).covers(shapely.union_all(meets))
    return not way.is_simple or not at_its_ends


def _line_drawn(job: Job, before: Walk, given_up: GivenUp) -> _NewLine:
    """Points of the line from now on."""
    ran = before.survey.lines[given_up.line]
    stations = line_stations_ft(ran.path)
    spots = list(zip(ran.vertices, stations, strict=True))
    new: dict[str, OffsetShot] = {}
    taken = point_names(job)
    taken.update(job.shots)
    first = _point_at(before, ran, stations, given_up.way.from_post, given_up.from_ft, taken, new)
    last = _point_at(before, ran, stations, given_up.way.to_post, given_up.to_ft, taken, new)
    middle = (first, *given_up.way.through, last)
    if given_up.wraps:
        kept = [name for name, station in spots if given_up.to_ft + TOUCHING_FT < station < given_up.from_ft - TOUCHING_FT]
        return _NewLine((last, *kept, *middle), len(kept) + 1, 0, new)
    head = [name for name, station in spots if station < given_up.from_ft - TOUCHING_FT]
    tail = [name for name, station in spots if station > given_up.to_ft + TOUCHING_FT]
    if job.lines[given_up.line].closed and not head:
        tail[-1] = first  # a ring that is left at its first support comes back to where that stands
    return _NewLine((*head, *middle, *tail), len(head), len(head) + len(middle) - 1, new)


def _point_at(
    before: Walk, ran: LineSurvey, stations: Sequence[float], post: str, station_ft: float, taken: set[str], new: dict[str, OffsetShot]
) -> str:
    """Name of the line's point at a support, or of a new one there, measured along and off the run it stands on."""
    spot = before.layout.supports[post].xy
    for name, vertex in zip(ran.vertices, ran.path, strict=True):
        if distance_ft(vertex, spot) <= SAME_SPOT_FT:
            return name
    run = max(n for n, station in enumerate(stations[:-1]) if station <= station_ft or n == 0)
    start, end = ran.path[run : run + 2]
    along_ft, off_ft = along_and_off_ft(start, azimuth_deg(start, end), spot)
    name = free_name(AT_A_POST.format(post), taken)
    taken.add(name)
    side: Side = "right" if off_ft >= 0 else "left"
    new[name] = OffsetShot(
        method="offset", point=name, base_from=ran.vertices[run], base_to=ran.vertices[run + 1],
        along_ft=along_ft, offset_ft=abs(off_ft), side=side, note=WHERE_IT_STANDS.format(post),
    )  # fmt: skip
    return name


def _tables_past(job: Job, found: StationsNow) -> dict[str, Any]:
    """Gates and what else lies along the line, levels apart, at their stations from now on; a table in which all stays isn't there."""
    line = found.given_up.line
    gates = {name: _now(found, gate, station_ft=gate.station_ft) if gate.line == line else gate for name, gate in job.gates.items()}
    tables = {"gates": gates, **{table: _floors_and_heights_now(found, getattr(job, table)) for table in LAID}}
    return {table: rows for table, rows in tables.items() if rows != getattr(job, table)}


def _now(found: StationsNow, row: R, **stations: float) -> R:
    """A record of the line with these of its stations as they are from now on; the very same where they are as they were."""
    now = {name: round(max(found.of(station)[0], 0.0), 4) for name, station in stations.items()}
    return row if all(getattr(row, name) == station for name, station in now.items()) else row.model_copy(update=now)


def _floors_and_heights_now(found: StationsNow, rows: Mapping[str, F]) -> dict[str, F]:
    """Hard stretches or changes of height of a line from now on: what lies inside goes, what is cut in two becomes two."""
    kept: dict[str, F] = {}
    for name, row in rows.items():
        if row.line != found.given_up.line:
            kept[name] = row
            continue
        for n, (from_ft, to_ft) in enumerate(found.given_up.outside(row.from_ft, row.to_ft)):
            kept[name if n == 0 else free_name(name, {*rows, *kept})] = _now(found, row, from_ft=from_ft, to_ft=to_ft)
    return kept


def _kept_posts(job: Job, before: Walk, found: StationsNow, drawn: _NewLine) -> dict[str, Post]:
    """The plan without what comes out, everything at its place of today by the stations of the line as it goes now."""
    given_up, track = found.given_up, found.track
    ends = {given_up.way.from_post: drawn.first, given_up.way.to_post: drawn.last}
    kept = {}
    for name, post in planned_posts(before.layout, job.posts).items():
        if name in given_up.out:
            continue
        if post.line == given_up.line and (name in ends or max(post.station_ft, post.meant_ft or 0.0) > found.unmoved_ft):
            at = ends.get(name)
            if at is None:
                station_ft, offset_ft = found.of(post.station_ft, post.offset_ft)
                update: dict[str, float | None] = {"station_ft": round(station_ft, 4), "offset_ft": round(offset_ft, 4) + 0.0}
            else:
                update = {"station_ft": round(track.stations_ft[at], 4), "offset_ft": 0.0}
                post = post.model_copy(update={"kind": _kind_at(job, post, track, at)})
            update["meant_ft"] = None if post.meant_ft is None or given_up.holds(post.meant_ft) else round(found.of(post.meant_ft)[0], 4)
            post = post.model_copy(update=update)
        kept[name] = post
    return kept


def _kind_at(job: Job, post: Post, track: Track, at: int) -> str:
    if post.kind not in ("line", "corner"):
        return post.kind
    inner = 0 < at < len(track.path) - 1
    turn = deflection_deg(*track.path[at - 1 : at + 2]) if inner else track.turns_deg[at]
    return "corner" if abs(turn) >= job.rules.layout.corner_deg else "line"


def _of_cut_loops(job: Job, loops: Sequence[str]) -> list[ItemKey]:
    """Ticks of loops that are cut and of their fabric, and the one that all loops were read again. A cable that wasn't closed yet is pulled
    out whole: its length is judged anew."""
    about, closed = ({*loops, ROUND_AGAIN.subject} if loops else set()), _closed(job, loops)
    near = (key for key in job.checks if key.subject in about and (key.what != "cut_length" or key.subject in closed))
    return [key for key in near if (key.subject in loops and key.stage in ("cables", "fabric")) or key == ROUND_AGAIN]


def _closed(job: Job, loops: Sequence[str]) -> list[str]:
    """Loops whose cable is closed, as far as anybody said."""
    ticks = {loop: job.checks.get(ItemKey("cables", loop, "closed")) for loop in loops}
    return [loop for loop, tick in ticks.items() if tick is not None and tick.state != "left open"]


def _entry_fields(before: Walk, job: Job, given_up: GivenUp, shift_ft: float, why: str, stays: Sequence[str] | None) -> dict[str, Any]:
    supports = before.layout.supports
    path = before.survey.lines[given_up.line].path
    spots = [station_offset(path, supports[name].xy) for name in given_up.out]
    closed = _closed(job, given_up.loops)
    return {
        "line": given_up.line, "from_post": given_up.way.from_post, "to_post": given_up.way.to_post, "through": given_up.way.through,
        "old_points": job.lines[given_up.line].points, "from_ft": given_up.from_ft, "to_ft": given_up.to_ft, "shift_ft": shift_ft,
        "out": given_up.out, "out_stations_ft": [station for station, _ in spots], "out_offsets_ft": [offset for _, offset in spots],
        "left": tuple(given_up.stays if stays is None else stays), "loops": closed,
        "cable_cut_ft": sum(before.cables.loops[loop].cut_ft for loop in closed), "why": why,
    }  # fmt: skip


def _in_sleeves(
    job: Job, now: Track, part_ft: tuple[float, float], row: Sequence[FixedSupport], pulled: Sequence[Point]
) -> list[FixedSupport]:
    """The row with each line post that would be driven beside a sleeve which comes out set into that, where its bays allow it."""
    spots = [place(now, part_ft[0]), *(place(now, one.station_ft, one.offset_ft) for one in row), place(now, part_ft[1])]
    found = list(row)
    for n, one in enumerate(row, 1):
        there = min(pulled, key=lambda sleeve: distance_ft(sleeve, spots[n]), default=None)
        if there is None or one.support != "driven" or one.kind != "line" or distance_ft(there, spots[n]) > ONE_SUPPORT_FT:
            continue
        if max(distance_ft(spots[n - 1], there), distance_ft(there, spots[n + 1])) > job.rules.layout.bay_max_ft:
            continue
        station_ft, offset_ft = station_offset(now.path, there)
        found[n - 1], spots[n] = replace(one, station_ft=round(station_ft, 4), offset_ft=round(offset_ft, 4) + 0.0), there
    return found


def _plan_with_new_supports(
    job: Job,
    on_its_ground: Survey,
    given_up: GivenUp,
    tracks_now: Mapping[str, Track],
    drawn: _NewLine,
    whole: Sequence[tuple[str, Point]],
    pulled: Sequence[Point],
) -> dict[str, Post]:
    """The plan with the proposal's supports between the two that stay, clear of the `whole` sleeves that stay in the ground and in those
    `pulled` that they would be driven beside, under ids that nothing had before."""
    alone = job.model_copy(update={"lines": {given_up.line: job.lines[given_up.line]}})
    drawn_now = {**tracks_now, **tracks(alone, on_its_ground)}
    now = drawn_now[given_up.line]
    standing = (place(drawn_now[post.line], post.station_ft, post.offset_ft) for post in job.posts.values() if post.line in drawn_now)
    ground = keep_outs(job, on_its_ground, drawn_now, standing, whole)
    part_ft = now.stations_ft[drawn.first], now.length_ft if given_up.wraps else now.stations_ft[drawn.last]
    proposed = proposed_between(job, on_its_ground, drawn_now, meetings(job, drawn_now), ground, now, part_ft)
    fresh = _in_sleeves(job, now, part_ft, proposed, [there for there in pulled if not standing_in([there], ground)[0]])
    named = dict(zip(edits.next_post_ids(job), (post_of(given_up.line, one) for one in fresh), strict=False))
    posts: dict[str, Post] = {}
    for name, post in job.posts.items():
        posts[name] = post
        if name == given_up.way.from_post:
            posts |= named
    ends = [(place(now, ft), job.posts[name].at) for ft, name in zip(part_ft, (given_up.way.from_post, given_up.way.to_post), strict=True)]
    row = [ends[0], *((place(now, one.station_ft, one.offset_ft), one.at) for one in fresh), ends[1]]
    if not is_in_a_way(job, on_its_ground, row):
        return posts
    return past_trees(job.model_copy(update={"posts": posts}), on_its_ground, job.posts)[0]
