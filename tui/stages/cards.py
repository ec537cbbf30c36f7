"""All there is to say of the chosen thing, in lines that are read at a glance."""

from collections.abc import Iterator

from engine.calc.force_words import lean_words, pull_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import ended
from engine.calc.tolerances import SAME_SPOT_FT
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.job.model.words.log_sentences import sentence
from engine.stages.bracing.lifts import up_or_down
from engine.stages.bracing.what_pulls import STATE_WORDS
from engine.walk import Walk
from tui.stages import cables
from tui.stages.in_the_wind import support_wind
from tui.widgets.card_view import Card, CardLine


def card_of(job: Job, walk: Walk, chosen: str) -> Card | None:
    """The card of a support, a bay, a loop or a gate; None where nothing of that name is there."""
    if chosen in walk.layout.supports:
        return Card(_support_title(walk, chosen), (), (*_support(job, walk, chosen), *_about(job, walk, chosen)))
    if chosen in walk.layout.bays:
        return Card(f"Bay {chosen}", (), (*_bay(walk, chosen), *_about(job, walk, chosen)))
    if loop := cables.card(job, walk, chosen):
        return Card(loop.title, loop.cautions, (*loop.lines, *_about(job, walk, chosen)))
    if chosen in walk.gate.gates:
        return Card(f"Gate {chosen}", (), (*_gate(walk, chosen), *_about(job, walk, chosen)))
    return None


def _support_title(walk: Walk, name: str) -> str:
    support = walk.layout.supports[name]
    return f"{name}: {support.at or support.kind}, {format_ft_in(support.station_ft)} on {support.line}"


def _support(job: Job, walk: Walk, name: str) -> Iterator[CardLine]:
    support, tie = walk.layout.supports[name], walk.layout.ties.get(name)
    if abs(support.offset_ft) > SAME_SPOT_FT:
        yield CardLine("off line", f"{format_ft_in(abs(support.offset_ft))} {'right' if support.offset_ft > 0 else 'left'}")
    if tie is not None:
        yield CardLine("tapes", ", ".join(tie.words))
        if tie.check is not None:
            yield CardLine("check", f"{format_ft_in(tie.check[1])} from {tie.check[0]}")
    for bay in walk.layout.bays.values():
        if name in (bay.from_id, bay.to_id):
            yield CardLine("bays", f"{format_ft_in(bay.slope_ft)} to {bay.other_end(name)}{f', gate {bay.gate}' if bay.gate else ''}")
    loops = [f"{loop.id}, {loop.supports[0]} to {loop.supports[-1]}" for loop in walk.cables.loops.values() if name in loop.supports]
    yield from (CardLine("loop", words) for words in loops)
    yield from _work(walk, name)
    yield from _pull(walk, name)
    yield from support_wind(job, walk, name)


def _work(walk: Walk, name: str) -> Iterator[CardLine]:
    work = walk.posts.work[name]
    yield CardLine("eyes", f"{format_ft_in(work.eye_low_ft)} and {format_ft_in(work.eye_high_ft)} over the ground")
    if work.post_cut_ft is not None:
        off = f", {format_in(work.post_off_in)} off" if work.post_off_in else ""
        yield CardLine("cut", f"post to {format_ft_in(work.post_cut_ft)}{off}")
    if work.why_not and not work.drivable:
        yield CardLine("wait", f"nothing is driven here: {work.why_not}", "fix")


def _pull(walk: Walk, name: str) -> Iterator[CardLine]:
    pull = walk.bracing.pulls.get(name)
    if pull is None:
        return
    worst = "" if pull.worst_in == "pulled" else f", {pull_words(pull.worst_lbf)} {STATE_WORDS[pull.worst_in]}"
    yield CardLine("pull", f"{pull_words(pull.pull_lbf)} as pulled{worst}; cables {up_or_down(pull.lift_lbf) or 'level'}")
    for leg in pull.legs:
        toward = f"toward {leg.toward}" if leg.toward else "outward"
        yield CardLine(
            "brace", f"{toward}, foot {format_ft_in(leg.foot_distance_ft)} out, push {pull_words(leg.axial_lbf)} {STATE_WORDS[leg.state]}"
        )
        if leg.ground is not None:
            yield CardLine(
                "foot", f"pushed level {pull_words(leg.thrust_lbf)}; the ground holds {pull_words(leg.ground.holds_lbf)} for good"
            )
        yield CardLine("band", leg.band_words)
        if leaned := walk.cables.leaned.get(leg.id):
            holds = "" if leaned.holds_lbf is None else f"; holds {pull_words(leaned.holds_lbf)}"
            says = f"{lean_words(leaned.lean_lbf)} on {leaned.bay} push it level {pull_words(leaned.thrust_lbf)} for a moment{holds}"
            yield CardLine("leaned", says, "fix" if leaned.gives else "")
    if pull.legs and pull.lift is not None:
        yield CardLine("lift", f"{pull_words(pull.lift.most_lbf)} by {pull.lift.by}, {STATE_WORDS[pull.lift.state]}")
    elif pull.sleeve_holds_lbf is not None:
        yield CardLine("sleeve", f"holds {pull_words(pull.sleeve_holds_lbf)} of that pull for good")


def _bay(walk: Walk, name: str) -> Iterator[CardLine]:
    bay, cable = walk.layout.bays[name], walk.cables.bays.get(name)
    yield CardLine("length", f"{format_ft_in(bay.slope_ft)}, level {format_ft_in(bay.plan_ft)}, rise {format_ft_in(bay.rise_ft)}")
    if bay.gate:
        yield CardLine("gate", bay.gate)
    if cable is not None:
        yield CardLine("loop", cable.loop)
        yield CardLine("sag", format_in(cable.sag_in, 16))
    if apron := walk.fabric.bays.get(name):
        least = "cut to the floor" if not (apron.hole_in or "soil" in apron.under) else format_in(apron.least_apron_in)
        yield CardLine("apron", f"least {least} at {format_ft_in(apron.least_at_ft)}", "fix" if apron.short or apron.hole_in else "")
    if stakes := walk.staking.bays.get(name):
        yield CardLine("stakes", ", ".join(format_ft_in(at, 2) for at in stakes.stations_ft))


def _gate(walk: Walk, name: str) -> Iterator[CardLine]:
    work = walk.gate.gates[name]
    yield CardLine("posts", f"hinge {work.hinge_post}, latch {work.latch_post}")
    yield CardLine("opening", format_ft_in(work.opening_ft))
    yield CardLine("leaves", ", ".join(f"{format_ft_in(leaf.width_ft)} by {format_ft_in(leaf.height_ft)}" for leaf in work.leaves))
    yield CardLine("swings", f"better {work.better}")


def _about(job: Job, walk: Walk, name: str) -> Iterator[CardLine]:
    """Findings of any stage and log entries about it, the newest first."""
    for finding in walk.findings:
        if name in finding.subjects:
            yield CardLine(finding.level, f"{ended(finding.says_of(name))} {finding.do}", finding.level if finding.level != "note" else "")
    for entry in reversed(live(job.log)):
        if name in (getattr(entry, "post", None), getattr(entry, "about", None)):
            yield CardLine("log", f"{entry.at:%b} {entry.at.day}, {entry.by}: {sentence(entry)}")
