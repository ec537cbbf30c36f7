"""Cable loop figures: what to cut, sag, tension through the year, spools."""

from collections.abc import Iterator

from engine.calc.cutting.cut_plan import CutPlan
from engine.calc.force_words import degrees_words, lean_words, pull_figure, pull_words, weight_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.tolerances import TAPE_IN
from engine.job.model.job import Job
from engine.stages.bracing.what_pulls import STATE_WORDS
from engine.stages.cables.cable_loop import Loop
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.stages.in_the_wind import ice_table, loop_wind_lines, wind_tables
from tui.widgets.card_view import Card, CardLine
from tui.widgets.figures import Figures

SHOWN_PULLS = ("hung", "hung cold", "iced")
"""States of a loop that its card tells besides the bare ones; all are among the figures."""
PURPOSE = "String each cable in closed loops, pull it tight, lock it, ring the tail."


def figures(job: Job, walk: Walk) -> Iterator[Figures]:
    cables = walk.cables
    yield table(
        "Loops",
        "<loop|<from|<to|run|cut|tension|cold|hot|top hung|bottom hung|ends|ends cold|safety",
        (
            (
                name,
                name,
                loop.supports[0],
                loop.supports[-1],
                format_ft_in(loop.run_ft),
                format_ft_in(loop.cut_ft),
                pull_words(loop.tension_lbf),
                pull_figure(loop.cold_lbf),
                pull_figure(loop.hot_lbf),
                *_hung_words(loop),
                f"{loop.safety:.1f}",
            )
            for name, loop in cables.loops.items()
        ),
        "Stand out of line with a cable being pulled. Cold and hot are bare; hung is with wire and mesh on, ends see both cables then. "
        "Forces are guidance.",
    )
    yield table(
        "Bays",
        "<bay|<loop|span|sag|top hung|bottom hung|lean|free, out|pulls|gripped, out|pulls",
        (
            (
                name,
                name,
                bay.loop,
                format_ft_in(bay.span_ft),
                format_in(bay.sag_in, 16),
                "" if bay.hung_top_in is None else format_in(bay.hung_top_in),
                "" if bay.hung_bottom_in is None else format_in(bay.hung_bottom_in),
                lean_words(bay.lean_lbf),
                format_in(bay.push_out_in, 2),
                pull_words(bay.free_lbf),
                format_in(bay.gripped_out_in, 2),
                pull_words(bay.push_tension_lbf),
            )
            for name, bay in cables.bays.items()
        ),
        "A lean on mid-bay, by what the dogs there weigh and jump: the cable, bare, runs free through the eyes, the most that it bulges; "
        "or they grip it on the coldest day with wire hung, the most that it pulls, while posts and the cables beside them give.",
    )
    yield from wind_tables(job, walk)
    yield ice_table(job, walk)
    yield cut_table("Spools", "spool", cables.spools)


def _hung_words(loop: Loop) -> tuple[str, str, str, str]:
    """Tensions with wire hung on the day of setting, and what an end sees then and on the coldest day; nothing where they aren't known."""
    of = {pull.state: pull for pull in loop.states}
    if "hung" not in of:
        return "", "", "", ""
    hung, cold = of["hung"], of["hung cold"]
    return pull_figure(hung.top_lbf), pull_figure(hung.bottom_lbf), pull_figure(hung.both_lbf), pull_figure(cold.both_lbf)


def card(job: Job, walk: Walk, name: str) -> Card | None:
    """All there is to say of one loop."""
    loop = walk.cables.loops.get(name)
    if loop is None:
        return None
    rules = job.rules.cables
    return Card(
        f"{loop.id}: {loop.supports[0]} to {loop.supports[-1]}, {format_ft_in(loop.run_ft)} of line {loop.line}",
        ("Stand out of line with a cable being pulled. Eye protection, gloves.", "Forces are guidance; local code and practice decide."),
        (
            *_cut_lines(loop),
            CardLine("spool", _spool_words(walk.cables.spools, loop.id)),
            CardLine("pull to", f"{pull_words(loop.tension_lbf)}; safe {pull_figure(loop.safe.least_lbf)} to "
                     f"{pull_words(loop.safe.most_lbf)} that day"),
            CardLine("weight", _weight_words(loop, rules.hung_weight_lb)),
            CardLine("bare", f"{pull_words(loop.cold_lbf)} at {degrees_words(rules.cold_F)}, "
                     f"{pull_words(loop.hot_lbf)} at {degrees_words(rules.hot_F)}, "
                     f"{'hangs slack' if loop.hangs_slack else 'not slack'}", "fix" if loop.hangs_slack else ""),
            *(CardLine("pulls", f"{pull.words}: top {pull_words(pull.top_lbf)}, bottom {pull_words(pull.bottom_lbf)}, "
                       f"ends {pull_words(pull.both_lbf)}")
              for pull in loop.states if pull.state in SHOWN_PULLS),
            *_strength_lines(loop),
            *loop_wind_lines(walk, loop.id, rules.wind_mph),
            *(line for bay in loop.bays for line in _bay_lines(walk, bay)),
        ),
    )  # fmt: skip


