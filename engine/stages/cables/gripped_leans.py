"""A lean on a bay whose eyes grip the cable: what the posts at its ends and the cables beyond them give, and how hard it then pulls.

Limits: posts are cantilevers fixed at the ground and below yield; soil, sleeve, band and brace don't give, and the posts next to them stand
still, so that what is told is the most, up to 3 % over the truth. The coldest day with wire hung counts; ice doesn't: who leans on an iced
fence is left out (judgement).
"""

from itertools import repeat
from math import hypot, inf
from typing import Literal, NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered, remembered_columns, remembered_same
from engine.calc.statics.gripped_cable import eye_gives_ft_per_lbf, gripped_push_out
from engine.calc.statics.section import stiffness_lbf_ft2
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.what_pulls import LoopStates, StateName, StatePull
from engine.stages.cables.cable_states import BENT_OVER, Lean, alike_ft
from engine.stages.cables.fence_parts import FencePart
from engine.stages.posts.arms import Arm
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span


class EndsGive(NamedTuple):
    """What both ends of a bay give for a pound along its bottom cable, and along its top one, ft/lb."""

    low: float
    high: float


STILL = EndsGive(0.0, 0.0)


class GrippedLean(NamedTuple):
    """A lean on the cable that it pulls harder, top or bottom, and the state that it is in."""

    lean: Lean
    state: StateName


class LeanOn(NamedTuple):
    """How hard a bay is leaned on, lb, and what its ends give."""

    lean_lbf: float
    ends: EndsGive


_Stands = Literal["braced", "alone", "still"]
"""Whether a brace holds a support, nothing does, or nothing need."""


class _Posts(NamedTuple):
    """What the ends of bays give by: the cable, how stiff a post is, lb ft^2, None where the stock doesn't say, and how far below the top
    eye the band of a brace is."""

    cable: Cable
    stiff_lbf_ft2: float | None
    band_below_ft: float


def leans_on(part: FencePart, cable: Cable, post: StockRow | None, band_below_in: float) -> dict[str, LeanOn]:
    """How each bay with cables is leaned on; ends give nothing where the stock doesn't give the post. `band_below_in` is how far below the
    top eye a brace's band is."""
    bays = [bay for loop in part.strung.values() for bay in loop.bays]
    stands: dict[str, _Stands] = {
        name: "still" if one.support != "driven" else "braced" if part.pulls[name].legs else "alone" for name, one in part.supports.items()
    }
    leans = _leans_on(
        repeat(_posts(cable, post, band_below_in)),
        [part.leans_lbf[bay.id] for bay in bays],
        bays,
        [part.hangs[bay.id] for bay in bays],
        [stands[bay.from_id] for bay in bays],
        [part.arms[bay.from_id] for bay in bays],
        [stands[bay.to_id] for bay in bays],
        [part.arms[bay.to_id] for bay in bays],
    )
    return {bay.id: on for bay, on in zip(bays, leans, strict=True)}


@remembered_same
def _posts(cable: Cable, post: StockRow | None, band_below_in: float) -> _Posts:
    return _Posts(cable, _stiffness_lbf_ft2(post), band_below_in / 12)


@remembered_columns
def _leans_on(
    given: _Posts,
    lean_lbf: float,
    bay: Span,
    hang: BayHeight,
    start: _Stands,
    start_arms: tuple[Arm, ...],
    end: _Stands,
    end_arms: tuple[Arm, ...],
) -> LeanOn:
    one, other = _end_gives(given, bay.id, hang.eyes, start, start_arms), _end_gives(given, bay.id, hang.eyes, end, end_arms)
    return _known(LeanOn(lean_lbf, EndsGive(one.low + other.low, one.high + other.high)))


@remembered
def _known(on: LeanOn) -> LeanOn:
    """The very same where it is like it: what hangs on it is found by that."""
    return on


def _end_gives(given: _Posts, bay: str, eyes: EyeHeights, stands: _Stands, arms: tuple[Arm, ...]) -> EndsGive:
    """What one end of a bay gives."""
    arm = next((one for one in arms if one.bay == bay), None)
    if stands == "still" or given.stiff_lbf_ft2 is None or arm is None:
        return STILL
    band_ft = eyes.high_ft - given.band_below_ft if stands == "braced" else None
    return _eyes_give(eyes, band_ft, given.stiff_lbf_ft2, *_springs(arm, arms, given.cable))


