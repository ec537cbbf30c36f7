"""One line from the side: ground, posts, cables with their sag, wire and mesh, gates, and what is written along it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft, levels_at_ft
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.drawing.gate_shapes import hung_leaves
from engine.drawing.post_states import post_states
from engine.drawing.shapes import MET, STATES, Area, Drawing, Mark, Pick, Role, Shape, State, Stroke, Words, middle_of, run_between
from engine.stages.layout.stage import Bay, Support
from engine.stages.survey.floors import floored
from engine.stages.survey.stage import LineSurvey
from engine.walk import Walk

IN_PER_FT = 12.0
SAG_POINTS = 9
SAG_TIMES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
SAG_SHOWN_FT = 1.25
"""The deepest that a sag is drawn, so that it shows and still looks like a cable."""


@dataclass(frozen=True)
class _Line:
    """A line as it is drawn: its survey, the ground with floors laid over it, its bays, and how many times deeper sag is drawn."""

    walk: Walk
    surveyed: LineSurvey
    ground: tuple[Point, ...]
    bays: tuple[Bay, ...]
    sag_times: float

    def level_ft(self, station_ft: float) -> float:
        return level_at_ft(self.surveyed.profile, station_ft)


def profile_shapes(walk: Walk, line: str, *, deep_sag: bool = False) -> Drawing | None:
    """One line from the side, or None where it isn't laid out; with `deep_sag` as much deeper as it takes to see it."""
    surveyed, laid = walk.survey.lines.get(line), walk.layout.lines.get(line)
    if surveyed is None or laid is None:
        return None
    bays = tuple(walk.layout.bays[name] for name in laid.bays)
    times = _sag_times(walk, bays) if deep_sag else 1.0
    drawn = _Line(walk, surveyed, _ground(surveyed), bays, times)
    drawing = Drawing((Stroke("ground", drawn.ground), *(shape for bay in bays for shape in _bay(drawn, bay)), *_posts(drawn)))
    says = (f"sag of that {times:g}x more",) if times != 1 and drawing.of(Stroke, "cable") else ()
    return replace(drawing, picks=tuple(_picks(drawing)), says=says, id=line)


def _ground(line: LineSurvey) -> tuple[Point, ...]:
    underfoot = floored(line.profile, line.floors, 0.0, line.length_ft)
    stations = sorted({0.0, *underfoot.stations_ft, line.length_ft})
    return tuple(zip(stations, levels_at_ft(underfoot, stations).tolist(), strict=True))


def _sag_times(walk: Walk, bays: Sequence[Bay]) -> float:
    """How many times deeper than it is the sag is drawn, so that it shows."""
    deepest_ft = max((walk.cables.bays[bay.id].sag_in for bay in bays if bay.id in walk.cables.bays), default=0.0) / IN_PER_FT
    return max((times for times in SAG_TIMES if times * deepest_ft <= SAG_SHOWN_FT), default=1.0)


