"""A post that can't stay, and what a cheap look says of other places for it: keep-outs, boundaries, bays."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import levels_at_ft
from engine.calc.geometry.past_a_trunk import apart_ft as passes_ft
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.tolerances import EDGE_FT, TAPE_FT
from engine.change.fresh_layout import standing, whole_sleeves
from engine.job.model.job import Job
from engine.stages.layout.keep_outs import Ground, keep_outs_round
from engine.stages.layout.line_tracks import Track, place, tracks
from engine.stages.layout.set_out import clearances
from engine.stages.layout.sleeves_in_ground import SLEEVE_CLEAR_FT
from engine.stages.layout.stage import Bay, KeepOut, Support
from engine.stages.layout.trunks import Trunk, through_trunks, trunks
from engine.walk import Walk

REFUSED_FT = 1.0
"""Nothing is driven nearer than this to a spot that refused a sleeve: common practice, no source, as for a rock of unknown size."""

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class CannotStay:
    """A post to settle: its line, its bays with the support at the other end of each, those that come to it first, the keep-outs it
    stands in, the trunks its bays run through, the ground, and all that is held where it stands.

    `hold_off_ft` is how far from its present spot it has to go: 0 where the layout already says what is wrong there.
    """

    job: Job
    walk: Walk
    post: Support
    track: Track
    beside: tuple[tuple[Bay, Support], ...]
    ground: Ground
    stands_in: tuple[KeepOut, ...]
    refused: bool
    hold_off_ft: float
    runs_through: tuple[str, ...]
    trunks: tuple[Trunk, ...]
    held: frozenset[str]

    @property
    def most_ft(self) -> float:
        """How long a bay may be, as a tape tells it, ft."""
        return self.job.rules.layout.bay_max_ft + TAPE_FT

    @property
    def only_trunks(self) -> bool:
        """Whether nothing but a trunk in a bay's way is wrong, so that only what takes the bay past it settles the post."""
        return bool(self.runs_through) and not self.refused and not self.stands_in


@dataclass(frozen=True)
class Spots:
    """Places looked at, row by row: bays are those of the case, in its order, ft on the slope; `legal` is what no rule forbids. `through`
    counts the trunks that the bays run through today and don't clear by the gap there."""

    offsets_ft: Floats
    bays_ft: Floats
    legal: Flags
    through: Floats


def case_of(job: Job, walk: Walk, post: str) -> CannotStay | None:
    """What has to be known of a post to find it another place."""
    support = walk.layout.supports.get(post)
    track = tracks(job, walk.survey).get(support.line) if support else None
    if not job.posts or support is None or support.support != "driven" or track is None:
        return None
    bays = [bay for bay in walk.layout.bays.values() if post in (bay.from_id, bay.to_id)]
    bays.sort(key=lambda bay: bay.from_id == post)
    beside = tuple((bay, walk.layout.supports[bay.other_end(post)]) for bay in bays)
    areas = walk.layout.keep_outs
    ground = Ground(areas, shapely.STRtree([shapely.Polygon(area.polygon) for area in areas]), ())
    inside = keep_outs_round(np.array([support.xy]), ground).get(0, [])
    refused = walk.posts.work[post].stopped_short
    findings = (*walk.stage_findings["layout"], *walk.stage_findings["gate"])
    told = [found for found in findings if found.level != "note" and post in found.subjects]
    off_ft = 0.0 if told and not refused else REFUSED_FT
    every = trunks(job, walk.survey)
    through = through_trunks({bay.id: bay for bay in bays}, walk.layout.supports, every)
    runs_through = tuple(dict.fromkeys(trunk.tree for _, trunk, _ in through))
    near, held = _trunks_near(every, support, beside), frozenset(standing(job, walk))
    return CannotStay(job, walk, support, track, beside, ground, tuple(inside), refused, off_ft, runs_through, near, held)


