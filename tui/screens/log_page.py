"""The log as a page: newest first, a sentence an entry; one is struck once its consequences were seen, or leads to its place."""

from collections.abc import Mapping
from datetime import datetime
from textwrap import wrap
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import OptionList, Static

from engine.calc.phrases import plural
from engine.change.logged_places import where_logged
from engine.job.edit.striking import comes_of_it, in_the_way, strike, struck_with
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, PhotoEntry, SignedEntry, SupersededEntry, in_time
from engine.job.model.words.log_sentences import happened, sentence, struck_words
from engine.stages.punch.closing_list import Jump
from tui.base.commands import bindings
from tui.base.key_lists import LOG_PAGE_COMMANDS
from tui.boxes.choice import Find
from tui.boxes.in_name import ask_to_reopen, in_name
from tui.boxes.job_screen import JobScreen
from tui.boxes.pages import HelpDialog
from tui.boxes.row_words import job_title, top_line, who_and_saved
from tui.screens.photo_keys import troubles_of
from tui.widgets.key_line import KeyLine
from tui.widgets.rows import Row, Rows
from tui.working.job_in_hand import JobInHand

NOTHING = "Nothing has been logged yet. On the job, l logs what happened."
WHO_COLUMNS = 12
"""A longer name is cut in its column, and stands whole below the list."""


class LoggedRows(Rows[str]):
    """Rows of which a click chooses one, and a click on the chosen one leads to its place."""

    async def _on_click(self, event: Click) -> None:
        clicked = event.style.meta.get("option")
        if clicked is not None and clicked != self.highlighted:
            self.highlighted = clicked
            event.prevent_default()


class LogPage(JobScreen):
    """All entries of the log. `leads_to` is the place that the crew chose to go to, once the page is left."""

    BINDINGS: ClassVar = bindings(LOG_PAGE_COMMANDS)
    DEFAULT_CSS = """
    LogPage .head { height: 1; background: $panel; text-style: bold; }
    LogPage #entries { height: 1fr; border: none; padding: 0 1; }
    LogPage #chosen-entry { height: auto; min-height: 2; max-height: 4; padding: 0 1; background: $surface; }
    """
    leads_to: Jump | None = None

    class Seen(Message):
        """What is wrong with picture files that are named."""

        def __init__(self, troubles: Mapping[str, str]) -> None:
            super().__init__()
            self.troubles = troubles

    def __init__(self, hand: JobInHand, at: str = "") -> None:
        super().__init__(hand)
        self._at, self._sought = at, ""
        self._troubles: Mapping[str, str] = {}
        """What is wrong with picture files, by their names."""

    def compose(self) -> ComposeResult:
        """Top line, the entries, what can be done with the one under the cursor, footer."""
        yield Static(id="log-top", classes="head", markup=False)
        yield LoggedRows(id="entries", empty=NOTHING)
        yield Static(id="chosen-entry", markup=False)
        yield KeyLine(LOG_PAGE_COMMANDS)

    def on_mount(self) -> None:
        self.query_one(LoggedRows).focus()
        if any(photos_named(entry) for entry in self.hand.job.log):
            self._look_at_photos()

    @work(thread=True)
    def _look_at_photos(self) -> None:
        self.post_message(self.Seen(troubles_of(self.hand.working)))

    @on(Seen)
    def _photos_seen(self, event: Seen) -> None:
        self._troubles = event.troubles
        if self._troubles:
            self.show()

    def on_resize(self) -> None:
        """Sentences are as wide as the screen."""
        self.show()

    def show(self) -> None:
        """Everything anew from the job."""
        width = max(self.app.size.width - 4, 40)
        rows = self.query_one(LoggedRows)
        rows.show(entry_rows(in_time(self.hand.job.log), width, self._troubles))
        rows.go(self._at)
        self._at = ""
        self._say_what_can_be_done()
        self.show_saved()

    def show_saved(self) -> None:
        working = self.hand.working
        saved = who_and_saved(working)
        self.query_one("#log-top", Static).update(top_line(self.app.size.width, f"Log: {job_title(working)}", saved), layout=False)

    @on(OptionList.OptionHighlighted)
    def _say_what_can_be_done(self) -> None:
        """Whose entry it is, where Enter leads, and what stands in the way of striking it; or what stands in the way of saving."""
        entry = self._entry()
        says = Content("")
        if self.hand.working.standing:
            says = Content.styled(self.hand.working.standing, "bold $stop")
        elif entry is not None:
            refused = in_the_way(self.hand.job, entry)
            can = f"Can't be struck. {refused}" if refused else "s reopens the job." if self._seals(entry) else "s strikes it."
            whole_name = f"By {entry.by}. " if len(entry.by) > WHO_COLUMNS else ""
            says = Content(f"{whole_name}{_place_words(where_logged(self.hand.walk, entry))}\n{can}")
        self.query_one("#chosen-entry", Static).update(says)

    def _entry(self) -> LogEntry | None:
        """The entry under the cursor."""
        current = self.query_one(LoggedRows).current
        return next((entry for entry in self.hand.job.log if entry.id == current), None)

    def _seals(self, entry: LogEntry) -> bool:
        """Whether it is the signature that the job is sealed with: of a sealed job no other entry can be struck."""
        return isinstance(entry, SignedEntry) and self.hand.job.record is not None

    # The keys --------------------------------------------------------------------------------------------------------

    @on(OptionList.OptionSelected)
    def action_open(self) -> None:
        entry = self._entry()
        if entry is None:
            return
        self.leads_to = where_logged(self.hand.walk, entry)
        if self.leads_to is None:
            self.notify(_place_words(None))
        else:
            self.dismiss(None)

    def action_strike(self) -> None:
        entry = self._entry()
        if entry is None:
            return
        if refused := in_the_way(self.hand.job, entry):
            self.warn(refused)
        elif self._seals(entry):
            in_name(self, lambda: ask_to_reopen(self), sealed_too=True)
        else:
            in_name(self, lambda: self._strike(entry))

    async def _strike(self, entry: LogEntry) -> None:
        said = sentence(entry)
        struck = f"struck: {said}"
        says, also = f"{said} {comes_of_it(self.hand.job, entry)}".rstrip(), len(struck_with(self.hand.job, entry))

        def without(job: Job, at: datetime, by: str) -> Job:
            return strike(job, entry.id, at, by)

        if await self.shown_first("Strike this entry", struck, without, says=says, again="strike it again"):
            with_it = f" {also} more {plural(also, 'entry', 'entries')} went with it." if also else ""
            self.say(f"Struck: {said}{with_it} u takes that back.")

    @work
    async def action_find(self) -> None:
        """The next older entry that holds the words, round to the newest."""
        words = await self.ask(Find("Find in the log", placeholder="P7, rock, Mo ...", value=self._sought))
        if words is None:
            return
        self._sought = words
        rows = self.query_one(LoggedRows)
        entries = list(reversed(in_time(self.hand.job.log)))
        first = next((n for n, entry in enumerate(entries, 1) if entry.id == rows.current), 0)
        found = (one for one in (*entries[first:], *entries[:first]) if words.casefold() in f"{one.by} {sentence(one)}".casefold())
        if (entry := next(found, None)) is None:
            self.say(f"Nothing in the log says {words}.")
        else:
            rows.go(entry.id)

    def action_help(self) -> None:
        self.look_at(HelpDialog((("This page", LOG_PAGE_COMMANDS),)))

    def action_back(self) -> None:
        self.dismiss(None)


