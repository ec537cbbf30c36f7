"""A photo: which picture file beside the job, of what, where it was taken, and its caption; or one beside a tick."""

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Input, Static

from engine.calc.frozen import dataclass
from engine.job.errors import JobError
from tui.boxes.dialog import WrongField, labelled
from tui.boxes.place_dialog import PlaceDialog
from tui.widgets.line_input import LineInput
from tui.widgets.pick_input import PickInput
from tui.widgets.read_back import length_box
from tui.widgets.word_select import WordSelect
from tui.working.called_now import NewNames
from tui.working.job_in_hand import JobInHand

Listed = Mapping[str, str]
"""Picture files beside the job in the order they are offered, each with its day; behind a comma that it is named already, or what is wrong
with it."""
MOST_TOLD = 3
NONE_BESIDE = "There is no picture file beside the job yet. Type the name it will have there."


@dataclass(frozen=True)
class PhotoTold:
    """What was said of a photo; `line` is None where no station was given."""

    file: str
    about: str = ""
    line: str | None = None
    station_ft: float | None = None
    caption: str = ""


@dataclass(frozen=True)
class TakenAt:
    """What a photo of the log starts from: the chosen thing, and the lines, the chosen thing's line first."""

    about: str
    lines: tuple[str, ...]


class PhotoDialog(PlaceDialog[PhotoTold]):
    """Which picture file; without `at` nothing more is asked. The newest that nothing names yet stands there already."""

    HINT: ClassVar[str] = "Tab goes on, Enter keeps it. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {
        "file": "Down goes through the pictures beside the job, or type a name.",
        "caption": "What is to be seen on it.",
        "about": "The post, bay, loop or gate it shows, or any words.",
        "line": "Up, Down or a first letter picks, Space lists all.",
        "station": "Where it was taken, if that isn't plain: from the start of the line.",
    }
    DEFAULT_CSS = """
    PhotoDialog .labelled { margin: 0; }
    PhotoDialog #told { height: 4; color: $text-muted; }
    PhotoDialog #dialog-hint { min-height: 2; }
    """

    class Found(Message):
        """What was found beside the job."""

        def __init__(self, listed: Listed) -> None:
            super().__init__()
            self.listed = listed

    def __init__(
        self,
        title: str,
        pictures: Callable[[], Listed],
        refusal: Callable[[PhotoTold], JobError | None],
        hand: JobInHand,
        at: TakenAt | None = None,
        says: str = "",
    ) -> None:
        super().__init__(hand)
        self.title, self._pictures, self._refusal, self._at, self._says = title, pictures, refusal, at, says
        self._listed: Listed | None = None

    @property
    def at_rest(self) -> bool:
        """Whether what is beside the job is known."""
        return self._listed is not None

    def parts(self) -> ComposeResult:
        if self._says:
            yield Static(self._says, classes="says", markup=False)
        yield from labelled("Picture file", PickInput(free=True, placeholder="gate.jpg, or photos/gate.jpg", id="file"))
        yield Static(id="told", markup=False)
        if self._at is not None:
            yield from labelled("Caption", LineInput(placeholder="what is to be seen on it", id="caption", compact=True))
            yield from labelled("Of", LineInput(self._at.about, placeholder="a post, a gate, a loop, or words", id="about", compact=True))
            if self._at.lines:
                yield from labelled("On line", WordSelect(self._at.lines, self._at.lines[0], id="line"))
                yield from labelled("Station along it", length_box(placeholder="empty where what it is of says it", id="station"))

    def on_mount(self) -> None:
        """Ready to pick; what is beside the job is looked for meanwhile."""
        self.query_one("#file").focus()
        self._look()

    def follow(self, names: NewNames) -> None:
        for about in self.query("#about").results(Input):
            about.value = names.thing(about.value)
        super().follow(names)

    @work(thread=True)
    def _look(self) -> None:
        self.post_message(self.Found(self._pictures()))

    @on(Found)
    def _found(self, event: Found) -> None:
        """The names to pick from; the first of them where nothing was typed meanwhile and nothing names it yet."""
        box, self._listed = self.query_one(PickInput), event.listed
        box.options = tuple(event.listed)
        first = next(iter(event.listed), "")
        if first and not box.value and "," not in event.listed[first]:
            box.action_pick(1)
            box.select_all()  # typed over, like what any other box starts with
            self._untouched = self._typed_in()
        self._tell()

    @on(Input.Changed, "#file")
    def _tell(self) -> None:
        """What stands there, and what comes after it."""
        if self._listed is None:
            return
        typed, names = self.typed("file"), list(self._listed)
        at = names.index(typed) + 1 if typed in self._listed else 0
        here = f"{typed}: {self._listed[typed]}." if at else f"{typed} isn't beside the job yet." if typed else ""
        after = [f"{name}  {self._listed[name]}" for name in names[at : at + MOST_TOLD]]
        lines = [here] if here else [NONE_BESIDE] if not names else []
        self.query_one("#told", Static).update("\n".join([*lines, *after][: MOST_TOLD + 1]))

    @on(Input.Submitted)
    @on(WordSelect.Submitted)
    def _entered(self) -> None:
        self.enter(self._told, self._refusal)

    def _told(self) -> PhotoTold:
        file = self.typed("file").replace("\\", "/")
        if not file:
            raise WrongField("file", "name the picture file, or pick one with Down.")
        if self._at is None:
            return PhotoTold(file)
        line = self.line if self._at.lines and self.typed("station") else None
        return PhotoTold(file, self.typed("about"), line, None if line is None else self.station_ft(), self.typed("caption"))


NAMED = "named already"
"""How the words of a picture end that something names."""
