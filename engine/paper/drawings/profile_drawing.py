"""The profiles of the record: every line from the side, cut into strips that fit the page, each an SVG to a printed scale."""

from collections.abc import Iterator, Sequence

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.tolerances import ROUNDING_FT
from engine.calc.units import metric
from engine.drawing.shapes import Area, Drawing, Mark, Role, Shape, Stroke, Words, run_between
from engine.paper.drawings.drawing_sheet import IN_PER_FT, LETTER_PX, PX_PER_IN, SCALES_TO_1, WIDTH_IN, word
from engine.paper.markup import element, points_text

STRIP_FT = 130.0
"""Longest run of bays in one strip; a longer bay has a strip to itself."""
EDGE_PX = 28.0
ABOVE_PX, BELOW_PX = 20.0, 34.0
"""Room for ids above and for bay lengths and stations below."""
SCALES_FT_PER_IN = (2, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 100, 200, 500, 1_000, 5_000)
TALLEST_IN = 2.4
UNDER: dict[Role, tuple[float, str]] = {"bay length": (10.0, "bay"), "gate": (-4.0, "small"), "loop": (-4.0, "small")}
"""How far under the picture's foot words about a bay are written, px, and in which class."""


@dataclass(frozen=True)
class _Strip:
    """A run of bays and how it is drawn: stations from `from_ft`, levels from `low_ft` up, both in px a foot."""

    shapes: tuple[Shape, ...]
    ground: tuple[Point, ...]
    from_ft: float
    low_ft: float
    high_ft: float
    across_px: float
    up_px: float

    def at(self, spot: Point) -> Point:
        """Where a station and level are on the strip, px."""
        return (EDGE_PX + (spot[0] - self.from_ft) * self.across_px, ABOVE_PX + (self.high_ft - spot[1]) * self.up_px)

    @property
    def times(self) -> int:
        """How many times heights are drawn larger than lengths."""
        return round(self.up_px / self.across_px)

    @property
    def foot_px(self) -> float:
        """Where the picture ends and the lengths under it begin."""
        return ABOVE_PX + (self.high_ft - self.low_ft) * self.up_px


def profile_svgs(drawing: Drawing) -> tuple[str, ...]:
    """One line from the side, in strips of whole bays, with bay lengths and stations under it."""
    return tuple(_svg(_strip(drawing, *ends)) for ends in _runs(drawing))


def _runs(drawing: Drawing) -> Iterator[tuple[float, float]]:
    """First and last station of every strip."""
    run: tuple[float, float] | None = None
    for (start, _), (end, _) in (words.along for words in drawing.of(Words, "bay length")):
        if run is not None and end - run[0] > STRIP_FT:
            yield run
            run = None
        run = (start, end) if run is None else (run[0], max(run[1], end))
    if run is not None:
        yield run


def _strip(drawing: Drawing, start: float, end: float) -> _Strip:
    ground = run_between(drawing.of(Stroke, "ground")[0].points, start, end)
    low, high = start - ROUNDING_FT, end + ROUNDING_FT
    shapes = tuple(shape for shape in drawing.shapes if shape.role != "ground" and all(low < at < high for at, _ in _places(shape)))
    levels = [level for _, level in ground]
    tops = [shape.pos[1] for shape in shapes if isinstance(shape, Mark) and shape.role == "top"]
    low, high = min(levels) - 3.0, max([*tops, *levels]) + 0.5
    wide_px = WIDTH_IN * PX_PER_IN - 2 * EDGE_PX
    usuals = [one / IN_PER_FT for one in SCALES_TO_1] if metric() else SCALES_FT_PER_IN
    scale = next((usual for usual in usuals if (end - start) / usual * PX_PER_IN <= wide_px), (end - start) / wide_px * PX_PER_IN)
    times = next((more for more in (3, 2) if (high - low) * more / scale <= TALLEST_IN and scale > 5 * (more - 1)), 1)
    return _Strip(shapes, ground, start, low, high, PX_PER_IN / scale, times * PX_PER_IN / scale)


def _places(shape: Shape) -> Sequence[Point]:
    match shape:
        case Stroke() | Area():
            return shape.points
        case Mark() | Words():
            return (shape.pos,)
        case _:
            return ()


def _svg(strip: _Strip) -> str:
    ground = [strip.at(spot) for spot in strip.ground]
    width, height = WIDTH_IN * PX_PER_IN, strip.foot_px + BELOW_PX
    earth = [(ground[0][0], strip.foot_px), *ground, (ground[-1][0], strip.foot_px)]
    drawn = [
        element("polygon", points=points_text(earth), class_="earth"),
        element("polyline", points=points_text(ground), class_="ground"),
        *(part for shape in strip.shapes for part in _drawn(strip, shape)),
        *_stations(strip),
        word((EDGE_PX, height - 1), _scale_words(strip), "small left", anchor="start"),
    ]
    return element(
        "svg", element("title", "Profile of the line, seen from its right"), *drawn, xmlns="http://www.w3.org/2000/svg",
        class_="profile", role="img", width=f"{WIDTH_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {width:.2f} {height:.2f}",
    )  # fmt: skip


def _scale_words(strip: _Strip) -> str:
    ft_per_in = PX_PER_IN / strip.across_px
    scale = f"1:{ft_per_in * IN_PER_FT:.4g} along the line" if metric() else f"1 in on paper is {ft_per_in:.4g} ft along the line"
    return f"{scale}; heights {strip.times} times larger" if strip.times > 1 else f"{scale} and up"


def _drawn(strip: _Strip, shape: Shape) -> Iterator[str]:
    """A shape by its role; what only the screen shows is left out."""
    match shape:
        case Stroke(role="cable"):
            yield element("polyline", points=points_text(map(strip.at, shape.points)), class_=shape.role)
        case Stroke(role="pole" | "bearer" | "sleeve" | "sleeve wanted"):
            (x, y), (_, end) = map(strip.at, shape.points)
            yield element("line", x1=x, y1=y, x2=x, y2=end, class_=shape.role)
        case Area(role="leaf"):
            (x, low), (right, _), (_, y), _ = map(strip.at, shape.points)
            yield element("rect", x=x, y=y, width=right - x, height=low - y, class_="leafbox")
            yield element("line", x1=x, y1=y, x2=right, y2=low, class_="facewire")
        case Area():
            yield element("polygon", points=points_text(map(strip.at, shape.points)), class_=shape.role)
        case Words(role="post"):
            x, top = strip.at(shape.pos)
            yield word((x, top - 5), shape.text, "post")
        case Words() if shape.role in UNDER:
            (start, _), (end, _) = shape.along
            text, (down_px, class_) = f"gate {shape.text}" if shape.role == "gate" else shape.text, UNDER[shape.role]
            if len(text) * LETTER_PX <= (end - start) * strip.across_px + 6:
                yield word((strip.at(shape.pos)[0], strip.foot_px + down_px), text, class_)


def _stations(strip: _Strip) -> Iterator[str]:
    """Stations under the posts, where they don't run into the one before."""
    free_px = -EDGE_PX
    for words in strip.shapes:
        if isinstance(words, Words) and words.role == "station":
            x, half_px = strip.at(words.pos)[0], len(words.text) * LETTER_PX / 2
            if x - half_px >= free_px:
                free_px = x + half_px
                yield word((x, strip.foot_px + 21), words.text, "small")
