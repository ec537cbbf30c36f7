"""How long it will take: crew hours by stage and the day they end, out of the finished jobs beside the job file."""

from datetime import date
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.message import Message

from engine.ahead.crew_hours import CrewHours, first_day, hours_ahead
from engine.ahead.finished_jobs import FinishedJobs, finished_jobs
from engine.job.errors import JobError
from engine.job.model.job import Job
from engine.paper.ahead.hours_tables import AtWork, hours_tables
from engine.walk import Walk
from tui.base.commands import Command
from tui.boxes.pages import BACK, FIND, ShowScreen, as_figures
from tui.stages.figure_tables import summed
from tui.widgets.figures import FiguresPane

TELL_S = 0.2


class Read(Message):
    """How far the folder is read, of how many; what it tells once it is, or why it can't be."""

    def __init__(self, number: int, of: int, found: tuple[CrewHours, FinishedJobs] | None = None, error: str = "") -> None:
        super().__init__()
        self.number, self.of, self.found, self.error = number, of, found, error


class HoursScreen(ShowScreen):
    """Reads the folder of the job in a thread of its own, and then shows the tables."""

    NAMED: ClassVar[tuple[Command, ...]] = (FIND, BACK)

    def __init__(self, job: Job, walk: Walk, job_file: Path) -> None:
        super().__init__("How long it will take")
        self.job, self.walk_shown, self.job_file = job, walk, job_file
        self._reading, self._left = True, False
        self._told = monotonic()

    @property
    def at_rest(self) -> bool:
        """Whether the whole folder was read."""
        return not self._reading and super().at_rest

    def body(self) -> ComposeResult:
        yield FiguresPane((summed("Where it comes from", f"Reading the jobs in {self.job_file.parent} ..."),))

    def on_mount(self) -> None:
        self.query_one(FiguresPane).focus()
        Thread(target=self._read, name="finished jobs", daemon=True).start()

    def _read(self) -> None:
        """In a thread."""
        try:
            found = finished_jobs(self.job_file.parent, self.job.rules.hours.pause_min, but=self.job_file, told=self._tell)
            if not self._left:
                self.post_message(Read(0, 0, (hours_ahead(self.job, self.walk_shown, found), found)))
        except JobError as error:
            self.post_message(Read(0, 0, error=str(error)))

    def _tell(self, number: int, of: int) -> bool:
        """How far it is, now and then; whether anybody still looks."""
        if monotonic() - self._told > TELL_S:
            self._told = monotonic()
            self.post_message(Read(number, of))
        return not self._left

    def on_unmount(self) -> None:
        """What is left of the folder can wait."""
        self._left = True

    @on(Read)
    def _came(self, event: Read) -> None:
        pane = self.query_one(FiguresPane)
        self._reading = event.found is None and not event.error
        if event.found is None:
            pane.show((summed("Where it comes from", event.error or f"Reading job {event.number} of {event.of} ..."),))
            return
        job, rules = self.job, self.job.rules.hours
        hours, finished = event.found
        work = AtWork(len(job.job.crew) or 1, rules.day_hours, first_day(job, date.today()))
        pane.show(tuple(map(as_figures, hours_tables(hours, finished, work, rules.pause_min))))
