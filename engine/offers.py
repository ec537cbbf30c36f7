"""Ways to settle a post that can't stay, best first: another spot, a tree, a post elsewhere, none at all, neighbours spread anew."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice
from typing import Any, Literal

import numpy as np

from engine.calc.lengths import format_ft_in
from engine.calc.nearby import stations_offsets
from engine.findings import LEVELS, Finding
from engine.job.edits import apply_steps
from engine.job.errors import JobError
from engine.job.job import Job
from engine.job.sentences import move_words
from engine.spots import Case, Floats, Spots, apart_ft, case_of, spots_at
from engine.spread import respread
from engine.stages.parts.laid import TAPE_FT
from engine.stages.parts.set_out import STRAIGHT_DEG
from engine.stages.parts.tracks import turns_at
from engine.walk import Walk, walk

OfferKind = Literal["move", "swap", "add", "drop", "respread"]
Step = Mapping[str, Any]

MOST = 6
TRIES = 3
STEP_FT = 0.25
OUT_OF_LINE = 2.0
UNEVEN = 0.25
EXTRA_POST = 4.0
STILL_OVER = 4.0
ONE_MORE = 1.0
_WHEN = datetime(2000, 1, 1, tzinfo=UTC)
"""A walk asks no clock; the entries tried here are thrown away."""


@dataclass(frozen=True)
class Offer:
    """One way to settle a post. `steps` are fields of log entries, for engine.job.edits.apply_steps; `cost` is in feet of trouble."""

    kind: OfferKind
    steps: tuple[Step, ...]
    cost: float
    reason: str


def offers(job: Job, walk: Walk, post: str, reach_ft: float | None = None) -> tuple[Offer, ...]:
    """The best legal ways to settle a post that can't stay, cheapest first, at most six.

    None adds a stop or a fix to what the walk finds today. Of spots within reach the best one each way is told: mostly on, back, right
    or left. Cost, in feet of trouble, is the sum of: feet each post goes; 2 for each foot further off the line; 0.25 for
    each foot that the longest bay beside it comes to differ more from the shortest (for a post left out, that its one bay is longer
    than the longer of the two); 1 for a tree's eyes, for a post left out and another added, and for each further post that moves;
    4 for each post more than before, and for each bay that stays over the limit.
    Arguments: job and its walk; post, an id; reach_ft, how far a move may go, ft over 0; the job's rule where None.
    Returns: offers, cheapest first; none before a plan is accepted or for a support that isn't driven.
    Source: the reach: common practice, no source; the cost: derived, a choice of ours.
    Valid for: any job; of one way three spots are tried; where the walk finds all three wrong, none of that way is told.
    """
    return tuple(islice(offers_in_turn(job, walk, post, reach_ft), MOST))


def offers_in_turn(job: Job, walk: Walk, post: str, reach_ft: float | None = None) -> Iterator[Offer]:
    """As `offers`, each as soon as the walk has let it pass, so that the first can be shown while the next is looked at.

    Arguments: as in `offers`.
    Returns: offers, cheapest first.
    Source: see `offers`.
    Valid for: as in `offers`.
    """
    case = case_of(job, walk, post)
    if case is None:
        return
    reach = job.rules.layout.move_reach_ft if reach_ft is None else reach_ft
    done: set[str] = set()
    tried: Counter[str] = Counter()
    for side, offer in sorted(_ways(case, reach), key=lambda way: way[1].cost):
        if side in done:
            continue
        tried[side] += 1
        passes = _breaks_nothing(job, walk, offer.steps)
        if passes or tried[side] == TRIES:
            done.add(side)
        if passes:
            yield offer


def _ways(case: Case, reach_ft: float) -> Iterator[tuple[str, Offer]]:
    """Every way that passes the cheap look, with the side it lies on; of each side only the best that the walk passes is told."""
    yield from _moves(case, reach_ft)
    yield from _swaps(case, reach_ft)
    if case.post.kind == "line" and len(case.beside) == 2 and all(bay.gate is None for bay, _ in case.beside):
        yield from _added(case, reach_ft)
        yield from _dropped(case)
        yield from _spread(case, reach_ft)


def _breaks_nothing(job: Job, before: Walk, steps: tuple[Step, ...]) -> bool:
    try:
        after = walk(apply_steps(job, steps, _WHEN, ""))
    except JobError:
        return False
    return not any(_is_new(finding, before.findings) for finding in after.findings if finding.level != "note")


def _is_new(finding: Finding, before: tuple[Finding, ...]) -> bool:
    """Whether nothing as bad was found of these subjects before; one finding may tell of many subjects."""
    return not any(
        old.code == finding.code and LEVELS.index(old.level) <= LEVELS.index(finding.level) and set(finding.subjects) <= set(old.subjects)
        for old in before
    )


def _moves(case: Case, reach_ft: float) -> Iterator[tuple[str, Offer]]:
    steps = np.arange(-int(reach_ft / STEP_FT), int(reach_ft / STEP_FT) + 1) * STEP_FT
    along, out = (grid.ravel() for grid in np.meshgrid(steps, steps))
    near = (np.hypot(along, out) <= reach_ft + 1e-9) & ((along != 0) | (out != 0))
    along, out = along[near], out[near]
    spots = spots_at(case, case.post.station_ft + along, case.post.offset_ft + out)
    costs = np.hypot(along, out) + _extra(case, spots)
    for n in np.flatnonzero(spots.legal).tolist():
        on, right = float(along[n]), float(out[n])
        step = {"kind": "move", "post": case.post.id, "along_ft": on, "out_ft": right}
        says = f"{move_words(on, right)}: {_clear(case)}{_bays(spots.bays_ft[n])}."
        yield _side(on, right), Offer("move", (step,), float(costs[n]), says)


def _side(on_ft: float, right_ft: float) -> str:
    """Which way a move mostly goes."""
    if abs(on_ft) >= abs(right_ft):
        return "on" if on_ft > 0 else "back"
    return "right" if right_ft > 0 else "left"


def _extra(case: Case, spots: Spots) -> Floats:
    """What being off the line, overlong bays and uneven ones cost."""
    out: Floats = OUT_OF_LINE * np.maximum(np.abs(spots.offsets_ft) - abs(case.post.offset_ft), 0.0)
    free = [n for n, (bay, _) in enumerate(case.beside) if bay.gate is None]
    out += STILL_OVER * (spots.bays_ft[:, free] > case.job.rules.layout.bay_max_ft + TAPE_FT).sum(axis=1)
    if len(free) < 2:
        return out
    now = np.ptp([case.beside[n][0].slope_ft for n in free])
    uneven: Floats = UNEVEN * np.maximum(np.ptp(spots.bays_ft[:, free], axis=1) - now, 0.0)
    return out + uneven


def _clear(case: Case) -> str:
    if case.stands_in:
        area = case.stands_in[0]
        return f"clear of the {area.kind}{' line' if area.id.startswith('utility:') else ''}, "
    return "clear of where the sleeve stopped, " if case.refused else ""


def _bays(lengths_ft: Floats) -> str:
    words = [format_ft_in(length, 1) for length in lengths_ft.tolist()]
    return f"bay{'s' if len(words) > 1 else ''} {' and '.join(words)}" if words else "no bay beside it"


def _swaps(case: Case, reach_ft: float) -> Iterator[tuple[str, Offer]]:
    """Sound trees near the line, thick enough, that carry nothing yet."""
    rules, survey = case.job.rules.layout, case.walk.survey
    used = {support.at for support in case.walk.layout.supports.values()}
    fit = {
        name: survey.points[tree.point].xy
        for name, tree in case.job.trees.items()
        if tree.sound and tree.diameter_in >= rules.tree_min_in and tree.point in survey.points and name not in used
    }
    if case.post.kind == "gate" or not fit:
        return
    stations, offsets = stations_offsets(case.track.path, list(fit.values()))
    trunks = np.array(list(fit.values()))
    away = np.hypot(*(trunks - np.array(case.post.xy)).T)
    spots = spots_at(case, stations, offsets)
    costs = away + _extra(case, spots) + ONE_MORE
    limit_ft = rules.bay_max_ft + TAPE_FT
    for n, tree in enumerate(fit):
        if abs(offsets[n]) <= max(rules.tree_reach_ft, reach_ft) and bool((spots.bays_ft[n] <= limit_ft).all()):
            says = f"Tree {tree}, {format_ft_in(float(away[n]), 1)} away, carries the cables: {_bays(spots.bays_ft[n])}."
            yield f"swap {tree}", Offer("swap", ({"kind": "swap", "post": case.post.id, "tree": tree},), float(costs[n]), says)


def _added(case: Case, reach_ft: float) -> Iterator[tuple[str, Offer]]:
    """This post left out and another past a move's reach, between the same neighbours and on the line."""
    start, end = case.beside[0][0].start_ft, case.beside[1][0].end_ft
    stations = np.arange(np.ceil(start / STEP_FT), np.floor(end / STEP_FT) + 1) * STEP_FT
    away = np.abs(stations - case.post.station_ft)
    stations, away = stations[away > reach_ft], away[away > reach_ft]
    if not len(stations):
        return
    spots = spots_at(case, stations, np.zeros(len(stations)))
    legal = spots.legal & (spots.bays_ft >= case.job.rules.layout.bay_min_ft - TAPE_FT).all(axis=1)
    costs = away + _extra(case, spots) + ONE_MORE
    for n in np.flatnonzero(legal).tolist():
        shift = float(stations[n] - case.post.station_ft)
        add = {"kind": "add", "line": case.post.line, "station_ft": float(stations[n])}
        says = f"In its place a post {format_ft_in(abs(shift))} {'on' if shift > 0 else 'back'}: {_clear(case)}{_bays(spots.bays_ft[n])}."
        yield f"add {np.sign(shift):.0f}", Offer("add", ({"kind": "drop", "post": case.post.id}, add), float(costs[n]), says)