def entry_rows(log: tuple[LogEntry, ...], width: int, troubles: Mapping[str, str] = {}) -> list[Row[str]]:
    """A row an entry, the newest first: day and time, who, the sentence; a struck one is struck through and says so.
    `troubles` are those of picture files, by their names."""
    days = [f"{entry.at:%b} {entry.at.day:>2}  {entry.at:%H:%M}" for entry in log]
    years = {entry.at.year for entry in log}
    days = [f"{entry.at.year} {day}" for entry, day in zip(log, days, strict=True)] if len(years) > 1 else days
    who = min(max((len(entry.by) for entry in log), default=0), WHO_COLUMNS)
    return [(entry.id, _row(entry, day, who, width, troubles)) for entry, day in reversed(list(zip(log, days, strict=True)))]


def photos_named(entry: LogEntry) -> tuple[str, ...]:
    """The picture files that an entry names."""
    return (entry.file,) if isinstance(entry, PhotoEntry) else entry.photos if isinstance(entry, SupersededEntry) else ()


def _row(entry: LogEntry, day: str, who: int, width: int, troubles: Mapping[str, str]) -> Content:
    head = f"{day}  {entry.by[:who]:<{who}}  "
    room, struck = max(width - len(head), 20), struck_words(entry)
    lines = [(line, "strike $muted" if struck else "") for line in wrap(happened(entry), room)]
    lines += [(line, "$muted") for line in wrap(struck, room)]
    wrong = " ".join(f"{name} {troubles[name]}." for name in photos_named(entry) if name in troubles)
    lines += [(line, "$fix") for line in wrap(wrong, room)]
    starts = [(head, "$muted"), *[("\n" + " " * len(head), "")] * len(lines)]
    return Content.assemble(*(part for pair in zip(starts, lines, strict=False) for part in pair))


def _place_words(jump: Jump | None) -> str:
    """Where Enter leads."""
    if jump is None:
        return "It leads nowhere: it is about the whole job, or what it names is gone."
    if jump.stage == "punch" and jump.item is None:
        return "Enter goes to the punch list."
    return f"Enter goes to {jump.subject}." if jump.subject else "Enter goes to the plan."
