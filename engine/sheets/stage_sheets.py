"""The sheet of any stage by its name."""

from collections.abc import Callable, Mapping

from engine.findings import StageName
from engine.job.model.job import Job
from engine.sheets.bracing import bracing_sheet
from engine.sheets.cables import cables_sheet
from engine.sheets.fabric import fabric_sheet
from engine.sheets.gate import gate_sheet
from engine.sheets.layout import layout_sheet
from engine.sheets.posts import posts_sheet
from engine.sheets.punch import punch_sheet
from engine.sheets.sheet import Sheet
from engine.sheets.staking import staking_sheet
from engine.sheets.survey import survey_sheet
from engine.walk import Walk

OF_WALK: Mapping[StageName, Callable[[Walk], Sheet]] = {
    "layout": layout_sheet,
    "posts": posts_sheet,
    "bracing": bracing_sheet,
    "cables": cables_sheet,
    "fabric": fabric_sheet,
    "staking": staking_sheet,
    "gate": gate_sheet,
    "punch": punch_sheet,
}


def sheet_of(stage: StageName, job: Job, walk: Walk) -> Sheet:
    """The sheet of a stage; only the survey's field book is the job's own."""
    return survey_sheet(job, walk) if stage == "survey" else OF_WALK[stage](walk)
