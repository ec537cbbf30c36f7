"""What happened: choose a kind, answer its few questions, see it in the log."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import ClassVar, get_args

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from engine.calc.frozen import dataclass
from engine.calc.length_words import A_LENGTH
from engine.calc.lengths import LengthError, parse_length_ft, understood
from engine.calc.sided_length import ACROSS
from engine.calc.tolerances import TAPE_FT
from engine.calc.units import metric, unit_called
from engine.job.errors import JobError
from engine.job.model.site import ObstacleKind
from tui.boxes.choice import Answer
from tui.boxes.dialog import Dialog, WrongField, labelled
from tui.boxes.materials import CanCome
from tui.boxes.place_dialog import PlaceDialog
from tui.widgets.line_input import LineInput
from tui.widgets.pick_input import PickInput
from tui.widgets.read_back import UNREAD, length_box, length_read_back
from tui.widgets.word_select import WordSelect
from tui.working.called_now import NewNames
from tui.working.job_in_hand import JobInHand

KINDS = (
    Answer("obstacle", "obstacle   in the ground; nothing is planned there any more", "o"),
    Answer("move", "move       a post moves; see what that changes first", "m"),
    Answer("swap", "tree       a tree carries the cables in a post's place", "t"),
    Answer("add", "add        one more post", "a"),
    Answer("drop", "leave out  a post is not needed", "d"),
    Answer("reroute", "new way    a stretch takes a new way; see what comes out first", "w"),
    Answer("sleeve", "cut off    an old sleeve that stays in the ground", "c"),
    Answer("delivery", "delivery   something that came in after the truck was loaded", "i"),
    Answer("note", "note       plain words", "n"),
    Answer("photo", "photo      a picture file beside the job", "p"),
    Answer("strike", "strike     an entry that was wrong, on the page of the log (g)", "s"),
)
MOST_MEANT = 3
"""Names shown of those that what was typed may mean."""
PICKS = "Up, Down or a first letter picks, Space lists all."


@dataclass(frozen=True)
class Spot:
    """A spot on a line, with what is there."""

    what: str
    line: str
    station_ft: float
    offset_ft: float
    radius_ft: float
    text: str
    long_ft: float | None = None
    wide_ft: float | None = None


@dataclass(frozen=True)
class StartsAt:
    """What the box starts with: the chosen thing's place, as it is written; empty where nothing is chosen."""

    line: str = ""
    station: str = ""
    offset: str = ""


class SpotDialog(PlaceDialog[Spot]):
    """Where on a line: for an obstacle with its size, or for a post to add."""

    HINT: ClassVar[str] = "Tab goes on, Enter logs it. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {
        "what": PICKS,
        "line": PICKS,
        "station": f"From the start of the line. {A_LENGTH} A point on it does too.",
        "offset": f"Square off the line, right of it as it runs; - is left. {A_LENGTH}",
        "radius": f"Nothing is planned that near to it. {A_LENGTH}",
        "text": "What the office should know of it.",
        "long": f"From end to end along the line. {A_LENGTH}",
        "wide": f"From side to side across it. {A_LENGTH}",
    }
    FIELDS: ClassVar[Mapping[str, str]] = {"why": "text"}
    DEFAULT_CSS = """
    SpotDialog .labelled { margin: 0; }
    SpotDialog #dialog-hint { min-height: 2; }
    """

    def __init__(
        self,
        title: str,
        lines: tuple[str, ...],
        starts: StartsAt,
        refusal: Callable[[Spot], JobError | None],
        hand: JobInHand,
        *,
        obstacle: bool,
    ) -> None:
        super().__init__(hand)
        self.title, self._lines, self._starts, self._refusal, self._obstacle = title, lines, starts, refusal, obstacle

    def follow(self, names: NewNames) -> None:
        self._starts = replace(self._starts, line=names.record("lines", self._starts.line))
        super().follow(names)

    def parts(self) -> ComposeResult:
        if self._obstacle:
            yield from labelled("What is it", WordSelect(get_args(ObstacleKind), "rock", id="what"))
        yield from labelled("On line", WordSelect(self._lines, self._starts.line or self._lines[0], id="line"))
        yield from labelled("Station along it", self._station_box())
        yield from labelled(
            "Off the line", length_box(self._starts.offset, placeholder="0; right of it, - left", id="offset", sides=ACROSS)
        )
        if self._obstacle:
            yield from labelled("Keep clear all round", length_box("30 cm" if metric() else "1 ft", id="radius"))
        yield from labelled("In words", LineInput(placeholder="what you found, or why", id="text", compact=True))
        if self._obstacle:
            yield from labelled("Long, along the line", length_box(placeholder="empty for a single spot", id="long"))
            yield from labelled("Wide, across it", length_box(placeholder="empty for a single spot", id="wide"))

    def on_mount(self) -> None:
        """Ready to say what it is; of a post more, on which line it is where nothing says that yet, else its station."""
        known = self._starts.line or len(self._lines) == 1
        self.query_one("#what" if self._obstacle else "#station" if known else "#line").focus()

    @on(Input.Changed, "#station")
    @on(WordSelect.Changed, "#line")
    def _elsewhere(self) -> None:
        """How far off its line the chosen post stands is said of its own station only."""
        box, starts = self.query_one("#offset", Input), self._starts
        if starts.offset and box.value in ("", starts.offset):
            box.value = starts.offset if self.line == starts.line and self._at(starts.station) else ""

    def _at(self, station: str) -> bool:
        try:
            return abs(self.station_ft() - self.station_told_ft(station)) <= TAPE_FT
        except (JobError, WrongField):
            return False

    @on(Input.Submitted)
    @on(WordSelect.Submitted)
    def _entered(self) -> None:
        self.enter(self._spot, self._refusal)

    def _spot(self) -> Spot:
        what = str(self.query_one("#what", WordSelect).value) if self._obstacle else ""
        radius = self.length_ft("radius", 1.0) if self._obstacle else 0.0
        station_ft, offset_ft, text = self.station_ft(), self.length_ft("offset"), self.typed("text")
        sizes = (self.length_ft("long") or None, self.length_ft("wide") or None) if self._obstacle else ()
        return Spot(what, self.line, station_ft, offset_ft, radius, text, *sizes)

    def _station_box(self) -> Input:
        """The input of the station; of a point's name it shows where that is."""
        box = length_box(self._starts.station, placeholder="from its start, or a point's name", id="station")
        length = length_read_back("ft")

        def read_back(text: str) -> str:
            if length(text) != UNREAD:
                return length(text)
            try:
                return understood(self.station_told_ft(text))
            except JobError:
                return UNREAD

        box.read_back = read_back
        return box


