"""The profiles of the record: every line from the side, cut into strips that fit the page, each an SVG to a printed scale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.calc.geometry.ground import level_at_ft, levels_at_ft
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.paper.drawing_sheet import IN_PER_FT, LETTER_PX, PX_PER_IN, WIDTH_IN, word
from engine.paper.markup import element, points_text
from engine.stages.layout.stage import Bay
from engine.walk import Walk

STRIP_FT = 130.0
"""Longest run of bays in one strip; a longer bay has a strip to itself."""
EDGE_PX = 28.0
ABOVE_PX, BELOW_PX = 20.0, 34.0
"""Room for ids above and for bay lengths and stations below."""
SCALES_FT_PER_IN = (2, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 100, 200, 500, 1_000, 5_000)
TALLEST_IN = 2.4
SAG_POINTS = 9


@dataclass(frozen=True)
class _Strip:
    """A run of bays and how it is drawn: stations from `from_ft`, levels from `low_ft` up, both in px a foot."""

    bays: tuple[Bay, ...]
    from_ft: float
    to_ft: float
    low_ft: float
    high_ft: float
    across_px: float
    up_px: float

    def at(self, station_ft: float, level_ft: float) -> Point:
        """Where a station and level are on the strip, px."""
        return (EDGE_PX + (station_ft - self.from_ft) * self.across_px, ABOVE_PX + (self.high_ft - level_ft) * self.up_px)

    @property
    def times(self) -> int:
        """How many times heights are drawn larger than lengths."""
        return round(self.up_px / self.across_px)


def profile_svgs(job: Job, walk: Walk, line: str) -> tuple[str, ...]:
    """One line from the side as it stands, in strips of whole bays: ground, posts with driven depth, cables with sag, gates, bay lengths
    along the slope, stations.
    """
    laid = walk.layout.lines.get(line)
    if laid is None or line not in walk.survey.lines:
        return ()
    return tuple(_svg(job, walk, line, _strip(walk, line, bays)) for bays in _runs([walk.layout.bays[name] for name in laid.bays]))


def _runs(bays: Sequence[Bay]) -> Iterator[tuple[Bay, ...]]:
    run: list[Bay] = []
    for bay in bays:
        if run and bay.end_ft - run[0].start_ft > STRIP_FT:
            yield tuple(run)
            run = []
        run.append(bay)
    if run:
        yield tuple(run)


def _strip(walk: Walk, line: str, bays: tuple[Bay, ...]) -> _Strip:
    start, end = bays[0].start_ft, max(bay.end_ft for bay in bays)
    levels = [level for _, level in _ground(walk, line, start, end)]
    tops = [work.top_level_ft for name in _standing(bays) if (work := walk.posts.work.get(name))]
    low, high = min(levels) - 3.0, max([*tops, *levels]) + 0.5
    wide_px = WIDTH_IN * PX_PER_IN - 2 * EDGE_PX
    scale = next((usual for usual in SCALES_FT_PER_IN if (end - start) / usual * PX_PER_IN <= wide_px), (end - start) / wide_px * PX_PER_IN)
    times = next((more for more in (3, 2) if (high - low) * more / scale <= TALLEST_IN and scale > 5 * (more - 1)), 1)
    return _Strip(bays, start, end, low, high, PX_PER_IN / scale, times * PX_PER_IN / scale)


def _standing(bays: Sequence[Bay]) -> list[str]:
    return [bays[0].from_id, *(bay.to_id for bay in bays)]


def _ground(walk: Walk, line: str, start_ft: float, end_ft: float) -> list[Point]:
    profile = walk.survey.lines[line].profile
    stations = sorted({start_ft, *(at for at in profile.stations_ft if start_ft < at < end_ft), end_ft})
    return list(zip(stations, levels_at_ft(profile, stations).tolist(), strict=True))


def _svg(job: Job, walk: Walk, line: str, strip: _Strip) -> str:
    ground = [strip.at(*spot) for spot in _ground(walk, line, strip.from_ft, strip.to_ft)]
    foot_px = ABOVE_PX + (strip.high_ft - strip.low_ft) * strip.up_px
    width, height = WIDTH_IN * PX_PER_IN, foot_px + BELOW_PX
    earth = [(ground[0][0], foot_px), *ground, (ground[-1][0], foot_px)]
    drawn = [
        element("polygon", points=points_text(earth), class_="earth"),
        element("polyline", points=points_text(ground), class_="ground"),
        *(part for bay in strip.bays for part in _bay(job, walk, strip, bay, foot_px)),
        *(part for station, name in _stations(strip) for part in _post(walk, strip, name, station)),
        *_station_words(strip, foot_px),
        word((EDGE_PX, height - 1), _scale_words(strip), "small left", anchor="start"),
    ]
    return element(
        "svg", element("title", "Profile of the line, seen from its right"), *drawn, xmlns="http://www.w3.org/2000/svg",
        class_="profile", role="img", width=f"{WIDTH_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {width:.2f} {height:.2f}",
    )  # fmt: skip


def _scale_words(strip: _Strip) -> str:
    scale = f"1 in on paper is {PX_PER_IN / strip.across_px:.4g} ft along the line"
    return f"{scale}; heights {strip.times} times larger" if strip.times > 1 else f"{scale} and up"


def _stations(strip: _Strip) -> Iterator[tuple[float, str]]:
    yield strip.bays[0].start_ft, strip.bays[0].from_id
    yield from ((bay.end_ft, bay.to_id) for bay in strip.bays)


def _station_words(strip: _Strip, foot_px: float) -> Iterator[str]:
    """Stations under the posts, where they don't run into the one before."""
    free_px = -EDGE_PX
    for station, _ in _stations(strip):
        x, words = strip.at(station, strip.low_ft)[0], format_ft_in(station)
        half_px = len(words) * LETTER_PX / 2
        if x - half_px >= free_px:
            free_px = x + half_px
            yield word((x, foot_px + 21), words, "small")


