"""What is wrong or worth knowing about cable loops, their spools and the year they stand: one finding a kind, its worst named."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from math import inf

from engine.calc.cutting.cut_plan import CutPlan
from engine.calc.force_words import degrees_words, lean_words, pull_words
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import others
from engine.calc.statics.elastic_cable import working_load_lbf
from engine.findings import Finding, FindingOf, Level
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.bay_cable import BayCable
from engine.stages.cables.cable_loop import Loop, LoopWork

_finding = FindingOf("cables")


def loop_findings(rules: CableRules, cable: Cable, worked: Collection[LoopWork], spools: CutPlan) -> list[Finding]:
    """Every finding about the loops of a job."""
    unsound = [one for one in worked if not one.sound]
    loops, spans = {one.loop.id: one.loop for one in unsound}, {span.bay: span for one in unsound for span in one.spans}
    return [
        *_day_findings(rules),
        *_length_findings(rules, loops),
        *_strength_findings("cable_too_weak", "stop", cable.name, cable.strength_lbf, rules, loops),
        *_strength_findings("lock_too_weak", "fix", "the lock", cable.lock_lbf, rules, loops),
        *_leaned_findings(cable, spans),
        *_lean_findings(spans),
        *_slack_findings(rules, loops),
        *_spool_findings(cable, worked, spools),
    ]


def _day_findings(rules: CableRules) -> list[Finding]:
    if not rules.set_outside:
        return []
    year = f"the coldest day is {degrees_words(rules.cold_F)}, the hottest {degrees_words(rules.hot_F)}"
    says = (
        f"By the rules the cables are pulled on a day of {degrees_words(rules.set_F)}, but {year}: what they pull through it isn't right."
    )
    return [_finding("set_outside_year", "fix", ("job",), says, "Put the day of setting right in the rules for cables, or the other two.")]


def _length_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    found = []
    most, least = format_ft_in(rules.loop_max_ft), format_ft_in(rules.loop_min_ft)
    for loop in loops.values():
        if loop.run_ft > rules.loop_max_ft:
            says = f"{loop.id} is {format_ft_in(loop.run_ft)} long, over the {most} limit, and no support splits {loop.bays[0]}."
            found.append(_finding("loop_too_long", "fix", (loop.id, *loop.bays), says, "See what a post in that bay would do."))
    short = sorted((loop for loop in loops.values() if loop.run_ft < rules.loop_min_ft), key=lambda loop: loop.run_ft)
    if short:
        said = {loop.id: f"{loop.id} is {format_ft_in(loop.run_ft)} long, under the usual {least}" for loop in short}
        found.append(_finding.of_many("loop_short", "note", said, "too", "Leave it where gates and ends leave no more room."))
    return found


def _strength_findings(
    code: str, level: Level, part: str, strength_lbf: float | None, rules: CableRules, loops: Mapping[str, Loop]
) -> list[Finding]:
    """The steady pull against the working load, the worst loop of each part."""
    if strength_lbf is None:
        return []
    allowed_lbf = working_load_lbf(strength_lbf, rules.safety_factor)
    steady = {name: loop.steady for name, loop in loops.items()}
    over = sorted((name for name, pull in steady.items() if pull.most_lbf > allowed_lbf), key=lambda name: -steady[name].most_lbf)
    if not over:
        return []
    carries = f"{part} may carry {pull_words(allowed_lbf)}, {rules.safety_factor:g} to 1"
    said = {name: f"{name} pulls {pull_words(steady[name].most_lbf)}, {steady[name].words}; {carries}" for name in over}
    return [
        _finding.of_many(
            code, level, said, "pulled too hard", "Use stronger stock, or pull it less tight and look at braces and apron again."
        )
    ]


def _leaned_findings(cable: Cable, spans: Mapping[str, BayCable]) -> Iterator[Finding]:
    """A lean against the strength itself: of the cable where the eyes grip it; of the lock wherever it is where the cable runs free, and in
    that bay where they grip."""
    lock_lbf = inf if cable.lock_lbf is None else cable.lock_lbf
    gripped = [(span, span.push_tension_lbf) for span in spans.values()]
    free = [(span, span.free_lbf) for span in spans.values()]
    in_bay = [(span, pull_lbf) for span, pull_lbf in gripped if span.free_lbf <= lock_lbf]
    stronger = "Use stronger stock: a shorter bay pulls about as hard."
    upright = "Close these loops with the lock on an upright at an end, where such a lean hardly reaches it, or use stronger locks."
    yield from _leaned("cable_too_weak_leaned", "stop", gripped, "where the eyes grip", cable.name, cable.strength_lbf, stronger)
    yield from _leaned("lock_too_weak_leaned", "fix", free, "even where its cable runs free", "the lock", lock_lbf, stronger)
    yield from _leaned("lock_in_bay_leaned", "note", in_bay, "where the eyes grip", "a lock in that bay", lock_lbf, upright)


def _leaned(
    code: str, level: Level, pulls: Iterable[tuple[BayCable, float]], how: str, part: str, strength_lbf: float, do: str
) -> Iterator[Finding]:
    over = sorted(((span, pull_lbf) for span, pull_lbf in pulls if pull_lbf > strength_lbf), key=lambda one: -round(one[1]))
    holds = f"{part} holds {pull_words(strength_lbf)}"
    said = {(span.loop, span.bay): f"{_a_lean(span)} pulls {span.loop} to {pull_words(pull_lbf)} {how}; {holds}" for span, pull_lbf in over}
    if said:  # of bays leaned on alike the first
        each = {name: f"{words}." for names, words in reversed(said.items()) for name in names}
        subjects = dict.fromkeys(name for names in said for name in names)
        says = f"{next(iter(said.values()))}{others(len(said) - 1, 'leaned on too hard')}."
        yield replace(_finding(code, level, subjects, says, do), each=tuple(each.items()))


def _a_lean(span: BayCable) -> str:
    return f"A {lean_words(span.lean_lbf)} lean on {span.bay}"


def _lean_findings(spans: Mapping[str, BayCable]) -> list[Finding]:
    over = [span for span in spans.values() if span.bends_over]
    if not over:
        return []
    said = {span.bay: f"{_a_lean(span)} bends its cable over 45°" for span in over}
    return [_finding.of_many("lean_too_hard", "stop", said, "bent too", "Use stronger cable; expect this one to break or slip.")]


def _slack_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    slack = sorted((loop for loop in loops.values() if loop.hangs_slack), key=lambda loop: loop.hot_lbf)
    if not slack:
        return []
    said = {loop.id: f"On a {degrees_words(rules.hot_F)} day {loop.id} falls to {pull_words(loop.hot_lbf)} and is slack" for loop in slack}
    return [_finding.of_many("cable_slack", "note", said, "too", "Pull it again in warm weather, or pull harder now.")]


def _spool_findings(cable: Cable, worked: Collection[LoopWork], spools: CutPlan) -> list[Finding]:
    if cable.spool_ft is None:
        says = f"The stock doesn't give the length of a spool of {cable.name}, so no spool is planned."
        return [_finding("spool_unknown", "fix", ("job",), says, "Add it to the stock.")]
    found, cut_ft = [], {one.loop.id: one.loop.cut_ft for one in worked if spools.unplaced}
    for piece in spools.unplaced:
        cut = format_ft_in(cut_ft[piece.piece_id])
        says = f"{piece.piece_id} takes {cut} of cable, more than a {format_ft_in(cable.spool_ft)} spool of {cable.name} holds."
        found.append(
            _finding(
                "spool_too_short", "fix", (piece.piece_id,), says, "Bring a longer spool, or see what a post that splits the loop would do."
            )
        )
    return found
