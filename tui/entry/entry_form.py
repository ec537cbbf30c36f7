"""One form: a line a field, a sentence under the field that is wrong, Enter saves, and the next record follows at once."""

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus
from textual.screen import Screen
from textual.widgets import Input, Static

from engine.change.renaming import NewPointName, corrected, new_point_name
from engine.job.edit import entering
from engine.job.edit.next_record import ordered_points, shot_name
from engine.job.errors import EntryRefused, JobError, Problem
from engine.job.model.base import Part
from engine.job.model.job import Job
from engine.job.model.words.field_words import NAME
from tui.base.commands import bindings
from tui.base.key_lists import FORM_COMMANDS
from tui.base.theme import SIGNS
from tui.boxes.choice import Answer, Choice
from tui.boxes.dialog import THROW_AWAY, once_let_go
from tui.boxes.pages import HelpDialog
from tui.boxes.row_words import saved_words, top_line
from tui.entry.entered import entered, told
from tui.entry.form_look import LOOK
from tui.entry.form_values import (
    Texts,
    changed_too,
    fields_of,
    hint_of,
    last_record,
    options,
    placeholder_of,
    read_back_of,
    record,
    several,
    texts_held,
    told_by_name,
)
from tui.entry.forms import Field, Form
from tui.entry.names_in_boxes import CAME, box_called, come_since
from tui.entry.refused import NEEDED, field_of, in_words
from tui.widgets.key_line import KeyLine
from tui.widgets.pick_input import COMMANDS as PICK_COMMANDS
from tui.widgets.pick_input import PickInput
from tui.working.clocks import now
from tui.working.job_in_hand import FreshNames, JobInHand

NAMES_BEFORE = 6
"""Names shown before the one that is picked: so many at least that the crew sees where it is, so few that it stays in sight."""


