"""Screens that only show: keys of the place, how a stage is done, the record."""

from asyncio import to_thread
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import App, ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

from engine.calc.phrases import listed
from engine.job.errors import JobError
from tui.base.commands import Command, bindings, by_group
from tui.base.held_back import HeldBack
from tui.base.key_buttons import press
from tui.base.told_once import tell_once
from tui.boxes.choice import Find
from tui.boxes.dialog import Dialog
from tui.boxes.row_words import top_line, who_and_saved
from tui.widgets.figures import FigureColumn, FigureRow, Figures, FiguresPane
from tui.widgets.key_line import KeyLine
from tui.widgets.reading_text import Paragraph, ReadingText
from tui.working.job_in_hand import JobInHand
from tui.working.working_copy import Working

if TYPE_CHECKING:
    from engine.job.model.job import Job
    from engine.paper.built_tables import Table
    from engine.walk import Walk

Write = Callable[[], Path | tuple[Path, ...]]
"""Writes one file, or several beside each other, and says which."""
WIDE = 74
"""Letters of a sentence that fit beside each other at 80 columns."""
KEY_CELLS = 16
"""Room for the keys of a line of help."""
FIND = Command("find", "slash", "find", "Find the next row or line that holds these words.", "This page")
WRITE = Command("write", "c", "as a page", "Write the record beside the job file as a page to print; nothing is overwritten.", "This page")
CLIENT = Command(
    "client",
    "k",
    "client",
    "Write the client's copy beside the job file, two or three pages to print; nothing is overwritten.",
    "This page",
)
SHEETS = Command(
    "sheets",
    "s",
    "crew sheets",
    "Write the sheets of a crew without a laptop beside the job file, to print; nothing is overwritten.",
    "This page",
)
REPAIR = Command("repair", "r", "repair", "Begin a repair from this signed job: what stands is done, what is new is asked.", "This page")
BEFORE = Command("before", "o", "old record", "The record of the signed job that this one repairs.", "This page")
BACK = Command("back", "escape,q", "back", "Back to the job.", "This page")


class HelpDialog(Dialog[None]):
    """Every key of a place, in groups."""

    TITLE = "Keys"
    HINT: ClassVar[str] = "Esc goes back. A click on a line does what its key does."
    TALL: ClassVar[bool] = True

    def __init__(self, groups: tuple[tuple[str, tuple[Command, ...]], ...]) -> None:
        super().__init__()
        self.groups = groups

    def parts(self) -> ComposeResult:
        yield ReadingText(tuple(self._lines()))

    def _lines(self) -> Iterator[Paragraph]:
        for place, commands in self.groups:
            told = ""
            for command in by_group(commands):
                if command.group != told:
                    told = command.group
                    yield Paragraph(Content.styled(told if place == told else f"{place}: {told.lower()}", "bold underline"))
                yield Paragraph(_button(command.sentence, command), _button(command.said, command).stylize("bold"), KEY_CELLS)

    def action_go_back_and_press(self, key: str) -> None:
        self.dismiss(None)
        press(self.app, key)

    def on_mount(self) -> None:
        scroll = self.query_one(VerticalScroll)
        scroll.can_focus = True
        scroll.focus()


def _button(words: str, command: Command) -> Content:
    return Content(words).stylize(Style.from_meta({"@click": f"screen.go_back_and_press('{command.keys[0]}')"}))


