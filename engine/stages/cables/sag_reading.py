"""What a sag that was read tells of the tension, in words, and the tensions that are safe through the year."""

from math import inf

from engine.calc.force_words import degrees_words, pull_figure, pull_words
from engine.calc.frozen import dataclass
from engine.calc.statics.cable_sag import tension_from_sag_lbf
from engine.calc.tolerances import TAPE_IN

SLACK_SAG_SHARE = 0.1
"""Past this share of the bay the cable hangs, and its pull is no longer told by its sag."""


@dataclass(frozen=True)
class SafeRange:
    """Tensions on the day of setting that neither hang slack on the hottest day nor pass the working load on the coldest, lb."""

    least_lbf: float
    most_lbf: float

    @property
    def says(self) -> str:
        """What may be pulled, in words."""
        if self.least_lbf > self.most_lbf:
            return "No pull is safe through the year with this cable and lock."
        return f"Safe: {pull_figure(self.least_lbf)} to {pull_words(self.most_lbf)}."

    def caution(self, least_lbf: float, most_lbf: float, cold_F: float, hot_F: float) -> str:
        """What to do where all of what a reading may mean is too tight or too slack."""
        if least_lbf > self.most_lbf:
            return f" Too tight for a {degrees_words(cold_F)} day: pull it less; if it's locked already, cut it and string it again."
        if most_lbf < self.least_lbf:
            return f" Too slack: on a {degrees_words(hot_F)} day it hangs loose. Pull it tighter."
        return ""


@dataclass(frozen=True)
class SagMeans:
    """Turns the sag of one bare cable at mid-bay into its tension: weight of the cable, length of the bay on the slope, what is safe."""

    weight_plf: float
    span_ft: float
    safe: SafeRange
    cold_F: float
    hot_F: float

    def short(self, sag_in: float) -> str:
        """The tension a sag means, in a few words for the checklist."""
        if not self._can_be(sag_in):
            return "can't be right, read it again"
        if sag_in > 12 * SLACK_SAG_SHARE * self.span_ft:
            return "hangs slack"
        if sag_in <= TAPE_IN:
            return f"{pull_words(self._lbf(sag_in + TAPE_IN))} or more"
        return f"about {pull_words(self._lbf(sag_in))}"

    def words(self, sag_in: float) -> str:
        """The tension a sag means, how well a tape tells it, what is safe, and what to do where it isn't."""
        if not self._can_be(sag_in):
            return "A cable can't hang like that: read it again, down from a string pulled straight from eye to eye."
        if sag_in > 12 * SLACK_SAG_SHARE * self.span_ft:
            return f"The cable hangs slack. {self.safe.says} Pull it tighter, then read it again."
        most_lbf = self._lbf(sag_in - TAPE_IN) if sag_in > TAPE_IN else inf
        return f"{self._means(sag_in)} {self.safe.says}{self.safe.caution(self._lbf(sag_in + TAPE_IN), most_lbf, self.cold_F, self.hot_F)}"

    def _can_be(self, sag_in: float) -> bool:
        return 0 <= sag_in <= 12 * self.span_ft / 2

    def _means(self, sag_in: float) -> str:
        least = self._lbf(sag_in + TAPE_IN)
        if sag_in <= TAPE_IN:
            return f"Too little to read: the cable pulls {pull_words(least)} or more."
        return f"Means about {pull_words(self._lbf(sag_in))}, {pull_figure(least)} to {pull_figure(self._lbf(sag_in - TAPE_IN))} by tape."

    def _lbf(self, sag_in: float) -> float:
        return tension_from_sag_lbf(self.weight_plf, self.span_ft, sag_in / 12)
