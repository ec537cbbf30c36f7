"""A stretch of a line taken another way: the job as it is then, with everything that stays in its place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from engine.calc.geometry.plane import (
    Point,
    azimuth_deg,
    deflection_deg,
    distance_ft,
    latitude_departure,
    station_offset,
    vertex_stations_ft,
)
from engine.calc.phrases import listed
from engine.calc.tolerances import MEETS_FT, ONE_SUPPORT_FT, SAME_SPOT_FT, TOUCHING_FT
from engine.change.given_up import LAID, GivenUp
from engine.job.edit import edits
from engine.job.edit.next_record import free_name
from engine.job.errors import EditRefused
from engine.job.model.base import Side
from engine.job.model.cross_checks import point_names
from engine.job.model.fence import HeightChange, Post, Surface
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.shots import LevelShot, OffsetShot
from engine.stages.layout.line_tracks import Track, place, tracks
from engine.stages.layout.stage import layout, planned_posts
from engine.stages.survey.stage import LineSurvey, Survey, survey
from engine.walk import Walk

R = TypeVar("R", Surface, HeightChange)


@dataclass(frozen=True)
class _Drawn:
    """The line as it goes from now on: its points and path, and where the two supports that stay come in it."""

    points: tuple[str, ...]
    first: int
    last: int
    new: Mapping[str, OffsetShot]


def rerouted(job: Job, before: Walk, stretch: GivenUp, at: datetime, by: str, *, why: str = "", stays: Sequence[str] | None = None) -> Job:
    """Job with a stretch of a line taken another way, its new part laid out anew and everything else left where it stands.

    The two supports that stay become points of the line, measured from the run they stand on. Posts, gates and levels past the
    stretch keep their places and get the stations of the line as it goes now; levels inside become ground beside it. Ticks of loops
    that are cut, and of their fabric, go; those of supports that came out are kept.

    Raises: EditRefused on a sealed job, where a point has no place, or where nothing fits.
    """
    drawn = _drawn(job, before, stretch)
    line = job.lines[stretch.line].model_copy(update={"points": drawn.points})
    tables: dict[str, Any] = {"lines": {**job.lines, stretch.line: line}, "shots": {**job.shots, **drawn.new}}
    asked = job.model_copy(update=tables)
    if missing := [name for name in stretch.way.through if name not in point_names(job)]:
        raise EditRefused(f"There is no point {listed(missing)}. Survey it first, or correct the name.")
    surveyed = survey(asked)
    track = tracks(asked, surveyed).get(stretch.line)
    if track is None or len(track.path) != len(drawn.points):
        raise EditRefused(_not_drawn(surveyed, stretch))
    shift_ft = -stretch.to_ft if stretch.wraps else track.stations_ft[drawn.last] - stretch.to_ft
    if strange := [name for name in stays or () if name not in stretch.age_days]:
        driven = listed(list(stretch.age_days)) if stretch.age_days else "none"
        raise EditRefused(f"No driven sleeve of {listed(strange)} is in that stretch. Driven there: {driven}.")
    tables |= _moved(job, before, stretch, track, shift_ft, tables["shots"])
    tables["posts"] = _kept_posts(job, before, stretch, track, drawn, shift_ft)
    tables["checks"] = {key: tick for key, tick in job.checks.items() if not _of_cut(key, stretch.loops)}
    logged = edits.reroute(job, tables, _fields(before, job, stretch, shift_ft, why, stays), at, by)
    return logged.model_copy(update={"posts": _with_new(logged, surveyed, stretch, track, drawn)})


def _not_drawn(surveyed: Survey, stretch: GivenUp) -> str:
    missing = [name for name in stretch.way.through if name not in surveyed.points]
    if missing:
        return f"No place yet for {listed(missing)}. Survey that first."
    return f"{stretch.line} can't go that way: two of its points would stand at one place."


def _drawn(job: Job, before: Walk, stretch: GivenUp) -> _Drawn:
    """Points of the line from now on."""
    placed = before.survey.lines[stretch.line]
    stations = vertex_stations_ft(placed.path)
    spots = list(zip(placed.vertices, stations, strict=True))
    new: dict[str, OffsetShot] = {}
    first = _point_at(job, before, placed, stations, stretch.way.from_post, stretch.from_ft, new)
    last = _point_at(job, before, placed, stations, stretch.way.to_post, stretch.to_ft, new)
    middle = (first, *stretch.way.through, last)
    if stretch.wraps:
        kept = [name for name, station in spots if stretch.to_ft + TOUCHING_FT < station < stretch.from_ft - TOUCHING_FT]
        return _Drawn((last, *kept, *middle), len(kept) + 1, 0, new)
    head = [name for name, station in spots if station < stretch.from_ft - TOUCHING_FT]
    tail = [name for name, station in spots if station > stretch.to_ft + TOUCHING_FT]
    return _Drawn((*head, *middle, *tail), len(head), len(head) + len(middle) - 1, new)


def _point_at(
    job: Job, before: Walk, placed: LineSurvey, stations: Sequence[float], post: str, station_ft: float, new: dict[str, OffsetShot]
) -> str:
    """Name of the line's point at a support, or of a new one there, measured along and off the run it stands on."""
    spot = before.layout.supports[post].xy
    for name, vertex in zip(placed.vertices, placed.path, strict=True):
        if distance_ft(vertex, spot) <= SAME_SPOT_FT:
            return name
    run = max(n for n, station in enumerate(stations[:-1]) if station <= station_ft or n == 0)
    start, end = placed.path[run : run + 2]
    along_ft, off_ft = latitude_departure(distance_ft(start, spot), azimuth_deg(start, spot) - azimuth_deg(start, end))
    taken = {*point_names(job), *job.shots, *new}
    name = free_name(f"at-{post}", taken)
    side: Side = "right" if off_ft >= 0 else "left"
    new[name] = OffsetShot(
        method="offset", point=name, base_from=placed.vertices[run], base_to=placed.vertices[run + 1],
        along_ft=along_ft, offset_ft=abs(off_ft), side=side, note=f"where {post} stands",
    )  # fmt: skip
    return name


