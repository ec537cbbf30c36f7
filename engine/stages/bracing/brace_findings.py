"""What is wrong or worth knowing about the braces of a job, and about the stock that they are worked from."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from engine.calc.force_words import pull_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import plural
from engine.calc.statics.short_pile import STEADY_FACTOR
from engine.findings import Finding, FindingOf
from engine.job.model.rules import Rules
from engine.stages.bracing.brace_feet import Foot
from engine.stages.bracing.brace_needs import Need
from engine.stages.bracing.hung_weight import BARE
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.tubes import BraceBasis

_finding = FindingOf("bracing")
NEARER = "or give the rules for braces a nearer foot, where every one finds ground, stays clear of keep-outs and is short enough"
"""A foot is looked for within the tolerance of the rules only, so that a nearer one is theirs to allow, for all braces."""


def placed_findings(need: Need, feet: Sequence[Foot | None], stock_ft: float | None) -> list[Finding]:
    """What is wrong with the feet found for the braces of a support."""
    name, found = need.support.id, []
    for stand, foot in zip(need.stands, feet, strict=True):
        subjects = (name, stand.toward) if stand.toward else (name,)
        of = f"{name}'s brace toward {stand.toward}" if stand.toward else f"{name}'s brace"
        if foot is None:
            do = "Set the band higher, or hold the post from the other side."
            found.append(_finding("brace_no_footing", "fix", subjects, f"{of} has no ground below its band.", do))
        else:
            found += [_finding(code, "fix", subjects, says, do) for code, says, do in _foot_faults(of, foot, stock_ft)]
    return found


class BentPost(NamedTuple):
    """Why a support that isn't a corner or an end has a brace: it bends too far, or else its ground gives; how bad that is, and a sentence
    without its end."""

    support: str
    creeps: bool
    by: float
    says: str


def bent_post(need: Need, rules: Rules) -> BentPost | None:
    """What is told of a support in a bend that needs a brace."""
    name, over = need.support.id, "creep over" if rules.posts.soil == "clay" else "lean over"
    if need.bends and need.share is not None:
        says = f"{name} isn't a corner, but {_pull_words(need)}, would bend it to {100 * need.share:.0f} % of its "
        return BentPost(name, False, need.share, f"{says}yield, over {100 * rules.bracing.yield_share:.0f} %")
    if not need.creeps or need.bends or need.sleeve is None:
        return None
    says = f"{name} will {over} in {rules.posts.soil}: {_pull_words(need)}, pull at it for days, and a sleeve "
    holds = f"{format_in(need.sleeve.depth_in)} deep holds {pull_words(need.sleeve.holds_lbf)} for good, {STEADY_FACTOR:g} to 1"
    return BentPost(name, True, need.pulls.bent.level_lbf - need.sleeve.holds_lbf, f"{says}{holds}")


def bend_findings(bent: Sequence[BentPost]) -> Iterator[Finding]:
    """One finding for what posts bear and one for the ground, the worst first."""
    worst_first = sorted(bent, key=lambda one: -one.by)
    for code, creeps, too, also in (
        ("bend_needs_brace", False, "bent too far", ", its sleeve driven all the way"),
        ("bend_creeps", True, "pulled over too", ", or a longer sleeve"),
    ):
        if said := {one.support: one.says for one in worst_first if one.creeps is creeps}:
            do = f"Give {plural(len(said), 'it', 'each')} one brace on the inside of the bend{also}."
            yield _finding.of_many(code, "note", said, too, do, "; guidance only")


def _pull_words(need: Need) -> str:
    return f"{pull_words(need.pulls.bent.level_lbf)}, {need.pulls.bent.words}"


def _foot_faults(of: str, foot: Foot, stock_ft: float | None) -> list[tuple[str, str, str]]:
    """What is wrong with the best foot of one brace: (code, says, do)."""
    out = format_ft_in(foot.distance_ft)
    faults = []
    if foot.keep_out:
        says = f"{of}: the foot {out} out stands in a keep-out, {foot.keep_out.why}."
        faults.append(("foot_in_keep_out", says, "See what a move of the post would do, or let a tree or wall take the pull."))
    if not foot.in_bay:
        says = f"{of}: the foot {out} out falls past the next support."
        faults.append(("foot_past_bay", says, f"See what a longer bay would do, by a move; {NEARER}."))
    if stock_ft is not None and foot.length_ft > stock_ft:
        says = f"{of} is {format_ft_in(foot.length_ft)} long, over the {format_ft_in(stock_ft)} of the stock brace."
        faults.append(("brace_too_short", says, f"Bring a longer brace; {NEARER}."))
    return faults


def stock_findings(basis: BraceBasis, needs: Sequence[Need], strung: Mapping[str, StrungLoop]) -> Iterator[Finding]:
    """What the stock doesn't give, so that something isn't checked."""
    if basis.tubes.yield_lbf_ft is None and any(need.support.driven for need in needs):
        says = f"The stock doesn't give the diameter, wall and yield of {basis.fence.post}, so bends can't be checked."
        yield _finding("post_strength_unknown", "fix", ("job",), says, "Add them to the stock.")
    if basis.tubes.stock_ft is None and any(need.stands for need in needs):
        says = f"The stock doesn't give the length of {basis.fence.brace}, so no brace can be checked."
        yield _finding("brace_unknown", "fix", ("job",), says, "Add it to the stock.")
    if basis.cable is not None and any(loop.states.weight == BARE for loop in strung.values()):
        says = "The stock doesn't give what wire and mesh weigh, so cables and what they pull at are worked bare."
        yield _finding("fabric_weight_unknown", "fix", ("job",), says, "Add wire and pitch of the wire and the weight of a roll of mesh.")
