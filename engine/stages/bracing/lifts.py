"""Posts that their cables lift: in a dip, or at the low end of a slope."""

from collections.abc import Collection, Sequence

from engine.calc.frozen import dataclass
from engine.calc.phrases import others
from engine.checklist import Item
from engine.findings import Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import TickFacts

_finding = FindingOf("bracing")

FELT_LBF = 1.0
"""A lift under this is nobody's worry, whatever the post weighs: common practice, no source."""


def up_or_down(force_lbf: float | None) -> str:
    """A force in profile, to the pound: `up 12 lb`, `down 4 lb`; nothing where there is none."""
    if force_lbf is None or round(force_lbf) == 0:
        return ""
    return f"{'up' if force_lbf > 0 else 'down'} {abs(force_lbf):.0f} lb"


@dataclass(frozen=True)
class Lift:
    """Both cables' lift on one driven post, at the target tension and on the coldest day, against the post's own weight (0 unknown)."""

    support: str
    target_lbf: float
    cold_lbf: float | None
    weight_lb: float

    @property
    def most_lbf(self) -> float:
        """The greater of both."""
        return max(self.target_lbf, self.cold_lbf or 0.0)

    @property
    def lifts(self) -> bool:
        """Whether it takes the post with it: a post in its sleeve is held down by its weight and nothing else."""
        return self.most_lbf > max(self.weight_lb, FELT_LBF)


def pin_item(lift: Lift, on: TickFacts) -> Item:
    """What a lifted post asks of the crew.

    Source: common practice, no source: a screw or bolt through sleeve and post.
    Valid for: posts in sleeves.
    """
    says = f"{lift.support}: post pinned to its sleeve, the cables lift it {lift.most_lbf:.0f} lb"
    return Item(pin_key(lift.support), says, of=on)


def pin_key(support: str) -> ItemKey:
    """The item that asks for a post to be pinned."""
    return ItemKey("bracing", support, "pinned")


def lift_findings(lifts: Sequence[Lift], pinned: Collection[str]) -> tuple[Finding, ...]:
    """One finding a job: the posts that their cables lift out and that aren't pinned, the worst first."""
    open_lifts = [lift for lift in lifts if lift.lifts and lift.support not in pinned]
    if not open_lifts:
        return ()
    worst, *rest = sorted(open_lifts, key=lambda lift: -lift.most_lbf)
    cold = f", {worst.cold_lbf:.0f} lb on the coldest day" if worst.cold_lbf is not None else ""
    weighs = f"weighs about {worst.weight_lb:.0f} lb and " if worst.weight_lb else ""
    more = others(len(rest), "lifted too")
    says = f"The cables climb away from {worst.support} and lift its post {worst.target_lbf:.0f} lb{cold}; it {weighs}stands loose{more}."
    do = "Pin post and sleeve together with a screw or bolt through both (common practice, no source), and see that the sleeve is solid."
    return (_finding("eye_lifts_post", "fix", tuple(lift.support for lift in (worst, *rest)), says, do),)
