"""A folder of job files: progress, findings, date, sealed or not; unreadable ones with the reason."""

from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, OptionList, Static

from engine.findings import worst
from engine.job.errors import JobError
from engine.job.starter import starter
from engine.job.store import Entry, list_jobs, load, new
from engine.walk import walk
from tui.commands import Command, bindings
from tui.screens.choice import Ask
from tui.screens.pages import HelpDialog
from tui.theme import SIGNS
from tui.widgets.rows import Rows

COMMANDS = (
    Command("open", "enter", "open", "Open the job under the cursor.", "Jobs"),
    Command("new_job", "n", "new job", "Make a starter job to survey into.", "Jobs"),
    Command("reload", "f5,r", "read again", "Read the folder again.", "Jobs"),
    Command("light", "d", "sun or dusk", "Light colours for sun, dark ones for dusk.", "Jobs", in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys of this place.", "Jobs"),
    Command("leave", "q,ctrl+q", "quit", "Leave.", "Jobs"),
)


class JobsScreen(Screen[None]):
    """The jobs of one folder; Enter opens one."""

    BINDINGS: ClassVar = bindings(COMMANDS)
    DEFAULT_CSS = """
    JobsScreen { background: $background; }
    JobsScreen .head { height: 1; background: $panel; text-style: bold; padding: 0 1; }
    JobsScreen Rows { height: 1fr; }
    """

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    def compose(self) -> ComposeResult:
        """Folder, its jobs, footer."""
        yield Static(Content(f"Jobs in {self.folder}"), classes="head")
        yield Rows(id="jobs", empty="No job files here. Press n to make one.")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Read the folder."""
        self.action_reload()
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        """Back from a job: its row is read again."""
        if self.is_mounted:
            self.action_reload()

    def action_reload(self) -> None:
        """Read the folder again."""
        try:
            listed = list_jobs(self.folder)
        except JobError as error:
            self.notify(str(error), severity="error", markup=False)
            return
        self.query_one(Rows).show([(entry.path.name, job_row(entry)) for entry in listed])

    @on(OptionList.OptionSelected)
    def action_open(self) -> None:
        """Open the job under the cursor."""
        name = self.query_one(Rows).current
        if name is None:
            return
        try:
            loaded = load(self.folder / name)
        except JobError as error:
            self.notify(str(error), severity="error", markup=False, timeout=10)
            return
        self.app.open_job(loaded)  # type: ignore[attr-defined]  # LinewalkApp's own

    @work
    async def action_new_job(self) -> None:
        """A starter job."""
        name = await self.app.push_screen_wait(Ask("New job", "A name for its file", "such as maple_street"))
        if name is None:
            return
        path = self.folder / f"{Path(name).name.removesuffix('.toml')}.toml"
        try:
            new(path, starter(path.stem))
        except JobError as error:
            self.notify(str(error), severity="error", markup=False)
            return
        self.action_reload()
        self.query_one(Rows).go(path.name)

    def action_light(self) -> None:
        """Sun or dusk."""
        from tui.theme import DUSK, SUN

        self.app.theme = DUSK if self.app.theme == SUN else SUN

    def action_help(self) -> None:
        """The keys of this place."""
        self.app.push_screen(HelpDialog((("Jobs", COMMANDS),)))

    def action_leave(self) -> None:
        """Leave."""
        self.app.exit()


def job_row(entry: Entry) -> Content:
    """One job on one line, or why it can't be read."""
    name = f"{entry.path.name:<24.24} "
    if entry.loaded is None:
        return Content.assemble(name, Content.styled(f"{SIGNS['stop']} {entry.error.brief if entry.error else ''}", "bold $stop"))
    worked = walk(entry.loaded.job)
    done = sum(checklist.done for checklist in worked.checklists.values())
    of = sum(len(checklist.lines) for checklist in worked.checklists.values())
    level = worst(worked.findings)
    sign = Content.styled(f"{SIGNS[level]} ", f"bold ${level}") if level in ("stop", "fix") else Content("  ")
    state = "signed off" if entry.loaded.job.record is not None else f"{done} of {of} done"
    when = entry.loaded.job.job.planned_for
    return Content.assemble(name, f"{entry.loaded.job.job.title:<22.22} {state:<17}", sign, Content(f"{when:%Y-%m-%d}" if when else ""))