def _bay(job: Job, walk: Walk, strip: _Strip, bay: Bay, foot_px: float) -> Iterator[str]:
    """Cables or the gate of a bay, its length, and its loop."""
    loop = walk.cables.loop_of.get(bay.id, "")
    yield from _gate(job, walk, strip, bay) if bay.gate else _cables(walk, strip, bay)
    middle = strip.at((bay.start_ft + bay.end_ft) / 2, strip.low_ft)[0]
    name = f"gate {bay.gate}" if bay.gate else loop
    room_px = (bay.end_ft - bay.start_ft) * strip.across_px
    for words, y, class_ in ((format_ft_in(bay.slope_ft), foot_px + 10, "bay"), (name, foot_px - 4, "small")):
        if len(words) * LETTER_PX <= room_px + 6:
            yield word((middle, y), words, class_)


def _cables(walk: Walk, strip: _Strip, bay: Bay) -> Iterator[str]:
    cable, hang = walk.cables.bays.get(bay.id), walk.posts.hangs.get(bay.id)
    if cable is None or hang is None:
        return
    apron = walk.fabric.bays.get(bay.id)
    ends = (apron.ground_ft[0], apron.ground_ft[-1]) if apron else (_level(walk, bay, bay.start_ft), _level(walk, bay, bay.end_ft))
    shares = [number / (SAG_POINTS - 1) for number in range(SAG_POINTS)]
    runs = []
    for eye_ft in (hang.eyes.high_ft, hang.eyes.low_ft):
        start, end = ends[0] + eye_ft, ends[1] + eye_ft
        runs.append(
            [
                strip.at(
                    bay.start_ft + share * (bay.end_ft - bay.start_ft),
                    start + share * (end - start) - 4 * cable.sag_in / IN_PER_FT * share * (1 - share),
                )
                for share in shares
            ]
        )
    ground = [strip.at(*spot) for spot in _ground(walk, bay.line, bay.start_ft, bay.end_ft)]
    yield element("polygon", points=points_text([*runs[0], *reversed(runs[1])]), class_="mesh")
    yield element("polygon", points=points_text([*runs[1], *reversed(ground)]), class_="wire")
    yield from (element("polyline", points=points_text(run), class_="cable") for run in runs)


def _level(walk: Walk, bay: Bay, station_ft: float) -> float:
    return float(level_at_ft(walk.survey.lines[bay.line].profile, station_ft))


def _gate(job: Job, walk: Walk, strip: _Strip, bay: Bay) -> Iterator[str]:
    """The leaves shut, side by side, over the highest ground of the opening."""
    work = walk.gate.gates.get(bay.gate or "")
    if work is None:
        return
    bottom = max(_level(walk, bay, bay.start_ft), _level(walk, bay, bay.end_ft)) + job.rules.gate.bottom_gap_in / IN_PER_FT
    gap = (bay.end_ft - bay.start_ft - sum(leaf.width_ft for leaf in work.leaves)) / (len(work.leaves) + 1)
    left = bay.start_ft + gap
    for leaf in work.leaves:
        (x, y), (right, low) = strip.at(left, bottom + leaf.height_ft), strip.at(left + leaf.width_ft, bottom)
        yield element("rect", x=x, y=y, width=right - x, height=low - y, class_="leafbox")
        yield element("line", x1=x, y1=y, x2=right, y2=low, class_="facewire")
        left += leaf.width_ft + gap


def _post(walk: Walk, strip: _Strip, name: str, station_ft: float) -> Iterator[str]:
    """The post with its sleeve to the depth read, or dashed to the depth wanted; a tree or wall as a bar without one."""
    support, work = walk.layout.supports[name], walk.posts.work.get(name)
    ground = level_at_ft(walk.survey.lines[strip.bays[0].line].profile, station_ft)
    x, y = strip.at(station_ft, ground)
    if work is not None:
        top = strip.at(station_ft, ground + (work.top_level_ft - support.level_ft))[1]
        yield element("line", x1=x, y1=y, x2=x, y2=top, class_="pole" if support.support == "driven" else "bearer")
        depth_in = work.driven_in if work.driven_in is not None else work.depth_wanted_in
        if support.support == "driven" and depth_in is not None:
            end = strip.at(station_ft, ground - depth_in / IN_PER_FT)[1]
            yield element("line", x1=x, y1=y, x2=x, y2=end, class_="sleeve" if work.driven_in is not None else "sleeve wanted")
        yield word((x, top - 5), name, "post")
    else:
        yield word((x, y - 5), name, "post")
