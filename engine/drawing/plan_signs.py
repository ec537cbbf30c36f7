"""What the signs of a plan mean, in the crew's words: for the key under the printed plan and the one on the screen."""

from collections.abc import Iterator
from typing import NamedTuple

from engine.drawing.shapes import Arc, Area, Drawing, Mark, Role, Stroke

BURIED_LETTERS = {
    **{"gas": "g", "electric": "e", "water": "w", "sewer": "s", "septic": "p", "communication": "c", "irrigation": "i"},
    **{"lighting": "l", "other": "u"},
}
"""The letter that a buried line bears along its way: small, for posts have large ones."""


class Meaning(NamedTuple):
    """A sign, by the role and kind of what it is drawn for, and its words; `any` stands for every kind not named before it."""

    role: Role
    kind: str
    says: str


ANY = "any"
MEANINGS = (
    Meaning("goes from", ANY, "stood here"),
    Meaning("goes to", ANY, "stands here"),
    Meaning("post", "line", "line post"),
    Meaning("post", "corner", "corner post"),
    Meaning("post", "end", "end post"),
    Meaning("post", "gate", "gate post"),
    Meaning("post", "tee", "tee post"),
    Meaning("post", "tree", "eyes in a tree"),
    Meaning("post", "structure", "eyes in a wall"),
    Meaning("fence", "planned", "fence planned"),
    Meaning("fence", "posts in", "fence, posts in"),
    Meaning("fence", "cabled", "fence cabled"),
    Meaning("fence", "hung", "fence hung"),
    Meaning("planned", ANY, "planned place"),
    Meaning("brace", ANY, "brace"),
    Meaning("swing", ANY, "gate and its swing"),
    Meaning("wall", ANY, "wall"),
    Meaning("house", ANY, "house, shed"),
    Meaning("deck", ANY, "deck"),
    Meaning("yard", ANY, "yard"),
    Meaning("tree", ANY, "tree"),
    Meaning("keepout", "rock", "rock"),
    Meaning("keepout", ANY, "nothing driven here"),
    *(Meaning("buried", kind, "other buried line" if kind == "other" else f"{kind} line") for kind in BURIED_LETTERS),
    Meaning("boundary", ANY, "property line"),
    Meaning("old sleeve", ANY, "sleeve left in the ground"),
    Meaning("known place", ANY, "known place, tapes start here"),
)

BY_KIND = {(meaning.role, meaning.kind) for meaning in MEANINGS if meaning.kind != ANY}


def meanings(drawing: Drawing) -> Iterator[Meaning]:
    """The signs that a drawing has."""
    there: set[tuple[Role, str]] = set()
    for shape in drawing.shapes:
        if isinstance(shape, Mark | Stroke | Area):
            there.add((shape.role, shape.kind if (shape.role, shape.kind) in BY_KIND else ANY))
        elif isinstance(shape, Arc):
            there.add((shape.role, ANY))
    yield from (meaning for meaning in MEANINGS if (meaning.role, meaning.kind) in there)
