"""How far the work is in every bay, as its stretch of the fence line shows it."""

from typing import Literal

from engine.stages.layout.stage import Bay
from engine.walk import Walk

Progress = Literal["planned", "posts in", "cabled", "hung"]
"""In the order of the work. A bay is as far as the last of these with nothing before it open: where a post of a hung bay is to be driven
anew, the bay is planned again."""


def bay_progress(walk: Walk) -> dict[str, Progress]:
    """Every bay of the fence, gates left out: its two supports in, its cable loop closed, its loop's wire and mesh hung."""
    standing = _standing(walk)
    closed = {line.item.subject for line in walk.checklists["cables"].lines if line.item.key.what == "closed" and line.settled}
    fabric = {(line.item.subject, line.item.key.what) for line in walk.checklists["fabric"].lines if line.settled}
    hung = {loop for loop in closed if (loop, "wire_hung") in fabric and (loop, "mesh_hung") in fabric}

    def far(name: str, bay: Bay) -> Progress:
        loop = walk.cables.loop_of.get(name, "")
        if not {bay.from_id, bay.to_id} <= standing:
            return "planned"
        return "hung" if loop in hung else "cabled" if loop in closed else "posts in"

    return {name: far(name, bay) for name, bay in walk.layout.bays.items() if bay.gate is None}


def _standing(walk: Walk) -> set[str]:
    """Supports that are in: a sleeve driven or a plate bolted down; one that neither is asked of, with its eyes set."""
    asked: dict[str, bool] = {}
    eyes: dict[str, bool] = {}
    for line in walk.checklists["posts"].lines:
        what, done = line.item.key.what, line.settled
        if what in ("driven_depth", "plate"):
            asked[line.item.subject] = done
        elif what == "eyes":
            eyes[line.item.subject] = done
    return {name for name, done in {**eyes, **asked}.items() if done}.union(walk.in_sleeves)
