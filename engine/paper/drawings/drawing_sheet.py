"""The sheet a drawing of the record is made on: its scale, its frame, its words, and the scale bar and key under the plan."""

from collections.abc import Iterator, Sequence
from math import atan2, ceil, degrees
from typing import Literal, NamedTuple

import shapely

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.units import bare_unit, metric, unit_ft
from engine.drawing.shapes import Drawing, Mark, Stroke
from engine.paper.markup import element, escaped, points_text

PX_PER_IN = 96.0
IN_PER_FT = 12
WIDTH_IN, HEIGHT_IN = 7.0, 7.5
"""What fits between the margins of US letter and of A4, with room for a heading."""
ROUND_FT = 8.0
ROUND_IN = 0.35
"""Ground and paper shown round about the fence at least."""
NO_LENGTHS = "not every bay length fits here, so none is written"
FOOT_PX = 91.0
"""Room under the plan for scale bar and key."""
SCALES_FT_PER_IN = (2, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300, 400, 500, 1_000, 2_000, 5_000)
SCALES_TO_1 = (
    20, 25, 50, 75, 100, 150, 200, 250, 300, 400, 500, 600, 750, 1_000, 1_250, 1_500, 2_000, 2_500, 5_000, 10_000, 25_000, 50_000,
)  # fmt: skip
"""Scales of drawings in feet to the inch, and in metres, 1 to so many."""
LETTER_PX = 5.4
"""Width of a letter of the small words, about."""
BARS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000)
NARROW = {" ": 0.5, "'": 0.45, "/": 0.55, '"': 0.75, ".": 0.5, ",": 0.5}
"""What takes less than a letter's width, and how much of it."""
KEY_ROW_PX = 13.0


@dataclass(frozen=True)
class PlanSheet:
    """A drawing's frame: the place at its top left corner, its scale, and its size. A pixel is 1/96 in on paper."""

    west_ft: float
    north_ft: float
    ft_per_in: float
    width_px: float
    height_px: float

    @property
    def px_per_ft(self) -> float:
        """Scale of the drawing."""
        return PX_PER_IN / self.ft_per_in

    @property
    def frame(self) -> shapely.Polygon:
        """What ground is on it, ft."""
        east_ft, south_ft = self.west_ft + self.width_px / self.px_per_ft, self.north_ft - self.height_px / self.px_per_ft
        return shapely.box(self.west_ft, south_ft, east_ft, self.north_ft)

    def at(self, place: Point) -> Point:
        """Where a place is on the drawing."""
        return ((place[0] - self.west_ft) * self.px_per_ft, (self.north_ft - place[1]) * self.px_per_ft)

    def shows(self, place: Point) -> bool:
        """Whether a place is on the drawing."""
        x, y = self.at(place)
        return 0 <= x <= self.width_px and 0 <= y <= self.height_px


def sheet_of(drawing: Drawing, line: str | None = None, high_in: float = HEIGHT_IN) -> PlanSheet:
    """The frame that holds the fence, walls and trees, or one line alone, at the largest usual scale that fits a letter or A4 page, or so
    much of its height."""
    return sheet_round([*_on_line(drawing, line)] if line else [*_near(drawing)], high_in=high_in)


def sheet_round(places: Sequence[Point], least_ft_per_in: float = 0.0, high_in: float = HEIGHT_IN) -> PlanSheet:
    """The frame that holds some places, at the largest usual scale that fits, or the largest of those that show so much."""
    easts, norths = [x for x, _ in places] or [0.0], [y for _, y in places] or [0.0]
    wide_ft, high_ft = max(easts) - min(easts), max(norths) - min(norths)
    most_in = high_in - FOOT_PX / PX_PER_IN

    def fits(scale: float) -> bool:
        round_ft = 2 * max(ROUND_FT, ROUND_IN * scale)
        return scale >= least_ft_per_in and wide_ft + round_ft <= WIDTH_IN * scale and high_ft + round_ft <= most_in * scale

    longest_ft = max(wide_ft, high_ft)
    usuals = [one / IN_PER_FT for one in SCALES_TO_1] if metric() else SCALES_FT_PER_IN
    scale = float(next((usual for usual in usuals if fits(usual)), 1_000 * ceil(longest_ft / 5_000)))
    round_ft = max(ROUND_FT, ROUND_IN * scale)
    west_ft = (min(easts) + max(easts) - WIDTH_IN * scale) / 2
    return PlanSheet(west_ft, max(norths) + round_ft, scale, WIDTH_IN * PX_PER_IN, (high_ft + 2 * round_ft) / scale * PX_PER_IN)


def _on_line(drawing: Drawing, line: str) -> Iterator[Point]:
    yield from (mark.pos for mark in drawing.of(Mark, "post", "planned") if mark.group == line)
    yield from (point for stroke in drawing.of(Stroke, "surveyed") if stroke.id == line for point in stroke.points)


