"""The cheap look at a post that can't stay: every way to settle it that keeps the rules which are quick to test, with what it costs."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import chain
from typing import Any, Literal

import numpy as np

from engine.calc.frozen import dataclass
from engine.calc.geometry.many_places import stations_offsets
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, listed, plural
from engine.calc.tolerances import EDGE_FT, ROUNDING_FT, STRAIGHT_DEG, TAPE_FT
from engine.change.respread import respread
from engine.change.spot_rules import CannotStay, Floats, Spots, apart_ft, case_of, spots_at
from engine.job.model.words.log_sentences import move_words
from engine.stages.layout.fixed_supports import gate_spans
from engine.stages.layout.line_tracks import on_line_ft, turns_at
from engine.stages.layout.stage import Support
from engine.stages.layout.trunks import asides_ft

SettlingKind = Literal["move", "gate", "swap", "add", "drop", "respread"]
Step = Mapping[str, Any]

STEP_FT = 0.25
OUT_OF_LINE = 2.0
UNEVEN = 0.25
EXTRA_POST = 4.0
STILL_WRONG = 4.0
PULLED = 4.0
ONE_MORE = 1.0
DONE_AGAIN = 2.0


@dataclass(frozen=True)
class Candidate:
    """A way that passes the cheap look: the side it lies on, and its reason, which is only put in words where it is told."""

    side: str
    kind: SettlingKind
    steps: tuple[Step, ...]
    cost: float
    reason: Callable[[], str]


def candidates(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    """Every way to settle a post that passes the cheap look."""
    touched = _loops_touched(case, (bay.id for bay, _ in case.beside))
    moved = (
        _gate_moves(case, reach_ft) if case.post.gate or case.post.kind == "gate" else chain(_moves(case, reach_ft), _swaps(case, reach_ft))
    )
    for candidate in moved:
        yield _counting_what_is_hung(candidate, touched)
    if case.post.kind == "line" and not case.only_trunks and len(case.beside) == 2 and all(bay.gate is None for bay, _ in case.beside):
        straight = abs(turns_at(case.track, [case.post.station_ft])[0]) <= STRAIGHT_DEG
        for candidate in chain(_added(case, reach_ft), _dropped(case)) if straight else ():
            yield _counting_what_is_hung(candidate, touched)
        yield from _spread_anew(case, reach_ft)


def _loops_touched(case: CannotStay, bays: Iterable[str]) -> list[str]:
    """Loops through these bays that are cut or hung already."""
    done = [key.subject for key, tick in case.job.checks.items() if tick.state == "done" and key.stage in ("cables", "fabric")]
    loops, named = case.walk.cables.loops, set(bays)
    return [name for name in dict.fromkeys(done) if name in loops and named & set(loops[name].bays)]


def _counting_what_is_hung(candidate: Candidate, loops: Sequence[str]) -> Candidate:
    """The way with what is cut or hung already on the loops it touches counted in and told."""
    if not loops:
        return candidate
    says = f" What is cut or hung for {listed(loops)} has to fit again."
    return replace(candidate, cost=candidate.cost + DONE_AGAIN * len(loops), reason=lambda: f"{candidate.reason()}{says}")


def _gate_moves(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    """A gate's post along its line, the other one with it so that the opening fits the leaf."""
    pair = next(((bay, other) for bay, other in case.beside if bay.gate is not None), None)
    span = gate_spans(case.job, case.track).get(pair[0].gate or "") if pair else None
    if pair is None or span is None or pair[1].line != case.post.line:
        return
    other, width_ft = pair[1], span[1] - span[0]
    to_other = width_ft if pair[0].from_id == case.post.id else -width_ft
    alone = other.station_ft - to_other - case.post.station_ft
    steps = np.arange(-int(reach_ft / STEP_FT), int(reach_ft / STEP_FT) + 1) * STEP_FT
    along = np.unique(np.append(steps, alone if abs(alone) <= reach_ft else 0.0))
    theirs = _other_gate_post(case, other) if other.support == "driven" else None
    mine = replace(case, beside=tuple(one for one in case.beside if one[0].gate is None))
    here = spots_at(mine, case.post.station_ft + along, np.zeros(len(along)))
    shift = along - (alone if abs(alone) > TAPE_FT else 0.0)
    stays = np.abs(shift) < TAPE_FT
    there = spots_at(theirs, other.station_ft + shift, np.zeros(len(along))) if theirs else None
    legal = here.legal & (stays | there.legal if there else stays)
    costs = np.abs(along) + _extra_cost(mine, here)
    if theirs and there:
        pulled = PULLED * (other.id in case.held)
        costs += np.where(stays, 0.0, np.abs(shift) + _extra_cost(theirs, there) + ONE_MORE + pulled)
    for n in np.flatnonzero(legal).tolist():
        moved = [(case.post, float(along[n])), *([] if stays[n] else [(other, float(shift[n]))])]
        step = tuple(
            {"kind": "move", "post": post.id, "along_ft": on, "out_ft": -post.offset_ft or 0.0}
            for post, on in moved
            if abs(on) > EDGE_FT or abs(post.offset_ft) > EDGE_FT
        )
        if step:
            yield Candidate(
                "on" if along[n] > 0 else "back", "gate", step, float(costs[n]), partial(_gate_says, case, moved, here.bays_ft[n])
            )


