"""Another layout in a repair: what stood when it began stays where the layout has a place for it, the rest is laid out afresh."""

from collections.abc import Iterator, Mapping

from engine.calc.geometry.plane import Point, distance_ft, station_offset
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.job.edit.plan_taken_back import plan_taken_back
from engine.job.model.fence import Post
from engine.job.model.job import Job
from engine.job.model.log_entries import ObstacleEntry, PlannedEntry, RerouteEntry, live, ticks_before
from engine.job.model.signed_record import RepairOf
from engine.stages.layout.line_tracks import Track, place, tracks
from engine.stages.layout.stage import planned_posts
from engine.stages.survey.stage import survey
from engine.walk import walk


def round_what_stands(began: Job, repair_of: RepairOf, other: Job) -> Job:
    """A repair that just began with the layout of `other`, which isn't planned yet: what stands and has a place in it stays."""
    placed = tracks(other, survey(other))
    same = {name for name, line in other.lines.items() if began.lines.get(name) == line}
    found = tuple(entry for entry in live(began.log) if isinstance(entry, ObstacleEntry) and entry.line in same)
    kept = other.model_copy(update={"posts": dict(_kept(began, placed, same)), "log": found, "checks": began.checks})
    if not kept.posts:
        return kept
    fresh = fresh_layout(kept, walk(kept))
    return kept if fresh.same else accepted_again(kept, fresh, repair_of.until, "")


def as_it_began(job: Job, repair_of: RepairOf) -> Job:
    """A repair as it began: without what was logged and ticked in it since, but for what was found in the ground."""
    ticks = {key: tick for key, tick in (*job.checks.items(), *ticks_before(job.log)) if tick.at <= repair_of.until}
    for entry in reversed(live(job.log)):
        if isinstance(entry, PlannedEntry | RerouteEntry) and entry.before is not None:
            ticks |= {key: tick for key, tick in entry.before.checks.items() if tick.at <= repair_of.until}
            job = plan_taken_back(job, entry, entry.at, entry.by)
    found = tuple(entry for entry in live(job.log) if isinstance(entry, ObstacleEntry))
    return job.model_copy(update={"log": found, "checks": ticks})


def _kept(began: Job, placed: Mapping[str, Track], same: set[str]) -> Iterator[tuple[str, Post]]:
    laid = walk(began).layout
    for name, post in planned_posts(laid).items():
        if post.line in same:
            yield name, post
        elif (there := _on_a_line(placed, post.line, laid.supports[name].xy)) is not None:
            line, station_ft, offset_ft = there
            yield name, post.model_copy(update={"line": line, "station_ft": station_ft, "offset_ft": offset_ft, "meant_ft": None})


def _on_a_line(placed: Mapping[str, Track], own: str, spot: Point) -> tuple[str, float, float] | None:
    """The line that runs over a spot, the own one first, with station and offset; None where none does."""
    for line in dict.fromkeys((own, *placed)):
        if line in placed:
            station_ft, offset_ft = station_offset(placed[line].path, spot)
            if distance_ft(place(placed[line], station_ft), spot) <= ONE_SUPPORT_FT:
                return line, round(station_ft, 4), round(offset_ft, 4)
    return None
