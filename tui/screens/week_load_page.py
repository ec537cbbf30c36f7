"""What to load for all jobs of one week: the folder is read in a thread, then the jobs and the list are shown, and written from."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from engine.calc.dates import format_date
from engine.calc.phrases import counted, figure
from engine.calc.units import in_units
from engine.folder.planned_week import planned_week
from engine.job.file.store import state_folder
from engine.paper.load_list import RULE
from engine.paper.many_jobs.week_load import SHARED, SharedRow, WeekLoad, week_load
from engine.paper.many_jobs.week_load_words import NOTHING, free_week_name, job_words, share_words, shared_words, write_week_load
from engine.paper.pack_words import packs_words
from tui.base.commands import Command, bindings
from tui.boxes.folder.folder_page import FolderPage
from tui.boxes.materials import TO_LOAD
from tui.boxes.pages import FIND
from tui.stages.figure_tables import table
from tui.widgets.chosen import Chosen
from tui.widgets.figures import Figures, FiguresPane

WRITE = Command("write", "c", "as CSV", "Write the list into the folder as CSV; nothing is overwritten.", "This page")
BACK = Command("back", "escape,q", "back", "Back to the jobs.", "This page")


class WeekLoadPage(FolderPage[WeekLoad]):
    """Reads the jobs of the week, and then shows what to load for them together."""

    NAMED: ClassVar[tuple[Command, ...]] = (TO_LOAD, WRITE, FIND, BACK)
    BINDINGS: ClassVar = bindings((TO_LOAD, WRITE, BACK))
    TABLE: ClassVar[str] = "Jobs of the week"
    DEFAULT_CSS = "WeekLoadPage #whole-row { height: 4; padding: 0 1; background: $surface; }"

    def __init__(self, folder: Path, day: date) -> None:
        super().__init__("What to load for a week")
        self.folder, self.day = folder, day
        self.load: WeekLoad | None = None
        self._whole: dict[str, str] = {}

    def body(self) -> ComposeResult:
        yield from super().body()
        yield Static(id="whole-row", markup=False)

    def read(self) -> WeekLoad | None:
        week = planned_week(self.folder, self.day, state_folder(), told=self.go_on)
        return week_load(week) if week.whole else None

    def came(self, found: WeekLoad) -> None:
        self.load = found
        out = f", {len(found.left_out)} not in this list" if found.left_out else ""
        self._head = f"{found.title}: {counted(len(found.jobs), 'job')}{out}"
        self.show_saved()
        self._whole = dict(_whole_rows(found))
        self.query_one(FiguresPane).show(week_tables(found))
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
    return (place, place, total.name, together, f"{row.to_load or ''}", *shares)