def _gate_says(case: CannotStay, moved: Sequence[tuple[Support, float]], bays_ft: Floats) -> str:
    pulled = [post.id for post, _ in moved[1:] if post.id in case.held]
    too = f" {pulled[0]} stands already and is pulled." if pulled else ""
    return f"{_shift_words(moved)}: {_clear_of(case)}the opening fits the leaf, {_bay_words(bays_ft)}.{too}"


def _shift_words(moved: Sequence[tuple[Support, float]]) -> str:
    """Who goes how far along the line, said once where both go as far."""
    if len({round(on, 3) for _, on in moved}) == 1:
        return f"{listed([post.id for post, _ in moved])} {move_words(moved[0][1], 0.0)}"
    return listed([f"{post.id} {move_words(on, 0.0)}" for post, on in moved])


def _other_gate_post(case: CannotStay, other: Support) -> CannotStay | None:
    """The gate's other post as a case of its own, free to stay near where it is."""
    found = case_of(case.job, case.walk, other.id)
    return found and replace(found, beside=tuple(one for one in found.beside if one[0].gate is None), hold_off_ft=0.0, refused=False)


def _moves(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    steps = np.arange(-int(reach_ft / STEP_FT), int(reach_ft / STEP_FT) + 1) * STEP_FT
    along, out = (grid.ravel() for grid in np.meshgrid(steps, steps))
    near = (np.hypot(along, out) <= reach_ft + ROUNDING_FT) & ((along != 0) | (out != 0))
    clear = np.array(_moves_past_trunks(case, reach_ft))
    along, out = np.append(along[near], np.zeros(len(clear))), np.append(out[near], clear)
    spots = spots_at(case, case.post.station_ft + along, case.post.offset_ft + out)
    costs = np.hypot(along, out) + _extra_cost(case, spots)
    for n in np.flatnonzero(spots.legal).tolist():
        on, right = float(along[n]), float(out[n])
        step = {"kind": "move", "post": case.post.id, "along_ft": on, "out_ft": right}
        yield Candidate(_side(on, right), "move", (step,), float(costs[n]), partial(_move_says, case, on, right, spots, n))


def _moves_past_trunks(case: CannotStay, reach_ft: float) -> list[float]:
    """Moves off the line that take a bay past a trunk it runs through, ft, right positive."""
    pairs = [(other, trunk) for _, other in case.beside for trunk in case.trunks if trunk.tree in case.runs_through]
    moves = [out for other, trunk in pairs for out in asides_ft(case.track, case.post, other.xy, trunk)]
    return [out for out in moves if abs(out) <= reach_ft]


def _move_says(case: CannotStay, on_ft: float, right_ft: float, spots: Spots, n: int) -> str:
    past = "" if spots.through[n] or not case.runs_through else f"past {listed([f'tree {name}' for name in case.runs_through])}, "
    return f"{move_words(on_ft, right_ft)}: {_clear_of(case)}{past}{_bay_words(spots.bays_ft[n])}."


def _side(on_ft: float, right_ft: float) -> str:
    """Which way a move mostly goes."""
    if abs(on_ft) >= abs(right_ft):
        return "on" if on_ft > 0 else "back"
    return "right" if right_ft > 0 else "left"


def _extra_cost(case: CannotStay, spots: Spots) -> Floats:
    """What being off the line, overlong bays, bays through a trunk and uneven ones cost."""
    out: Floats = OUT_OF_LINE * np.maximum(np.abs(spots.offsets_ft) - abs(case.post.offset_ft), 0.0)
    free = [n for n, (bay, _) in enumerate(case.beside) if bay.gate is None]
    out += STILL_WRONG * (spots.bays_ft[:, free] > case.most_ft).sum(axis=1)
    out += STILL_WRONG * spots.through
    if len(free) < 2:
        return out
    now = np.ptp([case.beside[n][0].slope_ft for n in free])
    uneven: Floats = UNEVEN * np.maximum(np.ptp(spots.bays_ft[:, free], axis=1) - now, 0.0)
    return out + uneven


def _clear_of(case: CannotStay) -> str:
    if case.stands_in:
        area = case.stands_in[0]
        return f"clear of the {area.kind}{' line' if area.id.buried else ''}, "
    return "clear of where the sleeve stopped, " if case.refused else ""


def _bay_words(lengths_ft: Floats) -> str:
    words = [format_ft_in(length, 1) for length in lengths_ft.tolist()]
    return f"{plural(len(words), 'bay')} {listed(words)}" if words else "no bay beside it"


def _swaps(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    """Sound trees near the line, thick enough, that carry nothing yet."""
    rules, survey = case.job.rules.layout, case.walk.survey
    used = {support.at for support in case.walk.layout.supports.values()}
    fit = {
        name: survey.points[tree.point].xy
        for name, tree in case.job.trees.items()
        if tree.sound and tree.diameter_in >= rules.tree_min_in and tree.point in survey.points and name not in used
    }
    if not fit:
        return
    stations, offsets = stations_offsets(case.track.path, list(fit.values()))
    trunks = np.array(list(fit.values()))
    away = np.hypot(*(trunks - np.array(case.post.xy)).T)
    spots = spots_at(case, stations, offsets)
    costs = away + _extra_cost(case, spots) + ONE_MORE
    for n, tree in enumerate(fit):
        if abs(offsets[n]) <= max(rules.tree_reach_ft, reach_ft) and bool((spots.bays_ft[n] <= case.most_ft).all()):
            says = f"Tree {tree}, {format_ft_in(float(away[n]), 1)} away, carries the cables: {_bay_words(spots.bays_ft[n])}."
            yield Candidate(
                f"swap {tree}", "swap", ({"kind": "swap", "post": case.post.id, "tree": tree},), float(costs[n]), partial(str, says)
            )


def _added(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    """This post left out and another past a move's reach, between the same neighbours and on the line."""
    start, end = case.beside[0][0].start_ft, case.beside[1][0].end_ft
    start -= case.track.length_ft * (case.track.closed and start > case.post.station_ft)
    end += case.track.length_ft * (case.track.closed and end < case.post.station_ft)
    stations = np.arange(np.ceil(start / STEP_FT), np.floor(end / STEP_FT) + 1) * STEP_FT
    away = np.abs(stations - case.post.station_ft)
    stations, away = stations[away > reach_ft], away[away > reach_ft]
    if not len(stations):
        return
    spots = spots_at(case, stations, np.zeros(len(stations)))
    legal = spots.legal & (spots.bays_ft >= case.job.rules.layout.bay_min_ft - TAPE_FT).all(axis=1)
    costs = away + _extra_cost(case, spots) + ONE_MORE
    for n in np.flatnonzero(legal).tolist():
        shift = float(stations[n] - case.post.station_ft)
        add = {"kind": "add", "line": case.post.line, "station_ft": on_line_ft(case.track, float(stations[n]))}
        steps = ({"kind": "drop", "post": case.post.id}, add)
        yield Candidate(f"add {np.sign(shift):.0f}", "add", steps, float(costs[n]), partial(_add_says, case, shift, spots.bays_ft[n]))


def _add_says(case: CannotStay, shift_ft: float, bays_ft: Floats) -> str:
    where = f"{format_ft_in(abs(shift_ft))} {'on' if shift_ft > 0 else 'back'}"
    return f"A post {where} instead: {_clear_of(case)}{_bay_words(bays_ft)}."


def _dropped(case: CannotStay) -> Iterator[Candidate]:
    (before, one), (after, other) = case.beside
    length_ft = apart_ft(one, other)
    if before.line == after.line and length_ft <= case.most_ft:
        cost = UNEVEN * max(length_ft - max(before.slope_ft, after.slope_ft), 0.0)
        limit = format_ft_in(case.job.rules.layout.bay_max_ft, 1)
        says = f"Left out: one bay of {format_ft_in(length_ft, 1)}, within the limit of {limit}."
        yield Candidate("drop", "drop", ({"kind": "drop", "post": case.post.id},), cost, partial(str, says))


def _spread_anew(case: CannotStay, reach_ft: float) -> Iterator[Candidate]:
    found = respread(case)
    if found is None or (found.moved == 1 and not found.more and found.feet <= reach_ft):
        return
    cost = found.feet + ONE_MORE * max(found.moved - 1, 0) + EXTRA_POST * found.more + UNEVEN * found.uneven_ft
    more = ", one post more" if found.more > 0 else ", one post fewer" if found.more < 0 else ""
    between = f"{counted(found.moved, 'post')} spread again between {found.from_id} and {found.to_id}{more}"
    lengths = dict.fromkeys(format_ft_in(length_ft, 1) for length_ft in (found.shortest_ft, found.longest_ft))
    says = f"{between}: bays {' to '.join(lengths)}."
    yield _counting_what_is_hung(Candidate("respread", "respread", found.steps, cost, partial(str, says)), _loops_touched(case, found.bays))
