"""What lies outside a stretch that is given up: its stations on the line as it goes now, and the ground under what stays there."""

from collections.abc import Iterator, Mapping, Sequence
from math import floor, inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import Point, azimuth_deg, distance_ft, latitude_departure, station_offset
from engine.calc.tolerances import MEETS_FT, SAME_GROUND_FT, SAME_SPOT_FT, TOUCHING_FT
from engine.change.new_way.given_up import GivenUp
from engine.job.edit.next_record import free_name
from engine.job.model.job import Job
from engine.job.model.shots import WHERE_IT_STANDS, LevelShot
from engine.stages.layout.line_tracks import Track, place
from engine.stages.survey.line_ground import line_survey
from engine.stages.survey.stage import LineSurvey, Survey
from engine.walk import Walk


@dataclass(frozen=True)
class KeptRun:
    """A run of the line now, outside the stretch: the station it began at before, the one it begins at now, its start and its azimuth."""

    before_ft: float
    now_ft: float
    start: Point
    azimuth_deg: float


@dataclass(frozen=True)
class StationsNow:
    """The line before and now, with the runs before and past the stretch; on a ring that is cut at its first point all come past it. `new`
    are the indices in the path of now between which the new way runs; up to `unmoved_ft` the line runs as it did."""

    given_up: GivenUp
    old: Track
    track: Track
    before: tuple[KeptRun, ...]
    past: tuple[KeptRun, ...]
    new: tuple[int, int]
    unmoved_ft: float = -inf

    def of(self, station_ft: float, offset_ft: float = 0.0) -> tuple[float, float]:
        """Station and offset from now on of a spot outside the stretch: the same place by the run that it lies on."""
        rounds = floor(station_ft / self.old.length_ft) if self.old.closed and station_ft != self.old.length_ft else 0
        on_ft = station_ft - rounds * self.old.length_ft
        past = self.given_up.wraps or on_ft >= self.given_up.to_ft - TOUCHING_FT
        runs = self.past if past else self.before
        if not runs:
            return (on_ft - self.given_up.to_ft + self.track.length_ft if past else on_ft), offset_ft
        run = next((one for one in reversed(runs) if one.before_ft <= on_ft), runs[0])
        along_ft, off_ft = along_and_off_ft(run.start, run.azimuth_deg, place(self.old, on_ft, offset_ft))
        return run.now_ft + along_ft + (0 if self.given_up.wraps else rounds) * self.track.length_ft, off_ft


def along_and_off_ft(start: Point, run_deg: float, spot: Point) -> tuple[float, float]:
    """How far along a run of an azimuth a spot lies and how far off it, right positive, ft; before its start and past its end too."""
    if spot == start:
        return 0.0, 0.0
    return latitude_departure(distance_ft(start, spot), azimuth_deg(start, spot) - run_deg)


def stations_now(given_up: GivenUp, old: Track, track: Track, first: int, last: int) -> StationsNow:
    """How stations outside a stretch go over to the line as it goes now; its new part runs from the point `first` to the point `last`."""
    stations = old.stations_ft[: -1 if old.closed else None]
    if given_up.wraps:
        kept = [at for at in stations if given_up.to_ft + TOUCHING_FT < at < given_up.from_ft - TOUCHING_FT]
        past = _runs(track, 0, [given_up.to_ft, *kept][:first])
        return StationsNow(given_up, old, track, (), past, (first, len(track.path) - 1))
    head = [at for at in stations if at < given_up.from_ft - TOUCHING_FT]
    tail = [at for at in old.stations_ft if at > given_up.to_ft + TOUCHING_FT]
    past = _runs(track, last, [given_up.to_ft, *tail][: len(track.path) - 1 - last])
    unmoved_ft = head[-1] if head and old.path[: len(head)] == track.path[: len(head)] else -inf
    return StationsNow(given_up, old, track, _runs(track, 0, head), past, (first, last), unmoved_ft)