def _since(stretch: GivenUp, shift_ft: float, station_ft: float) -> float:
    """Station from now on of what stands outside the stretch."""
    return station_ft + shift_ft if stretch.wraps or station_ft >= stretch.to_ft - TOUCHING_FT else station_ft


def _moved(job: Job, before: Walk, stretch: GivenUp, track: Track, shift_ft: float, shots: Mapping[str, Any]) -> dict[str, Any]:
    """Gates and levels of the line at their stations from now on."""
    old = tracks(job, before.survey)[stretch.line]
    gates = {
        name: gate.model_copy(update={"station_ft": round(_since(stretch, shift_ft, gate.station_ft), 4)})
        if gate.line == stretch.line
        else gate
        for name, gate in job.gates.items()
    }
    levels = {
        name: shot.model_copy(update=_level_since(stretch, shift_ft, old, track, shot))
        for name, shot in shots.items()
        if isinstance(shot, LevelShot) and shot.line == stretch.line
    }
    tables = {table: _pieces_since(stretch, shift_ft, getattr(job, table)) for table in LAID}
    return {"gates": gates, "shots": {**shots, **levels}, **tables}


def _pieces_since(stretch: GivenUp, shift_ft: float, rows: Mapping[str, R]) -> dict[str, R]:
    """Hard stretches or changes of height of a line from now on: what lies inside goes, what is cut in two becomes two."""
    kept: dict[str, R] = {}
    for name, row in rows.items():
        parts = stretch.outside(row.from_ft, row.to_ft) if row.line == stretch.line else [(row.from_ft, row.to_ft)]
        for n, (from_ft, to_ft) in enumerate(parts):
            called = name if n == 0 else free_name(name, {*rows, *kept})
            ends = {"from_ft": from_ft, "to_ft": to_ft}
            if row.line == stretch.line:
                ends = {end: round(_since(stretch, shift_ft, station), 4) for end, station in ends.items()}
            kept[called] = row.model_copy(update=ends)
    return kept


def _level_since(stretch: GivenUp, shift_ft: float, old: Track, track: Track, shot: LevelShot) -> dict[str, float | None]:
    if not stretch.holds(shot.station_ft):
        return {"station_ft": round(_since(stretch, shift_ft, shot.station_ft), 4)}
    station_ft, offset_ft = station_offset(track.path, place(old, shot.station_ft, shot.offset_ft or 0.0))
    return {"station_ft": round(station_ft, 4), "offset_ft": round(offset_ft, 4) if abs(offset_ft) > MEETS_FT else None}


