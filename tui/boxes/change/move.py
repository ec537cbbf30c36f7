"""Settle a post: what a move or an offer changes, shown before it is accepted; the best legal ways are looked for meanwhile."""

from collections.abc import Mapping, Sequence
from functools import reduce
from typing import TYPE_CHECKING, ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static
from textual.worker import get_current_worker

from engine.calc.frozen import dataclass
from engine.calc.length_words import a_length, said_in_units
from engine.calc.sided_length import ACROSS, ALONG, begun
from engine.calc.units import bare_unit, metric, unit_ft
from engine.change.consequences import consequences
from engine.change.fresh_layout import FreshLayout
from engine.change.judged_layout import layout_that_settles
from engine.change.settling import settled
from engine.change.suggestions import Step, Suggestion, suggestions
from engine.drawing.close_up import close_up
from engine.drawing.plan_shapes import plan_shapes
from engine.job.errors import JobError
from engine.job.model.words.log_sentences import move_words
from engine.walk import Walk, walk
from tui.base.commands import Command, bindings
from tui.base.terminal import is_plain
from tui.boxes.change.preview import ChangedFigures, TypedChange, summary
from tui.boxes.dialog import LEAVE, WrongField, labelled
from tui.widgets.line_input import LineInput
from tui.widgets.plan_view import PlanView
from tui.widgets.read_back import ReadBackInput, length_box
from tui.widgets.reading_text import ReadingText
from tui.widgets.rows import Rows
from tui.working.job_in_hand import JobInHand

if TYPE_CHECKING:
    from tui.working.called_now import NewNames

ROOMY = (100, 30)
"""Columns and rows of screen from which the plan is drawn beside the offers; with less, a key brings it in their place."""
OVER_IT, LEAST, TALLEST = 11, 12, 30
"""Rows of screen that the plan leaves to what is over and under it, and the fewest and the most that it takes."""
LOOKING, NO_OFFER = "Looking for the best offers ...", "There is no offer for it any more."
OFFERS = "Offers that break no rule, best first"
NOTHING_LEFT = "No offer keeps the rules, and no fresh layout settles it so. Type a move and see; else a new way for that stretch is left."
COMMANDS = (
    LEAVE,
    Command("to_offers", "down", "offers", "Down to the offers; up from the first goes back.", "Move"),
    Command("nudge(1,0)", "ctrl+right", "on", "Move it a little forward along the line.", "Move", first=True),
    Command("nudge(-1,0)", "ctrl+left", "back", "Move it a little back along the line.", "Move", first=True),
    Command("nudge(0,1)", "ctrl+down", "right", "Move it a little to the right of the line.", "Move", first=True),
    Command("picture", "f2", "picture", "The plan round the post in place of the offers, and back.", "Move", first=True),
    Command("nudge(0,-1)", "ctrl+up", "left", "Move it a little to the left of the line.", "Move", first=True),
)


@dataclass(frozen=True)
class Settled:
    """What was accepted: the log entries to make, and why."""

    steps: tuple[Step, ...]
    why: str


def _over_offers(fresh: FreshLayout | None, found: bool) -> str:
    """What is told over the offers once all were looked at; a fresh layout is named only where it was judged as they were."""
    if fresh is None:
        return f"{OFFERS}:" if found else NOTHING_LEFT
    if found:
        return f"{OFFERS}; a fresh layout (a on the sheet) breaks none either:"
    return f"No offer keeps the rules; a fresh layout (a on the sheet) does. {fresh.says}"