def _runs(track: Track, first: int, before_ft: Sequence[float]) -> tuple[KeptRun, ...]:
    path = track.path
    return tuple(KeptRun(at, track.stations_ft[n], path[n], azimuth_deg(*path[n : n + 2])) for n, at in enumerate(before_ft, first))


def levels_now(found: StationsNow, levels: Mapping[str, LevelShot]) -> dict[str, LevelShot]:
    """Levels of the line by its stations of now; those inside the stretch become ground beside its new part."""
    return {
        key: shot if shot.station_ft <= found.unmoved_ft else shot.model_copy(update=_level_now(found, shot))
        for key, shot in levels.items()
    }


def _level_now(found: StationsNow, shot: LevelShot) -> dict[str, float | None]:
    old, station_ft = found.old, shot.station_ft
    if old.closed and found.given_up.wraps and station_ft >= old.length_ft - SAME_SPOT_FT:
        station_ft = 0.0
    if not found.given_up.holds(station_ft):
        now_ft, off_ft = found.of(station_ft, shot.offset_ft or 0.0)
        beside = {"offset_ft": round(off_ft, 4) or SAME_SPOT_FT} if shot.offset_ft else {}
        return {"station_ft": round(max(now_ft, 0.0), 4), **beside}
    first, last = found.new
    start_ft, end_ft = found.track.stations_ft[first], found.track.stations_ft[last]
    along_ft, offset_ft = station_offset(found.track.path[first : last + 1], place(old, station_ft, shot.offset_ft or 0.0))
    on_it = abs(offset_ft) <= MEETS_FT and TOUCHING_FT < along_ft < end_ft - start_ft - TOUCHING_FT
    return {"station_ft": round(start_ft + along_ft, 4), "offset_ft": None if on_it else round(offset_ft, 4) or SAME_SPOT_FT}


def held_levels(
    job: Job, levels: Mapping[str, LevelShot], surveyed: Survey, before: Walk, line: str, ends: Sequence[str]
) -> dict[str, LevelShot]:
    """Levels of a line, with one more wherever a support that stays would else come to stand on other ground than it does. `ends` are the
    two supports between which the new way runs: the ground outside is known as far as them."""
    held = dict(levels)
    if not before.survey.lines[line].level_shots:
        return held
    for names in (ends, tuple(name for name, post in job.posts.items() if post.line == line)):
        now = line_now(job, held, surveyed, line)
        profile, length_ft = now.profile, now.length_ft
        for name, station_ft, level_ft in _grounds(job, before, line, names):
            at_ft = station_ft % length_ft if job.lines[line].closed and station_ft != length_ft else max(station_ft, 0.0)
            bare = names == ends and not any(abs(at_ft - shot_ft) <= SAME_SPOT_FT for shot_ft in profile.stations_ft)
            if bare or abs(level_at_ft(profile, at_ft) - level_ft) > SAME_GROUND_FT:
                key = free_name(f"level-{name}", {*job.shots, *held})
                held[key] = LevelShot(
                    method="level", line=line, station_ft=round(at_ft, 4), level_ft=round(level_ft, 4), note=WHERE_IT_STANDS.format(name)
                )
    return held


def line_now(job: Job, levels: Mapping[str, LevelShot], surveyed: Survey, line: str) -> LineSurvey:
    """One line with the ground that these levels of it give it, its points as they are surveyed."""
    drawn = surveyed.lines[line]
    return line_survey(job, line, levels, dict(zip(drawn.vertices, drawn.path, strict=True)))


def _grounds(job: Job, before: Walk, line: str, names: Sequence[str]) -> Iterator[tuple[str, float, float]]:
    """Supports of the line that stay: each with its station of now and the level of the ground it stands on."""
    for name in names:
        post, support = job.posts.get(name), before.layout.supports.get(name)
        if post is not None and support is not None and post.line == support.line == line:
            yield name, post.station_ft, support.level_ft - support.lift_ft
