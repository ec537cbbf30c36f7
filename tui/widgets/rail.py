"""The nine stages in order, each with what is left to do and the worst finding in it."""

from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from engine.calc.frozen import dataclass
from engine.findings import STAGES, TITLES, Level, StageName
from tui.base.theme import SIGNS

NAME_WIDTH = max(len(title) for title in TITLES.values())


@dataclass(frozen=True)
class Progress:
    """One stage: items done of all, and its worst finding."""

    stage: StageName
    done: int
    of: int
    worst: Level | None


class StageMark(Static):
    """One stage of the rail; a click goes there."""

    def __init__(self, number: int, stage: StageName) -> None:
        super().__init__(id=f"stage-{stage}", markup=False)
        self.number, self.stage = number, stage

    def show(self, progress: Progress, here: bool) -> None:
        """Draw it: number, name, what is left, worst finding."""
        left = progress.of - progress.done
        state = f"{left:>3}" if left else f"  {SIGNS['done']}" if progress.of else "  -"
        sign = SIGNS[progress.worst] if progress.worst in ("stop", "fix") else " "
        mark = Content.styled(sign, f"bold ${progress.worst}") if sign.strip() else Content(" ")
        self.update(Content.assemble(f"{'>' if here else ' '}{self.number} {TITLES[self.stage]:<{NAME_WIDTH}}{state} ", mark), layout=False)
        self.set_class(here, "-here")

    def on_click(self) -> None:
        """Go to this stage."""
        self.post_message(StageRail.Picked(self.stage))


class StageRail(Widget):
    """Three by three where the screen is narrow, one below the other where it is wide."""

    class Picked(Message):
        """The crew picked a stage."""

        def __init__(self, stage: StageName) -> None:
            super().__init__()
            self.stage = stage

    DEFAULT_CSS = """
    StageRail { layout: grid; grid-size: 3 3; height: 3; grid-gutter: 0 1; }
    StageMark { height: 1; }
    StageMark.-here { text-style: bold reverse; }
    """

    def compose(self) -> ComposeResult:
        """The nine marks."""
        for number, stage in enumerate(STAGES, 1):
            yield StageMark(number, stage)

    def show(self, rows: tuple[Progress, ...], here: StageName) -> None:
        """Draw all nine."""
        for progress in rows:
            self.query_one(f"#stage-{progress.stage}", StageMark).show(progress, progress.stage == here)
