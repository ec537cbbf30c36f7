"""What a plan or a new way put in the place of what stood before it: kept with its log entry, so that it can be taken back on any day."""

from engine.job.model.base import Id, Part
from engine.job.model.checks import Tick
from engine.job.model.fence import FenceLine, Gate, HeightChange, Post, Surface
from engine.job.model.item_key import KeyInFile
from engine.job.model.shots import Shot

LINE_TABLES = ("lines", "shots", "gates", "surfaces", "heights")
"""Tables whose records a new way writes anew beside the plan."""


class LineRows(Part):
    """Records of a line and of what lies along it, by table and name."""

    lines: dict[Id, FenceLine] = {}
    shots: dict[Id, Shot] = {}
    gates: dict[Id, Gate] = {}
    surfaces: dict[Id, Surface] = {}
    heights: dict[Id, HeightChange] = {}


class PlanBefore(LineRows):
    """Records as they were before they were changed or taken out; a post of the plan before that isn't among them stayed as it is. `plan`
    are the names of all posts of the plan before, in its order: none where there was no plan. `checks` are ticks that were opened."""

    plan: tuple[Id, ...] = ()
    posts: dict[Id, Post] = {}
    checks: dict[KeyInFile, Tick] = {}