def _springs(arm: Arm, arms: tuple[Arm, ...], cable: Cable) -> tuple[float, float]:
    """Stiffness of one cable of the bay itself between eyes that both give, and of one in all bays on the other side, lb/ft."""
    (own_ft,) = alike_ft(hypot(arm.plan_ft, arm.rise_ft))
    others_ft = alike_ft(*(hypot(other.plan_ft, other.rise_ft) for other in arms if other is not arm))
    return 2 * cable.ea_lbf / own_ft, sum(cable.ea_lbf / other_ft for other_ft in others_ft)


@remembered
def _eyes_give(eyes: EyeHeights, band_ft: float | None, stiff_lbf_ft2: float, own_lbf_per_ft: float, beside_lbf_per_ft: float) -> EndsGive:
    """What both eyes of a post give: held by its brace, or, until that is slack, by the cable through the other eye on both sides."""
    low_ft, high_ft = eyes.low_ft, eyes.high_ft
    if band_ft is not None and band_ft > 0:
        props = ((band_ft, inf), (band_ft, inf))
    else:
        props = ((high_ft, own_lbf_per_ft + beside_lbf_per_ft), (low_ft, own_lbf_per_ft + beside_lbf_per_ft))
    return EndsGive(
        *(
            eye_gives_ft_per_lbf(eye_ft, prop_ft, stiff_lbf_ft2, prop, beside_lbf_per_ft)
            for eye_ft, (prop_ft, prop) in zip((low_ft, high_ft), props, strict=True)
        )
    )


def _stiffness_lbf_ft2(row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None:
        return None
    try:
        return stiffness_lbf_ft2(row.diameter_in, row.wall_in)
    except OutOfRange:
        return None


def gripped_lean(cable: Cable, states: LoopStates, lean_lbf: float, span_ft: float, ends: EndsGive) -> GrippedLean:
    """A lean on the middle of a bay where the eyes grip: on the cable that it pulls harder, in that one's hardest state without ice."""
    low, high = _hardest(states)
    leans = [_on_low(cable, states, low, lean_lbf, span_ft, ends)]
    if high.top_lbf > low.bottom_lbf:  # else the bottom one, on its stiffer eyes, pulls harder too
        leans.append(_on_high(cable, states, high, lean_lbf, span_ft, ends))
    return max(leans, key=lambda one: one.lean.tension_lbf)


def each_gripped(cable: Cable, states: LoopStates, lean_lbf: float, span_ft: float, ends: EndsGive) -> tuple[GrippedLean, GrippedLean]:
    """The same on the bottom cable and on the top one."""
    low, high = _hardest(states)
    return _on_low(cable, states, low, lean_lbf, span_ft, ends), _on_high(cable, states, high, lean_lbf, span_ft, ends)


@remembered_same
def _hardest(states: LoopStates) -> tuple[StatePull, StatePull]:
    """The states without ice in which the bottom cable pulls hardest, and the top one."""
    dry = [pull for pull in states.pulls if pull.state != "iced"]
    return max(dry, key=lambda pull: pull.bottom_lbf), max(dry, key=lambda pull: pull.top_lbf)


def _on_low(cable: Cable, states: LoopStates, pull: StatePull, lean_lbf: float, span_ft: float, ends: EndsGive) -> GrippedLean:
    plf = cable.weight_plf + _hung_plf(states, pull.state)[1]
    return GrippedLean(_lean(cable.ea_lbf, pull.bottom_lbf, plf, lean_lbf, span_ft, ends.low), pull.state)


def _on_high(cable: Cable, states: LoopStates, pull: StatePull, lean_lbf: float, span_ft: float, ends: EndsGive) -> GrippedLean:
    plf = cable.weight_plf + _hung_plf(states, pull.state)[0]
    return GrippedLean(_lean(cable.ea_lbf, pull.top_lbf, plf, lean_lbf, span_ft, ends.high), pull.state)


def _hung_plf(states: LoopStates, state: StateName) -> tuple[float, float]:
    return states.weight if state.startswith("hung") else (0.0, 0.0)


@remembered
def _lean(ea_lbf: float, tension_lbf: float, weight_plf: float, lean_lbf: float, span_ft: float, ends_ft_per_lbf: float) -> Lean:
    try:
        out = gripped_push_out(lean_lbf, span_ft, tension_lbf, weight_plf, ea_lbf, ends_ft_per_lbf)
    except OutOfRange:
        return BENT_OVER
    return Lean(out.deflection_ft * 12, out.tension_lbf)