def _dropped(case: Case) -> Iterator[tuple[str, Offer]]:
    (before, one), (after, other) = case.beside
    length_ft = apart_ft(one, other)
    straight = abs(turns_at(case.track, [case.post.station_ft])[0]) <= STRAIGHT_DEG
    if straight and before.line == after.line and length_ft <= case.job.rules.layout.bay_max_ft + TAPE_FT:
        cost = UNEVEN * max(length_ft - max(before.slope_ft, after.slope_ft), 0.0)
        limit = format_ft_in(case.job.rules.layout.bay_max_ft, 1)
        says = f"Left out: one bay of {format_ft_in(length_ft, 1)}, within the limit of {limit}."
        yield "drop", Offer("drop", ({"kind": "drop", "post": case.post.id},), cost, says)


def _spread(case: Case, reach_ft: float) -> Iterator[tuple[str, Offer]]:
    found = respread(case)
    if found is None or (found.moved == 1 and not found.more and found.feet <= reach_ft):
        return
    cost = found.feet + ONE_MORE * max(found.moved - 1, 0) + EXTRA_POST * found.more + UNEVEN * found.uneven_ft
    more = ", one post more" if found.more > 0 else ", one post less" if found.more < 0 else ""
    count = f"{found.moved} post{'s' if found.moved != 1 else ''}"
    between = f"{count} spread anew between {found.from_id} and {found.to_id}{more}"
    says = f"{between}: bays {format_ft_in(found.shortest_ft, 1)} to {format_ft_in(found.longest_ft, 1)}."
    yield "respread", Offer("respread", found.steps, cost, says)
