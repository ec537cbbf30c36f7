"""The sheet on screen: it draws the sheet it is given, types readings into its cells, and says what the crew wants."""

from collections.abc import Callable
from textwrap import wrap
from typing import ClassVar

from textual.events import Click, Key, MouseScrollDown, MouseScrollUp, Paste
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from engine.job.model.item_key import ItemKey
from engine.sheets.sheet import Cell, Column, Sheet, SheetPart
from tui.base.commands import bindings
from tui.base.key_lists import ALT_NUMBERS, SHEET_COMMANDS
from tui.sheet.cell_typing import OF_A_NUMBER, STARTS, Given, Typing
from tui.sheet.sheet_columns import Fitted, fit, full_width
from tui.sheet.sheet_cursor import SheetCursor
from tui.sheet.sheet_ink import SheetInk
from tui.sheet.sheet_said import Ended, Entered, Reached, Read, Started

WHEEL = 3
ALL_DONE = "Nothing is open here. Press o to see every row again."
LEAVES = frozenset(
    ("up", "down", "left", "right", "home", "end", "pageup", "pagedown", "tab", "shift+tab", *(f"alt+{number}" for number in range(1, 10)))
)
"""Keys that lead away from a cell in which nothing was typed yet."""


class SheetView(Widget, can_focus=True):
    """A sheet to walk through by cell. Arrows, Home, End, PgUp, PgDn move; a digit starts a reading; a click chooses."""

    BINDINGS: ClassVar = bindings(SHEET_COMMANDS)
    COMPONENT_CLASSES: ClassVar = {f"sheet--{part}" for part in ("head", "open", "done", "fix", "stop", "note", "figure", "row", "cell")}
    DEFAULT_CSS = """
    SheetView {
        background: $background;
        & > .sheet--head { color: $muted; background: $panel; }
        & > .sheet--open { color: $foreground; }
        & > .sheet--done { color: $done; }
        & > .sheet--fix { color: $fix; text-style: bold; }
        & > .sheet--stop { color: $stop; text-style: bold; }
        & > .sheet--note { color: $note; }
        & > .sheet--figure { color: $muted; }
        & > .sheet--row { background: $panel; }
        & > .sheet--cell { background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold; }
    }
    """

    def __init__(self, *, id: str | None = None, empty: str = "") -> None:
        super().__init__(id=id)
        self.empty = empty
        self.sheet: Sheet | None = None
        self.needs = 0
        """How wide it is with all its columns."""
        self.only_open = False
        self.typing: Typing | None = None
        self._astray = False
        """Whether a number is being typed in a cell that isn't read: the keys that end it tick nothing."""
        self.cursor = SheetCursor()
        self._ink = SheetInk(self)
        self._top = 0
        self._fits, self._fits_in = dict[int, Fitted](), 0

    # What it shows ---------------------------------------------------------------------------------------------------

    def show(self, sheet: Sheet, *, anew: bool = False, called: Callable[[str], str] = str) -> None:
        """Another sheet, or the same after an edit: the cursor stays in its cell, anew it goes to the first open one. What its row is about
        may be `called` otherwise."""
        if sheet is self.sheet and not anew:
            return
        before, self.sheet = [line.row for line in self.cursor.lines], sheet
        self.needs = max((full_width(part) for part in sheet.parts), default=0)
        widths = [fits.widths for fits in self._fits.values()]
        self._fits = {}
        self.cursor.show(sheet, only_open=self.only_open, called=called)
        if anew:
            self.typing = None
            self.cursor.to_first_open()
            self._top = max(self.cursor.at - 2, 0)
        self._to_typed()
        scrolled = self._keep_in_view()
        after = [line.row for line in self.cursor.lines]
        stands = len(before) == len(after) and widths == [self._fitted(part).widths for part in sheet.parts][: len(widths)]
        if anew or scrolled or not stands:
            self.refresh()
        else:
            self._draw(*(at for at, (was, now) in enumerate(zip(before, after, strict=True)) if was != now))

    def _to_typed(self) -> None:
        """The cursor where something is typed; its row shows even with nothing open. Where it is gone, Enter keeps it for what stood."""
        if (typing := self.typing) is None or self.sheet is None or self._on(typing):
            return
        self.cursor.to_item(typing.line.item.key)
        if self.only_open and not self._on(typing):
            self.only_open = False
            self.cursor.show(self.sheet, only_open=False)
            self.cursor.to_item(typing.line.item.key)

    def _on(self, typing: Typing) -> bool:
        line = self.cursor.cell.line
        return line is not None and line.item.key == typing.line.item.key

    def show_only_open(self, only: bool) -> None:
        """Only rows with something open, or all."""
        self.only_open = only
        if self.sheet is not None:
            self.cursor.show(self.sheet, only_open=only)
            self._keep_in_view()
            self.refresh()
            self._tell(Reached())

    def gave_way(self) -> tuple[tuple[Column, Cell], ...]:
        """Columns of the cursor's row for which there is no room."""
        row, part = self.cursor.row, self.cursor.part
        return tuple((part.columns[at], row.cells[at]) for at in self._fitted(part).dropped) if row and part else ()

    @property
    def not_kept(self) -> str:
        """What is asked before what is typed in a cell is thrown away; nothing where nothing is lost."""
        typing = self.typing
        if typing is None or not typing.holds:
            return ""
        said = ", ".join(words.strip() for words in (typing.text, typing.reason or "") if words.strip())
        return f"{typing.line.item.says}: {said}. Throw away what was typed there?"

    def drop(self) -> None:
        """What is typed goes."""
        self._type(None)

    # Moving ------------------------------------------------------------------------------------------------------------

    def go(self, key: ItemKey) -> None:
        """The cursor into the cell of an item that is there."""
        self._moved(lambda: self.cursor.to_item(key))

    def go_to_subject(self, subject: str) -> None:
        """The cursor to the row of a thing that is there; out of a cell with something typed in it only a key of the crew's leads."""
        if not self.not_kept:
            self._moved(lambda: self.cursor.to_subject(subject))

    def step_on(self) -> None:
        """The cursor to the next open cell."""
        self._moved(self.cursor.step_on)

    def action_move(self, how: str, by: int) -> None:
        """One of the cursor's ways to move; down from the last row leads out of the sheet."""
        if not self._moved(lambda: getattr(self.cursor, how)(by)) and how == "walk" and by > 0:
            self._tell(Ended())

    def action_leaf(self, by: int) -> None:
        self._moved(lambda: self.cursor.jump(by * max(self.size.height - 2, 1)))

    def action_into(self) -> None:
        self._tell(Entered(clicked=False))

    def _moved(self, move: Callable[[], object]) -> bool:
        before, column = self.cursor.at, self.cursor.column
        move()
        if (before, column) == (self.cursor.at, self.cursor.column):
            return False
        self.typing = None
        narrow = any(fits.more for fits in self._fits.values())
        if narrow:
            self._fits = {}
            self.refresh()
        if not self._keep_in_view() and not narrow:
            self._draw(before, self.cursor.at)
        self._tell(Reached())
        return True

    def _draw(self, *lines: int) -> None:
        """Draw these lines anew, where they show."""
        for at in lines:
            if 0 < at - self._top < self.size.height:
                self.refresh(Region(0, at - self._top, self.size.width, 1))

    def _keep_in_view(self) -> bool:
        """Scroll as little as brings the cursor into view; whether that moved anything."""
        at, room = self.cursor.at, max(self.size.height - 1, 1)
        top = min(self._top, self._lowest())
        top = max(min(top, at - 1), at - room, 0)
        if top == self._top:
            return False
        self._top = top
        self.refresh()
        return True

    def _lowest(self) -> int:
        """The furthest it scrolls."""
        return max(len(self.cursor.lines) - 1 - max(self.size.height - 1, 1), 0)

    def on_resize(self) -> None:
        """More lines or fewer."""
        self._keep_in_view()

    def _tell(self, message: Message) -> None:
        """Straight to the screen, so that what follows from it is painted with the sheet, not a frame later."""
        self.screen.post_message(message)

    # Typing ------------------------------------------------------------------------------------------------------------

    def start(self, text: str = "") -> None:
        """A reading is typed into the cell under the cursor."""
        line = self.cursor.cell.line
        if line is not None and line.item.reading is not None:
            self._type(Typing(line, text))

    def _type(self, typing: Typing | None) -> None:
        self.typing = typing
        self._draw(self.cursor.at)
        self._tell(Reached())

    def check_consume_key(self, key: str, character: str | None) -> bool:  # noqa: ARG002  # the signature is Textual's
        """While a reading is typed every letter is its."""
        return self.typing is not None and character is not None and character.isprintable()

    def on_key(self, event: Key) -> None:
        """A digit starts a reading; what follows belongs to it until Enter or Esc."""
        typing, character, line = self.typing, event.character or "", self.cursor.cell.line
        astray, self._astray = self._astray, False
        if typing is None:
            if character and character in STARTS and line is not None and line.item.reading is not None:
                self._tell(Started(character))
            elif (character.isdigit() and self.cursor.beside_readings) or (astray and character and character in OF_A_NUMBER):
                self._astray = True
                self._tell(Started(""))
            elif astray and event.key == "enter":
                self._tell(Started("", entered=True))
            else:
                return
        elif event.key == "enter":
            self._enter(typing)
        elif event.key == "escape":
            self._type(typing.left())
        elif event.key == "backspace":
            self._type(typing.back())
        elif event.is_printable and character and character not in ALT_NUMBERS:
            self._type(typing.typed(character))
        elif event.key not in LEAVES and not event.is_printable:
            return
        elif not typing.holds:
            self.typing = None
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: Paste) -> None:
        """Pasted text is typed text: a length starts a reading."""
        if self.typing is not None:
            event.stop()
            self._type(self.typing.typed(event.text))
        elif self.pastes_one_line and event.text[:1] in STARTS:
            event.stop()
            self._tell(Started(event.text))

    @property
    def pastes_one_line(self) -> bool:
        """Whether what is pasted is a reading, and its end an Enter."""
        line = self.cursor.cell.line
        return self.typing is not None or (line is not None and line.item.reading is not None)

    def _enter(self, typing: Typing) -> None:
        """What was typed stands until somebody says that it is kept."""
        entered = typing.entered()
        if isinstance(entered, Given):
            self._tell(Read(typing.line, entered))
        else:
            self._type(entered)

    # By mouse ----------------------------------------------------------------------------------------------------------

    def on_click(self, event: Click) -> None:
        """Choose the cell; a click on the chosen one enters it. What is typed is kept there, elsewhere left by the second click."""
        at, cursor = self._top + event.y, self.cursor
        if event.y < 1 or at >= len(cursor.lines) or cursor.lines[at].row is None:
            return
        column = self._fitted(cursor.lines[at].part).column_at(event.x) or 0
        before = (cursor.at, cursor.column)
        if self.typing is not None and before == (at, column):
            self._enter(self.typing)
        elif self.typing is not None and (kept := self.typing.left()) is not None:
            self._type(kept)
        else:
            self._moved(lambda: cursor.to(at, column))
            if before == (cursor.at, cursor.column):
                self._tell(Entered(clicked=True))

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        event.stop()
        self._top = min(self._top + WHEEL, self._lowest())
        self.refresh()

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        event.stop()
        self._top = max(self._top - WHEEL, 0)
        self.refresh()

    # Drawing -----------------------------------------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        """The heads of the part in view on the first line, below them its rows."""
        lines, at = self.cursor.lines, self._top + y
        if not lines:
            says = ALL_DONE if self.sheet and self.sheet.parts else self.empty
            return self._ink.blank(f" {dict(enumerate(wrap(says, max(self.size.width - 2, 1)), 1)).get(y, '')}")
        if y and at >= len(lines):
            return self._ink.blank()
        part, row = lines[min(at + (y == 0), len(lines) - 1)]
        if y == 0 or row is None:
            return self._ink.head(part, self._fitted(part), *(() if y else self._count()))
        here = self.cursor.column if at == self.cursor.at else None
        return self._ink.row(part, row, self._fitted(part), here, self.typing.text if self.typing else None)

    def _fitted(self, part: SheetPart) -> Fitted:
        if self._fits_in != self.size.width:
            self._fits, self._fits_in = {}, self.size.width
        if id(part) not in self._fits:
            self._fits[id(part)] = fit(part, self.size.width, self.cursor.column if part is self.cursor.part else 0)
        return self._fits[id(part)]

    def _count(self) -> tuple[str, ...]:
        """Which lines show, where not all do; in full, and short."""
        room, count = max(self.size.height - 1, 1), len(self.cursor.lines) - 1
        last = min(self._top + room, count)
        return (f"{self._top + 1} to {last} of {count}", f"{last}/{count}") if count > room else ()

    def on_focus(self) -> None:
        """The cursor shows where keys go, and that they go elsewhere."""
        self._draw(self.cursor.at)

    on_blur = on_focus