class MoveDialog(TypedChange[Settled]):
    """Along and out, in trade notation, or one of the ways offered; the walk with it is held beside the walk without it."""

    BINDINGS: ClassVar = bindings(COMMANDS[1:])
    HINT: ClassVar[str] = "Down to the offers, Enter takes one. Ctrl+arrows nudge it, F2 draws it. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {"along": "Enter goes on.", "out": "Enter goes on.", "why": "Enter accepts."}
    CALLED: ClassVar[Mapping[str, str]] = {"along": "Along the line", "out": "Out from the line", "why": "Why"}
    DEFAULT_CSS = """
    MoveDialog #looking { height: auto; color: $muted; }
    MoveDialog Rows { max-height: 8; padding: 0; margin: 0 0 1 0; }
    MoveDialog #beside, MoveDialog #words { height: auto; }
    MoveDialog #words { width: 1fr; }
    MoveDialog PlanView { width: 50; display: none; }
    MoveDialog.-roomy PlanView, MoveDialog.-picture PlanView { display: block; }
    MoveDialog.-roomy VerticalScroll { scrollbar-gutter: stable; }
    MoveDialog.-picture PlanView { width: 1fr; }
    MoveDialog.-picture #words, MoveDialog.-picture ChangedFigures { display: none; }
    """

    class Looked(Message):
        """Ways found so far, and once all were looked at what is told over them."""

        def __init__(self, found: tuple[Suggestion, ...], says: str = "") -> None:
            super().__init__()
            self.found, self.says = found, says

    def __init__(self, post: str, hand: JobInHand, why: str = "") -> None:
        super().__init__(f"Move {post}", hand)
        self.post, self.why = post, why
        self.found: tuple[Suggestion, ...] = ()
        self.taken: Suggestion | None = None
        self._walked = self.before
        self._pictured: Walk | None = None

    def compose(self) -> ComposeResult:
        """With what room there is known before its parts are styled by it."""
        wide, high = self.app.size
        self.set_class(wide >= ROOMY[0] and high >= ROOMY[1], "-roomy")
        yield from super().compose()

    def parts(self) -> ComposeResult:
        yield from labelled(self.CALLED["along"], length_box(placeholder="forward to its end, - back", id="along", sides=ALONG))
        yield from labelled(self.CALLED["out"], length_box(placeholder="right of it, - left", id="out", sides=ACROSS))
        yield from labelled(self.CALLED["why"], LineInput(self.why, placeholder=said_in_units("rock at 8 in"), id="why", compact=True))
        with Horizontal(id="beside"):
            with Vertical(id="words"):
                yield Static(LOOKING, id="looking", markup=False)
                yield Rows(id="offers")
                yield ReadingText(id="summary")
            yield PlanView(id="before-after", plain=is_plain())
        yield ChangedFigures(id="changes")

    def judge_anew(self, names: "Sequence[NewNames]") -> None:
        """The post under its name now, other offers, and what is typed; an offer that was taken stands only where it does what it did."""
        told, post, self.post = self.told, self.post, reduce(lambda post, one: one.thing(post), names, self.post)
        self.title = self.query_one("Dialog > Vertical").border_title = f"Move {self.post}"
        self.query_one(PlanView).chosen, self._pictured = self.post, None
        if self.query_one(Rows).has_focus:
            self.query_one("#along", Input).focus()
        self._preview()
        if self.taken is not None and (self.post != post or self.told != told):
            self.taken = None
            self._preview()
        stands = self.post in self.before.layout.supports
        self.post_message(self.Looked((), LOOKING if stands else NO_OFFER))
        if stands:
            self._look()

    def on_mount(self) -> None:
        """Ready to type."""
        self._give_room()
        self.query_one(Rows).display = False
        self.query_one(PlanView).chosen = self.post
        self.query_one(PlanView).signs = False
        self._draw()
        self.query_one("#along", Input).focus()
        self._preview()

    async def first_drawn(self) -> None:
        """The ways are looked for once the box can be read: threads of one program take turns, so beside its painting both took twice as
        long."""
        self._look()

    # The ways offered ------------------------------------------------------------------------------------------------

    @work(thread=True, exclusive=True)
    def _look(self) -> None:
        """Each way is told as soon as it is found; a look that was broken off tells nothing more."""
        worker, job, before, post, at = get_current_worker(), self.job, self.before, self.post, self.at
        found: tuple[Suggestion, ...] = ()
        for offer in suggestions(job, before, post, at):
            if worker.is_cancelled:
                return
            found = (*found, offer)
            self.post_message(self.Looked(found))
        fresh = layout_that_settles(job, before, post, at)
        if not worker.is_cancelled:
            self.post_message(self.Looked(found, _over_offers(fresh, bool(found))))

    @on(Looked)
    def _looked(self, event: Looked) -> None:
        self.found = event.found
        rows = self.query_one(Rows)
        kept = rows.highlighted if rows.has_focus else None
        with self.prevent(OptionList.OptionHighlighted):
            rows.show((f"{n}", Content(offer.reason)) for n, offer in enumerate(event.found))
            rows.highlighted = kept
        rows.display = bool(event.found)
        if event.says:
            self.query_one("#looking", Static).update(event.says)

    def action_to_offers(self) -> None:
        rows = self.query_one(Rows)
        if self.found:
            rows.focus()
            rows.highlighted = 0

    def on_key(self, event: events.Key) -> None:
        """Up from the first way goes back to the inputs."""
        rows = self.query_one(Rows)
        if event.key == "up" and rows.has_focus and not rows.highlighted:
            event.stop()
            event.prevent_default()
            self.query_one("#along", Input).focus()
            with self.prevent(OptionList.OptionHighlighted):
                rows.highlighted = None
            self._preview()

    @on(OptionList.OptionHighlighted, "#offers")
    def _reached(self, event: OptionList.OptionHighlighted) -> None:
        if self.query_one(Rows).highlighted == event.option_index:
            self._show(self.found[event.option_index].steps, "")

    @on(OptionList.OptionSelected, "#offers")
    def _took(self, event: OptionList.OptionSelected) -> None:
        """A way stands as it was judged until something is typed over it; a move fills the inputs too."""
        offer = self.found[event.option_index]
        move = offer.steps[0] if offer.kind == "move" else {}
        with self.prevent(Input.Changed):
            self._fill(float(move.get("along_ft", 0.0)), float(move.get("out_ft", 0.0)))
        self.taken = offer
        self._preview()
        self.query_one("#why", Input).focus()

    # What is typed ---------------------------------------------------------------------------------------------------

    @on(Input.Changed, "#along, #out")
    def _typed(self) -> None:
        self.taken = None
        self._preview()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        """On to the next box from one that can be read; from the last one the move is accepted, or what is wrong with it is named."""
        order = tuple(self.CALLED)
        place, why = order.index(event.input.id or order[0]), self.typed("why")
        try:
            if place < len(order) - 1:
                self.length_ft(order[place])
                self._refuse_in(order[: place + 1])
                self.query_one(f"#{order[place + 1]}", Input).focus()
                return
            steps = self._steps()
            if not steps:
                raise WrongField("along", f"{self.post} moves nowhere yet. Type how far along the line, or below how far out from it.")
            settled(self.job, self.before, steps, self.at, self.by, why=why)
        except WrongField as wrong:
            self.wrong(wrong.box, str(wrong))
        except JobError as error:
            self.refused(error)
        else:
            if self.taken is not None and self.taken.lacks:
                self.problem(f"{self.taken.lacks}\nLog what comes, then take this offer; or type a move of your own.")
            elif not self.told_anew():
                self.give(Settled(steps, why))

    def _refuse_in(self, boxes: Sequence[str]) -> None:
        """A WrongField where one of these boxes is wrong; what is wrong further on is named once the cursor is there."""
        try:
            settled(self.job, self.before, self._steps(), self.at, self.by)
        except (WrongField, JobError) as error:
            wrong = error if isinstance(error, WrongField) else self.wrong_field(error)
            if wrong is not None and wrong.box in boxes:
                raise wrong from error

    def action_picture(self) -> None:
        """The plan round the post, large; the boxes stay."""
        self.toggle_class("-picture")
        self._give_room()
        self._draw()

    def _give_room(self) -> None:
        """As many rows for the plan as are left."""
        spared = OVER_IT - 3 if self.has_class("-picture") else OVER_IT
        self.query_one(PlanView).styles.height = max(min(self.app.size.height - spared, TALLEST), LEAST)

    def action_nudge(self, along: int, out: int) -> None:
        """So many steps of 3 inches, or of 5 cm."""
        step_ft = 5 * unit_ft("in") if metric() else 3 * unit_ft("in")
        try:
            self._fill(self.length_ft("along") + along * step_ft, self.length_ft("out") + out * step_ft)
        except WrongField as wrong:
            self.wrong(wrong.box, str(wrong))

    def _fill(self, along_ft: float, out_ft: float) -> None:
        for name, value in (("along", along_ft), ("out", out_ft)):
            self.query_one(f"#{name}", Input).value = f"{value / unit_ft('in'):g} {bare_unit('in')}" if value else ""

    def _steps(self) -> tuple[Step, ...]:
        """The way taken or the move typed; none where nothing moves. A WrongField where it can't be read, or the post is gone."""
        if self.post not in self.before.layout.supports:
            raise WrongField("along", f"{self.post} was taken out of the plan on another laptop meanwhile. Esc leaves.")
        if self.taken is not None:
            return self.taken.steps
        along_ft, out_ft = self.length_ft("along"), self.length_ft("out")
        return ({"kind": "move", "post": self.post, "along_ft": along_ft, "out_ft": out_ft},) if along_ft or out_ft else ()

    # What it does ----------------------------------------------------------------------------------------------------

    def _preview(self) -> None:
        self._draw_later(self.before)
        try:
            steps, taken = self._steps(), self.taken
        except WrongField as wrong:
            there = self.query_one(f"#{wrong.box}", ReadBackInput)
            if there.has_focus and begun(there.value.strip(), there.sides):
                self._ask()
            else:
                self.tell_wrong(wrong)
            return
        if steps and taken is not None and taken.kind != "move":
            self._show(steps, taken.reason)
        elif steps:
            self._show(steps, f"{self.post} moves {move_words(float(steps[0]['along_ft']), float(steps[0]['out_ft']))}.")
        else:
            self._ask()

    def _ask(self) -> None:
        self.tell(Content(f"How far does {self.post} move? {a_length()}"))

    def _show(self, steps: tuple[Step, ...], says: str) -> None:
        self._draw_later(self.before)
        try:
            after = walk(settled(self.job, self.before, steps, self.at, self.by))
        except JobError as error:
            if (wrong := self.wrong_field(error)) is not None:
                self.tell_wrong(wrong)
            else:
                self.problem(str(error))
            return
        found = consequences(self.before, after)
        self.tell(summary(says, found), found.changes)
        self._draw_later(after)

    def _draw_later(self, walked: Walk) -> None:
        self._walked = walked
        self.once_told(self._draw)

    def _draw(self) -> None:
        """Two bays each side, the old place and the new, once the words are read, where a plan is seen at all."""
        after = self._walked
        if self.post not in self.before.layout.supports:
            return
        if after is not self._pictured and (self.has_class("-roomy") or self.has_class("-picture")):
            drawn = plan_shapes(self.job, after, None if after is self.before else self.before)
            self.query_one(PlanView).picture = close_up(drawn, self.before, self.post)
            self._pictured = after
