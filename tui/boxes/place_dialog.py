"""A box that asks for a place on a line, by a length or a name: what it names goes on under the name that it was given meanwhile."""

from typing import TypeVar

from textual.widgets import Input

from engine.change.station_by_name import station_told_ft
from engine.job.errors import EditRefused
from tui.boxes.dialog import Dialog, WrongField
from tui.widgets.word_select import WordSelect
from tui.working.called_now import NewNames
from tui.working.job_in_hand import FreshNames, JobInHand

T = TypeVar("T")


class PlaceDialog(Dialog[T]):
    """Its boxes `line` and `station`, where it has them, are followed; subclasses follow what else they name."""

    def __init__(self, hand: JobInHand) -> None:
        super().__init__()
        self.hand, self._fresh = hand, FreshNames(hand)

    def job_changed(self) -> None:
        """By the names that hold now; who has typed nothing has still typed nothing."""
        typed = bool(self.not_kept)
        for names in self._fresh.take():
            self.follow(names)
        if not typed:
            self._untouched = self._typed_in()

    def show_saved(self) -> None:
        """The disk is told of below it."""

    def follow(self, names: NewNames) -> None:
        """What its boxes name, as it is called now."""
        for line in self.query("#line").results(WordSelect):
            line.name_anew(lambda name: names.record("lines", name))
        for station in self.query("#station").results(Input):
            station.value = names.place(station.value, lengths=True)

    @property
    def line(self) -> str:
        """The line that is picked."""
        return str(self.query_one("#line", WordSelect).value)

    def station_told_ft(self, text: str) -> float:
        """Where on that line this is; refused where it is no station of it."""
        return station_told_ft(self.hand.job, self.hand.walk, self.line, text)

    def station_ft(self) -> float:
        """The station that was typed; a WrongField where it is none of its line."""
        try:
            return self.station_told_ft(self.typed("station"))
        except EditRefused as error:
            raise WrongField("station", error.says) from error
