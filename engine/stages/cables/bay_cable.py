"""One bay of a loop: its sag, and what a lean on the middle of it does."""

from engine.calc.frozen import dataclass
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.what_pulls import LoopStates, StateName
from engine.stages.cables.cable_states import alike_ft, hung_sag_ft, lean, sag_ft
from engine.stages.cables.gripped_leans import LeanOn, gripped_lean
from engine.stages.posts.standing_supports import Span


@dataclass(frozen=True)
class BayCable:
    """One bay of a loop: sag of top and bottom cable at mid-bay at the target tension, and what a lean on mid-bay does.

    `sag_in` is that of the bare cable, `hung_top_in` and `hung_bottom_in` those with mesh and wire hung on the day of setting, None
    where their weight isn't known. A lean of `lean_lbf` pushes it out `push_out_in` at `free_lbf` where the cable, bare, runs
    free through the eyes on the day of setting, the most that it bulges; where they grip it, `gripped_out_in` at `push_tension_lbf` in the
    state `gripped_in`, the most that it pulls. Figures are 0 where the lean bends the cable over 45 degrees; a finding says so. `iced_in`
    is the sag of the cable that sags more with ice, None where the rules give none.
    """

    bay: str
    loop: str
    span_ft: float
    sag_in: float
    lean_lbf: float
    push_out_in: float
    free_lbf: float
    gripped_out_in: float
    push_tension_lbf: float
    hung_top_in: float | None
    hung_bottom_in: float | None
    iced_in: float | None = None
    gripped_in: StateName = "pulled"

    @property
    def bends_over(self) -> bool:
        """Whether somebody leaning on it bends it over 45 degrees."""
        return self.free_lbf == 0


def bay_cable(loop: str, bay: Span, cable: Cable, rules: CableRules, states: LoopStates, on: LeanOn, round_ft: float) -> BayCable:
    """One bay of a loop that is so long all round, leaned on so hard."""
    lean_lbf = on.lean_lbf
    span_ft, shared_ft = alike_ft(bay.slope_ft, round_ft)
    free = lean(cable.ea_lbf, rules.tension_lbf, lean_lbf, span_ft, shared_ft)
    gripped, gripped_in = gripped_lean(cable, states, lean_lbf, span_ft, on.ends)
    hung = hung_sag_ft(states, "hung", cable, bay) if any(states.weight) else None
    iced = hung_sag_ft(states, "iced", cable, bay) if any(states.ice) else None
    return BayCable(
        bay=bay.id,
        loop=loop,
        span_ft=bay.plan_ft,
        sag_in=12 * sag_ft(cable, rules, bay),
        lean_lbf=lean_lbf,
        push_out_in=free.out_in,
        free_lbf=free.tension_lbf,
        gripped_out_in=gripped.out_in,
        push_tension_lbf=gripped.tension_lbf,
        hung_top_in=12 * hung.top_ft if hung else None,
        hung_bottom_in=12 * hung.bottom_ft if hung else None,
        iced_in=12 * max(iced) if iced else None,
        gripped_in=gripped_in,
    )
