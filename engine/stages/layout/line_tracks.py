"""The lines of a job as tracks: a path with stations, turns and ground, and where one line's end meets another line."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import replace

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile
from engine.calc.geometry.plane import Point, azimuth_deg, deflection_deg, distance_ft, offset_point, station_offset
from engine.calc.large_libraries import np
from engine.calc.measuring.adjust import Ellipse
from engine.calc.remember import remembered, remembered_of
from engine.calc.tolerances import EDGE_FT, ONE_SUPPORT_FT, ROUNDING_PLACES, SAME_SPOT_FT
from engine.job.model.base import LineEnd
from engine.job.model.fence import FenceLine, Meets
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, ObstacleEntry, RerouteEntry, live
from engine.job.model.logged_far_out import ran_otherwise
from engine.stages.survey.stage import Floor, LineSurvey, Survey
from engine.stages.survey.survey_facts import line_stations_ft

ENDS: tuple[LineEnd, LineEnd] = ("start", "end")


@dataclass(frozen=True)
class Track:
    """A placed line. `stations_ft`, `turns_deg` (right positive) and the points' error `ellipses` go with `path`. An open line's ends turn
    by 0; a closed line turns at its first point, which is also its last."""

    name: str
    path: tuple[Point, ...]
    stations_ft: tuple[float, ...]
    turns_deg: tuple[float, ...]
    ellipses: tuple[Ellipse, ...]
    closed: bool
    profile: Profile
    floors: tuple[Floor, ...] = ()

    def __hash__(self) -> int:
        """Of a few fields: lines are looked up often and are seldom alike."""
        return hash((self.name, self.stations_ft[-1], self.profile))

    @property
    def length_ft(self) -> float:
        """Length along the path, ft."""
        return self.stations_ft[-1]

    def end_ft(self, end: LineEnd) -> float:
        """Station of an end, ft."""
        return 0.0 if end == "start" else self.length_ft

    def end_place(self, end: LineEnd) -> Point:
        """Place of an end, ft."""
        return self.path[0 if end == "start" else -1]


@dataclass(frozen=True)
class Meeting:
    """The end of `line` that hangs on a support of `host` at `station_ft` of it; `off_ft` is how far the end is from the host's path."""

    line: str
    end: LineEnd
    host: str
    station_ft: float
    off_ft: float


def tracks(job: Job, survey: Survey) -> Mapping[str, Track]:
    """Tracks of all placed lines, in file order."""
    return _tracks(job.lines, survey)


@remembered_of
def _tracks(lines: Mapping[str, FenceLine], survey: Survey) -> Mapping[str, Track]:
    found = {}
    for name, line in lines.items():
        placed = survey.lines.get(name)
        if placed is not None and (track := _track(line, placed, survey)) is not None:
            found[name] = track
    return found


def _track(line: FenceLine, placed: LineSurvey, survey: Survey) -> Track | None:
    spots = list(zip(placed.path, placed.vertices, strict=False))
    spots = [spot for n, spot in enumerate(spots) if n == 0 or spot[0] != spots[n - 1][0]]
    if len(spots) < 2:
        return None
    path = tuple(place for place, _ in spots)
    ellipses = tuple(survey.points[name].ellipse for _, name in spots)
    closed = line.closed and path[0] == path[-1]
    return _same_track(placed.name, path, ellipses, closed, placed.profile, placed.floors)


@remembered
def _same_track(
    name: str, path: tuple[Point, ...], ellipses: tuple[Ellipse, ...], closed: bool, profile: Profile, floors: tuple[Floor, ...]
) -> Track:
    """The very same object from walk to walk, as long as nothing of it differs: all that stands along it is found by that."""
    return Track(name, path, line_stations_ft(path), _turns(path, closed), ellipses, closed, profile, floors)


def _turns(path: tuple[Point, ...], closed: bool) -> tuple[float, ...]:
    seam = deflection_deg(path[-2], path[0], path[1]) if closed else 0.0
    inner = (deflection_deg(a, b, c) for a, b, c in zip(path, path[1:], path[2:], strict=False))
    return (seam, *inner, seam)


def place(track: Track, station_ft: float, offset_ft: float = 0.0) -> Point:
    """Place at a station and square off it. Past an open line's ends its first or last run goes on; a closed line goes round."""
    run, along_ft = _run(track, station_ft)
    east_ft, north_ft = offset_point(track.path[run], track.path[run + 1], along_ft, offset_ft)
    return round(east_ft, ROUNDING_PLACES) + 0.0, round(north_ft, ROUNDING_PLACES) + 0.0


def on_line_ft(track: Track, station_ft: float) -> float:
    """The station as it is told: round a closed line from its first point on, which its length is too, as near as a tape tells."""
    if not track.closed:
        return station_ft
    round_ft = station_ft % track.length_ft
    return 0.0 if track.length_ft - round_ft <= EDGE_FT else round_ft