class ShowScreen(HeldBack[None]):
    """A full screen to read; Esc goes back. One on the job in hand is shown anew as that becomes another, and says whether it is saved."""

    NAMED: ClassVar[tuple[Command, ...]] = (FIND, BACK)
    """Its keys, the way out last."""
    BINDINGS: ClassVar = bindings((FIND, BACK))
    DEFAULT_CSS = """
    ShowScreen ReadingText { padding: 0 1; }
    ShowScreen .head { height: 1; background: $panel; text-style: bold; }
    """

    def __init__(self, title: str, hand: JobInHand | None = None) -> None:
        super().__init__()
        self._head, self._hand = title, hand
        self._sought = ""

    def body(self) -> ComposeResult:
        """What is shown."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        yield Static(self._top, classes="head")
        yield from self.body()
        yield KeyLine(self.named)

    @property
    def _top(self) -> Content:
        saved = who_and_saved(self._hand.working) if self._hand else ""
        return Content(top_line(self.app.size.width, self._head, saved))

    def show(self) -> None:
        """Show the job anew, where it is shown."""

    def job_changed(self) -> None:
        """The job is another one: what is read and written here is that one from now on."""
        self.show()
        self.query_one(KeyLine).show(self.named)

    def show_saved(self) -> None:
        """How far it is on its way to the disk."""
        tell_once(self.query_one(".head", Static), self._top, layout=False)

    def on_resize(self) -> None:
        """The first line is as wide as the screen."""
        self.show_saved()

    @property
    def named(self) -> tuple[Command, ...]:
        """The keys that its last line names."""
        return self.NAMED

    @work
    async def action_find(self) -> None:
        words = await self.app.push_screen_wait(Find("Find", placeholder="words", value=self._sought))
        if words is not None:
            self._sought = words
            if not self.find(words):
                self.notify(f"Nothing here holds {words}.", markup=False)

    def find(self, words: str) -> bool:
        """Go to the next place that holds these words; whether there is one."""
        return self.query_one(FiguresPane).find(words)

    def tell_written(self, write: Write) -> None:
        """Writes a file, or several beside each other, and says where it is, or why there is none."""
        _tell(self.app, *_written(write))

    def action_back(self) -> None:
        self.dismiss(None)


class TablesScreen(ShowScreen):
    """The tables of a record: those of what was built at once, the sheets' as soon as those can be read."""

    def __init__(self, title: str, job: "Job", walk: "Walk", seal: Sequence[str], hand: JobInHand | None = None) -> None:
        super().__init__(title, hand)
        self._of, self._seal = (job, walk), seal
        self._whole = False

    def body(self) -> ComposeResult:
        yield FiguresPane(self._built())

    def _built(self) -> list[Figures]:
        from engine.paper.record_office import printed_tables

        return _figures(printed_tables(*self._of, self._seal))

    def _sheets(self) -> list[Figures]:
        from engine.paper.record_office import sheet_tables

        return _figures(sheet_tables(*self._of))

    def on_mount(self) -> None:
        self.query_one(FiguresPane).focus()

    async def first_drawn(self) -> None:
        self._make_whole()

    def find(self, words: str) -> bool:
        self._make_whole()
        return super().find(words)

    def _make_whole(self) -> None:
        if not self._whole:
            self._whole = True
            self.query_one(FiguresPane).add(self._sheets())


