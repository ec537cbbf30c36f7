"""The length of a fence by what was said or paced, with how far it may be off and what that rests on."""

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.pacing import paced_share, step_length
from engine.calc.phrases import counted
from engine.job.model.rough import Rough
from engine.job.model.rules import SurveyRules

ABOUT_PCT = 10.0
"""How far "about" on the phone may be off. Source: common practice, no source: a judgement that the job may change."""
UNCALIBRATED_PCT = 15.0
"""How far paces of a step that nobody calibrated may be off. Source: US Army SMCT task 071-329-1006: 116 steps to 100 m on level ground,
148 across rough, 14 % either way of the middle."""
MOST_PCT = 50.0
"""Beyond this a length isn't known, and the fence may be half as long or half as long again."""


@dataclass(frozen=True)
class SaidLength:
    """Low, likely and high, and what they rest on: one sentence."""

    low_ft: float
    likely_ft: float
    high_ft: float
    rests_on: str


def said_length(rough: Rough, rules: SurveyRules) -> SaidLength:
    """The length of what was said, never lower than its gates need."""
    likely_ft = rough.likely_ft(rules.step_ft)
    pct, rests_on = _spread(rough, rules)
    pct = min(pct, MOST_PCT)
    return SaidLength(likely_ft * (1 - pct / 100), likely_ft, likely_ft * (1 + pct / 100), rests_on)


def _spread(rough: Rough, rules: SurveyRules) -> tuple[float, str]:
    judged = rough.spread_pct
    if not rough.paces:
        pct = ABOUT_PCT if judged is None else judged
        whose = "common practice, no source" if judged is None else "as this job judges it"
        return pct, f"The length as it was said, {pct:g} % either way: {whose}."
    steps, took = sum(rough.paces), ""
    if rough.step_over_ft is None:
        step_ft, pct = rules.step_ft, UNCALIBRATED_PCT
        took = "calibrated on no tape"
    else:
        step = step_length(rough.step_over_ft, rough.step_counts, rules.paces_sigma_pct / 100)
        step_ft, pct = step.mean_ft, 100 * paced_share(step, steps)
        took = f"calibrated by {counted(step.counts, 'count')} over {format_ft_in(rough.step_over_ft)}"
    how = f"{steps:g} steps of {format_ft_in(step_ft)}, {took}"
    if judged is not None:
        return judged, f"{how}; {judged:g} % either way, as this job judges it."
    return pct, f"{how}; {min(pct, MOST_PCT):.0f} % either way{_why(rough, rules)}."


def _why(rough: Rough, rules: SurveyRules) -> str:
    """What the spread of paces comes from."""
    if rough.step_over_ft is None:
        return ", between steps on level and on rough ground"
    if len(rough.step_counts) == 1:
        return f" holds nine in ten, one count scattering by {rules.paces_sigma_pct:g} % (common practice, no source)"
    return " holds nine in ten, by how the counts scatter"
