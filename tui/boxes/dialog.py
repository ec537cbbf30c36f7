"""What every dialog is: a panel over the screen, Esc leaves it without a change, and what is wrong in it is named where the cursor goes."""

from collections.abc import Awaitable, Callable, Mapping
from typing import Any, ClassVar, Protocol, TypeVar

from rich.console import RenderableType
from textual import on, work
from textual.app import App, ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Input, Select, Static

from engine.calc.length_words import said_in_units
from engine.calc.lengths import LengthError, parse_length_ft
from engine.calc.sided_length import signed
from engine.job.errors import EditRefused, JobError
from engine.job.model.words.refusals import as_a_tape_reads
from tui.base.commands import Command, bindings
from tui.base.dimmed import Dimmed
from tui.base.held_back import HeldBack
from tui.base.key_buttons import key_buttons
from tui.base.theme import SIGNS
from tui.base.told_once import tell_once
from tui.widgets.read_back import ReadBackInput

T = TypeVar("T")

LEAVE = Command("leave", "escape", "leave", "Leave without changing anything.", "Dialog")
THROW_AWAY = "Throw away what was typed here?"
LISTED = "Up and Down, Enter picks. Esc shuts the list."
READ_ON = (
    Command("page(1)", "pagedown", "on", "Scroll down in this box.", "Dialog", in_footer=False),
    Command("page(-1)", "pageup", "back", "Scroll up in this box.", "Dialog", in_footer=False),
)


class WrongField(ValueError):
    """What is wrong with what stands in one box."""

    def __init__(self, box: str, says: str) -> None:
        super().__init__(says)
        self.box = box


class Dialog(HeldBack[T], ModalScreen[T]):
    """A titled panel. Subclasses give its parts in `parts` and dismiss with their result; leaving gives None."""

    BINDINGS: ClassVar = bindings((LEAVE, *READ_ON))
    DEFAULT_CSS = """
    Dialog { align: center middle; background: $background 60%; }
    Dialog > Vertical {
        width: 76; max-width: 100%; height: auto; max-height: 100%; background: $surface; border: heavy $border; padding: 0 1;
    }
    Dialog .labelled { height: auto; margin: 0 0 1 0; }
    Dialog .labelled > .label { width: 22; text-align: right; padding: 0 2 0 0; }
    Dialog .labelled > Input { width: 1fr; background: $panel; }
    Dialog .labelled > Select { width: 1fr; }
    Dialog > Vertical.-tall { height: 100%; width: 100%; max-width: 110; padding: 0 1 1 1; }
    Dialog > Vertical > VerticalScroll { height: auto; max-height: 100%; }
    Dialog > Vertical.-tall > VerticalScroll { height: 1fr; }
    Dialog Input { background: $panel; }
    Dialog .says { height: auto; }
    Dialog .hint { height: auto; color: $text-muted; }
    Dialog Static { link-color: $foreground; link-style: none; link-background-hover: $block-cursor-background; }
    Dialog #dialog-hint { link-style: bold; }
    Dialog .caution { height: auto; color: $fix; text-style: bold; }
    Dialog #problem { display: none; height: auto; color: $fix; text-style: bold; }
    Dialog #problem.-shown { display: block; }
    Dialog Rows { height: auto; max-height: 14; background: $surface; }
    """
    HINT: ClassVar[str] = "Enter accepts. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {}
    """By the id of a box: what to do in it, said before the rest while the cursor is there."""
    FIELDS: ClassVar[Mapping[str, str]] = {}
    """By the field of an edit: the id of the box it is typed into, where that isn't the field without its unit."""
    TALL: ClassVar[bool] = False
    ASKS: ClassVar[bool] = True
    """Whether it asks before what was typed is thrown away."""
    first: Callable[[Any], Awaitable[bool]] | None = None
    """What has to be agreed to before it closes; where it isn't, all that was typed still stands."""
    giving = False
    """Whether that is being asked, or done, just now."""

    def parts(self) -> ComposeResult:
        """What stands in the panel."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        self.set_class(self.TALL, "-tall")
        with Vertical(classes="-tall" if self.TALL else "") as panel:
            panel.border_title = Content(self.title or "")
            with VerticalScroll(can_focus=False):
                yield from self.parts()
            yield Static(Content(""), id="problem")
            yield Static(key_buttons(self._hint(""), self._letters()), id="dialog-hint", classes="hint")

    def render(self) -> RenderableType:
        """What is behind the panel. The library tells its own painting alone; where another asked first it kept a blank."""
        screens = self.app.screen_stack
        if self not in screens[1:]:
            return super().render()
        return Dimmed(screens[screens.index(self) - 1], self.styles.background)  # type: ignore[return-value]  # the library draws a Visual too

    def _hint(self, box: str) -> str:
        scrolls = self.TALL and self.is_mounted and self.query_one(VerticalScroll).show_vertical_scrollbar
        said = [*([said_in_units(self.HINTS[box])] if box in self.HINTS else []), self.HINT, *(["PgDn scrolls down."] if scrolls else [])]
        return " ".join(said)

    @on(DescendantFocus)
    def _hinted(self) -> None:
        """The hint belongs to the box with the cursor."""
        if self.HINTS:
            self._hint_anew()

    def _hint_anew(self) -> None:
        """Of the box with the cursor; that it scrolls is said where there is more than is seen."""
        focused = self.focused
        words = LISTED if focused is not None and isinstance(focused.parent, Select) else self._hint(focused.id or "" if focused else "")
        tell_once(self.query_one("#dialog-hint", Static), key_buttons(words, self._letters()))

    def _letters(self) -> str:
        return "".join(key for key in self._bindings.key_to_bindings if len(key) == 1 and key.isalpha())

    def wrong(self, box: str, says: str) -> None:
        """Names the box that is wrong, says why, and puts the cursor into it."""
        there = self.query_one(f"#{box}")
        called = there.parent.query(".label").results(Static) if isinstance(there.parent, Horizontal) else iter(())
        label = next((f"{one.content}: " for one in called), "")
        self.problem(f"{label}{says}")
        there.focus()

    def refused(self, error: JobError) -> None:
        """Why what stands here can't be logged: at its box where it is one field of the edit."""
        if (wrong := self.wrong_field(error)) is not None:
            self.wrong(wrong.box, str(wrong))
        else:
            self.problem(str(error))

    def wrong_field(self, error: JobError) -> WrongField | None:
        """The box that an edit was refused for, where it was for one."""
        if not isinstance(error, EditRefused) or not error.field:
            return None
        box = self.FIELDS.get(error.field, error.field.removesuffix("_ft"))
        return WrongField(box, as_a_tape_reads(error.says, error.field)) if self.query(f"#{box}") else None

    def enter(self, stands: Callable[[], T], refusal: Callable[[T], JobError | None]) -> None:
        """Gives what stands in the boxes; or names the box that is wrong, or says why it can't be logged."""
        try:
            result = stands()
        except WrongField as wrong:
            self.wrong(wrong.box, str(wrong))
            return
        if (error := refusal(result)) is not None:
            self.refused(error)
        else:
            self.give(result)

    def give(self, result: T) -> None:
        """Closes with this, at once or once it was agreed to."""
        if self.first is None:
            self.dismiss(result)
        else:
            self._give_once_agreed(self.first(result), result)

    @work
    async def _give_once_agreed(self, agreed: Awaitable[bool], result: T) -> None:
        self.giving = True
        if await agreed:
            self.dismiss(result)
        self.giving = False

    def typed(self, box: str) -> str:
        """What stands in a box."""
        return self.query_one(f"#{box}", Input).value.strip()

    def length_ft(self, box: str, empty: float = 0.0) -> float:
        """The length typed in a box; a WrongField where it can't be read."""
        text, there = self.typed(box), self.query_one(f"#{box}", Input)
        try:
            return parse_length_ft(signed(text, there.sides) if isinstance(there, ReadBackInput) else text, "ft") if text else empty
        except LengthError as error:
            raise WrongField(box, str(error)) from error

    def problem(self, says: str) -> None:
        """What is in the way, over the hint; nothing once there are no words."""
        there, words = self.query_one("#problem", Static), Content(f"{SIGNS['fix']} {says}" if says else "")
        if tell_once(there, words):
            there.set_class(bool(says), "-shown")

    @on(Input.Changed)
    @on(Select.Changed)
    def _being_mended(self) -> None:
        """Who types again has read what was wrong."""
        self.problem("")

    def on_mount(self) -> None:
        """As it opens nothing is typed yet."""
        self._untouched = self._typed_in()
        if self.TALL:
            self.watch(self.query_one(VerticalScroll), "show_vertical_scrollbar", self._hint_anew, init=False)

    def _typed_in(self) -> tuple[object, ...]:
        return tuple(box.value for box in (*self.query(Input), *self.query(Select)))

    @property
    def not_kept(self) -> str:
        """What is asked before it is left with what was typed; nothing where nothing is lost."""
        return THROW_AWAY if self.ASKS and self._typed_in() != self._untouched else ""

    async def action_leave(self) -> None:
        """Leave without a result; what was typed isn't thrown away without asking."""
        await once_let_go(self, lambda: self.dismiss(None))

    def action_page(self, pages: int) -> None:
        panel = self.query_one("Dialog > Vertical > VerticalScroll", VerticalScroll)
        panel.scroll_relative(y=pages * max(panel.size.height - 2, 1), animate=False)


