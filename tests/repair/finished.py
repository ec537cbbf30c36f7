"""Finished jobs, signed off: the demos with everything ticked."""

from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from engine.job.edit import edits
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import AT, BY, accepted, others
from tests.test_done_means_done import all_ticked

SIGNED = AT + timedelta(days=400)
YEARS = SIGNED + timedelta(days=6 * 365)
"""When a repair begins."""
CLIENT = "The client"


def signed(job: Job, at: datetime = SIGNED) -> Job:
    """The job signed off as it is, its findings left for a reason."""
    worked = walk(job)
    reasons = {str(finding.key): "the client knows" for finding in worked.findings if finding.level != "note"}
    return edits.sign(job, build_record(job, worked, at, BY, CLIENT, reasons), at, BY, CLIENT)


@cache
def finished(name: str) -> Job:
    """A demo with everything ticked, not signed yet."""
    return all_ticked({"willow_bend": accepted, "ridge_ring": ring}[name]())


def ring() -> Job:
    """The ring without its ticks of older days, which don't say what they were made for."""
    return others()["ridge_ring"].model_copy(update={"checks": {}})


def signed_file(path: Path, job: Job) -> Loaded:
    """A job in a file, signed off there."""
    return save(new(path, job, state=path.parent / "state"), signed(job), state=path.parent / "state")


def opened(path: Path) -> Loaded:
    """A file as it is read."""
    return load(path, state=path.parent / "state")