def spots_at(case: CannotStay, stations_ft: Floats, offsets_ft: Floats) -> Spots:
    """Places along and off the case's line, and which of them keep every rule that is cheap to look at. A bay or a setback that is out of
    rule today may stay so, but not get worse. A gate's opening may change by its tolerance. Beside its own sleeve, or one that stays
    in the ground, no other is driven."""
    track = case.track
    spots = [place(track, station, offset) for station, offset in zip(stations_ft.tolist(), offsets_ft.tolist(), strict=True)]
    legal = np.ones(len(spots), dtype=bool) if track.closed else (stations_ft >= 0) & (stations_ft <= track.length_ft)
    on_line = stations_ft % track.length_ft if track.closed else stations_ft
    bays = bays_to(case, spots, levels_at_ft(track.profile, on_line))
    for n, (bay, _) in enumerate(case.beside):
        if bay.gate is None:
            legal &= bays[:, n] <= max(case.most_ft, bay.slope_ft)
        else:
            legal &= np.abs(bays[:, n] - bay.slope_ft) <= case.job.rules.gate.opening_tolerance_in / 12
    away = np.hypot(*(np.array(spots).reshape(-1, 2) - np.array(case.post.xy)).T)
    legal &= away >= case.hold_off_ft - EDGE_FT
    if case.post.id in case.walk.in_sleeves:
        legal &= (away <= TAPE_FT) | (away >= SLEEVE_CLEAR_FT - EDGE_FT)
    for _, there in whole_sleeves(case.walk):
        legal &= np.hypot(*(np.array(spots).reshape(-1, 2) - np.array(there)).T) >= SLEEVE_CLEAR_FT - EDGE_FT
    legal &= clear_of_ground(case, spots) & _off_floors(case, on_line)
    left = np.flatnonzero(legal)
    legal[left] = _inside_boundaries(case, [spots[n] for n in left.tolist()], on_line[left])
    past, through = _past_trunks(case, spots)
    if case.only_trunks:
        past &= through == 0
    return Spots(offsets_ft, bays, legal & past, through)


def _trunks_near(found: tuple[Trunk, ...], post: Support, beside: tuple[tuple[Bay, Support], ...]) -> tuple[Trunk, ...]:
    """Trunks that a run beside the post may come to."""
    reach_ft = max((bay.plan_ft for bay, _ in beside), default=0.0) * 2
    return tuple(trunk for trunk in found if distance_ft(trunk.middle, post.xy) <= reach_ft)


def _past_trunks(case: CannotStay, spots: Sequence[Point]) -> tuple[Flags, Floats]:
    """Whether no bay of each place comes to run through a trunk, and how many run through one still."""
    past, through = np.ones(len(spots), dtype=bool), np.zeros(len(spots))
    for _, other in case.beside if len(spots) else ():
        for trunk in case.trunks:
            if trunk.tree != other.at:
                bark_ft = trunk.radius_ft - TAPE_FT
                away, now = passes_ft(other.xy, spots, trunk.middle), passes_ft(other.xy, [case.post.xy], trunk.middle)[0]
                past &= (away >= bark_ft) | (now < bark_ft)
                through += (away < trunk.pass_ft - EDGE_FT) & (now < bark_ft)
    return past, through


def bays_to(case: CannotStay, spots: Sequence[Point], levels_ft: Floats) -> Floats:
    """Length on the slope from each place to the support at the other end of each of the case's bays."""
    there = np.array(spots).reshape(-1, 2)
    columns = [np.hypot(np.hypot(*(there - np.array(other.xy)).T), levels_ft - other.level_ft) for _, other in case.beside]
    return np.column_stack(columns) if columns else np.zeros((len(spots), 0))


def clear_of_ground(case: CannotStay, spots: Sequence[Point]) -> Flags:
    """Whether each place is out of every keep-out."""
    clear = np.ones(len(spots), dtype=bool)
    clear[list(keep_outs_round(np.array(spots).reshape(-1, 2), case.ground))] = False
    return clear


def _off_floors(case: CannotStay, on_line_ft: Floats) -> Flags:
    """Whether each place is abreast of no hard stretch but one that the post is abreast of today: nobody measured how far such a stretch
    reaches beside the line, so nobody knows that a sleeve goes in there."""
    off = np.ones(len(on_line_ft), dtype=bool)
    for floor in case.track.floors:
        if not floor.driven and not floor.from_ft < case.post.station_ft < floor.to_ft:
            off &= (on_line_ft <= floor.from_ft + EDGE_FT) | (on_line_ft >= floor.to_ft - EDGE_FT)
    return off


def _inside_boundaries(case: CannotStay, spots: Sequence[Point], stations_ft: Floats) -> Flags:
    """Whether each place is inside every boundary by its setback, or no further out than the post is today."""
    now = {clear.boundary: clear.inside_ft for clear in case.walk.layout.clearances if clear.support == case.post.id}
    tried = {
        f"{n}": replace(case.post, id=f"{n}", east_ft=spot[0], north_ft=spot[1], station_ft=station)
        for n, (spot, station) in enumerate(zip(spots, stations_ft.tolist(), strict=True))
    }
    inside = np.ones(len(spots), dtype=bool)
    if now:
        for clear in clearances(case.job, case.walk.survey, {case.track.name: case.track}, tried):
            wanted_ft = min(clear.setback_ft - EDGE_FT, now.get(clear.boundary, clear.setback_ft))
            inside[int(clear.support)] &= clear.inside_ft >= wanted_ft
    return inside


def apart_ft(a: Support, b: Support) -> float:
    """Distance between two supports on the slope, ft."""
    return float(np.hypot(distance_ft(a.xy, b.xy), a.level_ft - b.level_ft))
