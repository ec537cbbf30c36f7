"""A new job: in a short form, what the phone call told, or the repair of a signed one; it ends in a file."""

import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any, ClassVar, get_args

from textual import on
from textual.app import App, ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from engine.calc.dates import DateError, parse_date
from engine.calc.frozen import dataclass
from engine.calc.units import FEET_INCHES, METRES, Units, in_units
from engine.job.edit.first_talk import AnswerRefused, with_first_talk
from engine.job.errors import JobError
from engine.job.file_names import refused_name
from engine.job.model.job import Job, new_job
from engine.job.model.people import Who
from engine.paper.written_files import free_beside
from tui.base.apart import apart
from tui.boxes.choice import Ask
from tui.boxes.dialog import Dialog, WrongField, labelled
from tui.widgets.line_input import LineInput
from tui.widgets.read_back import ReadBackInput, day_read_back, length_box, length_read_back
from tui.widgets.word_select import WordSelect

LONGEST = 200
FIELDS = ("title", "number", "client", "site", "planned_for", "file")
FIRST_TALK = {
    "length": ("Length", "As it was said: 140 ft, 120 to 150 ft; or leave it empty and give paces."),
    "spread": ("May be off (%)", "Either way. Empty: 10 % of a length as said; of paces by their calibration, 15 % without one."),
    "paces": ("Paces", "Single steps along the fence, one count a straight stretch: 52 31."),
    "step_over": ("Step taped over", "The taped length that the step is calibrated on."),
    "step_counts": ("Steps over it", "How many of the same steps it took, each time: 41 40 42."),
    "ends": ("Ends at", "house, tree or free, one word for both or two; ring where the fence closes."),
    "corners": ("Corners", "Turns of about a right angle."),
    "gates": ("Gates", "Their widths: 5 ft, 4 ft."),
    "height": ("Height", "Of the fence."),
    "dogs": ("Dogs", "Such as: two beagles."),
}
"""What a client may have said, by its question: what it is called, and what to write."""

REPAIR_SAYS = (
    "A new job begins from what stands: that is done, and only what is new is asked and loaded. This file stays as it is. Name the new one."
)


@dataclass(frozen=True)
class NewJob:
    """A job with its heading and what was said of the fence, and the name of its file."""

    job: Job
    file: str
    typed: Mapping[str, str]


class NewJobDialog(Dialog[NewJob]):
    """Title, number, client, site, day; the file is named after the title until somebody names it otherwise. What was said of the fence
    may follow."""

    TITLE = "New job"
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    NewJobDialog .labelled { margin: 0; }
    NewJobDialog #first-talk { margin: 1 0 0 0; }
    """
    HINT: ClassVar[str] = "Tab goes on, Enter makes it. Esc leaves."
    HINTS: ClassVar[Mapping[str, str]] = {
        "title": "What everybody calls it. The rest can wait.",
        "number": "As on the work order.",
        "site": "Where it is, as the crew finds it.",
        "planned_for": "The day the crew goes, such as 4/14. Empty where nobody knows.",
        "units": "What lengths are shown in, and read in where no unit stands. m is metres, f feet and inches.",
        "file": "The file it is kept in, in this folder. What was said of the fence may follow.",
        **{question: hint for question, (_, hint) in FIRST_TALK.items()},
    }

    def __init__(self, today: date, typed: Mapping[str, str], refused: str = "") -> None:
        super().__init__()
        self._today, self._before, self._refused, self._follows = today, typed, refused, typed.get("file", "")

    def parts(self) -> ComposeResult:
        """The fields, one under the other."""
        before = self._before.get
        yield from labelled("Title", LineInput(before("title"), placeholder="such as Maple Street back yard", id="title", compact=True))
        for name in ("number", "client", "site"):
            yield from labelled(name.capitalize(), LineInput(before(name), id=name, compact=True))
        planned = ReadBackInput(before("planned_for"), id="planned_for", compact=True)
        planned.read_back = day_read_back(self._today)
        yield from labelled("Planned for", planned)
        yield from labelled("Lengths in", WordSelect(get_args(Units), before("units", FEET_INCHES), id="units"))
        yield from labelled("File", LineInput(before("file"), placeholder="named after the title", id="file", compact=True))
        yield Static(Content("What was said of the fence, for an estimate; all of it may stay empty."), id="first-talk", classes="hint")
        for question, (label, _) in FIRST_TALK.items():
            lengthy = question in ("step_over", "height")
            box = length_box(before(question, ""), id=question) if lengthy else LineInput(before(question), id=question, compact=True)
            if isinstance(box, ReadBackInput):
                box.read_back = self._length_read
            yield from labelled(label, box)

    @property
    def _units(self) -> Units:
        return METRES if self.query_one("#units", WordSelect).value == METRES else FEET_INCHES

    def _length_read(self, text: str) -> str:
        with in_units(self._units):
            return length_read_back("ft")(text)

    def on_mount(self) -> None:
        """Ready to type, or at the name of the file where that wouldn't do."""
        if self._refused:
            self.call_after_refresh(self.wrong, "file", self._refused)

    @on(Input.Changed, "#title")
    def _named(self, event: Input.Changed) -> None:
        box = self.query_one("#file", Input)
        if box.value == self._follows:
            self._follows = box.value = file_name(event.value)

    @on(Input.Submitted)
    @on(WordSelect.Submitted)
    def _entered(self) -> None:
        try:
            self.dismiss(self._new_job())
        except WrongField as wrong:
            self.wrong(wrong.box, str(wrong))

    def _new_job(self) -> NewJob:
        said = {name: self.typed(name) for name in FIELDS}
        if not said["title"]:
            raise WrongField("title", "say what the job is called.")
        for name in ("title", "number", "client", "site"):
            if len(said[name]) > LONGEST:
                raise WrongField(name, f"that is longer than {LONGEST} letters.")
        try:
            day = parse_date(said["planned_for"], self._today) if said["planned_for"] else None
        except DateError as error:
            raise WrongField("planned_for", str(error)) from error
        file = file_name(said["file"].removesuffix(".toml"))
        if not file:
            raise WrongField("file", "name it with letters or digits.")
        who = Who(title=said["title"], number=said["number"], client=said["client"], site=said["site"], planned_for=day, units=self._units)
        answers = {question: self.typed(question) for question in FIRST_TALK}
        try:
            return NewJob(
                with_first_talk(new_job(who), answers),
                f"{file}.toml",
                {**said, "units": self._units, **answers},
            )
        except AnswerRefused as refused:
            raise WrongField(refused.question, refused.says) from refused


def file_name(title: str) -> str:
    """Words as a file is named: small letters and digits, `_` between; never the name of a device, which some laptops refuse."""
    name = re.sub(r"[^a-z0-9]+", "_", title.casefold()).strip("_")[:60].rstrip("_")
    return f"{name}_job" if name and refused_name(name) else name


async def asked_repair(app: App[Any], signed: Path) -> Path | None:
    """The new file once it is made; asked again where its name won't do, with the reason; None where nobody wants it."""
    says, named = REPAIR_SAYS, free_beside(signed, "repair", ".toml").name
    while (answer := await app.push_screen_wait(Ask("Repair", says, value=named))) is not None:
        named = named if answer == named else f"{file_name(answer.removesuffix('.toml'))}.toml"
        out = signed.with_name(named)
        try:
            await apart(lambda out=out: _made(signed, out))  # type: ignore[misc]  # mypy knows no default of a lambda
        except JobError as error:
            says = str(error)
        else:
            return out
    return None


def _made(signed: Path, out: Path) -> Path:
    from engine.repair.repair_file import write_repair

    return write_repair(signed, out).path
