"""Where supports may not stand and how far apart: keep-outs, boundaries and bay lengths, in a crew's words."""

from collections.abc import Iterable, Iterator, Sequence
from math import ceil

import numpy as np

from engine.calc.geometry.plane import travel
from engine.calc.lengths import format_ft, format_ft_in, format_in
from engine.calc.tolerances import EDGE_FT, ROUNDING_IN, STRAIGHT_DEG, TAPE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.rules import LayoutRules
from engine.stages.layout.bays import Bay
from engine.stages.layout.keep_outs import Ground, KeepOut, blocked_on, keep_outs_round, merged
from engine.stages.layout.layout_facts import LayoutFacts
from engine.stages.layout.line_tracks import heading_deg, turns_at
from engine.stages.layout.todays_supports import Support

_finding = FindingOf("layout")

LOOK_FT = 30.0
"""How far round a support clear ground is looked for."""


def in_keep_outs(laid: LayoutFacts) -> Iterator[Finding]:
    """Driven supports in keep-outs, each with the nearest clear ground along the line and square off it.

    Source: hand digging in the tolerance zone: Common Ground Alliance Best Practices 5.20.
    """
    for support, areas in stand_in_keep_outs(laid.supports.values(), laid.ground):
        worst = worst_of(areas)
        subjects = (support.id, *dict.fromkeys(area.id.record for area in areas))
        says = f"{support.id} stands in {worst.why}."
        yield _finding("in_keep_out", "stop" if worst.id.buried else "fix", subjects, says, _do(worst, _clear_ways(laid, support)))


def stand_in_keep_outs(supports: Iterable[Support], ground: Ground) -> Iterator[tuple[Support, list[KeepOut]]]:
    """Driven supports in keep-outs, each with those that it stands in."""
    driven = [support for support in supports if support.support == "driven"]
    found = keep_outs_round(np.array([support.xy for support in driven]), ground)
    return ((driven[row], areas) for row, areas in found.items())


def worst_of(areas: Sequence[KeepOut]) -> KeepOut:
    """The keep-out that is told of several: a buried line before all else."""
    return next((area for area in areas if area.id.buried), areas[0])


def _do(area: KeepOut, move: str) -> str:
    """Dig by hand in a tolerance zone, a base plate on hard ground, else move it."""
    first = {"utility": "Hand-dig it with care, or ", "surface": "Lay it out afresh for a base plate there, or "}.get(area.id.source, "")
    return f"{first}{move[0].lower()}{move[1:]}" if first else move


def _clear_ways(laid: LayoutFacts, support: Support) -> str:
    """Nearest clear ground along the line and square off it, in whole inches."""
    heading = heading_deg(laid.tracks[support.line], support.station_ft)
    found = []
    for pair in _WAYS:
        ways = [(_clear_in(laid, support, heading + turn), words) for turn, words in pair]
        nearest = min(ways, key=lambda way: way[0])
        if nearest[0] < LOOK_FT * 12:
            found.append(f"{format_ft_in(nearest[0] / 12, 1)} {nearest[1]}")
    return f"Move it {' or '.join(found)}." if found else "Draw the line differently: there is no clear ground near."


_WAYS = (((0, "forward along the line"), (180, "back along the line")), ((90, "to the right"), (270, "to the left")))


def _clear_in(laid: LayoutFacts, support: Support, azimuth: float) -> int:
    """Whole inches to clear ground one way."""
    path = (support.xy, travel(support.xy, azimuth, LOOK_FT))
    blocked = merged(blocked_on(path, (0.0, LOOK_FT), laid.ground))
    return ceil(max((high for low, high in blocked if low <= TAPE_FT), default=0.0) * 12 - ROUNDING_IN)


