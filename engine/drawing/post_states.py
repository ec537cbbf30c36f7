"""How it stands with every support, as its mark and its name say it."""

from engine.drawing.shapes import State
from engine.findings import LEVELS
from engine.walk import Walk


def post_states(walk: Walk) -> dict[str, State]:
    """Worst finding at each support, or done once it stands."""
    states: dict[str, State] = dict.fromkeys(walk.in_sleeves, "done")
    for line in walk.checklists["posts"].lines:
        if line.settled and line.item.key.what in ("driven_depth", "eyes"):
            states[line.item.subject] = "done"
    for level in reversed(LEVELS):
        for finding in walk.findings:
            if finding.level == level and level != "note":
                states.update(dict.fromkeys(finding.subjects, level))
    return states
