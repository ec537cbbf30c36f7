"""Posts that are lifted: by their braces, and by cables in a dip or at the low end of a slope."""

from collections.abc import Sequence
from typing import NamedTuple

from engine.calc.force_words import pull_words, weight_words
from engine.calc.frozen import dataclass
from engine.checklist import Item
from engine.findings import Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import TickFacts
from engine.stages.bracing.post_pulls import PostPulls
from engine.stages.bracing.what_pulls import STATE_WORDS, StateName

_finding = FindingOf("bracing")

FELT_LBF = 1.0
"""A lift or a pull under this is nobody's worry: common practice, no source."""


def up_or_down(force_lbf: float | None) -> str:
    """A force in profile, to the pound: `up 12 lb`, `down 4 lb`; nothing where there is none."""
    if force_lbf is None or round(force_lbf) == 0:
        return ""
    return f"{'up' if force_lbf > 0 else 'down'} {pull_words(abs(force_lbf))}"


@dataclass(frozen=True)
class Lift:
    """The lift on one driven post in the state that lifts it most, by its cables (down negative) and its braces, against its weight (0
    unknown)."""

    support: str
    cables_lbf: float
    braces_lbf: float
    state: StateName
    weight_lb: float

    @property
    def most_lbf(self) -> float:
        """Both together."""
        return self.cables_lbf + self.braces_lbf

    @property
    def lifts(self) -> bool:
        """Whether it takes the post with it: a post in its sleeve is held down by its weight and nothing else."""
        return self.most_lbf > max(self.weight_lb, FELT_LBF)

    @property
    def by(self) -> str:
        """What lifts it, in words."""
        if not self.braces_lbf:
            return "its cables"
        return "its braces and cables" if self.cables_lbf >= 1 else "its braces"

    @property
    def says(self) -> str:
        """What it does to its post, a sentence without its end."""
        weighs = f"weighs about {weight_words(self.weight_lb, 0)} and " if self.weight_lb else ""
        return (
            f"{self.support}'s post is lifted {pull_words(self.most_lbf)} by {self.by}, {STATE_WORDS[self.state]}; it {weighs}stands loose"
        )


def lift_of(support: str, pulls: PostPulls, braces_lbf: Sequence[float], weight_lb: float) -> Lift:
    """The lift on one post, in the state in which cables and braces together lift it most; `braces_lbf` is what all braces do in each."""
    if not braces_lbf:
        return Lift(support, pulls.lifted.lift_lbf, 0.0, pulls.lifted.state, weight_lb)
    most, by_braces = max(zip(pulls.each, braces_lbf, strict=True), key=lambda both: both[0].lift_lbf + both[1])
    return Lift(support, most.lift_lbf, by_braces, most.state, weight_lb)


def pin_item(lift: Lift, on: TickFacts) -> Item:
    """What a lifted post asks of the crew.

    Source: common practice, no source: a screw or bolt through sleeve and post.
    Valid for: posts in sleeves.
    """
    says = f"{lift.support}: post pinned to its sleeve, {lift.by} lift it {pull_words(lift.most_lbf)}"
    return Item(pin_key(lift.support), says, of=on)


def pin_key(support: str) -> ItemKey:
    """The item that asks for a post to be pinned."""
    return ItemKey("bracing", support, "pinned")


class Lifted(NamedTuple):
    """A post that is lifted out: how hard, and in a sentence without its end."""

    support: str
    most_lbf: float
    says: str


def lift_findings(lifted: Sequence[Lifted]) -> tuple[Finding, ...]:
    """One finding a job: the posts that are lifted out and that aren't pinned, the worst first."""
    if not lifted:
        return ()
    said = {one.support: one.says for one in sorted(lifted, key=lambda one: -one.most_lbf)}
    do = "Before the loop is closed, pin post and sleeve with a screw or bolt through both (common practice, no source); the sleeve's hold "
    return (_finding.of_many("post_lifted", "fix", said, "lifted too", f"{do}in the ground isn't counted on."),)
