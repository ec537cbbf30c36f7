"""A small yard of our own invention, for the picture tests."""

from engine.drawing.shapes import MET, Arc, Area, Circle, Drawing, Mark, Stroke, Words

PLAN = Drawing(
    shapes=(
        Area("keepout", ((20, 10), (50, 10), (50, 40), (20, 40)), "tank", "septic"),
        Words("keepout", (35, 25), "tank", "tank", kind="septic", rank=11),
        Stroke("wall", ((0, 0), (100, 0))),
        Circle("tree", (70, 40), 1.0),
        Mark("tree", (70, 40), "oak", rank=6),
        Words("tree", (70, 40), "oak", "oak", rank=14),
        Stroke("brace", ((0, 60), (0, 54))),
        Stroke("fence", ((0, 0), (0, 60)), "P1-P2", "L1"),
        Stroke("fence", ((0, 60), (50, 60)), "P2-P3", "L1"),
        Stroke("fence", ((50, 60), (95, 60)), "P3-P4", "L2"),
        Words("bay length", (0, 30), "60'", "P1-P2", "L1", rank=15, along=((0, 0), (0, 60)), side=(50, 30)),
        Words("bay length", (25, 60), "50'", "P2-P3", "L1", rank=15, along=((0, 60), (50, 60)), side=(50, 30)),
        Words("bay length", (72.5, 60), "45'", "P3-P4", "L2", rank=15, along=((50, 60), (95, 60)), side=(50, 30)),
        Words("yard", (75, 20), "back [bold]yard", rank=10),
        Arc("swing", (100, 60), (95, 60), (100, 55)),
        Stroke("leaf", ((100, 60), (100, 55))),
        Stroke("shut", ((100, 60), (95, 60)), "G1"),
        Words("gate", (97.5, 60), "G1", "G1", rank=9),
        Mark("post", (0, 0), "P1", kind="end", state="done", rank=4),
        Mark("post", (0, 60), "P2", kind="corner", state="stop", rank=1),
        Mark("post", (50, 60), "P3", kind="line", state="done", rank=4),
        Mark("post", (95, 60), "P4", kind="gate", rank=5),
        Words("post", (0, 0), "P1", "P1", state="done", rank=12),
        Words("post", (0, 60), "P2", "P2", state="stop", rank=7),
        Words("post", (50, 60), "P3", "P3", state="done", rank=13),
        Words("post", (95, 60), "P4", "P4", rank=12),
    ),
    picks=(
        *(("P1", ((0, 0),)), ("P2", ((0, 60),)), ("P3", ((50, 60),)), ("P4", ((95, 60),)), ("G1", ((97.5, 60),)), ("oak", ((70, 40),))),
        *(("P1-P2", ((0, 0), (0, 60))), ("P2-P3", ((0, 60), (50, 60))), ("P3-P4", ((50, 60), (95, 60)))),
        ("tank", ((20, 10), (50, 10), (50, 40), (20, 40), (20, 10))),
    ),
)
MOVED = Drawing(
    shapes=(
        *(shape for shape in PLAN.shapes if shape.role in ("post", "fence") and not (isinstance(shape, Words) and shape.id == "P3")),
        Stroke("going", ((50, 60), (50, 52))),
        Mark("goes to", (50, 52), "P3"),
        Mark("goes from", (50, 60)),
        Words("going", (50, 52), "P3", "P3"),
    )
)

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

GATE = Drawing(
    shapes=(
        Stroke("ground", ((-1, 0), (6, -0.2))),
        Stroke("pole", ((0, 0), (0, 6.5))),
        Stroke("pole", ((5.2, -0.1), (5.2, 6.5))),
        Stroke("diagonal", ((0.1, 0.25), (5.1, 6.25))),
        Stroke("diagonal", ((5.1, 0.25), (0.1, 6.25))),
        Stroke("face wire", ((0.1, 6.25), (5.1, 0.25))),
        Area("leaf", ((0.1, 0.25), (5.1, 0.25), (5.1, 6.25), (0.1, 6.25)), "G1"),
        Mark("hinge", (0.1, 1.25)),
        Mark("hinge", (0.1, 5.25)),
        Mark("latch", (5.1, 3.25)),
        Words("size", (2.6, 6.8), "5' 0\"", rank=1),
        Words("hinge side", (0.1, 2.65), "hinge side", rank=2, along=((0.1, 2.65), (5.1, 2.65))),
    ),
    picks=(("G1", ((0.1, 0.25), (5.1, 0.25), (5.1, 6.25), (0.1, 6.25), (0.1, 0.25))),),
)
