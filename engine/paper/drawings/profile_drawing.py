"""The profiles of the record: every line from the side, cut into strips that fit the page, each an SVG to a printed scale."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.tolerances import ROUNDING_FT
from engine.calc.units import metric
from engine.drawing.shapes import Area, Drawing, Mark, Role, Shape, Stroke, Words, run_between
from engine.paper.drawings.drawing_sheet import IN_PER_FT, NO_LENGTHS, PX_PER_IN, SCALES_TO_1, WIDTH_IN, wide_px, word
from engine.paper.markup import element, points_text

STRIP_FT = 130.0
"""Longest run of bays in one strip; a longer bay has a strip to itself."""
EDGE_PX = 28.0
ABOVE_PX, ROW_PX, BELOW_PX = 20.0, 10.5, 16.0
"""Room for ids above, for a row of bay lengths or stations below, and for the scale under them."""
MOST_ROWS = 3
APART_PX = 3.0
SCALES_FT_PER_IN = (2, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 100, 200, 500, 1_000, 5_000)
TALLEST_IN = 2.4
OVER_FOOT: tuple[Role, ...] = ("gate", "loop")
"""What is written in the earth of a bay that has room for it."""


class ProfileStrip(NamedTuple):
    """A drawing of a stretch of a line, and the posts on it."""

    svg: str
    posts: tuple[str, ...]


@dataclass(frozen=True)
class _Piece:
    """A run of bays: its shapes, its stations and levels, ft."""

    shapes: tuple[Shape, ...]
    ground: tuple[Point, ...]
    from_ft: float
    to_ft: float
    low_ft: float
    high_ft: float


@dataclass(frozen=True)
class _Strip:
    """A run of bays and how it is drawn, px a foot across and up."""

    piece: _Piece
    across_px: float
    up_px: float

    def at(self, spot: Point) -> Point:
        """Where a station and level are on the strip, px."""
        return (EDGE_PX + (spot[0] - self.piece.from_ft) * self.across_px, ABOVE_PX + (self.piece.high_ft - spot[1]) * self.up_px)

    @property
    def times(self) -> int:
        """How many times heights are drawn larger than lengths."""
        return round(self.up_px / self.across_px)

    @property
    def foot_px(self) -> float:
        """Where the picture ends and the lengths under it begin."""
        return ABOVE_PX + (self.piece.high_ft - self.piece.low_ft) * self.up_px

    def words_of(self, role: Role) -> list[tuple[float, str]]:
        """Words of a role with the middle that they want, px, from left to right."""
        found = (words for words in self.piece.shapes if isinstance(words, Words) and words.role == role)
        return sorted({(self.at(words.pos)[0], words.text) for words in found})


def profile_strips(drawing: Drawing) -> tuple[ProfileStrip, ...]:
    """One line from the side, in strips of whole bays about as long as each other, all at one scale, with every bay length and the
    stations under them."""
    cut = [_cut(drawing, *ends) for ends in _runs(drawing)]
    if not cut:
        return ()
    long_ft = max(piece.to_ft - piece.from_ft for piece in cut)
    high_ft = max(piece.high_ft - piece.low_ft for piece in cut)
    wide = WIDTH_IN * PX_PER_IN - 2 * EDGE_PX
    usuals = [one / IN_PER_FT for one in SCALES_TO_1] if metric() else SCALES_FT_PER_IN
    scale = next((usual for usual in usuals if long_ft / usual * PX_PER_IN <= wide), long_ft / wide * PX_PER_IN)
    times = next((more for more in (3, 2) if high_ft * more / scale <= TALLEST_IN and scale > 5 * (more - 1)), 1)
    return tuple(_drawn_strip(_Strip(piece, PX_PER_IN / scale, times * PX_PER_IN / scale)) for piece in cut)


def _runs(drawing: Drawing) -> list[tuple[float, float]]:
    """First and last station of every strip: no more strips than it takes, and none longer than it must be."""
    bays = [(start, end) for (start, _), (end, _) in (words.along for words in drawing.of(Words, "bay length"))]
    fewest = len(_runs_of(bays, STRIP_FT))
    lengths = sorted({end - start for start, _ in bays for _, end in bays if 0 < end - start <= STRIP_FT})
    at = bisect_left(lengths, True, key=lambda most_ft: len(_runs_of(bays, most_ft)) <= fewest)
    return _runs_of(bays, lengths[at] if at < len(lengths) else STRIP_FT)


def _runs_of(bays: Sequence[tuple[float, float]], most_ft: float) -> list[tuple[float, float]]:
    runs: list[tuple[float, float]] = []
    for start, end in bays:
        if runs and end - runs[-1][0] <= most_ft:
            runs[-1] = (runs[-1][0], max(runs[-1][1], end))
        else:
            runs.append((start, end))
    return runs


def _cut(drawing: Drawing, start: float, end: float) -> _Piece:
    ground = run_between(drawing.of(Stroke, "ground")[0].points, start, end)
    low, high = start - ROUNDING_FT, end + ROUNDING_FT
    shapes = tuple(shape for shape in drawing.shapes if shape.role != "ground" and all(low < at < high for at, _ in _places(shape)))
    levels = [level for _, level in ground]
    tops = [shape.pos[1] for shape in shapes if isinstance(shape, Mark) and shape.role == "top"]
    return _Piece(shapes, ground, start, end, min(levels) - 3.0, max([*tops, *levels]) + 0.5)


def _places(shape: Shape) -> Sequence[Point]:
    match shape:
        case Stroke() | Area():
            return shape.points
        case Mark() | Words():
            return (shape.pos,)
        case _:
            return ()


def _drawn_strip(strip: _Strip) -> ProfileStrip:
    ground = [strip.at(spot) for spot in strip.piece.ground]
    lengths, stations = _in_rows(strip.words_of("bay length")), _in_rows(strip.words_of("station"))
    lengths_fit = max(lengths.values(), default=0) < MOST_ROWS
    told = _under(strip, lengths if lengths_fit else {}, 0, "bay")
    below = 1 + max(lengths.values()) if told and lengths_fit else 0
    told += _under(strip, {one: row for one, row in stations.items() if row < MOST_ROWS}, below, "small")
    rows = below + 1 + min(max(stations.values(), default=0), MOST_ROWS - 1)
    width, height = WIDTH_IN * PX_PER_IN, strip.foot_px + rows * ROW_PX + BELOW_PX
    earth = [(ground[0][0], strip.foot_px), *ground, (ground[-1][0], strip.foot_px)]
    scale = _scale_words(strip) if lengths_fit else f"{_scale_words(strip)}; {NO_LENGTHS}"
    drawn = [
        element("polygon", points=points_text(earth), class_="earth"),
        element("polyline", points=points_text(ground), class_="ground"),
        *(part for shape in strip.piece.shapes for part in _drawn(strip, shape)),
        *told,
        word((EDGE_PX, height - 4), scale, "small left", anchor="start"),
    ]
    svg = element(
        "svg", element("title", "Profile of the line, seen from its right"), *drawn, xmlns="http://www.w3.org/2000/svg",
        class_="profile", role="img", width=f"{WIDTH_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {width:.2f} {height:.2f}",
    )  # fmt: skip
    posts = [words for words in strip.piece.shapes if isinstance(words, Words) and words.role == "post"]
    return ProfileStrip(svg, tuple(words.id for words in sorted(posts, key=lambda words: words.pos[0])))


def _in_rows(words: Sequence[tuple[float, str]]) -> dict[tuple[float, str], int]:
    """The first row for each in which it runs into none before it."""
    ends: list[float] = []
    rows = {}
    for middle, text in words:
        half = wide_px(text) / 2
        row = next((at for at, end in enumerate(ends) if end + APART_PX <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half]
        rows[middle, text] = row
    return rows


def _under(strip: _Strip, words: Mapping[tuple[float, str], int], below: int, class_: str) -> list[str]:
    """Words in rows under the picture, none cut off by its edge."""
    parts = []
    for (middle, text), row in words.items():
        half = wide_px(text) / 2
        x = min(max(middle, half), WIDTH_IN * PX_PER_IN - half)
        parts.append(word((x, strip.foot_px + (below + row + 1) * ROW_PX - 1), text, class_))
    return parts


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
        case Words() if shape.role in OVER_FOOT:
            (start, _), (end, _) = shape.along
            text = f"gate {shape.text}" if shape.role == "gate" else shape.text
            if wide_px(text) <= (end - start) * strip.across_px + 6:
                yield word((strip.at(shape.pos)[0], strip.foot_px - 4), text, "small")
