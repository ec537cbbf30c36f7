"""What a sag that was read tells of the tension, in words, and the tensions that are safe through the year."""

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
            return f"{self._lbf(sag_in + TAPE_IN):.0f} lb or more"
        return f"about {self._lbf(sag_in):.0f} lb"

    def words(self, sag_in: float) -> str:
        """The tension a sag means, how well a tape tells it, what is safe, and what to do where it isn't."""
        if not self._can_be(sag_in):
            return "A cable can't hang like that: read it again, down from a string pulled straight from eye to eye."
        if sag_in > 12 * SLACK_SAG_SHARE * self.span_ft:
            return f"The cable hangs slack. {self._safe} Pull it tighter, then read it again."
        return f"{self._means(sag_in)} {self._safe}{self._caution(sag_in)}"

    def _can_be(self, sag_in: float) -> bool:
        return 0 <= sag_in <= 12 * self.span_ft / 2

    def _means(self, sag_in: float) -> str:
        least = self._lbf(sag_in + TAPE_IN)
        if sag_in <= TAPE_IN:
            return f"Too little to read: the cable pulls {least:.0f} lb or more."
        return f"Means about {self._lbf(sag_in):.0f} lb, {least:.0f} to {self._lbf(sag_in - TAPE_IN):.0f} by tape."

    @property
    def _safe(self) -> str:
        if self.safe.least_lbf > self.safe.most_lbf:
            return "No pull is safe through the year with this cable and lock."
        return f"Safe: {self.safe.least_lbf:.0f} to {self.safe.most_lbf:.0f} lb."

    def _caution(self, sag_in: float) -> str:
        if self._lbf(sag_in + TAPE_IN) > self.safe.most_lbf:
            return f" Too tight for a {self.cold_F:g}° day: pull it less; if it's locked already, cut it and string it again."
        if sag_in > TAPE_IN and self._lbf(sag_in - TAPE_IN) < self.safe.least_lbf:
            return f" Too slack: on a {self.hot_F:g}° day it hangs loose. Pull it tighter."
        return ""

    def _lbf(self, sag_in: float) -> float:
        return tension_from_sag_lbf(self.weight_plf, self.span_ft, sag_in / 12)