class RecordScreen(TablesScreen):
    """The record as the office will read it, and to write from; first of all what was changed in it since it was signed."""

    BINDINGS: ClassVar = bindings((WRITE, CLIENT, SHEETS, REPAIR, BEFORE))

    def __init__(self, hand: JobInHand) -> None:
        working = hand.working
        super().__init__("Record: what was built", working.job, working.walk, working.touched, hand)
        self.hand = hand
        self._firm_asked = False

    @property
    def working(self) -> Working:
        """The job as it stands now."""
        return self.hand.working

    def show(self) -> None:
        self._of, self._seal = (self.working.job, self.working.walk), self.working.touched
        self.query_one(FiguresPane).show([*self._built(), *(self._sheets() if self._whole else ())])

    def show_saved(self) -> None:
        super().show_saved()
        if self.working.touched != self._seal:
            self.show()

    @property
    def named(self) -> tuple[Command, ...]:
        job = self.working.job
        return (WRITE, CLIENT, SHEETS, *((REPAIR,) if job.record else ()), *((BEFORE,) if job.repair_of else ()), FIND, BACK)

    def action_write(self) -> None:
        from engine.paper.photos.named_photos import named_photos
        from engine.paper.record_files import free_page_name, write_record

        there, unsaved = self.working.as_it_stands, not self.working.saved

        def write() -> Path:
            return write_record(there, free_page_name(there.path), unsaved=unsaved)[0]

        if named_photos(self.working.job):
            self.notify("Writing the page; its photos are made small meanwhile.", markup=False)
            self.app.run_worker(_written_aside(self.app, write))
        else:
            self.tell_written(write)
        self._ask_for_firm()

    def action_client(self) -> None:
        from engine.paper.record_files import free_page_name, write_record

        there, unsaved = self.working.as_it_stands, not self.working.saved
        self.tell_written(lambda: write_record(there, free_page_name(there.path, "client"), reader="client", unsaved=unsaved)[0])
        self._ask_for_firm()

    def _ask_for_firm(self) -> None:
        """How the firm is named on pages where none is, said once."""
        from engine.paper.firm.firm_file import no_firm_words

        if not self._firm_asked and (words := no_firm_words(self.working.as_it_stands)):
            self._firm_asked = True
            self.notify(words, markup=False, timeout=15)

    def action_sheets(self) -> None:
        from engine.paper.crew.crew_files import free_sheets_name, write_sheets

        there, unsaved = self.working.as_it_stands, not self.working.saved
        self.tell_written(lambda: write_sheets(there, free_sheets_name(there.path), unsaved=unsaved))

    @work
    async def action_repair(self) -> None:
        """A repair from the signed file: its name is asked for, and asked again where it won't do."""
        from tui.boxes.new_job_box import asked_repair

        if self.working.job.record is None or not self.working.saved:
            unsigned = "Only a job that is signed off can be repaired: sign it off first."
            self.notify(unsigned if self.working.job.record is None else "Not saved yet. Wait for the disk.", markup=False)
            return
        made = await asked_repair(self.app, self.working.loaded.path)
        if made is not None:
            self.app.open_file(made, instead=True)  # type: ignore[attr-defined]  # LinewalkApp's own

    def action_before(self) -> None:
        if self.working.job.repair_of is None:
            self.notify("This job repairs no other, so no other record stands in it.", markup=False)
        else:
            self.app.push_screen(old_record(self.working))


def old_record(repair: Working) -> TablesScreen:
    """The record of the signed job that a repair keeps, out of its kept lines."""
    from engine.paper.before_repair import record_before, seal_before
    from engine.walk import walk

    before, loaded = repair.job.repair_of, repair.as_it_stands
    job = record_before(loaded).job
    return TablesScreen(f"Record before this repair: {before.called if before else ''}", job, walk(job), seal_before(loaded))


def _figures(tables: "Sequence[Table]") -> list[Figures]:
    return [as_figures(_wrapped(table) if len(table.columns) == 1 else table) for table in tables]


def _written(write: Write) -> tuple[str, bool]:
    """Where a file was written, and what beside it, or why not, and which of the two."""
    try:
        made = write()
        first, *beside = made if isinstance(made, tuple) else (made,)
        return f"Written: {listed([str(first), *(path.name for path in beside)])}", True
    except JobError as error:
        return str(error), False


async def _written_aside(app: App[object], write: Write) -> None:
    """A file that takes a while, written in a thread and told once it is there, whatever screen is open then."""
    _tell(app, *await to_thread(_written, write))


def _tell(app: App[object], words: str, well: bool) -> None:
    if well:
        app.notify(words, markup=False, timeout=10)
    else:
        app.notify(words, severity="warning", markup=False)


def _wrapped(table: "Table") -> "Table":
    """A table of sentences, a row a line of the screen."""
    return replace(table, rows=tuple((row,) for (says,) in table.rows for row in wrap(says, WIDE)))


def as_figures(table: "Table") -> Figures:
    """A table of the paper as the screen shows it."""
    columns = tuple(FigureColumn(name, "left") for name in table.columns)
    return Figures(table.title, columns, tuple(FigureRow("", row) for row in table.rows), "" if table.rows else table.empty)
