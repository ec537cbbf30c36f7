"""A stretch of a line taken another way: what comes out and what follows, shown before it is accepted."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input

from engine.calc.frozen import dataclass
from engine.change.consequences import consequences
from engine.change.new_way.given_up import GivenUp, NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.new_way.taken_down import taken_down
from engine.drawing.close_up import opened_on
from engine.drawing.plan_shapes import plan_shapes
from engine.job.edit.next_record import ordered_points
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.walk import Walk, begin, walk
from tui.base.terminal import is_plain
from tui.base.theme import SIGNS
from tui.boxes.change.preview import ChangedFigures, TypedChange, summary
from tui.boxes.dialog import WrongField, labelled
from tui.widgets.line_input import LineInput
from tui.widgets.plan_view import PlanView
from tui.widgets.reading_text import ReadingText
from tui.working.job_in_hand import JobInHand

if TYPE_CHECKING:
    from tui.working.called_now import NewNames

ROOMY = 36
"""Rows of screen from which the plan is drawn in the dialog."""
ORDER = ("from", "to", "through", "stays", "why")
ASKS = "Name the support where the fence leaves its line, where it joins it again, and the points between."
LaidOut = tuple[GivenUp, Job] | EditRefused
"""What a way gives up and the job that has it, or why it can't be taken."""
CAUTION = "A cut cable springs back: ease it off by hand, stand out of line with it, gloves and eye protection on."


@dataclass(frozen=True)
class AcceptedNewWay:
    """What was accepted: the stretch, the sleeves that stay in the ground, and why."""

    given_up: GivenUp
    stays: tuple[str, ...]
    why: str