def unrolled(track: Track) -> Track:
    """A closed line gone round twice, as an open one: what lies across its first point is one stretch of it. An open line is itself."""
    if not track.closed:
        return track
    length_ft, ground = track.length_ft, track.profile
    again = [(station + length_ft, level) for station, level in zip(ground.stations_ft, ground.levels_ft, strict=True) if station > 0]
    rows = [*((s, z) for s, z in zip(ground.stations_ft, ground.levels_ft, strict=True) if s <= length_ft), *again]
    profile = Profile(tuple(station for station, _ in rows), tuple(level for _, level in rows)) if len(ground.stations_ft) > 1 else ground
    return replace(
        track, path=(*track.path, *track.path[1:]), closed=False, profile=profile,
        stations_ft=(*track.stations_ft, *(station + length_ft for station in track.stations_ft[1:])),
        turns_deg=(*track.turns_deg, *track.turns_deg[1:]), ellipses=(*track.ellipses, *track.ellipses[1:]),
    )  # fmt: skip


def path_then(survey: Survey, reroute: RerouteEntry) -> tuple[Point, ...]:
    """A line as it ran before a reroute; empty where its points of that day aren't placed any more."""
    placed = all(name in survey.points for name in reroute.old_points)
    return tuple(survey.points[name].xy for name in reroute.old_points) if placed else ()


def place_on(path: Sequence[Point], station_ft: float, offset_ft: float) -> Point:
    """Place at a station of a bare path and square off it; its first and last run go on past its ends."""
    stations = line_stations_ft(path)
    run = min(max(bisect_right(stations, station_ft) - 1, 0), len(path) - 2)
    return offset_point(path[run], path[run + 1], station_ft - stations[run], offset_ft)


def logged_at(track: Track, station_ft: float, offset_ft: float, there: Point | None) -> tuple[float, float, Point]:
    """Station and offset on a line as it runs now, and the place, of what was logged at a station and, where that is said, at a place."""
    spot = place(track, station_ft, offset_ft)
    if there is None or distance_ft(spot, there) <= SAME_SPOT_FT:
        return station_ft, offset_ft, spot
    return *station_offset(track.path, there), there


def rerouted_lines(log: Sequence[LogEntry]) -> frozenset[str]:
    """Lines that took a new way: what was logged on them may have been taped along another one."""
    return frozenset(entry.line for entry in live(tuple(log)) if isinstance(entry, RerouteEntry))


def found_at(job: Job, track: Track, entry: ObstacleEntry) -> tuple[float, float, Point | None]:
    """Station and offset, by a way that its line takes, of something found in the ground; and its place, where the line may have run
    another way that day and the log says it."""
    if entry.place is None or not (entry.line in rerouted_lines(job.log) or ran_otherwise(job.log, entry)):
        return entry.station_ft, entry.offset_ft, None
    return logged_at(track, entry.station_ft, entry.offset_ft, entry.place)


def logged_spots(job: Job, survey: Survey, tracks: Mapping[str, Track], entry: ObstacleEntry) -> tuple[Point, ...]:
    """Something found in the ground as it was logged: by the stations of its line as the line ran that day, and at its place; along a way
    that was struck since it lies as the line does that runs nearest to it."""
    track = _taped_along(job, survey, tracks[entry.line], entry)
    if track is None:
        return ()
    station_ft, offset_ft, there = found_at(job, track, entry)
    run, along_ft = _run(track, station_ft)
    half_long, half_wide = ((size or 0.0) / 2 for size in (entry.long_ft, entry.wide_ft))
    corners = ((-half_long, -half_wide), (half_long, -half_wide), (half_long, half_wide), (-half_long, half_wide))
    spots = list(dict.fromkeys(corners))
    spots += spots[:1] * (len(spots) == len(corners))
    start, end = track.path[run : run + 2]
    drawn = tuple(offset_point(start, end, along_ft + along, offset_ft + out) for along, out in spots)
    middle = offset_point(start, end, along_ft, offset_ft)
    if there is None or distance_ft(middle, there) <= SAME_SPOT_FT:
        return drawn
    return tuple((spot[0] + there[0] - middle[0], spot[1] + there[1] - middle[1]) for spot in drawn)


