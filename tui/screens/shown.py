"""What stands beside the sheet: its panes, and which picture belongs to the chosen thing and what it is called."""

from textual.widget import Widget

from engine.drawing.apron_shapes import apron_shapes
from engine.drawing.corner_shapes import corner_shapes
from engine.drawing.gate_shapes import gate_shapes
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.job.model.job import Job
from engine.walk import Walk
from tui.base.terminal import is_plain
from tui.widgets.apron_view import ApronView
from tui.widgets.card_view import CardView
from tui.widgets.corner_view import CornerView
from tui.widgets.elevation_view import ElevationView
from tui.widgets.figures import FiguresPane
from tui.widgets.plan_view import PlanView
from tui.widgets.profile_view import ProfileView
from tui.widgets.rows import Rows


def pane_of(name: str) -> Widget:
    """A new picture, or a new page to stand under it."""
    pane: Widget
    match name:
        case "plan":
            pane = PlanView(id=name, plain=is_plain())
        case "profile":
            pane = ProfileView(id=name, plain=is_plain())
        case "apron":
            pane = ApronView(id=name, plain=is_plain())
        case "corner":
            pane = CornerView(id=name, plain=is_plain())
        case "elevation":
            pane = ElevationView(id=name, plain=is_plain())
        case "card":
            pane = CardView(id=name)
        case "findings":
            pane = Rows(id=name, empty="Nothing found in this stage.")
        case _:
            pane = FiguresPane(id=name)
    pane.add_class("-pane")
    return pane


def picture_of(kind: str, job: Job, walk: Walk, chosen: str) -> object:
    """The picture of one kind that shows the chosen thing, or the first of its kind; None where there is none."""
    match kind:
        case "plan":
            return plan_shapes(job, walk)
        case "profile":
            return profile_shapes(walk, _line(walk, chosen), deep_sag=True)
        case "apron":
            return apron_shapes(job, walk, _bay(walk, chosen))
        case "corner":
            return corner_shapes(walk, chosen)
        case _:
            return gate_shapes(job, walk, _gate(walk, chosen))


def picture_title(kind: str, walk: Walk, chosen: str) -> str:
    """What that picture is called."""
    match kind:
        case "plan":
            return "plan"
        case "profile":
            return f"line {_line(walk, chosen)} from the side"
        case "apron":
            return f"apron {_bay(walk, chosen)}"
        case "corner":
            return "braces from above"
        case _:
            return f"gate {_gate(walk, chosen)}"


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
