"""The plan from above: fence lines, posts, gates with their swing, trees, keep-outs, walls, boundary, yards."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from math import hypot

from tui.base.theme import PLAIN_SIGNS, SIGNS, urgency
from tui.widgets.canvas import Canvas, Run
from tui.widgets.picture import FenceRun, GateMark, HatchedArea, PlanPicture, PostMark, TreeMark
from tui.widgets.picture_view import PictureView, Thing
from tui.widgets.viewport import Point, Viewport, bounds_of, fit, round_length

UTILITIES = ("electric", "gas", "comms", "water", "reclaimed", "sewer")
_TREE, _PLAIN_TREE = "♣", "Y"


class PlanView(PictureView[PlanPicture]):
    """A plan that pans, zooms, fits and lets a post, bay, gate, tree or keep-out be chosen."""

    EMPTY = "No points measured yet."

    def frame(self, picture: PlanPicture, width: int, height: int) -> Viewport:
        """All of the site."""
        return fit(picture.bounds, width, height)

    def paint(self, picture: PlanPicture, viewport: Viewport) -> list[list[Run]]:
        """Rows of the plan."""
        return paint_plan(picture, viewport, self.chosen, self.plain)

    def things(self, picture: PlanPicture) -> Iterator[Thing]:
        """Posts, gates, trees and moves first, then bays and keep-outs."""
        yield from ((post.id, (post.pos,)) for post in picture.posts)
        yield from ((ghost.id, (ghost.new,)) for ghost in picture.ghosts)
        yield from ((gate.id, (_middle(gate.hinge, gate.closed_tip),)) for gate in picture.gates)
        yield from ((tree.id, (tree.pos,)) for tree in picture.trees)
        yield from ((run.id, run.points) for run in picture.fence)
        yield from ((area.id, (*area.polygon, *area.polygon[:1])) for area in picture.keep_outs)


def paint_plan(picture: PlanPicture, viewport: Viewport, chosen: str | None = None, plain: bool = False) -> list[list[Run]]:
    """Rows of the plan: quiet ground first, the fence over it, then marks and labels with the chosen thing before all."""
    canvas = _site(picture.keep_outs, picture.boundaries, picture.walls, picture.trees, viewport, plain).copy()
    _draw_fence(canvas, picture, chosen)
    _mark_chosen(canvas, picture, chosen)
    draw_scale(canvas)
    _mark_things(canvas, picture)
    _label_things(canvas, picture, chosen)
    return canvas.rows()


def draw_scale(canvas: Canvas) -> None:
    """North arrow in the top right corner and a scale bar in the bottom left."""
    width, height = canvas.viewport.width, canvas.viewport.height
    if width < 16 or height < 5:
        return
    feet = round_length(canvas.viewport.feet_per_cell * min(width / 4, 24))
    cells = max(round(feet / canvas.viewport.feet_per_cell), 2)
    left, bar, right = "|-|" if canvas.plain else "├─┤"
    canvas.put(0, height - 1, f"{left}{bar * (cells - 2)}{right} {feet:g} ft ", "scale")
    canvas.put(width - 2, 0, "N ", "scale")
    canvas.put(width - 2, 1, "^ " if canvas.plain else "↑ ", "scale")


@lru_cache(maxsize=4)
def _site(
    keep_outs: tuple[HatchedArea, ...],
    boundaries: tuple[tuple[Point, ...], ...],
    walls: tuple[tuple[Point, ...], ...],
    trees: tuple[TreeMark, ...],
    viewport: Viewport,
    plain: bool,
) -> Canvas:
    """The quiet ground, which stays while the crew walks along the posts."""
    canvas = Canvas(viewport, plain)
    feet = canvas.viewport.feet_per_cell
    for area in keep_outs:
        role = keep_out_role(area)
        if _mean_width(area.polygon) > 3 * feet:
            canvas.hatch(area.polygon, role)
        canvas.polyline(area.polygon, role, dash=1, closed=True)
    for boundary in boundaries:
        canvas.polyline(boundary, "boundary", dash=4)
    for wall in walls:
        canvas.polyline(wall, "wall")
    for tree in trees:
        if tree.diameter_ft > 2.5 * feet:
            canvas.circle(tree.pos, tree.diameter_ft / 2, "tree")
    return canvas


def _draw_fence(canvas: Canvas, picture: PlanPicture, chosen: str | None) -> None:
    for foot, post in picture.braces:
        canvas.line(foot, post, "brace")
    for gate in picture.gates:
        canvas.arc(gate.hinge, gate.closed_tip, gate.open_tip, "gate")
        canvas.line(gate.hinge, gate.open_tip, "gate", dash=1)
        canvas.line(gate.hinge, gate.closed_tip, "gate", weight=2)
    for run in sorted(picture.fence, key=lambda run: _is_chosen(run, chosen)):
        picked = _is_chosen(run, chosen)
        canvas.polyline(run.points, "chosen-line" if picked else run.role, weight=3 if picked else 2)
    for ghost in picture.ghosts:
        canvas.line(ghost.old, ghost.new, "ghost", dash=1)


def _mark_chosen(canvas: Canvas, picture: PlanPicture, chosen: str | None) -> None:
    """The chosen thing in brackets and reverse, before anything else claims its cells."""
    if not chosen:
        return
    for pos, char in _places(canvas, picture, chosen):
        canvas.mark(pos, char, "chosen")
        canvas.text(pos, f"[{chosen}]", "chosen", centred=not char, must=True)


def _places(canvas: Canvas, picture: PlanPicture, chosen: str) -> Iterator[tuple[Point, str]]:
    """Where the chosen thing is and the letter it is marked with; no letter for lines and areas. One place only."""
    spots: list[tuple[Point, str]] = [(post.pos, _post_sign(canvas, post)) for post in picture.posts if post.id == chosen]
    spots += [(tree.pos, _tree_sign(canvas)) for tree in picture.trees if tree.id == chosen]
    spots += [(_middle(gate.hinge, gate.closed_tip), "") for gate in picture.gates if gate.id == chosen]
    spots += [(_halfway(run.points), "") for run in picture.fence if _is_chosen(run, chosen)]
    spots += [(centre(area.polygon), "") for area in picture.keep_outs if area.id == chosen]
    yield from spots[:1]


def _mark_things(canvas: Canvas, picture: PlanPicture) -> None:
    for ghost in picture.ghosts:
        canvas.mark(ghost.new, "@" if canvas.plain else "◎", "chosen")
        canvas.mark(ghost.old, "x" if canvas.plain else "×", "ghost")
        canvas.text(ghost.new, ghost.id, "chosen")
    for post in sorted(picture.posts, key=lambda post: urgency(post.state)):
        canvas.mark(post.pos, _post_sign(canvas, post), _state_role(post.state, "post"))
    for tree in picture.trees:
        canvas.mark(tree.pos, _tree_sign(canvas), "tree")


def _label_things(canvas: Canvas, picture: PlanPicture, chosen: str | None) -> None:
    """Names, what needs work first; the chosen thing and one on the move have theirs already."""
    named = {chosen, *(ghost.id for ghost in picture.ghosts)}
    signs = PLAIN_SIGNS if canvas.plain else SIGNS
    posts = [post for post in picture.posts if post.id not in named]
    for post in sorted((post for post in posts if post.state in ("stop", "fix")), key=lambda post: urgency(post.state)):
        canvas.text(post.pos, post.id + signs[post.state], post.state)
    for gate in _one_an_id(picture.gates):
        if gate.id not in named:
            canvas.text(_middle(gate.hinge, gate.closed_tip), gate.id, "gate")
    for yard in picture.yards:
        canvas.text(yard.pos, yard.text, "yard", centred=True)
    for area in picture.keep_outs:
        if area.id not in named:
            canvas.text(centre(area.polygon), area.words or area.id, keep_out_role(area), centred=True)
    for post in sorted(posts, key=lambda post: post.letter == "o"):
        if post.state not in ("stop", "fix"):
            canvas.text(post.pos, post.id + signs.get(post.state, ""), "label")
    for tree in picture.trees:
        if tree.id not in named:
            canvas.text(tree.pos, tree.id, "tree")


def _state_role(state: str, otherwise: str) -> str:
    return state if state in ("stop", "fix", "done") else otherwise


def keep_out_role(area: HatchedArea) -> str:
    return area.kind if area.kind in UTILITIES else "keepout"


def _post_sign(canvas: Canvas, post: PostMark) -> str:
    """The letter of its kind; a line post is a ring, filled once it stands."""
    if post.letter != "o":
        return post.letter
    if canvas.plain:
        return "O" if post.state == "done" else "o"
    return "●" if post.state == "done" else "○"


def _tree_sign(canvas: Canvas) -> str:
    return _PLAIN_TREE if canvas.plain else _TREE


def _is_chosen(run: FenceRun, chosen: str | None) -> bool:
    return bool(chosen) and chosen in (run.id, run.group)


def _one_an_id(gates: tuple[GateMark, ...]) -> list[GateMark]:
    return list({gate.id: gate for gate in reversed(gates)}.values())[::-1]


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _halfway(points: tuple[Point, ...]) -> Point:
    """The middle of the middle stretch of a polyline."""
    at = max(len(points) // 2, 1)
    return _middle(points[at - 1], points[min(at, len(points) - 1)])


def _mean_width(polygon: tuple[Point, ...]) -> float:
    """Area over half the length round it: about the width of a strip."""
    sides = list(pairwise([*polygon, *polygon[:1]]))
    area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in sides)) / 2
    around = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in sides)
    return 2 * area / around if around else 0.0


def centre(polygon: tuple[Point, ...]) -> Point:
    """The middle of the polygon's bounds."""
    left, bottom, right, top = bounds_of(polygon)
    return (left + right) / 2, (bottom + top) / 2
