"""The field book's typed row: a shot in one line as it is called out, shown back as it is understood, saved by Enter."""

from collections.abc import Iterable
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from engine.calc.lengths import LengthError, parse_length_ft, understood
from engine.calc.units import metric, unit_called
from engine.change.renaming import corrected
from engine.job.edit import entering
from engine.job.edit.called_shot import CALLED, CalledPart, CalledShot, called_words, meant_names, read_called
from engine.job.edit.next_record import ordered_points, shot_name
from engine.job.errors import EntryRefused, JobError
from engine.job.model.job import Job
from tui.base.commands import Command, bindings
from tui.base.theme import SIGNS
from tui.boxes.dialog import THROW_AWAY, once_let_go
from tui.entry.entered import entered, told
from tui.entry.form_values import Texts, fields_of, first_texts, texts_of, told_by_name
from tui.entry.forms import FORMS, Form
from tui.entry.names_in_boxes import CAME, come_since, line_called
from tui.widgets.line_input import LineInput
from tui.working.clocks import now
from tui.working.job_in_hand import FreshNames, JobInHand

COMMANDS = (
    Command("submit", "enter", "save", "Save the shot; the next one follows.", "Field book"),
    Command("finish", "tab", "finish name", "Write out the name that was started; several names take turns.", "Field book"),
    Command("leave", "escape", "leave", "Leave the row; what stands in it isn't thrown away without asking.", "Field book"),
)
_FORMS: dict[str, Form] = {form.method: form for form in FORMS if form.method}
_MOST_NAMES = 8


def _tie() -> str:
    return "tie C A 6.81 B 9.24 left" if metric() else "tie C A 22 4 3/8 B 30 2 left"


def _like() -> str:
    return f"Kind, point, then a name and a tape each: {_tie()}. What repeats may be left out; a number alone is {unit_called('ft')}."


class CalledInput(LineInput):
    """The line of the row. Enter saves at once, so that what is typed behind it in the same burst is the next shot."""

    BINDINGS: ClassVar = bindings(COMMANDS)
    pastes_one_line: ClassVar[bool] = False

    @property
    def row(self) -> "ShotRow":
        """The row it stands in."""
        assert isinstance(self.parent, ShotRow)
        return self.parent

    async def action_submit(self) -> None:
        self.row.save()

    def _on_paste(self, event: events.Paste) -> None:
        """Every whole line of what was pasted is a shot; the first that can't be saved stays, and those behind it are told."""
        event.stop()
        event.prevent_default()
        *whole, rest = event.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        for number, line in enumerate(whole):
            self.insert_text_at_cursor(line)
            if self.value.strip() and not self.row.save():
                self.row.not_taken(len([one for one in [*whole[number + 1 :], rest] if one.strip()]))
                return
        self.insert_text_at_cursor(rest)

    def action_finish(self) -> None:
        self.row.finish_name()

    async def action_leave(self) -> None:
        await self.row.leave()


