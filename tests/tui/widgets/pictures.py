"""A small yard of our own invention, for the picture tests."""

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
    ProfileCable,
    ProfileGate,
    ProfilePicture,
    ProfileSupport,
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

PROFILE = ProfilePicture(
    ground=((0, 0), (50, 1), (100, 0)),
    supports=(
        ProfileSupport("P1", 0, 0, 6, 2.0, (3, 6), "done"),
        ProfileSupport("P2", 50, 1, 7, 0.7, (4, 7), "stop"),
        ProfileSupport("oak", 100, 0, 6, None, (3, 6)),
    ),
    cables=(ProfileCable(((0, 6), (25, 6.2), (50, 7)), "P1-P2"), ProfileCable(((50, 7), (100, 6)), "P2-oak")),
    wire=(((0, 0.2), (50, 1.2), (100, 0.2)),),
    gates=(ProfileGate("G1", 70, 75, 0.5, 6),),
    labels=(Label((30, -1), "gap", "fix"),),
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
