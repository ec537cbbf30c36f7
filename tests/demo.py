"""The main demo job, as it stands in its file and with its plan accepted; the others; the time and name that tests edit by."""

from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from engine.job.edit.edits import accept_layout
from engine.job.file.store import load
from engine.job.model.job import Job
from engine.stages.layout.stage import planned_posts
from engine.walk import walk

FOLDER = Path(__file__).parents[1] / "demo_jobs"
DEMO = FOLDER / "willow_bend.toml"
AT = datetime(2026, 4, 14, 9, 30, tzinfo=UTC)
BY = "Mo Teal"


@cache
def demo() -> Job:
    """The demo as it is surveyed: sixteen supports proposed, none accepted."""
    return load(DEMO).job


@cache
def others() -> dict[str, Job]:
    """Every other demo job by the name of its file."""
    return {path.stem: load(path).job for path in sorted(FOLDER.glob("*.toml")) if path != DEMO}


@cache
def accepted() -> Job:
    """The demo with its proposed layout taken as the plan."""
    return accept_layout(demo(), planned_posts(walk(demo()).layout), AT, BY)
