"""Sleeves that a bend wants driven all the way, and those of braced posts that were driven less."""

from collections.abc import Mapping, Sequence

from engine.calc.lengths import format_in
from engine.calc.statics.brace import eye_pull
from engine.calc.statics.short_pile import STEADY_FACTOR, short_pile_lbf, soil_strength
from engine.checklist import WantedReading
from engine.findings import Finding, FindingOf
from engine.job.model.rules import Rules
from engine.stages.posts.arms import Arm
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.post_work import PostWork

_finding = FindingOf("posts")

HUNG_AND_COLD = 2.0
"""On the coldest day with wire hung two cables pull at most so many times what they were set to: judgement, 1.7 on bays of 22 ft."""


def pulled_aside(rules: Rules, arms: Sequence[Arm], eyes: EyeHeights, half_in: float, width_in: float) -> bool:
    """Whether the cables of a bend may pull a post over in its ground for good where only half its sleeve is driven.

    Source: engine.calc.statics.short_pile; what pulls there is worked out when its loops are known.
    """
    spokes = [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft) for arm in arms]
    level_lbf, height_ft = eye_pull(rules.cables.tension_lbf, spokes).level_lbf, (eyes.low_ft + eyes.high_ft) / 2
    holds_lbf = short_pile_lbf(width_in / 12, half_in / 12, height_ft, soil_strength(rules.posts.soil))
    return STEADY_FACTOR * HUNG_AND_COLD * level_lbf > holds_lbf


def braced_findings(work: Mapping[str, PostWork]) -> tuple[Finding, ...]:
    """One note a job: the sleeve of a braced post that is deep enough by practice and falls shortest of what its brace asks."""
    short = {
        name: post.depth_wanted_in - post.driven_in
        for name, post in work.items()
        if post.braced and post.driven_in is not None and post.depth_wanted_in is not None and not post.stopped_short
        and not WantedReading("in", low=post.depth_wanted_in).passes(post.driven_in)
    }  # fmt: skip
    if not short:
        return ()
    worst = max(short, key=lambda name: short[name])
    said = {
        name: f"{name}'s sleeve was read at {format_in(work[name].driven_in or 0.0)}; a brace lifts its post, which asks for all "
        f"{format_in(work[name].depth_wanted_in or 0.0)}"
        for name in (worst, *(name for name in short if name != worst))
    }
    do = "Drive it further where it goes; where it won't, see that it is solid, for the pinned post holds by it."
    return (_finding.of_many("braced_sleeve_short", "note", said, "short of it too", do, "; guidance only"),)
