"""What shares a place under the picture: the card of the chosen thing, the stage's findings, its figures."""

from threading import Thread

from textual import on
from textual.content import Content
from textual.message import Message
from textual.style import Style
from textual.widget import Widget
from textual.widgets import OptionList

from engine.findings import Finding, FindingKey, StageName
from engine.job.model.job import Job
from engine.stages.punch.closing_list import Jump
from engine.walk import Walk
from tui import stages
from tui.boxes.row_words import finding_rows
from tui.screens.going import UNDER
from tui.screens.shared_place import GoTo, SharedPlace
from tui.stages.cards import card_of
from tui.widgets.card_view import CardView
from tui.widgets.chosen import Chosen
from tui.widgets.figures import FiguresPane
from tui.widgets.rows import Rows


class EstimateKnown(Message):
    """Low and high of the estimate are worked out, which what is shown waits for."""

    def __init__(self, page: str, stage: StageName, job: Job, walk: Walk, chosen: str | None) -> None:
        super().__init__()
        self.page, self.stage, self.job, self.walk, self.chosen = page, stage, job, walk, chosen


class UnderPicture(SharedPlace):
    """Shows one of them, and names all three."""

    NAMES = UNDER

    def __init__(self, id: str) -> None:
        super().__init__(id, heading="tabs")
        self._found: tuple[Finding, ...] = ()
        self._asked_of: EstimateKnown | None = None

    def make(self, name: str) -> Widget:
        match name:
            case "card":
                return CardView(id=name)
            case "findings":
                return Rows[FindingKey](id=name, empty="Nothing found in this stage.")
            case _:
                return FiguresPane(id=name)

    def show(self, page: str, stage: StageName, job: Job, walk: Walk, chosen: str | None) -> None:
        """One page of a stage and of the chosen thing."""
        self._found = found = walk.stage_findings[stage]
        titles = {"card": f"card {chosen or ''}".strip(), "findings": f"findings {len(found) or ''}".strip(), "figures": "figures"}
        parts = [_button(f" {title} ", f"screen.open('{name}')", here=name == page) for name, title in titles.items()]
        self.head(Content(" ").join(parts))
        match self.pane(page):
            case CardView() as card:
                card.show(card_of(job, walk, chosen or ""))
            case Rows() as rows:
                with self.prevent(OptionList.OptionHighlighted):
                    rows.show(finding_rows(found))
                self._go_to_finding_of(chosen)
            case FiguresPane() as figures:
                figures.chosen = chosen
                figures.call_later(figures.show, stages.figures(stage, job, walk))
                if job.rough is not None:
                    self._estimate_apart(job, EstimateKnown(page, stage, job, walk, chosen))

    def _estimate_apart(self, job: Job, known: "EstimateKnown") -> None:
        """Low and high of what was said first take many walks: the figures are shown again once they are worked out."""
        from engine.ahead.estimate import estimate, is_estimated
        from engine.ahead.rests_on_it import rests_on_it

        self._asked_of = known
        if not is_estimated(job) and rests_on_it(job, known.walk):
            Thread(target=lambda: (estimate(job), self.post_message(known)), name="estimate", daemon=True).start()

    @on(EstimateKnown)
    def _estimate_known(self, event: EstimateKnown) -> None:
        """Unless something else is shown since."""
        if event is self._asked_of and self.panes[event.page].display:
            self.show(event.page, event.stage, event.job, event.walk, event.chosen)

    def go(self, finding: FindingKey) -> None:
        """The cursor on a finding of the list."""
        self._rows.go(finding)

    @property
    def _rows(self) -> Rows[FindingKey]:
        rows = self.panes["findings"]
        assert isinstance(rows, Rows)
        return rows

    def _go_to_finding_of(self, chosen: str | None) -> None:
        """The cursor on the first finding about the chosen thing, unless it is on one."""
        about = [one.key for one in self._found if one.subject == chosen]
        if about and self._rows.current not in about:
            with self.prevent(OptionList.OptionHighlighted):
                self._rows.go(about[0])

    @on(OptionList.OptionHighlighted, "#findings")
    def _finding_reached(self) -> None:
        """What it is about is chosen."""
        key = self._rows.current
        if self._rows.has_focus and key is not None:
            self.post_message(Chosen(key.subject))

    @on(OptionList.OptionSelected, "#findings")
    def _finding_entered(self) -> None:
        """From a finding to the cell that settles it."""
        finding = next((one for one in self._found if one.key == self._rows.current), None)
        if finding is not None:
            self.post_message(GoTo(Jump(finding.stage, finding.subject, item=finding.item)))


def _button(words: str, action: str, *, here: bool) -> Content:
    """Words that do something when they are clicked."""
    return Content.styled(words, "bold reverse" if here else "$muted").stylize(Style.from_meta({"@click": action}))
