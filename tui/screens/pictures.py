"""The pictures, of which one is seen: plan, braces, a line from the side, an apron, a gate; of the chosen thing, or of the first."""

from textual.content import Content

from engine.calc.frozen import dataclass
from engine.drawing.apron_shapes import apron_shapes
from engine.drawing.corner_shapes import corner_shapes
from engine.drawing.gate_shapes import gate_shapes
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Drawing
from engine.job.model.job import Job
from engine.walk import Walk
from tui.base.terminal import is_plain
from tui.screens.shared_place import SharedPlace
from tui.widgets.apron_view import ApronView
from tui.widgets.corner_view import CornerView
from tui.widgets.elevation_view import ElevationView
from tui.widgets.picture_view import DrawingView
from tui.widgets.plan_view import PlanView
from tui.widgets.profile_view import ProfileView

VIEWS: dict[str, type[DrawingView]] = {
    "plan": PlanView, "corner": CornerView, "profile": ProfileView, "apron": ApronView, "elevation": ElevationView,
}  # fmt: skip


@dataclass(frozen=True)
class Picture:
    """A drawing of one kind, None where there is none, and what it is called."""

    drawing: Drawing | None
    title: str


class Pictures(SharedPlace):
    """Shows one kind; the others are not drawn."""

    NAMES = tuple(VIEWS)

    def make(self, name: str) -> DrawingView:
        return VIEWS[name](id=name, plain=is_plain())

    def show(self, kind: str, job: Job, walk: Walk, chosen: str | None) -> None:
        """The picture of this kind that shows the chosen thing, or the first of its kind."""
        picture, view = picture_of(kind, job, walk, chosen or ""), self.pane(kind)
        assert isinstance(view, DrawingView)
        view.show(picture.drawing, chosen)
        self.head(Content(f" {picture.title}"))


def picture_of(kind: str, job: Job, walk: Walk, chosen: str) -> Picture:
    """The picture of one kind that shows the chosen thing, or the first of its kind."""
    match kind:
        case "plan":
            return Picture(plan_shapes(job, walk), "plan")
        case "profile":
            line = _line(walk, chosen)
            return Picture(profile_shapes(walk, line, deep_sag=True), f"line {line} from the side")
        case "apron":
            bay = _bay(walk, chosen)
            return Picture(apron_shapes(job, walk, bay), f"apron {bay}")
        case "corner":
            return Picture(corner_shapes(walk, chosen), "braces from above")
        case _:
            gate = _gate(walk, chosen)
            return Picture(gate_shapes(job, walk, gate), f"gate {gate}")


def _line(walk: Walk, chosen: str) -> str:
    """The line the chosen thing is on, or the first."""
    layout = walk.layout
    if chosen in layout.lines:
        return chosen
    thing = layout.supports.get(chosen) or layout.bays.get(chosen) or walk.cables.loops.get(chosen)
    return thing.line if thing is not None else next(iter(layout.lines), "")


def _bay(walk: Walk, chosen: str) -> str:
    """The chosen bay, one of the chosen post or loop, or the one with the least apron."""
    aprons, layout = walk.fabric.bays, walk.layout
    loop = walk.cables.loops.get(chosen)
    near = [bay for bay in aprons if chosen in (bay, layout.bays[bay].from_id, layout.bays[bay].to_id) or (loop and bay in loop.bays)]
    return min(near or aprons, key=lambda bay: aprons[bay].least_apron_in, default="")


def _gate(walk: Walk, chosen: str) -> str:
    """The chosen gate, or the first."""
    gates = walk.gate.gates
    if chosen in gates:
        return chosen
    support = walk.layout.supports.get(chosen)
    return support.gate if support is not None and support.gate else next(iter(gates), "")
