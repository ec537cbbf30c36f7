"""Where supports may not stand and how far apart: keep-outs, boundaries and bay lengths, in a crew's words."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain

from engine.calc.geometry.plane import Point
from engine.calc.length_words import limit_words
from engine.calc.lengths import format_ft, format_ft_in
from engine.calc.remember import remembered_same
from engine.calc.tolerances import EDGE_FT, TAPE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.rules import LayoutRules
from engine.stages.layout.bays import Bay
from engine.stages.layout.keep_outs import Ground, KeepOut, standing_in
from engine.stages.layout.layout_facts import LayoutFacts
from engine.stages.layout.line_rows import LineRow
from engine.stages.layout.line_tracks import Track
from engine.stages.layout.set_out import clearances_at
from engine.stages.layout.todays_supports import Support

_finding = FindingOf("layout")


def in_keep_outs(laid: LayoutFacts) -> Iterator[Finding]:
    """Driven supports in keep-outs. Source: hand digging in the tolerance zone: Common Ground Alliance Best Practices 5.20."""
    for support, areas in dict(chain.from_iterable(_row_in_keep_outs(row, laid.ground) for row in laid.rows.values())).items():
        worst = worst_of(areas)
        subjects = (support, *dict.fromkeys(area.id.record for area in areas))
        says = f"{support} stands in {worst.why}."
        yield _finding("in_keep_out", "stop" if worst.id.buried else "fix", subjects, says, _do(worst, bool(laid.job.posts)))


@remembered_same
def _row_in_keep_outs(row: LineRow, ground: Ground) -> list[tuple[str, Sequence[KeepOut]]]:
    found = standing_in([one.xy for one in row.driven], ground)
    return [(one.id, areas) for one, areas in zip(row.driven, found, strict=True) if areas]


def stand_in_keep_outs(supports: Iterable[Support], ground: Ground) -> Iterator[tuple[Support, Sequence[KeepOut]]]:
    """Driven supports in keep-outs, each with those that it stands in."""
    driven = [support for support in supports if support.support == "driven"]
    found = standing_in([support.xy for support in driven], ground)
    return ((support, areas) for support, areas in zip(driven, found, strict=True) if areas)


def worst_of(areas: Sequence[KeepOut]) -> KeepOut:
    """The keep-out that is told of several: a buried line before all else."""
    return next((area for area in areas if area.id.buried), areas[0])


def _do(area: KeepOut, accepted: bool) -> str:
    """Dig by hand in a tolerance zone, a base plate on hard ground, else another spot."""
    first = {"utility": "Hand-dig it with care, or ", "surface": "It may stand there on a base plate: "}.get(area.id.source, "")
    return f"{first}{settle_words('it', accepted, small=bool(first))}"


def settle_words(who: str, accepted: bool, *, small: bool = False) -> str:
    """How a post finds another spot: an offer or a fresh layout that the whole walk has judged, which no stage can, or a new way. Before a
    plan is accepted nothing is offered."""
    words = f"settle {who} by an offer; where there is none, by a fresh layout if the same page names one; else take a new way there."
    if not accepted:
        words = f"draw the line clear of it, or accept the plan and settle {who} by an offer."
    return words if small else f"{words[0].upper()}{words[1:]}"


def at_boundaries(laid: LayoutFacts) -> Iterator[Finding]:
    """Supports over a boundary, in its setback, or too near it for the survey to say."""
    for clear in laid.clearances:
        short_ft = clear.setback_ft - clear.inside_ft
        if clear.inside_ft >= 0 and short_ft <= EDGE_FT and -short_ft >= 2 * clear.sigma_ft:
            continue
        good = f"good to ±{format_ft(clear.sigma_ft)}"
        told = _told_apart(clear.inside_ft, clear.setback_ft)
        subjects = (clear.support, clear.boundary)
        if clear.inside_ft < -EDGE_FT:
            says = f"{clear.support} stands {told(-clear.inside_ft)} over boundary {clear.boundary}, {good}."
            do = f"It has to come {told(short_ft)} further in. {settle_words('it', bool(laid.job.posts))}"
            yield _finding("over_boundary", "stop", subjects, says, do)
        elif short_ft > EDGE_FT:
            says = (
                f"{clear.support} stands {told(max(clear.inside_ft, 0.0))} inside boundary {clear.boundary}, {good}; "
                f"the setback is {told(clear.setback_ft)}."
            )
            do = f"It has to come {told(short_ft)} further in. {settle_words('it', bool(laid.job.posts))}"
            yield _finding("in_setback", "fix", subjects, says, do)
        else:
            what = "the setback" if clear.setback_ft else "the line"
            inside = f"{format_ft(max(clear.inside_ft, 0.0))} inside boundary {clear.boundary}"
            says = f"{clear.support} stands {inside}, {good}: it may be over {what}."
            yield _finding(
                "near_boundary", "note", subjects, says, "Measure it from the boundary, or see what a move further inside would do."
            )


def why_none_may_stand(laid: LayoutFacts, track: Track, station_ft: float, at: Point) -> str:
    """Why no post may be driven at a place on a line: what it would stand in, or over; empty where one may be."""
    (areas,) = standing_in([at], laid.ground)
    if areas:
        return f"it would stand in {worst_of(areas).why}"
    clear = clearances_at(laid.job, laid.survey, track, station_ft, at)
    over = next((one for one in clear if one.inside_ft < -EDGE_FT or one.setback_ft - one.inside_ft > EDGE_FT), None)
    if over is None:
        return ""
    return f"it would stand {'over boundary' if over.inside_ft < -EDGE_FT else 'in the setback of boundary'} {over.boundary}"


def _told_apart(inside_ft: float, setback_ft: float) -> Callable[[float], str]:
    """How lengths at a boundary are told: in tenths of a foot, and by a tape's marks where tenths don't tell the place from the edge."""
    edges = (setback_ft, 0.0) if inside_ft < 0 else (setback_ft,)
    alike = any(format_ft(inside_ft) == format_ft(edge) or format_ft(edge - inside_ft) == format_ft(0.0) for edge in edges)
    return format_ft_in if alike else format_ft


def bay_lengths(laid: LayoutFacts) -> Iterator[Finding]:
    """Bays over and under the limits. Source: common practice, no source: the limits are the job's rules."""
    rules = laid.job.rules.layout
    for bay in laid.bays.values():
        if over_limit(rules, bay):
            says = f"{bay.from_id} to {bay.to_id} is {format_ft_in(bay.slope_ft)}, over the {limit_words(rules.bay_max_ft)} limit."
            do = f"See what a post between them would do, or {settle_words('either', bool(laid.job.posts), small=True)}"
            yield _finding("bay_over", "fix", (bay.id, bay.from_id, bay.to_id), says, do)
        elif bay.gate is None and bay.slope_ft < rules.bay_min_ft - TAPE_FT:
            says = f"{bay.from_id} to {bay.to_id} is only {format_ft_in(bay.slope_ft)}, under {limit_words(rules.bay_min_ft)}."
            yield _finding("bay_under", "note", (bay.id, bay.from_id, bay.to_id), says, "See whether one of the two can be left out.")


def over_limit(rules: LayoutRules, bay: Bay) -> bool:
    """Whether a bay is longer than the limit; a gate's opening has none."""
    return bay.gate is None and bay.slope_ft > rules.bay_max_ft + TAPE_FT
