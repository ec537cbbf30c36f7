"""What wind and ice do to the fence, in figures and in lines of a card."""

from collections.abc import Iterator

from engine.calc.force_words import degrees_words, pull_figure, pull_words, wind_figure, wind_words
from engine.calc.lengths import format_in
from engine.job.model.job import Job
from engine.stages.bracing.what_pulls import ICE_F
from engine.stages.cables.blown_loops import Pulls, loop_wind
from engine.stages.cables.wind_findings import here_words, holds_words
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.widgets.card_view import CardLine
from tui.widgets.figures import Figures

MOST_LINES = 3
"""So many parts of a support are told on its card, the first to give first."""


def wind_tables(job: Job, walk: Walk) -> Iterator[Figures]:
    """What gives first at every support, and the cables with all bays blown and with one alone."""
    rule_mph, gives = job.rules.cables.wind_mph, walk.cables.gives
    yield table(
        "What gives first in wind",
        "<id|<first|<then",
        ((name, name, *_first_and_then(name, walk, rule_mph)) for name in gives if walk.layout.supports[name].support == "driven"),
        f"{_no_ice(job)}The rule is {wind_words(rule_mph)}, exposure {job.rules.cables.exposure}. A gust, without a factor, on all bays "
        "alike, and in brackets on one alone where that is told; ends that don't give. Guidance; local code decides.",
    )
    yield table(
        f"Cables in a wind of {wind_words(rule_mph)}",
        "<loop|calm, top|bottom|all bays, top|bottom|one bay, top|bottom|blows out|<in",
        (
            (name, name, *_pulls(blown.calm), *_pulls(wind.alike), *_pulls(wind.alone), _inches(wind.out_in), wind.bay)
            for name, blown in walk.cables.blown.items()
            if (wind := loop_wind(blown, walk.bracing.strung[name].bays, rule_mph))
        ),
        "Wire hung. One bay: its cable runs free through the eyes, the others hang in still air.",
    )


def _no_ice(job: Job) -> str:
    return "" if job.rules.cables.ice_in else "No ice is counted, for the rules give none. "


def ice_table(job: Job, walk: Walk) -> Figures:
    """Every loop iced as thick as the rules say: its pulls, what its ends see, and how far its worst bay sags."""
    loops = [(loop, pull) for loop in walk.cables.loops.values() for pull in loop.states if pull.state == "iced"]
    sags = {loop.id: max((walk.cables.bays[bay].iced_in or 0.0, bay) for bay in loop.bays) for loop, _ in loops}
    return table(
        f"Iced, {format_in(job.rules.cables.ice_in)} by the map",
        "<loop|top|bottom|ends|sags|<in",
        (
            (
                loop.id, loop.id, pull_words(pull.top_lbf), pull_figure(pull.bottom_lbf), pull_figure(pull.both_lbf),
                format_in(sags[loop.id][0], 1), sags[loop.id][1],
            )
            for loop, pull in loops
        ),
        f"At {degrees_words(ICE_F)}, wire hung. Guidance; local code names the map." if loops else "",
    )  # fmt: skip


def _first_and_then(name: str, walk: Walk, rule_mph: float) -> tuple[str, str]:
    first, *then = [here_words(one, name) for one in walk.cables.gives[name]] or [holds_words(rule_mph)]
    return first, ", ".join(then)


def _pulls(pulls: Pulls | None) -> tuple[str, str]:
    return ("", "") if pulls is None else (pull_words(pulls.top_lbf), pull_figure(pulls.bottom_lbf))


def _inches(value: float | None) -> str:
    return "" if value is None else format_in(value, 1)


def support_wind(job: Job, walk: Walk, name: str) -> Iterator[CardLine]:
    """The first to give at a support, and the next."""
    parts, rule_mph = walk.cables.gives.get(name), job.rules.cables.wind_mph
    if parts is None or (not parts and walk.layout.supports[name].support != "driven"):
        return
    if not parts:
        yield CardLine("wind", holds_words(rule_mph))
    for place, one in enumerate(parts[:MOST_LINES]):
        beside = f"; {wind_figure(rule_mph)} is the rule" if place == 0 and one.mph else ""
        yield CardLine("wind" if place == 0 else "then", f"{here_words(one, name)}{beside}", "fix" if round(one.mph) < rule_mph else "")


def loop_wind_lines(walk: Walk, name: str, rule_mph: float) -> Iterator[CardLine]:
    """Both cables of a loop with all its bays blown, and with one alone."""
    if name not in walk.cables.blown:
        return
    wind = loop_wind(walk.cables.blown[name], walk.bracing.strung[name].bays, rule_mph)
    for pulls, bays in ((wind.alike, "all bays blown"), (wind.alone, f"{wind.bay} alone")):
        if pulls is not None:
            yield CardLine(
                "wind", f"{wind_words(rule_mph)}, {bays}: top {pull_words(pulls.top_lbf)}, bottom {pull_words(pulls.bottom_lbf)}"
            )
    if wind.out_in is not None:
        yield CardLine("wind", f"blows out {format_in(wind.out_in, 1)} in {wind.bay}")
