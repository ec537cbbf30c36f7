"""Random lines, as the stages are given them and as the referee hangs them."""

from collections.abc import Container
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import cos, hypot, pi, radians, sin

from hypothesis import strategies as st

from engine.job.model.job import Job
from engine.stages.bracing.stage import Bracing, bracing
from engine.stages.cables.stage import Cables, cables
from engine.stages.posts.stage import posts
from tests.referee.hanging_cables import NOTHING, Eye, Hung, Post, Run, Stretch, Vector, hang
from tests.stages.layouts import LIGHT, Spot, layout_of, survey_of

LOW_FT, HIGH_FT = 3.0, 5 + 11.75 / 12
"""Eyes of a 6 ft fence with 4 ft of wire, a foot of it apron, and the top eye 1/4 in under the cap."""
OWN_PLF = 0.016
EA_LBF = 49 * pi / 4 * (3 / 32 / 9) ** 2 * 12e6
"""3/32 in cable, seven strands of seven round wires that touch, 12 million psi."""
MESH_PLF = 8 / 100
WIRE_PLF = 490 / 12 * pi / 4 * 0.08**2 * (1 / 2 + 1 / 4) * 3
"""A roll of mesh of 8 lb in 100 ft; 14 ga wire, 2 by 4 in, 3 ft of it down to the ground: 490 lb a cubic foot of steel."""
POST_EI_LBF_FT2 = 29e6 * pi / 64 * (1.625**4 - 1.495**4) / 144
"""A 1 5/8 in tube, its wall 0.065 in, of steel."""


@dataclass(frozen=True)
class Line:
    """A line of a fence: its bays in plan, ft, how each rises, and where each goes, degrees from east; its rules."""

    bays_ft: tuple[float, ...]
    grades: tuple[float, ...]
    ways_deg: tuple[float, ...]
    pulled_lbf: float = 50.0
    cold_F: float = 0.0
    hot_F: float = 110.0
    lean_lbf: float = 50.0

    @cached_property
    def ground(self) -> tuple[Vector, ...]:
        """Where its posts stand."""
        found: list[Vector] = [(0.0, 0.0, 0.0)]
        for bay_ft, grade, way_deg in zip(self.bays_ft, self.grades, self.ways_deg, strict=True):
            east, north, level = found[-1]
            found.append((east + bay_ft * cos(radians(way_deg)), north + bay_ft * sin(radians(way_deg)), level + bay_ft * grade))
        return tuple(found)

    def eyes(self, height_ft: float) -> tuple[Eye, ...]:
        """One a post, all as high over the ground."""
        return tuple(Eye(f"P{n + 1}", (e, y, u + height_ft), height_ft) for n, (e, y, u) in enumerate(self.ground))

    @cached_property
    def low(self) -> tuple[Eye, ...]:
        """Those of the bottom cable."""
        return self.eyes(LOW_FT)

    @cached_property
    def high(self) -> tuple[Eye, ...]:
        """Those of the top cable."""
        return self.eyes(HIGH_FT)

    def worked(self, bare: bool = False) -> tuple[Bracing, Cables]:
        """What the stages say of it, strung in one loop; `bare` with mesh and wire that weigh nothing to speak of."""
        last = len(self.bays_ft)
        spots = [Spot(f"P{n + 1}", e, y, "end" if n in (0, last) else "line", u) for n, (e, y, u) in enumerate(self.ground)]
        rules = {"tension_lbf": self.pulled_lbf, "cold_F": self.cold_F, "hot_F": self.hot_F, "lean_lbf": self.lean_lbf}
        job = Job.model_validate(
            {"rules": {"cables": {**rules, "loop_min_ft": 5, "loop_max_ft": 200, "wind_mph": 10}}, "stock": LIGHT if bare else {}}
        )
        layout = layout_of({"north": spots})
        survey = survey_of(layout)
        work = posts(job, survey, layout)
        braced = bracing(job, survey, layout, work)
        return braced, cables(job, survey, layout, work, braced)


def stretches(eyes: tuple[Eye, ...], more_plf: float = 0.0, leant: int | None = None, lean_lbf: Vector = NOTHING) -> tuple[Stretch, ...]:
    """Cable from each eye to the next, with so much hung on it, and somebody leaning on one of the bays."""
    return tuple(Stretch(a, b, OWN_PLF + more_plf, lean_lbf if n == leant else NOTHING) for n, (a, b) in enumerate(pairwise(eyes)))


def pulled(line: Line, posts: dict[str, Post] | None = None) -> tuple[float, float]:
    """How much cable lies from end to end, top and bottom, pulled bare."""
    both = [Run(stretches(eyes), pulled_lbf=line.pulled_lbf) for eyes in (line.high, line.low)]
    lengths = hang(both, EA_LBF, 0.0, posts).lengths_ft
    return sum(lengths[: len(line.bays_ft)]), sum(lengths[len(line.bays_ft) :])


def in_state(line: Line, hung: bool, day_F: float, posts: dict[str, Post] | None = None) -> Hung:
    """Top and bottom cable, each free through its eyes and gripped at both ends, bare or with mesh and wire hung."""
    tops_ft, lows_ft = pulled(line, posts)
    top = Run(stretches(line.high, MESH_PLF if hung else 0.0), lengths_ft=(tops_ft,))
    low = Run(stretches(line.low, WIRE_PLF if hung else 0.0), lengths_ft=(lows_ft,))
    return hang([top, low], EA_LBF, day_F - 60, posts)


