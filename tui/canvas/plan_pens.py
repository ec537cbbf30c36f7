"""The pens, signs and letters of a plan: how every role of it looks on a screen."""

from engine.drawing.plan_signs import BURIED_LETTERS
from engine.drawing.shapes import Mark, Role
from engine.drawing.site_shapes import BUILDINGS
from tui.canvas.ink import SOLID, Lettering, Pen, Signs

POST_LETTERS = {"corner": "C", "end": "E", "gate": "G", "tee": "T", "structure": "S", "tree": "Y"}
BURIED = {
    **{kind: kind for kind in ("electric", "gas", "comms", "water", "reclaimed", "sewer")},
    **{"communication": "comms", "irrigation": "reclaimed", "lighting": "electric", "septic": "sewer", "overhead": "electric"},
}
"""What runs below the ground, in the colours of the APWA code."""
ZONES = {kind: Pen(colour, dash=1, hatched_cells=3.0, least_cells=2.0) for kind, colour in BURIED.items()}
"""Where nothing is driven along buried lines: shown from near by; from afar the line itself says it, for all else a mark."""
SMALL, ROCK = ("▨", "*"), ("▲", "^")
"""The mark of a keep-out too small for a hatch, and that of a rock of any size; and the plain ones."""
DASHES: dict[str, tuple[int, ...]] = {
    **{"gas": (7, 3), "water": (2, 3), "electric": (5, 2, 1, 2), "lighting": (5, 2, 1, 2), "communication": (1, 2)},
    **{"sewer": (9, 2), "septic": (9, 2), "irrigation": (3, 5)},
}
"""Gas in long dashes, water in short ones: buried lines differ without their colours, and each bears its letter."""
LAID = {kind: Pen(BURIED[kind], dash=dash, plain="," if kind == "water" else ":") for kind, dash in DASHES.items()}
GROUND: dict[Role, Pen] = {
    "yard": Pen("yard-tint", tints=True),
    "deck": Pen("deck", fill="▒", plain="="),
    "keepout": Pen("keepout", dash=1, hatched_cells=0.0, least_cells=2.0, of_kind=ZONES),
    "boundary": Pen("boundary", dash=(8, 3, 2, 3), plain="~"),
    "buried": Pen("buried", dash=(3, 2), plain=":", kinds=BURIED, beads=BURIED_LETTERS, of_kind=LAID),
    "house": Pen("wall", fill=SOLID, plain="#"),
    "wall": Pen("wall", weight=2, of_kind={kind: Pen("wall", weight=0) for kind in BUILDINGS}),
    "tree": Pen("tree", plain="()"),
}
"""The quiet ground, below all else."""
FENCE: dict[str, Pen] = {
    "planned": Pen("fence", dash=(2, 4), weight=2),
    "posts in": Pen("fence", dash=(8, 4), weight=2, plain="-|"),
    "cabled": Pen("fence"),
    "hung": Pen("fence", weight=3, plain="=H"),
}
"""The fence by how far the work is in each bay: dotted, dashed, thin, full."""
PENS: dict[Role, Pen] = {
    "brace": Pen("brace"),
    "swing": Pen("gate", dash=1),
    "leaf": Pen("gate", dash=2),
    "shut": Pen("gate", weight=2),
    "bare": Pen("fence", weight=2, lights=True),
    "fence": Pen("fence", weight=2, lights=True, of_kind=FENCE),
    "going": Pen("ghost", dash=1),
}
LETTERINGS: dict[Role, Lettering] = {
    "going": Lettering("chosen"),
    "post": Lettering("label"),
    "gate": Lettering("gate"),
    "yard": Lettering("yard"),
    "keepout": Lettering("keepout"),
    "deck": Lettering("label"),
    "buried": Lettering("buried", kinds=BURIED),
    "house": Lettering("label"),
    "wall": Lettering("label"),
    "tree": Lettering("tree"),
    "old sleeve": Lettering("ghost"),
    "known place": Lettering("muted"),
    "bay length": Lettering("muted"),
}


def _post_sign(post: Mark, plain: bool) -> tuple[str, str]:
    """The letter of its kind; a line post is a ring, filled once it stands."""
    done = post.state == "done"
    ring = ("O" if done else "o") if plain else ("●" if done else "○")
    return POST_LETTERS.get(post.kind, ring), post.state if post.state in ("stop", "fix", "done") else "post"


def keepout_sign(kind: str, plain: bool) -> str:
    """The mark of a keep-out."""
    return (ROCK if kind == "rock" else SMALL)[plain]


SIGNS: Signs = {
    "goes to": lambda _mark, plain: ("@" if plain else "◆", "chosen"),
    "goes from": lambda _mark, plain: ("o" if plain else "◇", "ghost"),
    "post": _post_sign,
    "old sleeve": lambda _mark, plain: ("%" if plain else "⊗", "ghost"),
    "known place": lambda _mark, plain: ("x" if plain else "×", "muted"),
    "tree": lambda _mark, plain: ("Y" if plain else "♣", "tree"),
}
