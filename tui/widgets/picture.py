"""What the picture widgets show: frozen records of plain shapes in feet, made by the stages, knowing no job and no screen.

`state` is one of `planned`, `done`, `note`, `fix`, `stop`. A point is `(east_ft, north_ft)` in a plan, `(station_ft,
level_ft)` in a profile, and feet from the left post and above its ground in a gate.
"""

from dataclasses import dataclass

from tui.widgets.viewport import Bounds, Point

POST_LETTERS = {"line": "o", "corner": "C", "end": "E", "gate": "G", "tee": "T", "structure": "S", "tree": "Y"}


@dataclass(frozen=True)
class Label:
    """Words at a place in a picture."""

    pos: Point
    text: str
    role: str = "label"


@dataclass(frozen=True)
class FenceRun:
    """A stretch of fence, usually a bay; chosen by its own `id` or by its `group` (the cable loop or the line)."""

    points: tuple[Point, ...]
    id: str = ""
    group: str = ""
    role: str = "fence"


@dataclass(frozen=True)
class PostMark:
    """A support: `letter` tells its kind."""

    id: str
    pos: Point
    letter: str
    state: str = "planned"


@dataclass(frozen=True)
class TreeMark:
    """A tree, its trunk drawn to scale where that is large enough to see."""

    id: str
    pos: Point
    diameter_ft: float


@dataclass(frozen=True)
class HatchedArea:
    """Ground where nothing may be driven; `kind` picks the colour (a utility of the APWA code, or any other word).

    `words` are written on it in place of its id, where that says nothing to a reader.
    """

    id: str
    polygon: tuple[Point, ...]
    kind: str = "keepout"
    words: str = ""


@dataclass(frozen=True)
class GateMark:
    """One gate leaf seen from above; a gate of two leaves is two marks of one id."""

    id: str
    hinge: Point
    closed_tip: Point
    open_tip: Point


@dataclass(frozen=True)
class Ghost:
    """A thing on the move: where it stands and where it would stand."""

    id: str
    old: Point
    new: Point


@dataclass(frozen=True)
class PlanPicture:
    """The site from above, north up."""

    bounds: Bounds
    fence: tuple[FenceRun, ...] = ()
    posts: tuple[PostMark, ...] = ()
    trees: tuple[TreeMark, ...] = ()
    keep_outs: tuple[HatchedArea, ...] = ()
    walls: tuple[tuple[Point, ...], ...] = ()
    boundaries: tuple[tuple[Point, ...], ...] = ()
    gates: tuple[GateMark, ...] = ()
    yards: tuple[Label, ...] = ()
    braces: tuple[tuple[Point, Point], ...] = ()
    """From brace foot to post."""
    ghosts: tuple[Ghost, ...] = ()


@dataclass(frozen=True)
class GateLeaf:
    """A leaf from the side of the yard: its lower left corner, its size, and the side its hinges are on."""

    left_ft: float
    bottom_ft: float
    width_ft: float
    height_ft: float
    hinge_side: str
    """`left` or `right`."""


@dataclass(frozen=True)
class GatePicture:
    """A gate in elevation."""

    leaves: tuple[GateLeaf, ...]
    ground: tuple[Point, ...]
    posts: tuple[tuple[Point, Point], ...] = ()
    """Foot and top of each gate post."""
    wires: tuple[tuple[Point, Point], ...] = ()
    """Tension wires, corner to corner."""
    hinges: tuple[Point, ...] = ()
    latches: tuple[Point, ...] = ()
    labels: tuple[Label, ...] = ()
    """Sizes and diagonals, in tape notation."""
    id: str = ""