def square_to(line: Line, bay: int, lbf: float) -> Vector:
    """A level push square to a bay."""
    way = radians(line.ways_deg[bay] + 90)
    return (lbf * cos(way), lbf * sin(way), 0.0)


def leant_free(line: Line, bay: int, posts: dict[str, Post] | None = None) -> Hung:
    """The whole loop, bare, running free all round, leaned on at the top of a bay: its first stretches are the top ones."""
    around = (*line.high, *line.low[::-1], line.high[0])
    there = hang([Run(stretches(around), pulled_lbf=line.pulled_lbf)], EA_LBF, 0.0, posts)
    lean = stretches(around, leant=bay, lean_lbf=square_to(line, bay, line.lean_lbf))
    return hang([Run(lean, lengths_ft=there.lengths_ft)], EA_LBF, 0.0, posts)


def leant_gripped(line: Line, bay: int, posts: dict[str, Post] | None = None, top: bool = False) -> Hung:
    """Both cables with mesh and wire hung, gripped by every eye as they lie on the coldest day, leaned on at the bottom or top of a bay."""
    there, count = in_state(line, True, line.cold_F, posts), len(line.bays_ft)
    push = square_to(line, bay, line.lean_lbf)
    above = stretches(line.high, MESH_PLF, bay if top else None, push)
    below = stretches(line.low, WIRE_PLF, None if top else bay, push)
    runs = [Run(above, lengths_ft=there.lengths_ft[:count], grips=True), Run(below, lengths_ft=there.lengths_ft[count:], grips=True)]
    return hang(runs, EA_LBF, line.cold_F - 60, posts)


def blown(line: Line, top_plf: float, bottom_plf: float, bays: Container[int], posts: dict[str, Post] | None = None) -> Hung:
    """Top and bottom cable with mesh and wire hung, and a level wind square to some bays, lb a foot of cable."""
    runs = []
    for eyes, more_plf, side_plf, lies_ft in zip(
        (line.high, line.low), (MESH_PLF, WIRE_PLF), (top_plf, bottom_plf), pulled(line, posts), strict=True
    ):
        each = enumerate(stretches(eyes, more_plf))
        wind = tuple(replace(one, blown_plf=square_to(line, bay, side_plf)) if bay in bays else one for bay, one in each)
        runs.append(Run(wind, lengths_ft=(lies_ft,)))
    return hang(runs, EA_LBF, 0.0, posts)


def posts_that_give(line: Line, braced: bool) -> dict[str, Post]:
    """Every post of a line due east fixed at the ground; its ends alone, or each with a strut to a foot 5 ft out that stands firm."""
    posts = {eye.post: Post(POST_EI_LBF_FT2) for eye in line.low}
    band_ft = HIGH_FT - 0.5
    long_ft = hypot(5, band_ft)
    stiff = 29e6 * pi / 4 * (1.375**2 - 1.245**2) / long_ft * (5 / long_ft) ** 2
    strutted = Post(POST_EI_LBF_FT2, band_ft, stiff)
    return {**posts, line.low[0].post: strutted, line.low[-1].post: strutted} if braced else posts


@st.composite
def lines(draw: st.DrawFn, steepest: float = 0.15, most_turn_deg: float = 40.0) -> Line:
    """One to four bays of 8 to 25 ft, up and down and round shallow bends."""
    count = draw(st.integers(1, 4))

    def each(least: float, most: float) -> tuple[float, ...]:
        return tuple(draw(st.floats(least, most)) for _ in range(count))

    turns = each(-most_turn_deg, most_turn_deg)
    return Line(
        bays_ft=each(8, 25),
        grades=each(-steepest, steepest),
        ways_deg=tuple(sum(turns[: n + 1]) for n in range(count)),
        pulled_lbf=draw(st.floats(35, 100)),
        cold_F=draw(st.floats(-30, 40)),
        hot_F=draw(st.floats(80, 120)),
        lean_lbf=draw(st.floats(15, 120)),
    )


@st.composite
def straight_loops(draw: st.DrawFn) -> Line:
    """Flat and straight, two to four bays of up to 25 ft, 40 ft long or longer, pulled to 50 lb."""
    count = draw(st.integers(2, 4))
    bays = tuple(draw(st.floats(max(8, 40 / count), 25)) for _ in range(count))
    return Line(bays, (0.0,) * count, (0.0,) * count, cold_F=draw(st.floats(-20, 40)), lean_lbf=draw(st.floats(25, 100)))


def sag_in(line: Line, rest: Hung, number: int) -> float:
    """How far the middle of a stretch hangs straight down under the line of its eyes, in: the middle itself moves down the slope."""
    bay = number % len(line.bays_ft)
    way = radians(line.ways_deg[bay])
    east, north, up = rest.middle_ft[number]
    return 12 * (line.grades[bay] * (east * cos(way) + north * sin(way)) - up)


def out_in(rest: Hung, number: int) -> float:
    """How far the middle of a stretch is pushed out in plan, in."""
    return 12 * hypot(rest.middle_ft[number][0], rest.middle_ft[number][1])