@dataclass(frozen=True)
class Came:
    """What a delivery brought: whole packs, loose pieces, or both."""

    stock: str
    packs: int | None
    loose: float | None
    brought_by: str
    text: str


class DeliveryDialog(Dialog[Came]):
    """What came, how much of it, and who brought it; the names to pick from start with what is short."""

    TITLE = "A delivery"
    HINT: ClassVar[str] = "Tab goes on, Enter logs it. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {
        "stock": "A word of its name, or Up and Down, picks what came.",
        "packs": "Whole packs, rolls or spools.",
        "loose": "What came outside of a pack.",
        "brought": "Who, or whose truck.",
        "text": "What the office should know of it.",
    }
    FIELDS: ClassVar[Mapping[str, str]] = {"brought_by": "brought"}
    DEFAULT_CSS = """
    DeliveryDialog #told { height: 2; color: $text-muted; }
    DeliveryDialog #dialog-hint { min-height: 2; }
    """

    def __init__(self, stock: Mapping[str, CanCome], refusal: Callable[[Came], JobError | None]) -> None:
        super().__init__()
        self._stock, self._refusal = stock, refusal

    def parts(self) -> ComposeResult:
        yield from labelled(
            "What came", PickInput(options=tuple(self._stock), any_word=True, placeholder="a word of its name, or Down", id="stock")
        )
        yield Static(id="told", markup=False)
        yield from labelled("Packs", LineInput(placeholder="packs, rolls, spools", id="packs", compact=True))
        yield from labelled(
            "Loose", LineInput(placeholder=f"pieces; {unit_called('ft')} of wire, mesh, cable, tube", id="loose", compact=True)
        )
        yield from labelled("Brought by", LineInput(placeholder="who, or which firm's truck", id="brought", compact=True))
        yield from labelled("In words", LineInput(placeholder="anything to say about it", id="text", compact=True))

    def on_mount(self) -> None:
        self.query_one("#stock", Input).focus()

    @on(Input.Changed, "#stock")
    def _reached(self) -> None:
        box = self.query_one(PickInput)
        known = self._stock.get(self._meant())
        meant = box.matches if box.value.strip() else ()
        more = f"; and {len(meant) - MOST_MEANT} more" if len(meant) > MOST_MEANT else ""
        self.query_one("#told", Static).update(f"{self._meant()}. {known.says}" if known else "; ".join(meant[:MOST_MEANT]) + more)

    @on(Input.Submitted)
    def _entered(self) -> None:
        self.enter(self._came, self._refusal)

    def _meant(self) -> str:
        """The name that was picked, by its own id too."""
        box = self.query_one(PickInput)
        typed = box.value.strip().casefold()
        return box.picked or next((name for name, row in self._stock.items() if row.stock.casefold() == typed), "")

    def _came(self) -> Came:
        picked = self._meant()
        if not picked:
            raise WrongField("stock", self._not_picked())
        packs, loose = self._number("packs"), self._loose(self._stock[picked].in_feet)
        if packs is None and loose is None:
            raise WrongField("packs", "say how much came here, or loose pieces below.")
        if packs is not None and packs != int(packs):
            raise WrongField("packs", "they are whole. Anything less than a pack is loose.")
        whole = None if packs is None else int(packs)
        return Came(self._stock[picked].stock, whole, loose, self.typed("brought"), self.typed("text"))

    def _loose(self, in_feet: bool) -> float | None:
        text = self.typed("loose")
        if not text or not in_feet:
            return self._number("loose")
        try:
            if (length_ft := parse_length_ft(text, bare="ft")) > 0:
                return length_ft
        except LengthError as error:
            raise WrongField("loose", str(error)) from error
        raise WrongField("loose", f'"{text}" is no length of loose pieces.')

    def _not_picked(self) -> str:
        box = self.query_one(PickInput)
        if not box.value.strip():
            return "pick it by a word of its name, or with Up and Down."
        meant = len(box.matches)
        return (
            f'"{box.value.strip()}" may mean {meant} things. Go on typing, or pick with Down.'
            if meant
            else f'nothing is called "{box.value.strip()}".'
        )

    def _number(self, box: str) -> float | None:
        text = self.typed(box)
        if not text:
            return None
        if not re.fullmatch(r"\d{1,7}(\.\d{1,3})?", text) or float(text) == 0:
            raise WrongField(box, f'"{text}" is not a number of {"loose pieces" if box == "loose" else "packs"}.')
        return float(text)