class FormScreen(Screen[Content]):
    """The form of one record, or of one new record after another. Every edit goes through the job in hand."""

    BINDINGS: ClassVar = bindings(FORM_COMMANDS)
    AUTO_FOCUS: ClassVar = ""
    DEFAULT_CSS = LOOK

    def __init__(self, hand: JobInHand, form: Form, name: str | None) -> None:
        super().__init__()
        self.hand, self.form, self.record_name = hand, form, name
        self.before: Texts = {}
        self._names, self._stood = FreshNames(hand), False
        self._points = frozenset[str]()
        self.saved_as = name
        self.said, self.stood = Content(""), hand.working.standing

    def compose(self) -> ComposeResult:
        yield Static(id="form-top", classes="head", markup=False)
        with VerticalScroll(id="fields", can_focus=False):
            for field in self.form.fields:
                yield from self._row(field)
        yield Static(id="hint", markup=False)
        yield Static(id="said", markup=False)
        yield KeyLine(FORM_COMMANDS)

    def _row(self, field: Field) -> ComposeResult:
        with Vertical(classes="field"):
            with Horizontal(classes="row"):
                yield Static(Content(field.label), classes="label")
                yield PickInput(many=several(field, self.form), free=field.new, id=f"in-{field.key}")
            yield Static(id=f"wrong-{field.key}", classes="wrong", markup=False)

    def job_changed(self) -> None:
        """What is typed stays, under the names that hold now; the form is filled anew where it is that which changed the job."""
        for names in self._names.take():
            for field in self.form.fields:
                box, was = self._box(field.key), self.record_name
                self.before[field.key] = box_called(self.form, field, self.before[field.key], names, was)
                box.value = box_called(self.form, field, box.value, names, was)
                box.options = options(field, self.form, self._job, self.hand.walk)
            self._points |= {one.new for one in names.records}
            self.record_name = self.record_name and names.record(self.form.table, self.record_name)
            self._show_top()

    def on_mount(self) -> None:
        """Fill the form and start where the crew goes on: of a record that is there in its first field, behind its name."""
        self._fill()
        if self.record_name is not None:
            self._box(self._keys[1 if self.form.named else 0]).focus()

    # The boxes -----------------------------------------------------------------------------------------------------

    @property
    def _job(self) -> Job:
        return self.hand.job

    def _row_held(self) -> Part | None:
        return record(self.form, self._job, self.record_name) if self.record_name is not None else None

    def _box(self, key: str) -> PickInput:
        return self.query_one(f"#in-{key}", PickInput)

    def _fill(self) -> None:
        """The record, or what a new one starts with; the cursor where the crew goes on."""
        name, today = self.record_name, now().date()
        self.before = texts_held(self.form, self.record_name, self._job, self.hand.walk)
        self._stood, self._points = self._row_held() is not None, frozenset(ordered_points(self._job))
        for field in self.form.fields:
            box = self._box(field.key)
            box.options = options(field, self.form, self._job, self.hand.walk)
            box.any_word = field.pick == "grounds"
            box.read_back = read_back_of(self.form, field, today)
            box.placeholder = placeholder_of(self.form, field, name or "")
            box.value = self.before[field.key]
        self._wrong({})
        self._first_open().focus()
        self._show_top()

    def _first_open(self) -> PickInput:
        """The first empty box that the last record filled, else the first empty one, else the first."""
        last = last_record(self.form, self._job)
        empty = [key for key in self._keys if not self._box(key).value]
        filled = (key for key in empty if key == NAME or getattr(last, key, None) not in (None, ""))
        return self._box(next(filled, next(iter(empty), self._keys[0])))

    def show_saved(self) -> None:
        """The top line, and what stands in the way of saving once that is something else."""
        self._show_top()
        if self.stood != self.hand.working.standing:
            self._say_last()

    def _show_top(self) -> None:
        one = self.form.one
        title = f"New {one}" if self.record_name is None else one if self.form.single else f"{one} {self.record_name}"
        self.query_one("#form-top", Static).update(
            top_line(self.app.size.width, f"{title[:1].upper()}{title[1:]}", saved_words(self.hand.working))
        )

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        if isinstance(event.widget, PickInput):
            self._show_hint(event.widget)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if isinstance(event.input, PickInput) and event.input.has_focus:
            self._show_hint(event.input)

    def _show_hint(self, box: PickInput) -> None:
        field = next(field for field in self.form.fields if f"in-{field.key}" == box.id)
        names, picked = box.matches, box.picked
        names = names[max(names.index(picked) - NAMES_BEFORE, 0) :] if picked in names else names
        listed = "  ".join(f"[{name}]" if name == picked else name for name in names)
        says = hint_of(self.form, field)
        self.query_one("#hint", Static).update(Content("\n".join(part for part in (says, listed) if part)))

    # Saving --------------------------------------------------------------------------------------------------------

    def action_save(self) -> None:
        for field in self.form.fields:
            self._box(field.key).complete()
        texts = {field.key: self._box(field.key).value for field in self.form.fields}
        if self._taken_out() or self._both_changed(texts):
            return
        fields = fields_of(self.form, texts, self.before, self._row_held(), now().date())
        name, typed = self._record_called(texts, fields), {key for key, text in texts.items() if text != self.before[key]}
        try:
            fields = told_by_name(self.form, fields, name, self._job, self.hand.walk, typed)
        except JobError as error:
            self._refused(error)
            return
        called = self._called_anew(name, fields)
        if called is not None and called.elsewhere:
            self._ask_everywhere(called, name, fields)
        else:
            self._save(name, fields)

    def _taken_out(self) -> bool:
        """Whether what is open here was taken out elsewhere since it was filled: that is said once before it is made again."""
        gone, self._stood = self._stood and self._row_held() is None, self._stood and self._row_held() is not None
        if gone:
            self._say_wrong("It was taken out on another laptop. Enter once more makes it again.")
        return gone

    def _both_changed(self, texts: Texts) -> bool:
        """Whether what was typed in a box was changed elsewhere too since it was filled, or names a point that came in since: that is said
        before it is saved."""
        held = self.record_name is not None and self._row_held() is not None
        theirs = changed_too(self.before, texts_held(self.form, self.record_name, self._job, self.hand.walk), texts) if held else {}
        named = {field.key: texts[field.key] for field in self.form.fields if field.pick == "points"}
        come = come_since(self._points, self._job, named)
        self.before |= theirs
        self._points |= set(come.values())
        wrong = {key: CAME.format(name) for key, name in come.items()}
        wrong |= {key: f"On another laptop it was made {words or 'empty'}. Save again to keep yours." for key, words in theirs.items()}
        if wrong:
            self._wrong(wrong)
            self._say_wrong("Not saved yet.")
            self._box(next(iter(wrong))).focus()
        return bool(wrong)

    def _called_anew(self, name: str | None, fields: dict[str, object]) -> NewPointName | None:
        """The new name that a shot's point gets; what the shot can't be is said when it is saved."""
        try:
            return new_point_name(self._job, name or "", fields) if self.form.method and self.record_name else None
        except JobError:
            return None

    @work
    async def _ask_everywhere(self, called: NewPointName, name: str | None, fields: dict[str, object]) -> None:
        answers = (
            Answer("everywhere", f"everywhere: {called.old} is called {called.new} from now on", "e"),
            Answer("here", f"only here: this was another point, {called.new}", "o"),
        )
        asked = FreshNames(self.hand)
        answer = await self.app.push_screen_wait(Choice(f"{called.old} is measured by other shots too", answers))
        if answer is not None and asked.take():  # and so by other names
            self.action_save()
        elif answer is not None:
            self._save(name, fields, everywhere=answer == "everywhere")

    def _save(self, name: str | None, fields: dict[str, object], *, everywhere: bool = True) -> None:
        words, before = self.form.one if self.form.single or not name else f"{self.form.one} {name}", self.hand.walk
        refused = self.hand.edit(words, lambda job, _at, _by: self._edited(job, name, fields, everywhere))
        if refused is not None:
            self._refused(refused)
            return
        said = entered(self.form, name or self.form.one, self.hand.job, self.hand.walk, before)
        self.said = told(said, "u" if self.record_name is not None else "Ctrl+Z", before, self.hand.walk, self.app.size.width)
        self.saved_as = name
        if self.record_name is not None:
            self.dismiss(self.said)
            return
        self._fill()
        self._say_last()

    def _record_called(self, texts: Texts, fields: dict[str, object]) -> str | None:
        """The record's name: as typed, as it was, after what a shot measures, the section of the rules, or none."""
        if self.form.named:
            return texts[NAME].strip()
        if self.form.single:
            return self.form.section or None
        return self.record_name or shot_name(self._job, fields)

    def _edited(self, job: Job, name: str | None, fields: dict[str, object], everywhere: bool) -> Job:
        table, old = self.form.table, self.record_name
        if name is not None and (old is None or (not self.form.single and self._row_held() is None)):
            return entering.add(job, table, name, fields)
        if old is None or name is None:
            return entering.put(job, table, name, fields)
        if self.form.named and name != old and old in getattr(job, table):
            job = entering.rename(job, table, old, name)
            return entering.put(job, table, name, fields)
        return corrected(job, table, name, fields, everywhere=everywhere)

    def _refused(self, error: JobError) -> None:
        """Each problem under its field (of empty fields only the first), the rest below; the cursor to the first field that is wrong."""
        wrong: dict[str, str] = {}
        for problem in error.problems if isinstance(error, EntryRefused) else (Problem((), str(error)),):
            wrong.setdefault(field_of(self.form, problem), in_words(self.form, problem))
        needed = [key for key in self._keys if wrong.get(key, "").endswith(NEEDED)]
        wrong = {key: said for key, said in wrong.items() if key not in needed[1:]}
        self._wrong(wrong)
        self._say_wrong(wrong.get("", "Not saved yet."))
        first = next((key for key in self._keys if key in wrong), None)
        if first is not None:
            box = self._box(first)
            box.focus()
            if not box.many:
                box.select_all()

    @property
    def _keys(self) -> list[str]:
        return [field.key for field in self.form.fields]

    def _wrong(self, wrong: dict[str, str]) -> None:
        for field in self.form.fields:
            under = self.query_one(f"#wrong-{field.key}", Static)
            under.update(Content(wrong.get(field.key, "")))
            under.set_class(field.key in wrong, "-shown")

    def _say_last(self) -> None:
        self.stood = self.hand.working.standing
        self._say(Content.styled(self.stood, "bold $stop") if self.stood else self.said)

    def _say_wrong(self, says: str) -> None:
        self._say(Content.styled(f"{SIGNS['fix']} {says}", "bold $fix"))

    def _say(self, words: Content) -> None:
        self.query_one("#said", Static).update(words)

    # Keys ----------------------------------------------------------------------------------------------------------

    def action_next_field(self) -> None:
        self.focus_next(PickInput)

    def action_previous_field(self) -> None:
        self.focus_previous(PickInput)

    def action_undo(self) -> None:
        """Take back the last change; the form shows the job as it is then, but for what is typed and not saved."""
        self._replayed(self.hand.undo())

    def action_redo(self) -> None:
        self._replayed(self.hand.redo())

    def _replayed(self, says: str) -> None:
        self.said = Content(says)
        gone = self.record_name is not None and not self.form.single and self._row_held() is None
        if gone and not self.not_kept:
            self.dismiss(self.said)
            return
        typed = {key: self._box(key).value for key in self._keys if gone or self._box(key).value != self.before[key]}
        if gone:  # what was typed for it is a new one
            self.record_name = None
        self._fill()
        for key, value in typed.items():
            self._box(key).value = value
        self._say_last()

    def action_help(self) -> None:
        self.app.push_screen(HelpDialog((("Form", (*FORM_COMMANDS, *PICK_COMMANDS)),)))

    @property
    def not_kept(self) -> str:
        """What is asked before it is left with what was typed."""
        return THROW_AWAY if {key: self._box(key).value for key in self._keys} != self.before else ""

    async def action_back(self) -> None:
        """Leave the form; what was typed isn't thrown away without asking."""
        await once_let_go(self, lambda: self.dismiss(self.said))
