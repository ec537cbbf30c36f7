"""A folder of job files as a table: sorted, found, filtered; folders in it; unreadable ones with the reason."""

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Static

from engine.calc.dates import format_date
from engine.calc.phrases import counted
from engine.folder.job_order import HEADS, SHOWN, Head, Shown, cells, chosen, in_order
from engine.folder.listing import Listed, folders_in, listed
from engine.job.errors import JobError, shown
from engine.job.file.store import new, state_folder
from tui.base.apart import apart
from tui.base.commands import Command, bindings
from tui.base.held_back import HeldBack
from tui.boxes.choice import Find
from tui.boxes.new_job_box import NewJobDialog
from tui.boxes.pages import HelpDialog
from tui.screens.job_table import JobTable
from tui.widgets.key_line import KeyLine

TELL_S = 0.1
"""How often rows that were read are shown."""
COMMANDS = (
    Command("open", "enter", "open", "Open the job or the folder under the cursor.", "Jobs"),
    Command("new_job", "n", "new job", "A new job to survey into: its heading in a short form.", "Jobs"),
    Command("find", "slash", "find", "Show only jobs that hold these words, in the heading or under any head.", "Jobs"),
    Command("sort", "s", "sort", "Sort by the next head; a click on a head does too.", "Jobs"),
    Command("turn", "S", "turn", "The same order from the other end.", "Jobs", in_footer=False),
    Command("filter", "f", "which", "All jobs, those in work, those signed off, those that can't be read.", "Jobs"),
    Command("week", "w", "week", "Only jobs planned for the week of the one under the cursor, or all again.", "Jobs"),
    Command("week_load", "t", "load", "What to load for all jobs of that week together, to look at and to write.", "Jobs"),
    Command("up", "backspace", "folder above", "The folder above, as far as the one that was opened.", "Jobs", in_footer=False),
    Command("all", "escape", "all", "All jobs again, whatever was looked for.", "Jobs", in_footer=False),
    Command("reload", "f5,r", "read again", "Read the folder again.", "Jobs", in_footer=False),
    Command("app.light", "d", "sun or dusk", "Light colours for sun, dark ones for dusk.", "Jobs", in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys that work here.", "Jobs"),
    Command("leave", "q,ctrl+q", "quit", "Leave.", "Jobs"),
)


class Found(Message):
    """Files that were looked at since the last time; `done` when all were."""

    def __init__(self, reading: object, rows: list[Listed], done: bool, error: str = "", folders: list[str] | None = None) -> None:
        super().__init__()
        self.reading, self.rows, self.done, self.error, self.folders = reading, rows, done, error, folders


class JobsScreen(HeldBack[None]):
    """The jobs of one folder; Enter opens one, or a folder in it. Rows appear as they are read, in a thread of their own."""

    BINDINGS: ClassVar = bindings(COMMANDS)
    DEFAULT_CSS = """
    JobsScreen .head { height: 1; background: $panel; text-style: bold; padding: 0 1; }
    JobsScreen #chosen-job { height: 2; padding: 0 1; background: $surface; }
    """

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.top = self.folder = folder
        self.listed: dict[str, Listed] = {}
        self.folders: list[str] = []
        self.head: Head = "planned"
        self.backwards = True
        self.which: Shown = "all"
        self.sought = self.week_of = ""
        self.go_to = ""
        self._reading: object | None = None
        self._covered = True
        self._seen: set[str] = set()

    def compose(self) -> ComposeResult:
        """Folder, its jobs, the one under the cursor in words, footer."""
        yield Static(id="head", classes="head", markup=False)
        yield JobTable("No job files here. Press n to make one.")
        yield Static(id="chosen-job", markup=False)
        yield KeyLine(COMMANDS)

    def on_mount(self) -> None:
        self.query_one(JobTable).focus()

    def on_screen_resume(self) -> None:
        """Here, or back from a job: the folder is read again; what is known of it is shown meanwhile. Behind a box it was read on."""
        if self._covered:
            self._covered = False
            self.action_reload()

    def on_screen_suspend(self) -> None:
        """A job is open, or the load of a week: the rest of the folder can wait."""
        if not isinstance(self.app.screen, ModalScreen):
            self._covered, self._reading = True, None

    def on_unmount(self) -> None:
        """Nobody looks any more."""
        self._reading = None

    @property
    def at_rest(self) -> bool:
        """Whether the whole folder was read."""
        return self._reading is None

    def action_reload(self) -> None:
        self._reading, self._seen = object(), set()
        Thread(target=self._read, args=(self._reading,), name="folder", daemon=True).start()
        self._show()

    def _read(self, reading: object) -> None:
        """In a thread: rows are told a few at a time; a folder that is read anew meanwhile ends this."""
        rows: list[Listed] = []
        told, folder = 0.0, self.folder
        from engine.ahead.finished_jobs import keeping_times
        from engine.ahead.listed_apart import listed_apart

        try:
            self.post_message(Found(reading, [], done=False, folders=folders_in(folder)))
            with keeping_times() as also:
                for row in listed(folder, state_folder(), also=also, helper=listed_apart):
                    if self._reading is not reading:
                        return
                    rows.append(row)
                    told = told or monotonic()  # the first time a screenful rather than a row: what is kept was read before it
                    if monotonic() - told > TELL_S:
                        self.post_message(Found(reading, rows, done=False))
                        rows, told = [], monotonic()
            self.post_message(Found(reading, rows, done=True))
        except JobError as error:
            self.post_message(Found(reading, [], done=True, error=str(error)))

    @on(Found)
    def _found(self, event: Found) -> None:
        if event.reading is not self._reading:
            return
        if event.error:
            self.notify(event.error, severity="error", markup=False)
        self.folders = self.folders if event.folders is None else event.folders
        self.listed.update({row.name: row for row in event.rows})
        self._seen.update(row.name for row in event.rows)
        if event.done:
            self._reading = None
            self.listed = {name: row for name, row in self.listed.items() if name in self._seen}
        self._show()

    def _show(self) -> None:
        jobs = in_order(chosen(self.listed.values(), self.which, self.sought, self.week_of), self.head, backwards=self.backwards)
        table = self.query_one(JobTable)
        table.empty = "No job here is like that. Esc shows all." if self.listed and not jobs else "No job files here. Press n to make one."
        table.show([] if self._narrowed else self.folders, jobs, self.head, self.backwards)
        if self.go_to and self.go_to in self.listed:
            table.go(self.go_to)
            self.go_to = ""
        self._show_head(len(jobs))

    def _show_head(self, shown_now: int) -> None:
        wrong = sum(bool(row.error) for row in self.listed.values())
        left = sum(not row.whole for row in self.listed.values())
        only: list[str] = [self.which] if self.which != "all" else []
        only += [f'"{shown(self.sought, 16)}"'] if self.sought else []
        only += [f"week of {format_date(date.fromisoformat(self.week_of))}"] if self.week_of else []
        copies = sum(row.copy is not None for row in self.listed.values())
        parts = [
            f"{shown_now} of {counted(len(self.listed), 'job')}: {', '.join(only)}" if only else counted(len(self.listed) - copies, "job")
        ]
        parts += [counted(copies, "copy", "copies")] if copies and not only else []
        parts += [f"{wrong} can't be read"] if wrong and not only else []
        parts += [f"{left} still to work out"] if left else []
        if self.head not in self.query_one(JobTable).columns():
            parts.append(f"by {self.head}{', backwards' if self.backwards else ''}")
        says = ", ".join(parts)
        room = max(self.app.size.width - len(says) - 5, 8)
        where = shown(str(self.folder), 1_000)
        where = where if len(where) <= room else f"…{where[1 - room :]}"
        self.query_one("#head", Static).update(f"{where:<{room}} {says}", layout=False)

    @on(JobTable.Reached)
    def _reached(self) -> None:
        row = self.query_one(JobTable).current
        self.query_one("#chosen-job", Static).update(Content(row_words(row, self.query_one(JobTable).columns())), layout=False)

    @on(JobTable.HeadClicked)
    def _head_clicked(self, event: JobTable.HeadClicked) -> None:
        self.backwards = event.head == self.head and not self.backwards
        self.head = event.head
        self._show()

    def action_sort(self) -> None:
        self.head, self.backwards = HEADS[(HEADS.index(self.head) + 1) % len(HEADS)], False
        self._show()

    def action_turn(self) -> None:
        self.backwards = not self.backwards
        self._show()

    def action_filter(self) -> None:
        self.which = SHOWN[(SHOWN.index(self.which) + 1) % len(SHOWN)]
        self._show()

    def action_week(self) -> None:
        self.week_of = "" if self.week_of else self._day()
        self._show()

    def _day(self) -> str:
        """The planned day of the job under the cursor; says so where there is none."""
        row = self.query_one(JobTable).current
        day = row.kept.day if isinstance(row, Listed) and row.kept else ""
        if not day:
            self.notify("No day is planned for that one.", markup=False)
        return day

    def action_week_load(self) -> None:
        """The week that is shown, else that of the job under the cursor."""
        from tui.screens.week_load_page import WeekLoadPage

        if day := self.week_of or self._day():
            self.app.push_screen(WeekLoadPage(self.folder, date.fromisoformat(day)))

    @work
    async def action_find(self) -> None:
        words = await self.app.push_screen_wait(Find("Find a job", placeholder="number, title, client, stage ...", value=self.sought))
        if words is not None:
            self.sought = words
            self._show()

    @property
    def _narrowed(self) -> bool:
        return self.which != "all" or bool(self.sought or self.week_of)

    def action_all(self) -> None:
        """All jobs again; from all of them, the folder above."""
        if not self._narrowed:
            self.action_up()
            return
        self.which, self.sought, self.week_of = "all", "", ""
        self._show()

    def action_up(self) -> None:
        if self.folder != self.top:
            self._into(self.folder.parent, f"{self.folder.name}/")

    @on(JobTable.Entered)
    def action_open(self) -> None:
        row = self.query_one(JobTable).current
        if isinstance(row, Listed):
            self.app.open_file(self.folder / row.name)  # type: ignore[attr-defined]  # LinewalkApp's own
        elif row is not None:
            self._into(self.folder / row)

    def _into(self, folder: Path, go_to: str = "") -> None:
        self.folder, self.listed, self.folders, self.go_to = folder, {}, [], go_to
        self.action_reload()

    @work
    async def action_new_job(self) -> None:
        """A new job; where its file's name won't do, it is asked again with what was typed."""
        typed, refused = dict[str, str](), ""
        while (made := await self.app.push_screen_wait(NewJobDialog(datetime.now().astimezone().date(), typed, refused))) is not None:
            path = self.folder / made.file
            self.app.opening = True  # type: ignore[attr-defined]  # LinewalkApp's own, as below
            try:
                await apart(lambda path=path, job=made.job: new(path, job))  # type: ignore[misc]  # mypy knows no default of a lambda
            except JobError as error:
                typed, refused = dict(made.typed), str(error)
                self.app.opening = False  # type: ignore[attr-defined]
                continue
            self.go_to = path.name
            self.app.open_file(path)  # type: ignore[attr-defined]  # LinewalkApp's own
            return

    def action_help(self) -> None:
        self.app.push_screen(HelpDialog((("Jobs", COMMANDS),)))

    def action_leave(self) -> None:
        self.app.exit()


def row_words(row: str | Listed | None, heads: Sequence[Head]) -> str:
    """The row under the cursor: its file, then what has no room in the table; or why it can't be read."""
    if row is None:
        return ""
    if isinstance(row, str):
        return "A folder. Enter opens it, Backspace leads back."
    if row.kept is None:
        return row.error
    said = cells(row)
    more = [f"{head} {said[head]}" if head in ("number", "short") else said[head] for head in HEADS if head not in heads and said[head]]
    more = [f"It {row.copy.says.rstrip('.')}", *more] if row.copy else more
    more += ["changed after it was signed: open it to see what"] if row.kept.seal == "touched" else []
    return shown(". ".join((f"{said['title']}, {row.name}", *more)), 1_000)