def _kept_posts(job: Job, before: Walk, stretch: GivenUp, track: Track, drawn: _Drawn, shift_ft: float) -> dict[str, Post]:
    """The plan without what comes out, everything at its place of today by the stations of the line as it goes now."""
    ends = {stretch.way.from_post: drawn.first, stretch.way.to_post: drawn.last}
    kept = {}
    for name, post in planned_posts(before.layout).items():
        if name in stretch.out:
            continue
        if post.line == stretch.line:
            at = ends.get(name)
            if at is not None:
                update: Mapping[str, Any] = {
                    "station_ft": round(track.stations_ft[at], 4),
                    "offset_ft": 0.0,
                    "kind": _kind(job, post, track, at),
                }
            else:
                update = _spot_since(stretch, track, drawn, shift_ft, post, before.layout.supports[name].xy)
            post = post.model_copy(update=update)
        kept[name] = post
    return kept


def _spot_since(stretch: GivenUp, track: Track, drawn: _Drawn, shift_ft: float, post: Post, spot: Point) -> dict[str, float]:
    """Station and offset of a support by the part of the line it stands on; one past the line's end keeps its distance from there."""
    since_ft = _since(stretch, shift_ft, post.station_ft)
    if not 0 <= since_ft <= track.length_ft:
        return {"station_ft": round(since_ft, 4)}
    past = not stretch.wraps and post.station_ft >= stretch.to_ft
    part = track.path[drawn.last :] if past else track.path[: drawn.first + 1]
    station_ft, offset_ft = station_offset(part, spot)
    base_ft = track.stations_ft[drawn.last] if past else 0.0
    return {"station_ft": round(base_ft + station_ft, 4), "offset_ft": round(offset_ft, 4)}


def _kind(job: Job, post: Post, track: Track, at: int) -> str:
    if post.kind not in ("line", "corner"):
        return post.kind
    inner = 0 < at < len(track.path) - 1
    turn = deflection_deg(*track.path[at - 1 : at + 2]) if inner else track.turns_deg[at]
    return "corner" if abs(turn) >= job.rules.layout.corner_deg else "line"


def _of_cut(key: ItemKey, loops: Sequence[str]) -> bool:
    return key.stage in ("cables", "fabric") and key.subject in loops


def _fields(before: Walk, job: Job, stretch: GivenUp, shift_ft: float, why: str, stays: Sequence[str] | None) -> dict[str, Any]:
    supports = before.layout.supports
    path = before.survey.lines[stretch.line].path
    spots = [station_offset(path, supports[name].xy) for name in stretch.out]
    closed = [loop for loop in stretch.loops if ItemKey("cables", loop, "closed") in job.checks]
    return {
        "line": stretch.line, "from_post": stretch.way.from_post, "to_post": stretch.way.to_post, "through": stretch.way.through,
        "old_points": job.lines[stretch.line].points, "from_ft": stretch.from_ft, "to_ft": stretch.to_ft, "shift_ft": shift_ft,
        "out": stretch.out, "out_stations_ft": [station for station, _ in spots], "out_offsets_ft": [offset for _, offset in spots],
        "left": tuple(stretch.stays if stays is None else stays), "loops": closed,
        "cable_cut_ft": sum(before.cables.loops[loop].cut_ft for loop in closed), "why": why,
    }  # fmt: skip


def _with_new(job: Job, surveyed: Survey, stretch: GivenUp, track: Track, drawn: _Drawn) -> dict[str, Post]:
    """The plan with the proposal's supports between the two that stay, under ids that nothing had before."""
    proposal = layout(job.model_copy(update={"posts": {}}), surveyed)
    low_ft, high_ft = track.stations_ft[drawn.first], track.length_ft if stretch.wraps else track.stations_ft[drawn.last]
    fresh = [
        post
        for post in planned_posts(proposal).values()
        if post.line == stretch.line and low_ft + ONE_SUPPORT_FT < post.station_ft < high_ft - ONE_SUPPORT_FT
    ]
    posts: dict[str, Post] = {}
    for name, post in job.posts.items():
        posts[name] = post
        if name == stretch.way.from_post:
            for one in fresh:
                posts[edits.next_post_id(job, {**job.posts, **posts})] = one
    return posts
