"""What was read of a survey's shots, as a tick of its checklist holds it: one put right or taken out is read again, a further one takes
nothing back."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from math import cos, radians, sin
from typing import NamedTuple

from engine.calc.remember import ByParts, remembered_columns, remembered_of
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, Shot, TieShot, is_measured
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.survey.network import level_ft

_Fixing = TieShot | OffsetShot | LegShot


class ReadGroup(NamedTuple):
    """Points fixed from the same two points, or by legs: one thing to check each; `of` are the points and what was read to them."""

    name: str
    says: str
    of: TickFacts


@remembered_of
def read_groups(shots: Mapping[str, Shot]) -> tuple[ReadGroup, ...]:
    """Every such group, in the order of the shots between points. Points of three tapes check themselves; of a group that only says where
    posts stand nothing was read."""
    found: dict[tuple[str, ...], dict[str, _Fixing]] = {}
    for name, shot in shots.items():
        if shot.method == "tie":
            found.setdefault(tuple(sorted((shot.from_a, shot.from_b))), {})[name] = shot
        elif shot.method == "offset":
            found.setdefault(tuple(sorted((shot.base_from, shot.base_to))), {})[name] = shot
        elif shot.method == "leg":
            found.setdefault((), {})[name] = shot
    found = {ends: group for ends, group in found.items() if any(map(is_measured, group.values()))}
    facts = _of_group(*_by_parts(found.values()))
    says = (f"from {' and '.join(ends)}" if ends else "along the legs" for ends in found)
    return tuple(map(ReadGroup, ("-".join(ends) or "legs" for ends in found), says, facts))


def _by_parts(groups: Collection[Mapping[str, Shot]]) -> tuple[ByParts, ByParts]:
    """The names of each group's shots, and the shots: what was read of a group is found anew where one of its own is another."""
    return ByParts(groups), ByParts(group.values() for group in groups)


@remembered_columns
def _of_group(names: Iterable[str], shots: Collection[_Fixing]) -> TickFacts:
    points = {shot.to_point if shot.method == "leg" else shot.point for shot in shots}
    read = (_size(f"{name} {what}", ft) for name, shot in zip(names, shots, strict=True) for what, ft in _read(shot))
    return TickFacts(sizes=tuple(read), words=tuple(sorted(points)))


def _read(shot: _Fixing) -> Iterator[tuple[str, float]]:
    """Tapes held level, ft, and on which side."""
    match shot:
        case TieShot():
            yield "taped from a", level_ft(shot.tape_a_ft, shot.rise_a_ft)
            yield f"taped from b on the {shot.side}", level_ft(shot.tape_b_ft, shot.rise_b_ft)
        case OffsetShot():
            yield "taped along", shot.along_ft
            yield f"off on the {shot.side}", shot.offset_ft
        case LegShot():
            run_ft, way = level_ft(shot.length_ft, shot.rise_ft), radians(shot.azimuth_deg)
            yield "leads east", run_ft * sin(way)
            yield "leads north", run_ft * cos(way)


@remembered_of
def levels_by_line(shots: Mapping[str, Shot]) -> Mapping[str, tuple[Size, ...]]:
    """Of every line the levels that were shot on it and beside it: where, and how high the ground is there."""
    found: dict[str, dict[str, LevelShot]] = {}
    for name, shot in shots.items():
        if shot.method == "level":
            found.setdefault(shot.line, {})[name] = shot
    return dict(zip(found, _levels(*_by_parts(found.values())), strict=True))


@remembered_columns
def _levels(names: Iterable[str], shots: Collection[LevelShot]) -> tuple[Size, ...]:
    sizes: list[Size] = []
    for name, shot in zip(names, shots, strict=True):
        sizes.append(_size(f"{name} shot at", shot.station_ft))
        if shot.offset_ft:
            sizes.append(_size(f"{name} shot beside", shot.offset_ft))
        sizes.append(_size(f"{name} shot level", shot.ground_ft))
    return tuple(sizes)


def _size(name: str, ft: float) -> Size:
    return Size(name, round(ft, 3) + 0.0)