class NewWayDialog(TypedChange[AcceptedNewWay]):
    """From a support, to a support, through points; each answer shows what it takes down and what changes."""

    HINT: ClassVar[str] = "Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {**dict.fromkeys(ORDER[:-1], "Enter goes on."), ORDER[-1]: "Enter accepts."}
    FIELDS: ClassVar[Mapping[str, str]] = {"from_post": "from", "to_post": "to"}
    CALLED: ClassVar[Mapping[str, str]] = dict(zip(ORDER, ("From", "To", "Through points", "Sleeves that stay", "Why"), strict=True))
    DEFAULT_CSS = "NewWayDialog PlanView { height: 12; display: none; }"

    def __init__(self, hand: JobInHand, post: str) -> None:
        super().__init__("A new way for a stretch", hand)
        self.post = post
        self.given_up: GivenUp | None = None
        self._wrong: WrongField | None = WrongField("to", "name the support where the fence joins its line again.")
        self._told_of: tuple[object, ...] = ()
        self._laid: tuple[tuple[object, ...], LaidOut] | None = None

    def parts(self) -> ComposeResult:
        yield from labelled(self.CALLED["from"], LineInput(self.post, placeholder="the support where it leaves", id="from", compact=True))
        yield from labelled(self.CALLED["to"], LineInput(placeholder="the support where it comes back", id="to", compact=True))
        through = LineInput(placeholder="surveyed points in order; empty is straight", id="through", compact=True)
        yield from labelled(self.CALLED["through"], through)
        yield from labelled(self.CALLED["stays"], LineInput(placeholder="none", id="stays", compact=True))
        yield from labelled(self.CALLED["why"], LineInput(placeholder="new flower bed", id="why", compact=True))
        yield ReadingText(id="summary")
        yield PlanView(id="before-after", plain=is_plain())
        yield ChangedFigures(id="changes")

    def on_mount(self) -> None:
        self.query_one("#to" if self.post else "#from", Input).focus()
        self.tell(Content(ASKS))

    def judge_anew(self, names: "Sequence[NewNames]") -> None:
        """The supports and points under their names now; sleeves that were told from their age are told anew."""
        self._laid = None
        told_from_age = self.given_up is not None and self._names("stays") == self.given_up.stays
        with self.prevent(Input.Changed):
            for name in ORDER[:-1]:
                box = self.query_one(f"#{name}", Input)
                box.value = reduce(lambda text, one: one.place(text, lengths=False), names, box.value)
        self._preview(not told_from_age)

    @on(Input.Changed, "#from, #to, #through, #stays")
    def _typed(self, event: Input.Changed) -> None:
        """Lays the way out at the key, and works the walk out once the key is painted: the next one may come between."""
        sleeves_typed = event.input.id == "stays"
        self._laid_out(sleeves_typed)
        self.once_told(self._preview_of, self._answers(), sleeves_typed)

    def _preview_of(self, answers: tuple[object, ...], sleeves_typed: bool) -> None:
        """Of these answers, where they still stand and weren't told yet."""
        if answers == self._answers() != self._told_of:
            self._preview(sleeves_typed)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        """Goes on where nothing is known to be wrong so far; what the way does is told once that is painted, and at the latest as it is
        accepted."""
        place = ORDER.index(event.input.id or ORDER[0])
        sleeves_typed, last = event.input.id in ("stays", "why"), place == len(ORDER) - 1
        if self._answers() != self._told_of:
            if self._laid_out(sleeves_typed) is None or last:
                self._preview(sleeves_typed)
            else:
                self.once_told(self._preview_of, self._answers(), sleeves_typed)
        wrong = self._wrong
        if wrong is not None and (last or ORDER.index(wrong.box) <= place):
            self.wrong(wrong.box, str(wrong))
        elif not last:
            self.query_one(f"#{ORDER[place + 1]}", Input).focus()
        elif self.given_up is not None and not self.told_anew():
            self.give(AcceptedNewWay(self.given_up, self._names("stays"), self.typed("why")))

    def _answers(self) -> tuple[object, ...]:
        """What is told hangs on these: nothing is worked out twice."""
        return id(self.before), *(self._names(box) for box in ORDER[:-1])

    def _names(self, box: str) -> tuple[str, ...]:
        """The names typed in a box, capitals or not."""
        known = {name.lower(): name for name in (*ordered_points(self.job), *self.before.layout.supports)}
        typed = self.typed(box).replace(",", " ").split()
        return tuple(known.get(name.lower(), name) for name in typed)

    def _half_typed(self) -> bool:
        """Whether no two supports are named yet, the last name being perhaps but begun."""
        known = self.before.layout.supports
        named = [self._names(box) for box in ORDER[:2]]
        begun = (name for names in named for name in names if name not in known)
        return any(len(names) != 1 for names in named) or any(one.lower().startswith(name.lower()) for name in begun for one in known)

    def _laid_out(self, sleeves_typed: bool) -> Job | None:
        """The job with the way in it, or None where what is wrong is known now; the sleeves that stay are put in from their age until
        somebody says otherwise. Found again for the same answers."""
        start, end = self._names("from"), self._names("to")
        for box, names, where in (("from", start, "leaves its line"), ("to", end, "joins it again")):
            if len(names) != 1:
                self._wrong = WrongField(box, f"name the one support where the fence {where}.")
                return None
        way, stays = NewWay(start[0], end[0], self._names("through")), self._names("stays") if sleeves_typed else None
        asked = id(self.before), way, stays
        if self._laid is None or self._laid[0] != asked:
            self._laid = asked, self._worked_out(way, stays)
        found = self._laid[1]
        if isinstance(found, EditRefused):
            self._wrong = self.wrong_field(found) or WrongField("to", found.says)
            return None
        self._wrong = None
        self.given_up, job = found
        if not sleeves_typed:
            with self.prevent(Input.Changed):
                self.query_one("#stays", Input).value = " ".join(self.given_up.stays)
        return job

    def _worked_out(self, way: NewWay, stays: tuple[str, ...] | None) -> LaidOut:
        try:
            given = given_up(self.job, self.before, way, self.at)
            job = with_new_way(self.job, self.before, given, self.at, self.by, stays=given.stays if stays is None else stays)
        except EditRefused as error:
            return error
        begin(job)
        return given, job

    def _preview(self, sleeves_typed: bool) -> None:
        """What the answers so far do, or what is wrong with them."""
        job = self._laid_out(sleeves_typed)
        self._told_of = self._answers()
        if job is not None:
            self._show(walk(job), job, self._names("stays"))
            return
        if self._wrong is None or self._half_typed():
            self.tell(Content(ASKS))
        else:
            self.tell_wrong(self._wrong)
        self.query_one(PlanView).display = False

    def _show(self, after: Walk, job: Job, stays: tuple[str, ...]) -> None:
        assert self.given_up is not None
        found = consequences(self.before, after)
        taken = taken_down(self.job, self.before, after, self.given_up, stays)
        besides = tuple(sleeve for sleeve in found.sleeves if sleeve.post not in self.given_up.out)  # theirs are told with what comes down
        parts = [Content.styled(f"{SIGNS['fix']} {CAUTION}", "bold $fix")] if taken.cut else []
        parts += [Content(row) for row in taken.says]
        self.tell(Content("\n").join([*parts, summary("", replace(found, sleeves=besides))]), found.changes)
        if self.app.size.height >= ROOMY:
            self.once_told(self._draw, after, job)

    def _draw(self, after: Walk, job: Job) -> None:
        """The old way and the new, once the words are read, from as near as both are seen."""
        if self._wrong is not None or self.given_up is None:
            return  # another answer came meanwhile, and there is no such way
        way, stood = self.given_up.way, self.before.layout.supports
        names = (way.from_post, *self.given_up.out, way.to_post, *(name for name in after.layout.supports if name not in stood))
        self.query_one(PlanView).picture = opened_on(plan_shapes(job, after, self.before), names, self.before, after)
        self.query_one(PlanView).display = True
