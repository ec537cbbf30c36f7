"""How long it will take: crew hours by stage and the day they end, out of the finished jobs beside the job file."""

from datetime import date
from pathlib import Path
from typing import ClassVar

from engine.ahead.crew_hours import CrewHours, first_day, hours_ahead
from engine.ahead.finished_jobs import FinishedJobs, finished_jobs
from engine.job.model.job import Job
from engine.paper.ahead.hours_tables import AtWork, hours_tables
from engine.walk import Walk
from tui.base.commands import Command
from tui.boxes.folder.folder_page import FolderPage
from tui.boxes.pages import BACK, FIND, as_figures
from tui.widgets.figures import FiguresPane


class HoursScreen(FolderPage[tuple[CrewHours, FinishedJobs]]):
    """Reads the folder of the job, and then shows the tables."""

    NAMED: ClassVar[tuple[Command, ...]] = (FIND, BACK)
    TABLE: ClassVar[str] = "Where it comes from"

    def __init__(self, job: Job, walk: Walk, job_file: Path) -> None:
        super().__init__("How long it will take", f"Reading the jobs in {job_file.parent} ...")
        self.job, self.walk_shown, self.job_file = job, walk, job_file

    def read(self) -> tuple[CrewHours, FinishedJobs]:
        found = finished_jobs(self.job_file.parent, self.job.rules.hours.pause_min, but=self.job_file, told=self.go_on)
        return hours_ahead(self.job, self.walk_shown, found), found

    def came(self, found: tuple[CrewHours, FinishedJobs]) -> None:
        job, rules = self.job, self.job.rules.hours
        hours, finished = found
        work = AtWork(len(job.job.crew) or 1, rules.day_hours, first_day(job, date.today()))
        self.query_one(FiguresPane).show(tuple(map(as_figures, hours_tables(hours, finished, work, rules.pause_min))))
