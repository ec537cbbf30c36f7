"""A folder of job files: progress, findings, date, sealed or not; unreadable ones with the reason."""

from pathlib import Path
from threading import Thread
from time import monotonic
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static

from engine.calc.phrases import counted
from engine.folder.listing import Listed, listed
from engine.folder.listing_memory import ListedFacts
from engine.job.errors import JobError, shown
from engine.job.file.store import new, starter, state_folder
from tui.base.apart import apart
from tui.base.commands import Command, bindings
from tui.base.held_back import HeldBack
from tui.base.theme import SIGNS
from tui.boxes.choice import Ask
from tui.boxes.pages import HelpDialog
from tui.widgets.key_line import KeyLine
from tui.widgets.rows import Rows

TELL_S = 0.1
"""How often rows that were read are shown."""
SEALED = {"sealed": "sealed, verified", "signed off": "signed off"}
COMMANDS = (
    Command("open", "enter", "open", "Open the job under the cursor.", "Jobs"),
    Command("new_job", "n", "new job", "Make a starter job to survey into.", "Jobs"),
    Command("reload", "f5,r", "read again", "Read the folder again.", "Jobs"),
    Command("light", "d", "sun or dusk", "Light colours for sun, dark ones for dusk.", "Jobs", in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys that work here.", "Jobs"),
    Command("leave", "q,ctrl+q", "quit", "Leave.", "Jobs"),
)


class Found(Message):
    """Files that were looked at since the last time; `done` when all were."""

    def __init__(self, reading: object, rows: list[Listed], done: bool, error: str = "") -> None:
        super().__init__()
        self.reading, self.rows, self.done, self.error = reading, rows, done, error


class JobsScreen(HeldBack[None]):
    """The jobs of one folder; Enter opens one. Rows appear as they are read, in a thread of their own."""

    BINDINGS: ClassVar = bindings(COMMANDS)
    DEFAULT_CSS = """
    JobsScreen { background: $background; }
    JobsScreen .head { height: 1; background: $panel; text-style: bold; padding: 0 1; }
    JobsScreen Rows { height: 1fr; }
    """

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.listed: dict[str, Listed] = {}
        self.go_to = ""
        self._reading: object | None = None
        self._seen: set[str] = set()

    def compose(self) -> ComposeResult:
        """Folder, its jobs, footer."""
        yield Static(id="head", classes="head", markup=False)
        yield Rows(id="jobs", empty="No job files here. Press n to make one.")
        yield KeyLine(COMMANDS)

    def on_mount(self) -> None:
        """Ready to choose."""
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        """Here, or back from a job: the folder is read again; what is known of it is shown meanwhile."""
        self.action_reload()

    def on_screen_suspend(self) -> None:
        """A job is open: the rest of the folder can wait."""
        self._reading = None

    @property
    def at_rest(self) -> bool:
        """Whether the whole folder was read."""
        return self._reading is None

    def action_reload(self) -> None:
        """Read the folder again."""
        self._reading, self._seen = object(), set()
        Thread(target=self._read, args=(self._reading,), name="folder", daemon=True).start()
        self._show_head()

    def _read(self, reading: object) -> None:
        """In a thread: rows are told a few at a time; a folder that is read anew meanwhile ends this."""
        rows: list[Listed] = []
        told = monotonic()
        try:
            for row in listed(self.folder, state_folder()):
                if self._reading is not reading:
                    return
                rows.append(row)
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
        self.listed.update({row.name: row for row in event.rows})
        self._seen.update(row.name for row in event.rows)
        if event.done:
            self._reading = None
            self.listed = {name: row for name, row in self.listed.items() if name in self._seen}
        rows = self.query_one(Rows)
        rows.show((name, job_row(self.listed[name])) for name in sorted(self.listed))
        if self.go_to in self.listed:
            rows.go(self.go_to)
            self.go_to = ""
        self._show_head()

    def _show_head(self) -> None:
        wrong = sum(bool(row.error) for row in self.listed.values())
        left = sum(not row.whole for row in self.listed.values())
        parts = [counted(len(self.listed), "job")]
        parts += [f"{wrong} can't be read"] if wrong else []
        parts += [f"{left} still to work out"] if left else []
        says = ", ".join(parts)
        room = max(self.app.size.width - len(says) - 5, 8)
        where = shown(str(self.folder), 1_000)
        where = where if len(where) <= room else f"…{where[1 - room :]}"
        self.query_one("#head", Static).update(f"{where:<{room}} {says}")

    @on(OptionList.OptionSelected)
    def action_open(self) -> None:
        """Open the job under the cursor."""
        name = self.query_one(Rows).current
        if name is not None:
            self.app.open_file(self.folder / name)  # type: ignore[attr-defined]  # LinewalkApp's own

    @work
    async def action_new_job(self) -> None:
        """A starter job; where its name won't do, it is asked again with what was typed."""
        says, typed = "A name for its file", ""
        while (name := await self.app.push_screen_wait(Ask("New job", says, "such as maple_street", typed))) is not None:
            path = self.folder / f"{Path(name).name.removesuffix('.toml')}.toml"
            try:
                await apart(lambda path=path: new(path, starter(path.stem)))  # type: ignore[misc]  # mypy knows no default of a lambda
            except JobError as error:
                says, typed = f"{SIGNS['fix']} {error}", name
                continue
            self.go_to = path.name
            self.action_reload()
            return

    def action_light(self) -> None:
        """Sun or dusk."""
        from tui.base.theme import DUSK, SUN

        self.app.theme = DUSK if self.app.theme == SUN else SUN

    def action_help(self) -> None:
        """The keys that work here."""
        self.app.push_screen(HelpDialog((("Jobs", COMMANDS),)))

    def action_leave(self) -> None:
        """Leave."""
        self.app.exit()


def job_row(row: Listed) -> Content:
    """One job on one line, or why it can't be read."""
    name = f"{shown(row.name, 24):<24.24} "
    if row.kept is None:
        return Content.assemble(name, Content.styled(f"{SIGNS['stop']} ", "bold $stop"), row.error)
    kept = row.kept
    sign = Content.styled(f"{SIGNS[kept.worst]} ", f"bold ${kept.worst}") if kept.worst in ("stop", "fix") else Content("  ")
    return Content.assemble(name, f"{shown(kept.title, 22):<22.22} ", _state(kept), sign, Content(kept.day))


def _state(kept: ListedFacts) -> Content:
    if kept.seal == "touched":
        return Content.assemble(Content.styled(f"{SIGNS['stop']} ", "bold $stop"), f"{'sealed, changed':<16}")
    progress = f"{kept.done} done" if kept.of is None else f"{kept.done} of {kept.of} done"
    return Content(f"{SEALED.get(kept.seal, progress):<17} ")