class ThrowAwayDialog(Dialog[bool]):
    """Whether what was typed is thrown away; going on is what happens unless somebody says so. It `asks` that, and says what else goes."""

    TITLE = "Not saved yet"
    HINT: ClassVar[str] = "y throws it away. Enter, n or Esc goes on typing."
    BINDINGS: ClassVar = bindings(
        (
            Command("answer(True)", "y", "throw away", "Throw away what was typed.", "Dialog"),
            Command("answer(False)", "n,enter,escape", "go on", "Go on typing.", "Dialog"),
        )
    )

    def __init__(self, asks: str = THROW_AWAY) -> None:
        super().__init__()
        self._asks = asks

    def parts(self) -> ComposeResult:
        yield Static(Content(self._asks), classes="says")

    def action_answer(self, away: bool) -> None:
        self.dismiss(away)


class TypedInto(Protocol):
    """Something on screen that is typed into."""

    @property
    def app(self) -> App[Any]:
        """The app it is in."""

    @property
    def not_kept(self) -> str:
        """What is asked before what stands in it is thrown away; nothing where nothing is lost."""


async def once_let_go(there: TypedInto, then: Callable[[], object], stay: Callable[[], object] = lambda: None) -> None:
    """Does `then` where nothing typed is lost by it, or once the crew lets that go; `stay` where it is to stand. The one way to ask."""

    def answered(away: bool | None) -> None:
        if away:
            then()
        else:
            stay()

    if asks := there.not_kept:
        await there.app.push_screen(ThrowAwayDialog(asks), answered)
    else:
        then()


def labelled(label: str, widget: Widget) -> ComposeResult:
    """A widget with its name before it, on one row."""
    with Horizontal(classes="labelled"):
        yield Static(Content(label), classes="label")
        yield widget