def _taped_along(job: Job, survey: Survey, track: Track, entry: ObstacleEntry) -> Track | None:
    """A line as it ran when something was found on it: the way on which its station is its place, else the way that its log says."""
    standing = live(job.log)
    news = [(n, one) for n, one in enumerate(standing) if isinstance(one, RerouteEntry) and one.line == entry.line]
    if not news:
        return track
    at = standing.index(entry)
    later = next((path_then(survey, one) for n, one in news if n > at), track.path)
    ways = [path for path in (later, *(path_then(survey, one) for _, one in news), track.path) if path]
    fitting = (
        path
        for path in ways
        if entry.place and distance_ft(place(_on(track, path), entry.station_ft, entry.offset_ft), entry.place) <= SAME_SPOT_FT
    )
    path = next(fitting, later or (track.path if entry.place else ()))
    return _on(track, path) if path else None


def _on(track: Track, path: tuple[Point, ...]) -> Track:
    return track if path == track.path else replace(track, path=path, stations_ft=line_stations_ft(path), closed=path[0] == path[-1])


def heading_deg(track: Track, station_ft: float) -> float:
    """Azimuth of a line at a station."""
    run, _ = _run(track, station_ft)
    return azimuth_deg(track.path[run], track.path[run + 1])


def _run(track: Track, station_ft: float) -> tuple[int, float]:
    if track.closed:
        station_ft %= track.length_ft
    run = min(max(bisect_right(track.stations_ft, station_ft) - 1, 0), len(track.path) - 2)
    return run, station_ft - track.stations_ft[run]


def turns_at(track: Track, stations_ft: Sequence[float]) -> list[float]:
    """Turn of the path at each station, 0 where no point of the line is near."""
    return _turns_at(track, tuple(stations_ft))


@remembered
def _turns_at(track: Track, stations_ft: tuple[float, ...]) -> list[float]:
    gaps = np.abs(np.array(stations_ft)[:, None] - np.array(track.stations_ft))
    turns = np.array(track.turns_deg)[gaps.argmin(axis=1)]
    near: list[float] = np.where(gaps.min(axis=1) <= ONE_SUPPORT_FT, turns, 0.0).tolist()
    return near


def meetings(job: Job, tracks: Mapping[str, Track]) -> tuple[Meeting, ...]:
    """Where a line's end hangs on another line's support, in file order. Where only ends meet, the post belongs to one that meets something
    other than a line, else to the first line in the file."""
    return _meetings(job.lines, tracks)


@remembered_of
def _meetings(lines: Mapping[str, FenceLine], tracks: Mapping[str, Track]) -> tuple[Meeting, ...]:
    asked: dict[tuple[str, LineEnd], Meeting] = {}
    for name, track in tracks.items():
        for end in ENDS:
            meets, host = what_meets(lines[name], end)
            if meets == "line" and host is not None and host != name and host in tracks:
                station_ft, off_ft = station_offset(tracks[host].path, track.end_place(end))
                asked[name, end] = Meeting(name, end, host, station_ft, off_ft)
    hosts = {key: _host(tracks, asked, key) for key in asked}
    return tuple(
        Meeting(line, end, *host, distance_ft(tracks[line].end_place(end), place(tracks[host[0]], host[1])))
        for (line, end), host in hosts.items()
        if host is not None
    )


def what_meets(line: FenceLine, end: LineEnd) -> tuple[Meets, str | None]:
    """What a line's end meets and the name of it."""
    return (line.start_meets, line.start_at) if end == "start" else (line.end_meets, line.end_at)


def _host(tracks: Mapping[str, Track], asked: Mapping[tuple[str, LineEnd], Meeting], key: tuple[str, LineEnd]) -> tuple[str, float] | None:
    """Line and station that carry this end, or None when the post is this end's own. Ends that meet ends are followed to their owner."""
    together = _ends_together(tracks, asked, key)
    for other in together:
        meeting = asked.get(other)
        if meeting is not None and _end_near(tracks[meeting.host], meeting.station_ft) is None:
            return meeting.host, meeting.station_ft
    files = list(tracks)
    owner = min(together, key=lambda other: (other in asked, files.index(other[0]), ENDS.index(other[1])))
    return None if owner == key else (owner[0], tracks[owner[0]].end_ft(owner[1]))


def _ends_together(
    tracks: Mapping[str, Track], asked: Mapping[tuple[str, LineEnd], Meeting], key: tuple[str, LineEnd]
) -> list[tuple[str, LineEnd]]:
    """Ends that meet at one place: those this end leads to and those that lead to them."""
    pairs = []
    for other, meeting in asked.items():
        end = _end_near(tracks[meeting.host], meeting.station_ft)
        if end is not None:
            pairs.append((other, (meeting.host, end)))
    together = [key]
    for one in together:
        joined = [b if a == one else a for a, b in pairs if one in (a, b)]
        together += [other for other in dict.fromkeys(joined) if other not in together]
    return together


def _end_near(track: Track, station_ft: float) -> LineEnd | None:
    if track.closed:
        return None
    return next((end for end in ENDS if abs(track.end_ft(end) - station_ft) <= ONE_SUPPORT_FT), None)
