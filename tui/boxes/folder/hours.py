"""How long it will take: crew hours by stage and the day they end, out of the finished jobs beside the job file."""

from datetime import date
from typing import ClassVar

from engine.ahead.crew_hours import CrewHours, first_day, hours_ahead
from engine.ahead.finished_jobs import FinishedJobs, finished_jobs
from engine.job.model.job import Job
from engine.paper.ahead.hours_tables import AtWork, hours_tables
from tui.base.commands import Command
from tui.boxes.folder.folder_page import FolderPage
from tui.boxes.pages import BACK, FIND, as_figures
from tui.widgets.figures import FiguresPane
from tui.working.job_in_hand import JobInHand


class HoursScreen(FolderPage[tuple[Job, CrewHours, FinishedJobs]]):
    """Reads the folder of the job, and then shows the tables; anew where the job becomes another meanwhile."""

    NAMED: ClassVar[tuple[Command, ...]] = (FIND, BACK)
    TABLE: ClassVar[str] = "Where it comes from"

    def __init__(self, hand: JobInHand) -> None:
        super().__init__("How long it will take", f"Reading the jobs in {hand.working.loaded.path.parent} ...", hand)
        self.hand = hand

    def read(self) -> tuple[Job, CrewHours, FinishedJobs]:
        working = self.hand.working
        job, file = working.job, working.loaded.path
        finished = finished_jobs(file.parent, job.rules.hours.pause_min, but=file, told=self.go_on)
        return job, hours_ahead(job, working.walk, finished), finished

    def show(self) -> None:
        self.begin()

    def came(self, found: tuple[Job, CrewHours, FinishedJobs]) -> None:
        job, hours, finished = found
        if job is not self.hand.job:
            self.begin()
        rules = job.rules.hours
        work = AtWork(len(job.job.crew) or 1, rules.day_hours, first_day(job, date.today()))
        self.query_one(FiguresPane).show(tuple(map(as_figures, hours_tables(hours, finished, work, rules.pause_min))))
