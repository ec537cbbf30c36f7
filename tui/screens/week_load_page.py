"""What to load for all jobs of one week: the folder is read in a thread, then the jobs and the list are shown, and written from."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from engine.calc.dates import format_date
from engine.calc.phrases import counted, figure
from engine.calc.units import in_units
from engine.folder.planned_week import planned_week
from engine.job.errors import JobError
from engine.job.file.store import state_folder
from engine.paper.load_list import RULE
from engine.paper.many_jobs.week_load import SHARED, SharedRow, WeekLoad, week_load
from engine.paper.many_jobs.week_load_words import NOTHING, free_week_name, job_words, share_words, shared_words, write_week_load
from engine.paper.pack_words import packs_words
from tui.base.commands import Command, bindings
from tui.boxes.materials import TO_LOAD
from tui.boxes.pages import FIND, ShowScreen
from tui.stages.figure_tables import summed, table
from tui.stages.punch import shortened
from tui.widgets.chosen import Chosen
from tui.widgets.figures import Figures, FiguresPane

TELL_S = 0.2
WRITE = Command("write", "c", "as CSV", "Write the list into the folder as CSV; nothing is overwritten.", "This page")
BACK = Command("back", "escape,q", "back", "Back to the jobs.", "This page")


class WeekRead(Message):
    """How far the folder is read, of how many; the list once it is, or why it can't be."""

    def __init__(self, number: int, of: int, load: WeekLoad | None = None, error: str = "") -> None:
        super().__init__()
        self.number, self.of, self.load, self.error = number, of, load, error


class WeekLoadPage(ShowScreen):
    """Reads the jobs of the week in a thread of its own, and then shows what to load for them together."""

    NAMED: ClassVar[tuple[Command, ...]] = (TO_LOAD, WRITE, FIND, BACK)
    BINDINGS: ClassVar = bindings((TO_LOAD, WRITE, BACK))
    DEFAULT_CSS = "WeekLoadPage #whole-row { height: 4; padding: 0 1; background: $surface; }"

    def __init__(self, folder: Path, day: date) -> None:
        super().__init__("What to load for a week")
        self.folder, self.day = folder, day
        self.load: WeekLoad | None = None
        self._whole: dict[str, str] = {}
        self._reading, self._left = True, False
        self._told = monotonic()

    @property
    def at_rest(self) -> bool:
        """Whether all of the week was read."""
        return not self._reading and super().at_rest

    def body(self) -> ComposeResult:
        yield FiguresPane((summed("Jobs of the week", "Reading the jobs ..."),))
        yield Static(id="whole-row", markup=False)

    def on_mount(self) -> None:
        self.query_one(FiguresPane).focus()
        Thread(target=self._read, name="week", daemon=True).start()

    def _read(self) -> None:
        """In a thread."""
        try:
            week = planned_week(self.folder, self.day, state_folder(), told=self._tell)
            if week.whole:
                self.post_message(WeekRead(0, 0, week_load(week)))
        except JobError as error:
            self.post_message(WeekRead(0, 0, error=str(error)))

    def _tell(self, number: int, of: int) -> bool:
        """How far it is, now and then; whether anybody still looks."""
        if monotonic() - self._told > TELL_S:
            self._told = monotonic()
            self.post_message(WeekRead(number, of))
        return not self._left

    def on_unmount(self) -> None:
        """What is left of the folder can wait."""
        self._left = True

    @on(WeekRead)
    def _came(self, event: WeekRead) -> None:
        pane = self.query_one(FiguresPane)
        self._reading, self.load = event.load is None and not event.error, event.load
        if event.load is None:
            pane.show((summed("Jobs of the week", event.error or f"Reading job {event.number} of {event.of} ..."),))
            return
        out = f", {len(event.load.left_out)} not in this list" if event.load.left_out else ""
        self.query_one(".head", Static).update(Content(f"{event.load.title}: {counted(len(event.load.jobs), 'job')}{out}"))
        self._whole = dict(_whole_rows(event.load))
        pane.show(week_tables(event.load))
        self._say_whole(next(iter(self._whole), ""))

    @on(Chosen)
    def _row_reached(self, event: Chosen) -> None:
        self._say_whole(event.id)

    def _say_whole(self, row: str) -> None:
        """A row in words: the table has no room for a long name, a reason, or for what is there."""
        self.query_one("#whole-row", Static).update(Content(self._whole.get(row, "")))

    def action_to_load(self) -> None:
        """The cursor into the load list, which comes last; from there back to the jobs."""
        pane = self.query_one(FiguresPane)
        last = len(pane.figures) - 1
        pane.go_to_table(0 if pane.table == last else last)
        if pane.cursor is not None:
            self._say_whole(pane.cursor.id)

    def action_write(self) -> None:
        load = self.load
        if load is None:
            self.notify("Still reading the jobs.", markup=False)
        else:
            self.tell_written(lambda: write_week_load(load, free_week_name(self.folder, load)))


def _whole_rows(load: WeekLoad) -> Iterator[tuple[str, str]]:
    """What each row says at its full length, by the id of the row."""
    yield from ((f"job {at}", job_words(job)) for at, job in enumerate(load.jobs))
    yield from ((f"out {at}", f"{name}: {why}") for at, (name, why) in enumerate(load.left_out))
    yield from ((f"{row.load.place}", f"{shared_words(row)}\n{share_words(row)}") for row in load.rows)


def week_tables(load: WeekLoad) -> tuple[Figures, ...]:
    """The jobs that are loaded for, what is not in the list and why, and the list: all together, then each job."""
    jobs = ((f"job {at}", f"{job.day:%a} {format_date(job.day)}", job.called, job.title, job.says) for at, job in enumerate(load.jobs))
    out = ((f"out {at}", *name_why) for at, name_why in enumerate(load.left_out))
    first = [table("Jobs of the week", "<planned|<job|<title|<", jobs, "" if load.jobs else NOTHING)]
    first += [table("NOT IN THIS LIST", "<what|<why", out)] if load.left_out else []
    return (*first, _load_table(load)) if load.rows else tuple(first)


def _load_table(load: WeekLoad) -> Figures:
    """The figures of the jobs are pieces, of what is cut from rolls the length."""
    heads = "|".join(("place|<what|<together|to load", *(job.called.replace("|", " ") for job in load.jobs)))
    return table("Load list, first in at the top", heads, (_row(row, load) for row in load.rows), " ".join((RULE, *SHARED)))


def _row(row: SharedRow, load: WeekLoad) -> tuple[str, ...]:
    total, of_jobs = row.load.row, (row.of_jobs.get(job.called) for job in load.jobs)
    with in_units(row.units):
        shares = tuple(figure(one.needed + one.spare, one.unit) if one else "" for one in of_jobs)
        together = packs_words(total, row.load.kind)
    place = f"{row.load.place}"
    return (place, place, shortened(total.name), together, f"{row.to_load or ''}", *shares)
