"""What all picture widgets share: a viewport moved by keys and mouse, cached strips, and the chosen thing."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from math import floor, hypot
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from engine.drawing.shapes import Drawing
from tui.base.commands import Command, bindings
from tui.canvas.canvas import Look, Run, Tinted
from tui.canvas.viewport import Point, Viewport, bounds_of, fit
from tui.widgets.chosen import Chosen

REACH_CELLS = 1.5
NEAR_FT = 40.0
"""How much is shown round a chosen thing from near by: about a bay each side."""
_STRONG = ("fence", "post", "gate", "label", "chosen", "chosen-line", "stop", "fix", "scale")

COMMANDS = (
    Command("pan(-1, 0)", "left", "Left", "Move the picture to see what is left of it.", "Picture", in_footer=False),
    Command("pan(1, 0)", "right", "Right", "Move the picture to see what is right of it.", "Picture", in_footer=False),
    Command("pan(0, -1)", "up", "Up", "Move the picture to see what is above it.", "Picture", in_footer=False),
    Command("pan(0, 1)", "down", "Down", "Move the picture to see what is below it.", "Picture", in_footer=False),
    Command("zoom(1.25)", "plus,equals_sign", "Closer", "Zoom in; the mouse wheel does it too.", "Picture"),
    Command("zoom(0.8)", "minus", "Wider", "Zoom out.", "Picture"),
    Command("fit", "0", "All", "Show the whole picture.", "Picture"),
    Command("close_in", "z", "To it", "Zoom to the chosen thing.", "Picture"),
    Command("step(-1)", "left_square_bracket", "Previous", "Choose the thing before this one.", "Picture", in_footer=False),
    Command("step(1)", "right_square_bracket", "Next", "Choose the thing after this one.", "Picture"),
)


class DrawingView(Widget, can_focus=True):
    """A picture of a drawing, which says what can be chosen in it; subclasses say how to frame it and how to paint it."""

    Chosen = Chosen
    BINDINGS = bindings(COMMANDS)
    DEFAULT_CSS = """
    DrawingView {
        border: round $border-blurred;
        background: $background;
        color: $foreground;
        &:focus { border: heavy $border; border-title-style: bold reverse; }
        &.-plain { border: ascii $border-blurred; }
        &.-plain:focus { border: ascii $border; }
    }
    """
    EMPTY: ClassVar[str] = "Nothing to draw yet."

    # What they change is painted by rows: a chosen post is a few of them.
    picture: reactive[Drawing | None] = reactive(None, repaint=False)
    chosen: reactive[str | None] = reactive(None, repaint=False)
    plain: reactive[bool] = reactive(False, toggle_class="-plain")
    """Draw with plain characters instead of braille dots."""
    held: reactive[Viewport | None] = reactive(None, repaint=False)
    """Where the crew moved the picture to; None while it fits itself to the space."""

    def __init__(self, picture: Drawing | None = None, *, plain: bool = False, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._strips: list[Strip] = []
        self._drawn_for: tuple[object, ...] = ()
        self._waits = False
        self._grip: Point | None = None
        self._dragged = False
        self.picture = picture
        self.plain = plain

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        """The viewport that shows all of `picture`."""
        raise NotImplementedError

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        """The rows of the picture."""
        raise NotImplementedError

    def room(self) -> tuple[int, int]:
        """Columns and rows for the picture."""
        return self.size.width, self.size.height

    @property
    def viewport(self) -> Viewport | None:
        """What the widget shows now; None without a picture or without room."""
        width, height = self.room()
        if self.picture is None or width < 1 or height < 1:
            return None
        if self.held is None:
            return self.frame(self.picture, width, height)
        return self.moved(self.held, width, height)

    def moved(self, held: Viewport, width: int, height: int) -> Viewport:
        """A held viewport brought to the widget's present size."""
        return Viewport(width, height, held.centre, held.feet_per_cell, held.exaggeration)

    def show(self, picture: Drawing | None, chosen: str | None) -> None:
        """Another picture and another chosen thing, drawn once for both."""
        if picture is not self.picture or chosen != self.chosen:
            self._waits = True
            self.picture, self.chosen = picture, chosen
            self._waits = False
            self.draw_anew()

    def watch_picture(self, _before: Drawing | None, _now: Drawing | None) -> None:
        self.draw_anew()

    def watch_held(self) -> None:
        self.draw_anew()

    def draw_anew(self) -> None:
        """Have those rows painted that differ from what stands there."""
        if self._waits:
            return
        if not self.size or self._drawn_for != self._drawn_by:
            self._drawn_for = ()
            self.refresh()
            return
        before, self._strips = self._strips, self._draw(self.viewport)
        if len(before) != len(self._strips):
            self.refresh()
        rows = [y for y, (was, now) in enumerate(zip(before, self._strips, strict=False)) if was != now]
        if rows:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in rows))

    @property
    def _drawn_by(self) -> tuple[object, ...]:
        """What else decides how it looks."""
        return self.size, self.plain, self.rich_style, self.app.theme

    def render_lines(self, crop: Region) -> list[Strip]:
        """Rows of the picture as they were drawn, or all anew for another size or other colours."""
        if self._drawn_for != self._drawn_by:
            self._strips, self._drawn_for = self._draw(self.viewport), self._drawn_by
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        return self._strips[y] if y < len(self._strips) else Strip.blank(self.size.width, self.rich_style)

    def _draw(self, viewport: Viewport | None) -> list[Strip]:
        base, width = self.rich_style, self.size.width
        if self.picture is None or viewport is None:
            return [Strip([Segment(self.EMPTY, base)]).adjust_cell_length(width, base)]
        style = self._role_styles(base)
        return [
            Strip([Segment(text, style(role)) for text, role in row]).adjust_cell_length(width, base)
            for row in self.paint(self.picture, viewport)
        ]

    def _role_styles(self, base: Style) -> Callable[[Look], Style]:
        """A function from role to style: colour from the theme, weight for what matters, reverse for the chosen."""
        variables = self.app.theme_variables
        made: dict[Look, Style] = {None: base}

        def style(look: Look) -> Style:
            if look not in made:
                role, ground = (look.role, Style(bgcolor=variables[look.tint])) if isinstance(look, Tinted) else (look, None)
                colour = variables.get("chosen" if role == "chosen-line" else role or "")
                made[look] = base + ground + Style(color=colour, bold=role in _STRONG or None, reverse=role == "chosen" or None)
            return made[look]

        return style

    def watch_chosen(self, chosen: str | None) -> None:
        """Bring a chosen thing that lies out of view to the middle."""
        viewport = self.viewport if chosen and self.held is not None else None
        self.draw_anew()
        if viewport is None or self.picture is None:
            return
        for thing_id, points in self.picture.picks:
            if thing_id == chosen and not any(viewport.shows(point) for point in points):
                self.held = Viewport(viewport.width, viewport.height, points[0], viewport.feet_per_cell, viewport.exaggeration)
                return

    def thing_at(self, cell: Point) -> str | None:
        """The id of the nearest thing within reach of a cell position; points win over lines."""
        viewport = self.viewport
        if viewport is None or self.picture is None:
            return None
        best: tuple[bool, float, str] | None = None
        for thing_id, points in self.picture.picks:
            far = _distance(cell, [viewport.to_cell(point) for point in points])
            if thing_id and far <= REACH_CELLS and (best is None or (len(points) > 1, far, thing_id) < best):
                best = (len(points) > 1, far, thing_id)
        return best[2] if best else None

    def choose(self, thing_id: str) -> None:
        """Make this the chosen thing and say so upward."""
        self.chosen = thing_id
        self.post_message(Chosen(thing_id))

    def action_pan(self, columns: int, rows: int) -> None:
        self._move(lambda view: view.panned(columns * max(view.width // 8, 1), rows * max(view.height // 8, 1)))

    def action_zoom(self, factor: float) -> None:
        """Go closer or farther about the chosen thing where it is in view, else about the middle."""
        points = self._chosen_points()
        middle = (points[0][0] / 2 + points[-1][0] / 2, points[0][1] / 2 + points[-1][1] / 2) if points else None
        self._move(lambda view: view.zoomed(factor, view.to_cell(middle) if middle is not None and view.shows(middle) else None))

    def action_close_in(self) -> None:
        viewport, points = self.viewport, self._chosen_points()
        if viewport is not None and points:
            near = fit(bounds_of(points, least_ft=NEAR_FT), viewport.width, viewport.height)
            self._move(lambda view: replace(view, centre=near.centre, feet_per_cell=near.feet_per_cell))

    def _chosen_points(self) -> tuple[Point, ...]:
        """Where the chosen thing is; nothing where it isn't in the picture."""
        things = self.picture.picks if self.picture is not None and self.chosen else ()
        return next((points for thing_id, points in things if thing_id == self.chosen), ())

    def action_fit(self) -> None:
        self.held = None

    def action_step(self, by: int) -> None:
        """To the next or the previous thing that can be shown instead, or chosen."""
        if self.picture is None:
            return
        ids = self.picture.steps or tuple(dict.fromkeys(thing_id for thing_id, _ in self.picture.picks if thing_id))
        here = self.picture.id if self.picture.steps else self.chosen
        if ids:
            at = ids.index(here) + by if here in ids else min(by, 0)
            self.choose(ids[at % len(ids)])

    def _move(self, change: Callable[[Viewport], Viewport]) -> None:
        viewport = self.viewport
        if viewport is not None:
            changed = change(viewport)
            self.held = self.moved(changed, changed.width, changed.height)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.prevent_default().stop()
        self._wheel(event, 1.25)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.prevent_default().stop()
        self._wheel(event, 0.8)

    def _wheel(self, event: events.MouseEvent, factor: float) -> None:
        about = self._cell_under(event)
        self._move(lambda view: view.zoomed(factor, about))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if event.button == 1:
            self._grip, self._dragged = (event.screen_x, event.screen_y), False
            self.capture_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        if self._grip is None:
            return
        left, up = self._grip[0] - event.screen_x, self._grip[1] - event.screen_y
        if left or up:
            self._dragged = True
            self._grip = (event.screen_x, event.screen_y)
            self._move(lambda view: view.panned(left, up))

    def on_mouse_up(self, _event: events.MouseUp) -> None:
        self._grip = None
        self.release_mouse()

    def on_click(self, event: events.Click) -> None:
        """Choose what is under the pointer, unless the picture was dragged."""
        thing = None if self._dragged else self.thing_at(self._cell_under(event))
        if thing is not None:
            event.stop()
            self.choose(thing)

    def _cell_under(self, event: events.MouseEvent) -> Point:
        """The middle of the picture cell under the pointer."""
        inside = event.get_content_offset_capture(self)
        return inside.x + 0.5, inside.y + 0.5


def _distance(cell: Point, points: list[Point]) -> float:
    """Cells from `cell` to a polyline, or to the middle of the cell that its one point is marked in."""
    if len(points) == 1:
        return hypot(floor(points[0][0]) + 0.5 - cell[0], floor(points[0][1]) + 0.5 - cell[1])
    return min((_segment_distance(cell, a, b) for a, b in pairwise(points)), default=float("inf"))


def _segment_distance(cell: Point, a: Point, b: Point) -> float:
    across, down = b[0] - a[0], b[1] - a[1]
    length = across * across + down * down
    part = ((cell[0] - a[0]) * across + (cell[1] - a[1]) * down) / length if length else 0.0
    part = min(max(part, 0.0), 1.0)
    return hypot(a[0] + across * part - cell[0], a[1] + down * part - cell[1])