def _weight_words(loop: Loop, weight_lb: float) -> str:
    gripped, free = (format_in(depth_in) for depth_in in loop.weighted_in)
    return f"{weight_words(weight_lb)} hung in the longest bay: {gripped} to {free} deep at {pull_words(loop.tension_lbf)}"


def _cut_lines(loop: Loop) -> Iterator[CardLine]:
    parts = loop.parts
    yield CardLine("cut", f"{format_ft_in(loop.cut_ft)}: bays {format_ft_in(parts.bays_ft)}, uprights {format_ft_in(parts.sides_ft)},")
    sag = format_in(12 * parts.sag_ft, 16) if 12 * parts.sag_ft >= TAPE_IN else f"under {format_in(TAPE_IN, 16)}"
    yield CardLine("cut", f"sag {sag}, tail {format_in(12 * parts.tail_ft)}, lock and pull {format_in(12 * parts.lock_ft)}")


def _spool_words(plan: CutPlan, loop: str) -> str:
    for number, roll in enumerate(plan.rolls, 1):
        if loop in roll.piece_ids:
            piece = f"piece {roll.piece_ids.index(loop) + 1} of {len(roll.piece_ids)}"
            return f"{piece} from spool {number}, which leaves {format_ft_in(roll.left)}"
    return "no spool holds it" if loop in {piece.piece_id for piece in plan.unplaced} else "cut before this repair"


def _strength_lines(loop: Loop) -> Iterator[CardLine]:
    lock = "lock not in the stock" if loop.lock_factor is None else f"lock {loop.lock_factor:.1f} times"
    says = f"cable {loop.cable_factor:.1f} times, {lock} the most it pulls, {pull_words(loop.most_lbf)}, {loop.most_in}"
    yield CardLine("holds", says, "fix" if loop.breaks else "")


def _bay_lines(walk: Walk, name: str) -> Iterator[CardLine]:
    bay = walk.cables.bays[name]
    hung = ""
    if bay.hung_bottom_in is not None and bay.hung_top_in is not None:
        hung = f"; wire hung {format_in(bay.hung_top_in)} top, {format_in(bay.hung_bottom_in)} bottom"
    yield CardLine(name, f"{format_ft_in(bay.span_ft)}, sag {format_in(bay.sag_in, 16)}{hung}")
    if bay.iced_in is not None:
        yield CardLine(name, f"iced: sag {format_in(bay.iced_in, 1)}")
    if bay.bends_over:
        yield CardLine(name, f"{lean_words(bay.lean_lbf)} leaning bends the cable over 45°", "stop")
    else:
        free = f"out {format_in(bay.push_out_in, 2)} at {pull_words(bay.free_lbf)} running free"
        gripped = f"{format_in(bay.gripped_out_in, 2)} at {pull_words(bay.push_tension_lbf)} gripped, {STATE_WORDS[bay.gripped_in]}"
        yield CardLine(name, f"{lean_words(bay.lean_lbf)} leaning: {free}, {gripped}")


def cut_table(title: str, what: str, plan: CutPlan) -> Figures:
    """A cut plan: which pieces from which roll, what is left."""
    proven = "No plan needs fewer." if plan.proven else f"At least {plan.lower_bound} are needed; this is the best found."
    return table(
        title,
        f"<{what}|<pieces|left",
        (("", f"{number}", " ".join(roll.piece_ids), format_ft_in(roll.left)) for number, roll in enumerate(plan.rolls, 1)),
        proven if plan.rolls else "",
    )