def _near(drawing: Drawing) -> Iterator[Point]:
    yield from (mark.pos for mark in drawing.of(Mark, "post", "planned", "foot", "tree", "old sleeve", "known place"))
    yield from (point for stroke in drawing.of(Stroke, "surveyed", "wall") for point in stroke.points)


def wide_px(text: str, letter_px: float = LETTER_PX) -> float:
    """How wide words are written, about."""
    return letter_px * sum(NARROW.get(letter, 1.0) for letter in text)


def word(at: Point, text: str, class_: str, turn_deg: float = 0.0, anchor: str = "middle", about: Point | None = None) -> str:
    """Words at a place of a drawing, turned about it or about another; the text is escaped here."""
    x, y = about or at
    turned = f"rotate({turn_deg:.2f} {x:.2f} {y:.2f})" if turn_deg else None
    return element("text", escaped(text), x=at[0], y=at[1], class_=class_, text_anchor=anchor, transform=turned)


def upright_deg(a: Point, b: Point) -> float:
    """Turn of words along a to b that never stand on their head, degrees clockwise."""
    turn = degrees(atan2(b[1] - a[1], b[0] - a[0]))
    return turn - 180 if turn > 90 else turn + 180 if turn <= -90 else turn


def mark(shape: str, x: float, y: float, name: str | None = None) -> str:
    """A post's mark, its middle at x, y; `name` is kept with it so that a reader of the file can find it."""
    if shape in ("circle", "hollow", "ghost"):
        return element("circle", cx=x, cy=y, r=3.2, class_=shape, data_post=name)
    if shape in ("old-sleeve", "known-place"):
        across = "M-3.2 -3.2 L3.2 3.2 M-3.2 3.2 L3.2 -3.2" if shape == "old-sleeve" else "M-6 0 L6 0 M0 -6 L0 6"
        ring = element("circle", cx=x, cy=y, r=4.5 if shape == "old-sleeve" else 3.0, class_=shape)
        return ring + element("path", d=across, transform=f"translate({x:.2f} {y:.2f})", class_=shape)
    corners = {
        "square": [(-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)],
        "diamond": [(0.0, -4.4), (4.4, 0.0), (0.0, 4.4), (-4.4, 0.0)],
        "triangle": [(0.0, -4.2), (4.0, 3.0), (-4.0, 3.0)],
        "tee": [(-4.0, -3.0), (4.0, -3.0), (0.0, 4.2)],
    }[shape]
    return element("polygon", points=points_text((x + dx, y + dy) for dx, dy in corners), class_="mark", data_post=name)


def north_arrow(sheet: PlanSheet) -> str:
    """North, in the upper right corner."""
    x = sheet.width_px - 18
    arrow = element("polygon", points=points_text([(x, 8), (x + 6, 28), (x, 23), (x - 6, 28)]), class_="north")
    return arrow + word((x, 40), "N", "post")


def scale_bar(sheet: PlanSheet, besides: str = "") -> str:
    """A bar of whole feet or metres under the plan, the scale in words, and what else is to be told."""
    px_per_unit = sheet.px_per_ft * unit_ft("ft")
    bar = max((bar for bar in BARS if bar * px_per_unit <= 1.6 * PX_PER_IN), default=BARS[0])
    long_px, y = bar * px_per_unit, sheet.height_px + 12
    parts = [element("rect", x=1.0 + half * long_px / 2, y=y, width=long_px / 2, height=4.0, class_=f"bar{half}") for half in (0, 1)]
    words = f"{bar} {bare_unit('ft')}; {scale_words(sheet)} when printed at 100 %{'; ' if besides else ''}{besides}"
    return "".join(parts) + word((long_px + 8, y + 5), words, "small left", anchor="start")


def scale_words(sheet: PlanSheet) -> str:
    """The scale of a sheet: `1 in on paper is 10 ft`, `1:100`."""
    return f"1:{sheet.ft_per_in * IN_PER_FT:.0f}" if metric() else f"1 in on paper is {sheet.ft_per_in:g} ft"


class KeySign(NamedTuple):
    """A sign of the key: an area, a line, perhaps with a letter in it, or a mark, in its class."""

    drawn: Literal["area", "line", "mark"]
    class_: str
    letter: str = ""


def key_rows(sheet: PlanSheet, signs: Sequence[tuple[KeySign, str]]) -> Iterator[str]:
    """What the signs on the plan mean, in rows under the scale bar."""
    x, y = 1.0, sheet.height_px + 30
    for sign, words in signs:
        wide = 26 + len(words) * LETTER_PX
        if x + wide > sheet.width_px:
            x, y = 1.0, y + KEY_ROW_PX
        if sign.drawn == "area":
            yield element("rect", x=x, y=y - 4, width=16.0, height=8.0, class_=sign.class_)
        elif sign.drawn == "line":
            yield element("line", x1=x, y1=y, x2=x + 16, y2=y, class_=sign.class_)
        else:
            yield mark(sign.class_, x + 8, y)
        if sign.letter:
            yield word((x + 8, y + 3), sign.letter, "bead")
        yield word((x + 20, y + 3), words, "small left", anchor="start")
        x += wide
