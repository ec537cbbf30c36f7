"""A lean on the bay beside a brace: how hard it pushes the brace for a moment, and what brace and foot then take at last.

Limits: as in gripped_leans, on the top or the bottom cable, whichever bends the post more: it is the most, up to half too much where bays
are short, for the posts beyond give too. Eyes that run free push less. A foot counts as put right, for one that isn't is told by itself. A
brace inside a bend, which both bays hold too, is left out.
"""

from collections.abc import Iterator, Mapping
from itertools import repeat

from engine.calc.force_words import lean_words, pull_words
from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_columns
from engine.calc.statics.embedment import SoilClass
from engine.findings import Finding, FindingOf
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import BraceLeg
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.cables.brace_strength import BraceTube, brace_holds
from engine.stages.cables.cable_states import alike_ft
from engine.stages.cables.fence_parts import FencePart
from engine.stages.cables.gripped_leans import LeanOn, each_gripped
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.standing_supports import Span

_finding = FindingOf("cables")


@dataclass(frozen=True)
class LeanedBrace:
    """A brace while somebody leans on the bay beside it: the lean, the level push then, and the push at which it or its foot gives, lb.

    `holds_lbf` is None where that isn't known, `foot_first` whether the foot is what gives.
    """

    support: str
    bay: str
    lean_lbf: float
    thrust_lbf: float
    holds_lbf: float | None
    foot_first: bool

    @property
    def gives(self) -> bool:
        """Whether brace or foot gives."""
        return self.holds_lbf is not None and self.thrust_lbf > self.holds_lbf


def leaned_braces(
    part: FencePart, cable: Cable, tube: BraceTube | None, soil: SoilClass, leans: Mapping[str, LeanOn]
) -> dict[str, LeanedBrace]:
    """Every brace along an arm of the fence, by its id."""
    loops = {bay.id: (bay, one.states) for one in part.strung.values() for bay in one.bays}
    legs, beside = [], []
    for name in [name for name, pull in part.pulls.items() if pull.legs]:
        toward = {arm.toward: arm.bay for arm in part.arms[name]}
        for leg in part.pulls[name].legs:
            bay = toward.get(leg.toward or "")
            if bay is not None:
                legs.append(leg)
                beside.append((*loops[bay], part.hangs[bay].eyes, leans[bay]))
    leaned = _leaned(repeat(cable), repeat(tube), repeat(soil), legs, *zip(*beside, strict=True)) if legs else []
    return {leg.id: one for leg, one in zip(legs, leaned, strict=True)}


@remembered_columns
def _leaned(
    cable: Cable, tube: BraceTube | None, soil: SoilClass, leg: BraceLeg, bay: Span, states: LoopStates, eyes: EyeHeights, on: LeanOn
) -> LeanedBrace:
    thrust_lbf = leg.thrust_lbf * _times(leg, states, bay, eyes, cable, on)
    holds = brace_holds(leg, tube, soil, on_plate=True)
    return LeanedBrace(leg.support, bay.id, on.lean_lbf, thrust_lbf, holds.thrust_lbf if holds else None, bool(holds and holds.foot))


def _times(leg: BraceLeg, states: LoopStates, bay: Span, eyes: EyeHeights, cable: Cable, on: LeanOn) -> float:
    """How many times what bends the post in the state that the brace was worked for the lean does."""
    (span_ft,) = alike_ft(bay.slope_ft)
    low, high = each_gripped(cable, states, on.lean_lbf, span_ft, on.ends)
    before, by_low, by_high = (states.at(state) for state in (leg.state, low.state, high.state))
    bending = before.top_lbf * eyes.high_ft + before.bottom_lbf * eyes.low_ft
    at_low = low.lean.tension_lbf * eyes.low_ft + by_low.top_lbf * eyes.high_ft
    at_high = high.lean.tension_lbf * eyes.high_ft + by_high.bottom_lbf * eyes.low_ft
    return max(at_low, at_high) / bending if bending else 0.0


def leaned_brace_findings(leaned: Mapping[str, LeanedBrace]) -> Iterator[Finding]:
    """One finding a job: posts whose brace or its foot gives under a lean, the worst first."""
    over = [(one, one.holds_lbf) for one in leaned.values() if one.gives and one.holds_lbf is not None]
    if not over:
        return
    said: dict[str, str] = {}
    for one, holds_lbf in sorted(over, key=lambda row: row[1] - row[0].thrust_lbf):
        part = "its foot gives" if one.foot_first else "it bows"
        pushes = (
            f"pushes {one.support}'s brace level with {pull_words(one.thrust_lbf)} where the eyes grip; {part} at {pull_words(holds_lbf)}"
        )
        said.setdefault(one.support, f"A {lean_words(one.lean_lbf)} lean on {one.bay} {pushes}")
    do = "Use a stouter brace, a wider plate under its foot, or a lower pull."
    yield _finding.of_many("lean_pushes_brace", "note", said, "pushed too hard", do, "; guidance only")
