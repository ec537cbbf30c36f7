"""All that the layout's findings are made of."""

from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.checklist import Stood
from engine.job.model.job import Job
from engine.stages.layout.bays import Bay
from engine.stages.layout.keep_outs import Ground
from engine.stages.layout.line_rows import LineRow
from engine.stages.layout.line_tracks import Meeting, Track
from engine.stages.layout.propose import NearTree
from engine.stages.layout.set_out import Clearance, TapeTie
from engine.stages.layout.sleeves_in_ground import Emptied
from engine.stages.layout.todays_supports import Members, Support
from engine.stages.survey.stage import Survey


@dataclass(frozen=True)
class LayoutFacts:
    """A layout with everything it was made from. `lost` are log entries that couldn't be followed: (post, what the entry is);
    `stood` is where those that the log moved, added or left out stood before."""

    job: Job
    survey: Survey
    tracks: Mapping[str, Track]
    meetings: tuple[Meeting, ...]
    ground: Ground
    trees: Mapping[str, tuple[NearTree, ...]]
    lines: Members
    gates: Mapping[str, tuple[str, str]]
    supports: Mapping[str, Support]
    rows: Mapping[str, LineRow]
    bays: Mapping[str, Bay]
    ties: Mapping[str, TapeTie]
    clearances: tuple[Clearance, ...]
    lost: tuple[tuple[str, str], ...]
    stood: Stood
    emptied: Emptied
