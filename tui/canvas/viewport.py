"""World feet to terminal cells and back: which part of the world a picture shows, and how close.

World points are `(x_ft, y_ft)`: east and north in a plan, station and level in a profile. Cell positions are
`(column, row)`, real numbers from the top left corner. A cell is taken to be twice as high as it is wide.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import log10

from engine.calc.frozen import dataclass

Point = tuple[float, float]
Bounds = tuple[float, float, float, float]

CELL_ASPECT = 2.0
FINEST_FT = 0.01
COARSEST_FT = 500.0


@dataclass(frozen=True)
class Viewport:
    """The part of the world on show: `width` by `height` cells round `centre`, one cell `feet_per_cell` wide."""

    width: int
    height: int
    centre: Point
    feet_per_cell: float
    exaggeration: float = 1.0
    """How many times taller heights are drawn than they are; 1 in a plan."""

    @property
    def feet_per_row(self) -> float:
        """World feet that one cell is high."""
        return self.feet_per_cell * CELL_ASPECT / self.exaggeration

    def to_cell(self, point: Point) -> Point:
        """Cell position of a world point."""
        return (
            self.width / 2 + (point[0] - self.centre[0]) / self.feet_per_cell,
            self.height / 2 - (point[1] - self.centre[1]) / self.feet_per_row,
        )

    def to_world(self, cell: Point) -> Point:
        """World point at a cell position."""
        return (
            self.centre[0] + (cell[0] - self.width / 2) * self.feet_per_cell,
            self.centre[1] - (cell[1] - self.height / 2) * self.feet_per_row,
        )

    def shows(self, point: Point) -> bool:
        """Whether a world point is inside the viewport."""
        column, row = self.to_cell(point)
        return 0 <= column < self.width and 0 <= row < self.height

    def panned(self, columns: float, rows: float) -> "Viewport":
        """The viewport moved right and down by that many cells."""
        return replace(self, centre=self.to_world((self.width / 2 + columns, self.height / 2 + rows)))

    def zoomed(self, factor: float, about: Point | None = None) -> "Viewport":
        """The viewport `factor` times closer, the world point under the cell `about` (or the middle) kept in its place."""
        about = about or (self.width / 2, self.height / 2)
        held = self.to_world(about)
        feet = min(max(self.feet_per_cell / factor, FINEST_FT), COARSEST_FT)
        closer = replace(self, feet_per_cell=feet)
        slipped = closer.to_world(about)
        return replace(closer, centre=(self.centre[0] + held[0] - slipped[0], self.centre[1] + held[1] - slipped[1]))


def fit(bounds: Bounds, width: int, height: int, margin: Point = (3, 1.5), exaggeration: float = 1.0) -> Viewport:
    """The closest viewport that shows all of `bounds` (left, bottom, right, top) with `margin` cells to spare all round."""
    left, bottom, right, top = bounds
    columns, rows = max(width - 2 * margin[0], 1), max(height - 2 * margin[1], 1)
    feet = max((right - left) / columns, (top - bottom) * exaggeration / (rows * CELL_ASPECT), FINEST_FT)
    return Viewport(width, height, ((left + right) / 2, (bottom + top) / 2), min(feet, COARSEST_FT), exaggeration)


def bounds_of(points: Sequence[Point], least_ft: float = 10.0) -> Bounds:
    """Bounds of `points`, widened about their middle to at least `least_ft` each way; no points give a square at the origin."""
    xs, ys = [x for x, _ in points] or [0.0], [y for _, y in points] or [0.0]
    spare_x = max(least_ft - (max(xs) - min(xs)), 0) / 2
    spare_y = max(least_ft - (max(ys) - min(ys)), 0) / 2
    return (min(xs) - spare_x, min(ys) - spare_y, max(xs) + spare_x, max(ys) + spare_y)


def round_length(most: float) -> float:
    """The largest of 1, 2, 5, 10, 20, 50 ... (or a tenth, a hundredth of one) that is not over `most`."""
    power = 10.0 ** int(log10(most) // 1)
    return max((step * power for step in (1, 2, 5) if step * power <= most), default=power)