class ShotRow(Vertical):
    """One shot after another, or one that is there put right; every edit goes through the job in hand."""

    DEFAULT_CSS = """
    ShotRow { height: auto; }
    ShotRow CalledInput { padding: 0 1; background: $panel; }
    ShotRow Static { height: auto; max-height: 3; padding: 0 1; }
    ShotRow #understood { min-height: 1; max-height: 2; }
    """

    class Entered(Message):
        """A shot stands in the job under its name."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    class Left(Message):
        """The crew is done with the row."""

    def __init__(self, hand: JobInHand, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.hand = hand
        self.correcting = ""
        """The shot that is put right; none while new ones are entered."""
        self._start = ""
        self._names = FreshNames(hand)
        self._points = frozenset[str]()
        """Those that were there before what stands here was typed."""
        self._tried: tuple[str, tuple[str, ...]] = ("", ())
        self._told_of: Job | None = None
        """The job after the shot that is told of below the line."""

    def compose(self) -> ComposeResult:
        yield CalledInput(placeholder=f"the next shot as it is called out: {_tie()}", select_on_focus=False, compact=True, id="called")
        yield Static(id="understood", markup=False)
        yield Static(Content(_like()), id="row-said", markup=False)

    def focus(self, scroll_visible: bool = True) -> "ShotRow":
        """The cursor into the line."""
        self._line.focus(scroll_visible)
        return self

    async def open(self, name: str = "") -> None:
        """Ready for a new shot, or with a shot as it is called out, to be put right. What stands in it for that stays; for another it is
        asked about."""
        if self.not_kept and name in ("", self.correcting):
            self.focus()
        else:
            await once_let_go(self, lambda: self._open(name), self.focus)

    def _open(self, name: str) -> None:
        self.correcting = name if name in self._job.shots else ""
        self._start = called_words(self._job.shots[name]) if self.correcting else ""
        self._line.value = self._start
        self._line.cursor_position = len(self._start)
        self._points = frozenset(ordered_points(self._job))
        self._say(Content(_put_right(name) if self.correcting else _like()))
        self.focus()

    def follow(self) -> None:
        """The job may be another one: what stands here goes on under the names that hold now; what was said of the last shot goes where it
        was taken back."""
        if not self.is_mounted:
            return
        for names in self._names.take():
            method = self.called.method
            self._start = line_called(self._start, names, method)
            self._line.value = line_called(self._line.value, names, method)
            self._points |= {one.new for one in names.records}
            was, self.correcting = self.correcting, names.record("shots", self.correcting)
            if was != self.correcting:
                self._say(Content(_put_right(self.correcting)))
        if not self.not_kept:
            self._points = frozenset(ordered_points(self._job))
        if self._told_of is not None and self._told_of is not self._job:
            self._told_of = None
            self._say(Content(_like()))

    # What stands in the line -----------------------------------------------------------------------------------------

    @property
    def _job(self) -> Job:
        return self.hand.job

    @property
    def _line(self) -> CalledInput:
        return self.query_one(CalledInput)

    @property
    def not_kept(self) -> str:
        """What is asked before what stands in it and isn't saved is thrown away."""
        return THROW_AWAY if self._line.value.strip() != self._start else ""

    @property
    def called(self) -> CalledShot:
        """The line as it is understood."""
        job = self._job
        last = next(reversed(job.shots.values())).method if job.shots else ""
        return read_called(self._line.value, ordered_points(job), tuple(job.lines), last, self._before)

    def _before(self, method: str) -> Texts:
        """What is meant where nothing is said: of a shot that is put right what it says, of a new one what the last of its kind leaves."""
        held = self._job.shots.get(self.correcting)
        form = _FORMS[method]
        return first_texts(form, self._job) if held is None or held.method != method else texts_of(form, self.correcting, held)

    @on(Input.Changed, "#called")
    def _typed(self) -> None:
        called, names = self.called, self._meant()
        parts = [*_cells(called)]
        if called.wrong and not names:
            parts.append(Content.styled(f"{SIGNS['fix']} {called.wrong}", "bold $fix"))
        if names:
            parts.append(Content.styled(f"Tab: {'  '.join(names[:_MOST_NAMES])}", "$text-muted"))
        self.query_one("#understood", Static).update(Content.assemble(*parts))

    def _meant(self) -> tuple[str, ...]:
        """Names and kinds that the word under the cursor may become."""
        word = self._line.value[: self._line.cursor_position].rpartition(" ")[2].rpartition(",")[2]
        if word == self._tried[0] and word:
            return self._tried[1]
        first = len(self._line.value.split()) <= 1
        return meant_names(word, (*(CALLED if first else ()), *ordered_points(self._job), *self._job.lines))

    def finish_name(self) -> None:
        """The first name that starts so; the next one where that is pressed again."""
        names = self._meant()
        if not names:
            return
        line, at = self._line, self._line.cursor_position
        word = line.value[:at].rpartition(" ")[2].rpartition(",")[2]
        name = names[(names.index(word) + 1) % len(names)] if word in names else names[0]
        self._tried = (name, names)
        line.value = f"{line.value[: at - len(word)]}{name}{line.value[at:]}"
        line.cursor_position = at - len(word) + len(name)

    # Saving ----------------------------------------------------------------------------------------------------------

    def save(self) -> bool:
        """Save the shot that stands here, or say why not; whether it is saved."""
        self.follow()
        called = self.called
        refused = called.wrong or self._wanted(called) or self._changed_elsewhere() or self._come_since(called)
        if not refused:
            before, name = self.hand.walk, self.correcting
            try:
                method, fields = self._fields(called)
                name = name or shot_name(self._job, fields)
                error = self.hand.edit(f"{method} {name}", lambda job, _at, _by: self._edited(job, name, fields))
            except JobError as one:
                error = one
            refused = _why(error) if error is not None else ""
        if refused:
            self._say(Content.styled(f"{SIGNS['fix']} {refused}", "bold $fix"))
            return False
        job = self._job
        said = entered(_FORMS[job.shots[name].method], name, job, self.hand.walk, before)
        self.correcting = self._start = self._line.value = ""
        self._say(told(said, "Ctrl+Z", before, self.hand.walk, self.app.size.width))
        self._told_of = job
        self._points = frozenset(ordered_points(job))
        self.post_message(self.Entered(name))
        return True

    def _changed_elsewhere(self) -> str:
        """What became on another laptop of the shot that is put right here, once."""
        held = self._job.shots.get(self.correcting)
        stands = called_words(held) if held is not None else ""
        if stands == self._start:
            return ""
        self._start, self.correcting = stands, self.correcting if stands else ""
        return f"On another laptop it was {f'made {stands}' if stands else 'taken out'}. Enter once more keeps yours."

    def _come_since(self, called: CalledShot) -> str:
        """That a point named here came in since that was typed, once."""
        come = come_since(self._points, self._job, {part.field: part.text for part in called.parts if part.typed and part.field != "line"})
        self._points |= set(come.values())
        return CAME.format(next(iter(come.values()))) if come else ""

    def _wanted(self, called: CalledShot) -> str:
        if not called.method:
            return "Nothing stands here yet."
        return f"{_label(called.method, called.open)} is needed." if called.open else ""

    def _fields(self, called: CalledShot) -> tuple[str, dict[str, object]]:
        """The kind and the fields of the shot, with what a corrected one holds besides; a name for a station is its station."""
        form, job = _FORMS[called.method], self._job
        held = job.shots[self.correcting] if self.correcting else None
        row = held if held is not None and held.method == called.method else None
        before = texts_of(form, self.correcting, row) if row is not None else {}
        texts = {**dict.fromkeys((field.key for field in form.fields), ""), **before, **called.texts}
        if called.method == "level" and called.texts["level_ft"]:
            texts |= {"rod_ft": "", "instrument_ft": ""}
        fields = fields_of(form, texts, before, row, now().date())
        return called.method, told_by_name(form, fields, self.correcting or None, job, self.hand.walk)

    def _edited(self, job: Job, name: str, fields: dict[str, object]) -> Job:
        if not self.correcting:
            return entering.add(job, "shots", name, fields)
        return corrected(job, "shots", name, fields)

    def not_taken(self, count: int) -> None:
        """How many pasted lines behind one that wasn't saved are not entered."""
        if count:
            said = self.query_one("#row-said", Static).content
            self._say(Content.styled(f"{said} {count} more pasted {'line is' if count == 1 else 'lines are'} not entered.", "bold $fix"))

    async def leave(self) -> None:
        """Out of the row; what stands in it isn't thrown away without asking."""
        await once_let_go(self, self._leave)

    def _leave(self) -> None:
        self.clear()
        self.post_message(self.Left())

    def clear(self) -> None:
        """Nothing stands in it."""
        self.correcting = self._start = self._line.value = ""
        self._say(Content(_like()))

    def _say(self, words: Content) -> None:
        self.query_one("#row-said", Static).update(words)


def _put_right(name: str) -> str:
    return f"{name} is put right here; Enter saves it."


def _label(method: str, key: str) -> str:
    return next(field.label for field in _FORMS[method].fields if field.key == key)


def _why(error: JobError) -> str:
    """Why a shot was refused, its field called as the crew calls it."""
    problem = error.problems[0] if isinstance(error, EntryRefused) else None
    return str(error) if problem is None else problem.message


def _cells(called: CalledShot) -> Iterable[Content]:
    """The shot as it is understood: what was typed bold, what was filled in quiet, what is wanted in brackets."""
    if called.method:
        yield Content.styled(f"{called.method}  ", "bold")
    for part in called.parts:
        words = _shown(part)
        yield Content.styled(words or f"[{_label(called.method, part.field)}]", "bold" if part.typed else "$text-muted")
        yield Content("  ")


def _shown(part: CalledPart) -> str:
    if not part.text or not part.field.endswith("_ft"):
        return part.text
    try:
        return understood(parse_length_ft(part.text)).removeprefix("= ")
    except LengthError:
        return part.text