def _bay(line: _Line, bay: Bay) -> Iterator[Shape]:
    """The fence of a bay or the leaves of its gate, its length, and its loop or gate by name."""
    middle, along = (bay.start_ft + bay.end_ft) / 2, ((bay.start_ft, 0.0), (bay.end_ft, 0.0))
    hung = [*(_leaves(line, bay) if bay.gate else _fence(line, bay))]
    yield from hung
    cables = [shape.points for shape in hung if shape.role == "cable"]
    spot = cables[0][SAG_POINTS // 2] if cables else (middle, line.level_ft(middle))
    yield Words("bay length", spot, format_ft_in(bay.slope_ft), "" if bay.gate else bay.id, along=along)
    if bay.gate:
        heights = [level for shape in hung for _, level in shape.points] or [spot[1]]
        yield Words("gate", (middle, (min(heights) + max(heights)) / 2), bay.gate, bay.gate, rank=len(STATES), along=along)
    elif loop := line.walk.cables.loop_of.get(bay.id, ""):
        yield Words("loop", spot, loop, along=along)


def _fence(line: _Line, bay: Bay) -> Iterator[Stroke | Area]:
    walk = line.walk
    apron = walk.fabric.bays.get(bay.id)
    if apron is not None:
        lower = (level + max(0.0, -left) / IN_PER_FT for level, left in zip(apron.ground_ft, apron.apron_in, strict=True))
        yield Stroke("hem", tuple(zip(apron.stations_ft, lower, strict=True)), bay.id)
    cable, hang = walk.cables.bays.get(bay.id), walk.posts.hangs.get(bay.id)
    if cable is None or hang is None:
        return
    ends = (apron.ground_ft[0], apron.ground_ft[-1]) if apron else (line.level_ft(bay.start_ft), line.level_ft(bay.end_ft))
    high, low = (
        _sagging(bay, ends[0] + eye_ft, ends[1] + eye_ft, line.sag_times * cable.sag_in / IN_PER_FT)
        for eye_ft in (hang.eyes.high_ft, hang.eyes.low_ft)
    )
    ground = run_between(line.ground, bay.start_ft, bay.end_ft)
    yield Area("mesh", (*high, *reversed(low)), bay.id)
    yield Area("wire", (*low, *reversed(ground)), bay.id)
    yield from (Stroke("cable", points, bay.id) for points in (high, low))


def _sagging(bay: Bay, start: float, end: float, sag_ft: float) -> tuple[Point, ...]:
    """A parabola through both eyes, its middle `sag_ft` below the chord."""
    shares = [number / (SAG_POINTS - 1) for number in range(SAG_POINTS)]
    return tuple(
        (bay.start_ft + share * (bay.end_ft - bay.start_ft), start + share * (end - start) - 4 * sag_ft * share * (1 - share))
        for share in shares
    )


def _leaves(line: _Line, bay: Bay) -> Iterator[Area]:
    work = line.walk.gate.gates.get(bay.gate or "")
    if work is not None:
        hung = hung_leaves(work, work.hinge_post == bay.from_id, bay.start_ft, line.level_ft(bay.start_ft))
        yield from (Area("leaf", leaf.corners, work.gate) for leaf in hung)


def _posts(line: _Line) -> Iterator[Shape]:
    """Every post with its name, those of other lines that this one meets too, then the stations they stand at."""
    states, supports = post_states(line.walk), line.walk.layout.supports
    met = {(station, name) for bay in line.bays for station, name in ((bay.start_ft, bay.from_id), (bay.end_ft, bay.to_id))}
    named = {name for _, name in met}
    alone = {(one.station_ft, name) for name, one in supports.items() if one.line == line.surveyed.name and name not in named}
    standing = sorted(met | alone)
    first = {name: station for station, name in reversed(standing)}
    for station, name in standing:
        own = supports[name].line == line.surveyed.name and station == first[name]
        yield from _post(line, supports[name], station, states.get(name, "planned"), own)
    for station, _ in standing:
        yield Words("station", (station, line.level_ft(station)), format_ft_in(station))


def _post(line: _Line, support: Support, station_ft: float, state: State, own: bool) -> Iterator[Shape]:
    """The post with its sleeve to the depth read, or to the depth wanted; a tree or wall without one."""
    work, name, group = line.walk.posts.work[support.id], support.id, "" if own else MET
    base_ft = support.level_ft if own else line.level_ft(station_ft) + support.lift_ft
    raised_ft, driven = base_ft - support.level_ft, support.support == "driven"
    top = (station_ft, work.top_level_ft + raised_ft)
    yield Stroke("pole" if driven else "bearer", ((station_ft, base_ft), top), name, group)
    depth_in = work.driven_in if work.driven_in is not None else work.depth_wanted_in
    if driven and depth_in is not None:
        read: Role = "sleeve" if work.driven_in is not None else "sleeve wanted"
        yield Stroke(read, ((station_ft, base_ft), (station_ft, base_ft - depth_in / IN_PER_FT)), name, group)
    yield from (Mark("eye", (station_ft, base_ft + eye_ft), name, group, rank=-1) for eye_ft in (work.eye_low_ft, work.eye_high_ft))
    yield Mark("top", (station_ft, work.top_level_ft), name, group)
    yield Words("post", top, name, name, group, state, rank=STATES.index(state))


def _picks(drawing: Drawing) -> Iterator[Pick]:
    """Posts by their whole height, leaves by the middle of theirs, then cables."""
    posts = drawing.of(Stroke, "pole", "bearer", "sleeve", "sleeve wanted")
    yield from ((post.id, post.points) for post in posts if post.group != MET)
    for leaf in drawing.of(Area, "leaf"):
        middle = middle_of(leaf.points)[0]
        yield leaf.id, ((middle, leaf.points[0][1]), (middle, leaf.points[2][1]))
    yield from ((cable.id, cable.points) for cable in drawing.of(Stroke, "cable"))
