"""What is wrong or worth knowing about cable loops, their spools and the year they stand: one finding a kind, its worst named."""

from collections.abc import Mapping

from engine.calc.cutting.cut_plan import CutPlan
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import others
from engine.calc.statics.elastic_cable import working_load_lbf
from engine.findings import Finding, FindingOf, Level
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.bay_cable import BayCable
from engine.stages.cables.cable_loop import Loop

_finding = FindingOf("cables")


def loop_findings(
    rules: CableRules, cable: Cable, loops: Mapping[str, Loop], spans: Mapping[str, BayCable], spools: CutPlan
) -> list[Finding]:
    """Every finding about the loops of a job."""
    return [
        *_day_findings(rules),
        *_length_findings(rules, loops),
        *_strength_findings("cable_too_weak", "stop", cable.name, cable.strength_lbf, rules, loops, spans),
        *_strength_findings("lock_too_weak", "fix", "the lock", cable.lock_lbf, rules, loops, spans),
        *_lean_findings(spans),
        *_slack_findings(rules, loops),
        *_spool_findings(cable, loops, spools),
    ]


def _day_findings(rules: CableRules) -> list[Finding]:
    if not rules.set_outside:
        return []
    year = f"the coldest day is {rules.cold_F:g}°, the hottest {rules.hot_F:g}°"
    says = f"By the rules the cables are pulled on a day of {rules.set_F:g}°, but {year}: what they pull through it isn't right."
    return [_finding("set_outside_year", "fix", ("job",), says, "Put set_F right in the rules for cables, or the days.")]


def _length_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    found = []
    most, least = format_ft_in(rules.loop_max_ft), format_ft_in(rules.loop_min_ft)
    for loop in loops.values():
        if loop.run_ft > rules.loop_max_ft:
            says = f"{loop.id} is {format_ft_in(loop.run_ft)} long, over the {most} limit, and no support splits {loop.bays[0]}."
            found.append(_finding("loop_too_long", "fix", (loop.id, *loop.bays), says, "Add a post in that bay."))
    short = sorted((loop for loop in loops.values() if loop.run_ft < rules.loop_min_ft), key=lambda loop: loop.run_ft)
    if short:
        said = {loop.id: f"{loop.id} is {format_ft_in(loop.run_ft)} long, under the usual {least}" for loop in short}
        found.append(_finding.of_many("loop_short", "note", said, "too", "Leave it where gates and ends leave no more room."))
    return found


def _strength_findings(
    code: str,
    level: Level,
    part: str,
    strength_lbf: float | None,
    rules: CableRules,
    loops: Mapping[str, Loop],
    spans: Mapping[str, BayCable],
) -> list[Finding]:
    """The steady pull against the working load, and a lean against the strength itself, the worst of each."""
    if strength_lbf is None:
        return []
    found = []
    allowed_lbf = working_load_lbf(strength_lbf, rules.safety_factor)
    steady = {name: loop.steady for name, loop in loops.items()}
    over = sorted((name for name, pull in steady.items() if pull.most_lbf > allowed_lbf), key=lambda name: -steady[name].most_lbf)
    if over:
        carries = f"{part} may carry {allowed_lbf:.0f} lb, {rules.safety_factor:g} to 1"
        said = {name: f"{name} pulls {steady[name].most_lbf:.0f} lb, {steady[name].words}; {carries}" for name in over}
        found.append(_finding.of_many(code, level, said, "pulled too hard", "Pull it less tight, or use stronger stock."))
    leaned = [span for span in spans.values() if span.push_tension_lbf > strength_lbf]
    leaned.sort(key=lambda span: -round(span.push_tension_lbf))  # of bays leaned on alike the first
    if leaned:
        worst = leaned[0]
        pulls = f"pulls {worst.loop} to {worst.push_tension_lbf:.0f} lb where the eyes grip; {part} holds {strength_lbf:.0f} lb"
        says = f"A {worst.lean_lbf:g} lb lean on {worst.bay} {pulls}{others(len(leaned) - 1, 'leaned on too hard')}."
        about = dict.fromkeys(name for span in leaned for name in (span.loop, span.bay))
        found.append(_finding(f"{code}_leaned", level, about, says, "Use stronger stock: a shorter bay pulls about as hard."))
    return found


def _lean_findings(spans: Mapping[str, BayCable]) -> list[Finding]:
    over = [span for span in spans.values() if span.bends_over]
    if not over:
        return []
    says = f"A {over[0].lean_lbf:g} lb lean on {over[0].bay} bends its cable over 45°{others(len(over) - 1, 'bent too')}."
    return [_finding("lean_too_hard", "stop", [span.bay for span in over], says, "Use stronger cable; expect this one to break or slip.")]


def _slack_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    slack = sorted((loop for loop in loops.values() if loop.hangs_slack), key=lambda loop: loop.hot_lbf)
    if not slack:
        return []
    said = {loop.id: f"On a {rules.hot_F:g}° day {loop.id} falls to {loop.hot_lbf:.0f} lb and is slack" for loop in slack}
    return [_finding.of_many("cable_slack", "note", said, "too", "Pull it again in warm weather, or pull harder now.")]


def _spool_findings(cable: Cable, loops: Mapping[str, Loop], spools: CutPlan) -> list[Finding]:
    if cable.spool_ft is None:
        says = f"The stock doesn't give the length of a spool of {cable.name}, so no spool is planned."
        return [_finding("spool_unknown", "fix", ("job",), says, "Add it to the stock.")]
    found = []
    for piece in spools.unplaced:
        cut = format_ft_in(loops[piece.piece_id].cut_ft)
        says = f"{piece.piece_id} takes {cut} of cable, more than a {format_ft_in(cable.spool_ft)} spool of {cable.name} holds."
        found.append(_finding("spool_too_short", "fix", (piece.piece_id,), says, "Bring a longer spool, or split the loop."))
    return found
