"""Kinds of work and their pieces: what the checks of a job are about, counted the same in one that is finished and in one still to come.

All checks of one sleeve are one piece of work, and so of one brace, loop, bay or gate. What is asked of a braced post once belongs to its
first brace. Wire and mesh are hung by the loop and counted by its bays. The survey and the closing walk are counted by their checks.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from engine.job.model.item_key import ItemKey

SLEEVE, PLATE, TREE, WALL, OLD_SLEEVE = "sleeve in", "base plate", "tree for cables", "eyes in a wall", "old sleeve"
_OF_POSTS = {"driven_depth": SLEEVE, "plate": PLATE, "diameter": TREE}
_OF_LAYOUT = {"flag": "post set out", "taped": "bay taped", "string": "string line", "clear": "opening cleared"}
_BY_CHECK = {"survey": "survey check", "punch": "closing check"}
_OF_FABRIC = {"infill": "infill piece", "under_closed": "gap under a deck"}
TWO_LEAVES = ("diagonal_a2", "ground_sleeve", "drop_rod", "held_open")


class WorkKind(NamedTuple):
    """A kind of work by its stage and its name, of one piece."""

    stage: str
    name: str


class Piece(NamedTuple):
    """One piece of work. `counts` is how many it counts for: the bays of a loop's wire and mesh, else 1; 0 where that isn't known."""

    kind: WorkKind
    of: str
    counts: int = 1


def pieces_of(keys: Iterable[ItemKey], soil: str, loop_bays: Mapping[str, int]) -> dict[ItemKey, Piece]:
    """The piece of work that each check is part of. `soil` is what sleeves are driven into, `loop_bays` how many bays each loop has."""
    asked: dict[tuple[str, str], set[str]] = defaultdict(set)
    listed = tuple(keys)
    for key in listed:
        asked[key.stage, key.about].add(key.what)
    return {key: _piece(key, asked[key.stage, key.about], soil, loop_bays) for key in listed}


def _piece(key: ItemKey, asked: set[str], soil: str, loop_bays: Mapping[str, int]) -> Piece:
    stage, what, about = key.stage, key.what, key.about
    match stage:
        case "posts" if what == "old_sleeve":
            return Piece(WorkKind(stage, OLD_SLEEVE), key.subject)
        case "posts":
            name = next((name for check, name in _OF_POSTS.items() if check in asked), WALL)
            return Piece(WorkKind(stage, f"{name} {soil}" if name == SLEEVE else name), about)
        case "bracing" if what == "pinned":
            return Piece(WorkKind(stage, "post pinned"), about)
        case "bracing":
            stem, _, letter = what.rpartition("_")
            return Piece(WorkKind(stage, "brace"), f"{about} {letter if stem else 'a'}")
        case "fabric" if what in _OF_FABRIC:
            return Piece(WorkKind(stage, _OF_FABRIC[what]), about)
        case "fabric":
            return Piece(WorkKind(stage, "bay of wire and mesh"), about, loop_bays.get(about, 0))
        case "gate":
            return Piece(WorkKind(stage, "gate of two leaves" if asked.intersection(TWO_LEAVES) else "gate"), about)
    if stage == "cables":
        return Piece(WorkKind(stage, "loops read again" if what == "round_again" else "cable loop"), about)
    if stage == "staking":
        return Piece(WorkKind(stage, "bay of stakes"), about)
    return Piece(WorkKind(stage, _OF_LAYOUT.get(what) or _BY_CHECK.get(stage, "other check")), f"{key.subject} {what}")
