"""What every dialog is: a panel over the screen, Esc leaves it without a change."""

from typing import ClassVar, TypeVar

from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Input, Select, Static

from tui.base.commands import Command, bindings

T = TypeVar("T")

LEAVE = Command("leave", "escape", "leave", "Leave without changing anything.", "Dialog")
READ_ON = (
    Command("page(1)", "pagedown", "on", "Scroll down in this box.", "Dialog", in_footer=False),
    Command("page(-1)", "pageup", "back", "Scroll up in this box.", "Dialog", in_footer=False),
)


class Dialog(ModalScreen[T]):
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
    Dialog > Vertical.-tall { height: 100%; width: 100%; max-width: 110; }
    Dialog > Vertical > VerticalScroll { height: auto; max-height: 100%; }
    Dialog > Vertical.-tall > VerticalScroll { height: 1fr; }
    Dialog Input { background: $panel; }
    Dialog .says { height: auto; }
    Dialog .hint { height: auto; color: $text-muted; }
    Dialog .caution { height: auto; color: $fix; text-style: bold; }
    Dialog Rows { height: auto; max-height: 14; background: $surface; }
    """
    TITLE_WORDS: ClassVar[str] = ""
    HINT: ClassVar[str] = "Enter accepts. Esc leaves."
    TALL: ClassVar[bool] = False
    ASKS: ClassVar[bool] = True
    """Whether it asks before what was typed is thrown away."""

    def title_words(self) -> str:
        """Words on the panel's border."""
        return self.TITLE_WORDS

    def parts(self) -> ComposeResult:
        """What stands in the panel."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The panel with its parts and a hint."""
        with Vertical(classes="-tall" if self.TALL else "") as panel:
            panel.border_title = Content(self.title_words())
            with VerticalScroll(can_focus=False):
                yield from self.parts()
            yield Static(Content(f"{self.HINT} PgDn scrolls down." if self.TALL else self.HINT), classes="hint")

    def on_mount(self) -> None:
        """As it opens nothing is typed yet."""
        self._untouched = self._typed_in()

    def _typed_in(self) -> tuple[object, ...]:
        return tuple(box.value for box in (*self.query(Input), *self.query(Select)))

    @work
    async def action_leave(self) -> None:
        """Leave without a result; what was typed isn't thrown away without asking."""
        if self.ASKS and self._typed_in() != self._untouched and not await self.app.push_screen_wait(ThrowAwayDialog()):
            return
        self.dismiss(None)

    def action_page(self, pages: int) -> None:
        """On or back by what the panel shows at once."""
        panel = self.query_one("Dialog > Vertical > VerticalScroll", VerticalScroll)
        panel.scroll_relative(y=pages * max(panel.size.height - 2, 1), animate=False)


class ThrowAwayDialog(Dialog[bool]):
    """Whether what was typed is thrown away; going on is what happens unless somebody says so."""

    TITLE_WORDS: ClassVar[str] = "Not saved yet"
    HINT: ClassVar[str] = "y throws it away. Enter, n or Esc goes on typing."
    BINDINGS: ClassVar = bindings(
        (
            Command("answer(True)", "y", "throw away", "Throw away what was typed.", "Dialog"),
            Command("answer(False)", "n,enter,escape", "go on", "Go on typing.", "Dialog"),
        )
    )

    def parts(self) -> ComposeResult:
        """The question."""
        yield Static(Content("Throw away what was typed here?"), classes="says")

    def action_answer(self, away: bool) -> None:
        """Throw it away, or go on."""
        self.dismiss(away)


def labelled(label: str, widget: Widget) -> ComposeResult:
    """A widget with its name before it, on one row."""
    with Horizontal(classes="labelled"):
        yield Static(Content(label), classes="label")
        yield widget
