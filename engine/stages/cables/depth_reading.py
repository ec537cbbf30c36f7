"""What the depth of a cable with a weight hung on it tells of its tension, and how each loop's pull is read."""

from collections.abc import Iterable

from engine.calc.force_words import pull_figure, pull_words
from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.statics.weighted_cable import tension_from_depth_lbf, weighted_depth_ft
from engine.calc.tolerances import TAPE_IN
from engine.job.model.checks import Tick
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.sag_reading import SLACK_SAG_SHARE, SafeRange
from engine.stages.posts.depths import EyeHeights

_HUNG = " lb hung"
"""How the word of a tick ends that says with which weight its pull was read."""


@dataclass(frozen=True)
class WeightOn:
    """A weight hung from the middle of a bay of a loop: the cable, the bay on the slope, and the whole loop, which shares the stretch where
    the cable runs free through the eyes."""

    weight_lb: float
    cable: Cable
    span_ft: float
    round_ft: float

    def depths_in(self, tension_lbf: float) -> tuple[float, float]:
        """How deep the cable then hangs below the line of its eyes, in: where they grip it, and where it runs free."""
        gripped, free = (
            12 * weighted_depth_ft(self.weight_lb, self.span_ft, tension_lbf, self.cable.weight_plf, self.cable.ea_lbf, shared_ft)
            for shared_ft in (self.span_ft, self.round_ft)
        )
        return gripped, free

    def pulls_lbf(self, least_in: float, most_in: float) -> tuple[float, float]:
        """The least pull that a depth between the two may mean, with eyes that grip, and the most, with the cable running free; 0 slack."""
        return self._pull_lbf(most_in, self.span_ft), self._pull_lbf(least_in, self.round_ft)

    def _pull_lbf(self, depth_in: float, shared_ft: float) -> float:
        try:
            return tension_from_depth_lbf(depth_in / 12, self.weight_lb, self.span_ft, self.cable.weight_plf, self.cable.ea_lbf, shared_ft)
        except OutOfRange:
            return 0.0


@dataclass(frozen=True)
class DepthMeans:
    """Turns a depth with a weight hung on into the tension of the bare cable: with eyes that grip it pulls least, running free most."""

    on: WeightOn
    safe: SafeRange
    cold_F: float
    hot_F: float

    def short(self, depth_in: float) -> str:
        """The tension a depth means, in a few words for the checklist."""
        if not self._can_be(depth_in):
            return "can't be right, read it again"
        if self._slack(depth_in):
            return "hangs slack"
        least, most = self.on.pulls_lbf(depth_in, depth_in)
        return f"{pull_figure(least)} to {pull_words(most)}"

    def words(self, depth_in: float) -> str:
        """The tension a depth means, as well as a tape and the grip of the eyes tell it, what is safe, and what to do where it isn't."""
        if not self._can_be(depth_in):
            return "A cable can't hang like that: read it again, down from a string pulled straight from eye to eye."
        least, most = self.on.pulls_lbf(depth_in - TAPE_IN, depth_in + TAPE_IN)
        if self._slack(depth_in):
            return f"The cable hangs slack. {self.safe.says} Pull it tighter, then read it again."
        means = f"Means {pull_figure(least)} to {pull_words(most)}, by tape and by how the eyes grip."
        return f"{means} {self.safe.says}{self.safe.caution(least, most, self.cold_F, self.hot_F)}"

    def _slack(self, depth_in: float) -> bool:
        return depth_in > 12 * SLACK_SAG_SHARE * self.on.span_ft

    def _can_be(self, depth_in: float) -> bool:
        return TAPE_IN < depth_in <= 12 * self.on.span_ft / 2


def weight_read_with(of: TickFacts) -> float | None:
    """The weight, lb, that a pull was read with, by what its tick or item is about; None by the bare sag."""
    word = next((word for word in of.words if word.endswith(_HUNG)), "")
    try:
        return float(word.removesuffix(_HUNG)) if word else None
    except ValueError:
        return None


def read_of(row: TickFacts, eyes: EyeHeights, bay: str, weight_lb: float | None) -> TickFacts:
    """What the reading of a loop's pull is about: its row of supports and its stock, its eyes there, the bay it is read in, and the weight
    hung there."""
    heights = (Size("low eyes", eyes.low_ft), Size("high eyes", eyes.high_ft))
    return row._replace(sizes=heights, words=(f"in {bay}", *([] if weight_lb is None else [f"{weight_lb:g}{_HUNG}"])))


def chosen_weight_lb(rules: CableRules) -> float | None:
    """The weight that the crew chose to read pulls with, lb; None by the bare sag."""
    return rules.hung_weight_lb if rules.pull_read == "hung weight" else None


def any_with_weight(job: Job, ticks: Iterable[object]) -> bool:
    """Whether any pull of a job may be read with a weight hung: only then does how one was read change what is asked."""
    by_sag = job.rules.cables.pull_read == "sag"
    return not by_sag or any(isinstance(tick, Tick) and weight_read_with(tick.of) is not None for tick in ticks)
