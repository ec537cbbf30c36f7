"""Screens that only show: keys of the place, how a stage is done, the record."""

from dataclasses import replace
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Footer, Static

from engine.findings import TITLES, StageName
from engine.job.model.job import Job
from engine.walk import Walk
from tui.base.commands import Command, bindings, help_lines
from tui.base.held_back import HeldBack
from tui.boxes.dialog import Dialog
from tui.widgets.figures import FigureColumn, FigureRow, Figures, FiguresPane

if TYPE_CHECKING:
    from engine.paper.built_tables import Table

WIDE = 74
"""Letters of a sentence that fit beside each other at 80 columns."""
BACK = Command("back", "escape,q", "back", "Back to the job.", "This page")


class HelpDialog(Dialog[None]):
    """Every key of a place, in groups."""

    TITLE_WORDS: ClassVar[str] = "Keys"
    HINT: ClassVar[str] = "Esc goes back."
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    HelpDialog .keyline { height: auto; }
    HelpDialog .key { width: 16; }
    HelpDialog .means { width: 1fr; height: auto; }
    """

    def __init__(self, groups: tuple[tuple[str, tuple[Command, ...]], ...]) -> None:
        super().__init__()
        self.groups = groups

    def parts(self) -> ComposeResult:
        """One heading a group, one line a key."""
        for place, commands in self.groups:
            told = ""
            for group, keys, sentence in help_lines(commands):
                if group != told:
                    told = group
                    yield Static(Content.styled(group if place == group else f"{place}: {group.lower()}", "bold underline"), classes="says")
                with Horizontal(classes="keyline"):
                    yield Static(Content.styled(keys, "bold"), classes="key")
                    yield Static(Content(sentence), classes="means")

    def on_mount(self) -> None:
        """Scroll with the arrows."""
        scroll = self.query_one(VerticalScroll)
        scroll.can_focus = True
        scroll.focus()


class ShowScreen(HeldBack[None]):
    """A full screen to read; Esc goes back."""

    BINDINGS: ClassVar = bindings((BACK,))
    DEFAULT_CSS = """
    ShowScreen { background: $background; }
    ShowScreen .head { height: 1; background: $panel; text-style: bold; padding: 0 1; }
    ShowScreen Markdown { background: $background; }
    """

    def __init__(self, title: str) -> None:
        super().__init__()
        self._head = title

    def body(self) -> ComposeResult:
        """What is shown."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """Title, body, footer."""
        yield Static(Content(self._head), classes="head")
        yield from self.body()
        yield Footer(show_command_palette=False)

    def action_back(self) -> None:
        """Back to the job."""
        self.dismiss(None)


class GuideScreen(ShowScreen):
    """How a stage is done, with its cautions."""

    def __init__(self, stage: StageName) -> None:
        super().__init__(f"How to: {TITLES[stage]}")
        self.stage = stage

    def body(self) -> ComposeResult:
        """The page, to scroll."""
        from textual.widgets import Markdown

        from engine.guide import guide

        with VerticalScroll():
            yield Markdown(guide(self.stage), open_links=False)

    def on_mount(self) -> None:
        """Scroll with the arrows at once."""
        self.query_one(VerticalScroll).focus()


class TablesScreen(ShowScreen):
    """Tables to read: the record."""

    def __init__(self, title: str, tables: tuple[Figures, ...]) -> None:
        super().__init__(title)
        self.tables = tables

    def body(self) -> ComposeResult:
        """The tables, to scroll."""
        yield FiguresPane(self.tables)

    def on_mount(self) -> None:
        """From the first title on."""
        self.call_after_refresh(self.query_one(FiguresPane).scroll_home, animate=False)


def record_screen(job: Job, walk: Walk, touched: tuple[str, ...]) -> TablesScreen:
    """The record as the office will read it; first of all what was changed in it since it was signed."""
    from engine.paper.record_office import read_tables

    tables = (_wrapped(table) if len(table.columns) == 1 else table for table in read_tables(job, walk, touched))
    return TablesScreen("Record: what was built", tuple(map(_figures, tables)))


def _wrapped(table: "Table") -> "Table":
    """A table of sentences, a row a line of the screen."""
    return replace(table, rows=tuple((row,) for (says,) in table.rows for row in wrap(says, WIDE)))


def _figures(table: "Table") -> Figures:
    columns = tuple(FigureColumn(name, "left") for name in table.columns)
    return Figures(table.title, columns, tuple(FigureRow("", row) for row in table.rows), "" if table.rows else table.empty)
