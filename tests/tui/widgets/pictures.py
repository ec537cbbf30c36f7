"""A small yard of our own invention, for the picture tests."""

from engine.drawing.shapes import MET, Area, Drawing, Mark, Stroke, Words
from tui.widgets.picture import (
    FenceRun,
    GateLeaf,
    GateMark,
    GatePicture,
    Ghost,
    HatchedArea,
    Label,
    PlanPicture,
    PostMark,
    TreeMark,
)

PLAN = PlanPicture(
    bounds=(0, 0, 100, 60),
    fence=(
        FenceRun(((0, 0), (0, 60)), "P1-P2", "L1"),
        FenceRun(((0, 60), (50, 60)), "P2-P3", "L1"),
        FenceRun(((50, 60), (95, 60)), "P3-P4", "L2"),
    ),
    posts=(
        PostMark("P1", (0, 0), "E", "done"),
        PostMark("P2", (0, 60), "C", "stop"),
        PostMark("P3", (50, 60), "o", "done"),
        PostMark("P4", (95, 60), "G"),
    ),
    trees=(TreeMark("oak", (70, 40), 2.0),),
    keep_outs=(HatchedArea("tank", ((20, 10), (50, 10), (50, 40), (20, 40)), "septic"),),
    walls=(((0, 0), (100, 0)),),
    gates=(GateMark("G1", (100, 60), (95, 60), (100, 55)),),
    yards=(Label((75, 20), "back [bold]yard"),),
    braces=(((0, 54), (0, 60)),),
)
MOVED = PlanPicture(bounds=PLAN.bounds, posts=PLAN.posts, ghosts=(Ghost("P3", (50, 60), (50, 52)),))

PROFILE = Drawing(
    shapes=(
        Stroke("ground", ((0, 0), (50, 1), (100, 0))),
        Stroke("hem", ((0, 0.2), (50, 1.2), (100, 0.2))),
        Stroke("cable", ((0, 6), (25, 6.2), (50, 7)), "P1-P2"),
        Stroke("cable", ((50, 7), (100, 6)), "P2-oak"),
        Words("bay length", (25, 6.2), "50' 1\"", "P1-P2"),
        Area("leaf", ((70, 0.5), (75, 0.5), (75, 6), (70, 6)), "G1"),
        Words("gate", (72.5, 3.25), "G1", "G1", rank=5),
        Stroke("pole", ((0, 0), (0, 6)), "P1"),
        Stroke("sleeve", ((0, 0), (0, -2)), "P1"),
        Stroke("pole", ((50, 1), (50, 7)), "P2"),
        Stroke("sleeve wanted", ((50, 1), (50, 0.3)), "P2"),
        Stroke("bearer", ((100, 0), (100, 6)), "oak"),
        *(Mark("eye", spot, name, rank=-1) for name, *spots in (("P1", (0, 3), (0, 6)), ("P2", (50, 4), (50, 7))) for spot in spots),
        Words("post", (0, 6), "P1", "P1", state="done"),
        Words("post", (50, 7), "P2", "P2", state="stop"),
        Words("post", (100, 6), "oak", "oak"),
        Stroke("pole", ((110, 0), (110, 60)), "P9", MET),
        Words("post", (110, 60), "P9", "P9", MET),
    ),
    picks=(("P2", ((50, 0.3), (50, 7))), ("P1-P2", ((0, 6), (25, 6.2), (50, 7)))),
)

GATE = GatePicture(
    leaves=(GateLeaf(0.1, 0.25, 5.0, 6.0, "left"),),
    ground=((-1, 0), (6, -0.2)),
    id="G1",
    posts=(((0, 0), (0, 6.5)), ((5.2, -0.1), (5.2, 6.5))),
    wires=(((0.1, 6.25), (5.1, 0.25)),),
    hinges=((0.1, 1.25), (0.1, 5.25)),
    latches=((5.1, 3.25),),
    labels=(Label((2.6, 6.8), "5' 0\""),),
)