def at_boundaries(laid: LayoutFacts) -> Iterator[Finding]:
    """Supports over a boundary, in its setback, or too near it for the survey to say."""
    for clear in laid.clearances:
        good = f"good to ±{format_ft(clear.sigma_ft)}"
        subjects = (clear.support, clear.boundary)
        short_ft = clear.setback_ft - clear.inside_ft
        if clear.inside_ft < 0:
            says = f"{clear.support} stands {format_ft(-clear.inside_ft)} over boundary {clear.boundary}, {good}."
            do = f"Move it at least {format_ft(short_ft)} back inside."
            yield _finding("over_boundary", "stop", subjects, says, do)
        elif short_ft > EDGE_FT:
            says = (
                f"{clear.support} stands {format_ft(clear.inside_ft)} inside boundary {clear.boundary}, {good}; "
                f"the setback is {format_ft(clear.setback_ft)}."
            )
            yield _finding("in_setback", "fix", subjects, says, f"Move it {format_ft(short_ft)} further inside.")
        elif -short_ft < 2 * clear.sigma_ft:
            what = "the setback" if clear.setback_ft else "the line"
            says = f"{clear.support} stands {format_ft(clear.inside_ft)} inside boundary {clear.boundary}, {good}: it may be over {what}."
            yield _finding("near_boundary", "note", subjects, says, "Measure it from the boundary, or move it further inside.")


def bay_lengths(laid: LayoutFacts) -> Iterator[Finding]:
    """Bays over and under the limits, with the least move that mends an overlong one.

    Source: common practice, no source: the limits are the job's rules.
    """
    rules = laid.job.rules.layout
    for bay in laid.bays.values():
        ends = f"{bay.from_id} to {bay.to_id}"
        if bay.gate is not None:
            continue
        if over_limit(rules, bay):
            says = f"{ends} is {format_ft_in(bay.slope_ft)}, over the {_limit(rules.bay_max_ft)} limit."
            yield _finding("bay_over", "fix", (bay.id, bay.from_id, bay.to_id), says, _mend(laid, bay))
        elif bay.slope_ft < rules.bay_min_ft - TAPE_FT:
            says = f"{ends} is only {format_ft_in(bay.slope_ft)}, under {_limit(rules.bay_min_ft)}."
            yield _finding("bay_under", "note", (bay.id, bay.from_id, bay.to_id), says, "See whether one of the two can be left out.")


def over_limit(rules: LayoutRules, bay: Bay) -> bool:
    """Whether a bay is longer than the limit; a gate's opening has none."""
    return bay.gate is None and bay.slope_ft > rules.bay_max_ft + TAPE_FT


def _limit(length_ft: float) -> str:
    """A limit as the crew says it: 25', not 25' 0"."""
    return f"{length_ft:.0f}'" if length_ft == round(length_ft) else format_ft_in(length_ft)


def _mend(laid: LayoutFacts, bay: Bay) -> str:
    """Add a post, or the least whole-inch move of a plain line post that leaves every bay within the limit."""
    limit_ft = laid.job.rules.layout.bay_max_ft
    shift_in = ceil((bay.slope_ft - limit_ft) * bay.plan_ft / bay.slope_ft * 12 - ROUNDING_IN)
    for post, way in ((bay.from_id, 1), (bay.to_id, -1)):
        others = [other for other in laid.bays.values() if post in (other.from_id, other.to_id) and other.id != bay.id]
        roomy = len(others) == 1 and others[0].gate is None and others[0].slope_ft + shift_in / 12 <= limit_ft
        if roomy and _slides(laid, bay, post, way * shift_in / 12):
            return f"Add a post between them, or move {post} {'forward' if way > 0 else 'back'} {format_in(shift_in, 1)}."
    return "Add a post between them."


def _slides(laid: LayoutFacts, bay: Bay, post: str, along_ft: float) -> bool:
    """Whether a post is a driven line post on a straight part with clear ground at its new place."""
    support, track = laid.supports[post], laid.tracks[bay.line]
    if support.kind != "line" or support.support != "driven" or support.line != bay.line:
        return False
    if abs(turns_at(track, [support.station_ft])[0]) > STRAIGHT_DEG:
        return False
    spot = travel(support.xy, heading_deg(track, support.station_ft), along_ft)
    return not keep_outs_round(np.array([spot]), laid.ground)
