"""Shots as readings for the adjustment, and first places for their points, worked outward from the known ones."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from itertools import chain, combinations, repeat

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, TapesDontMeet, apex_angle_deg, distance_ft, offset_point, travel, two_tape_point
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.observations import Along, Direction, Distance, Observation, Offset
from engine.calc.measuring.taping import paced_ft, slope_to_level_ft
from engine.calc.phrases import listed
from engine.calc.remember import remembered_columns, remembered_same
from engine.calc.tolerances import SAME_SPOT_FT
from engine.job.model.cross_checks import shot_points
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import LegShot, OffsetShot, PacesShot, Shot, TapeShot, TieShot

_Carrying = TieShot | OffsetShot | LegShot
"""What gives a point its first place by itself."""


@dataclass(frozen=True)
class ReadValue:
    """One measured value of a shot: what the adjustment reads, and how a crew would name it. `way` is -1 for an offset to the left."""

    shot: str
    method: str
    part: str
    observation: Observation
    words: str
    points: tuple[str, ...]
    way: int = 1

    @property
    def key(self) -> str:
        """Name of the reading in the adjustment."""
        return self.observation.id


@dataclass(frozen=True)
class Placing:
    """First places of points, in the order found, and how each was found; ties whose tapes don't meet, with the gap in ft."""

    places: dict[str, Point]
    how: dict[str, str] = field(default_factory=dict)
    apart: dict[str, float] = field(default_factory=dict)


def readings(shots: Mapping[str, Shot], rules: SurveyRules) -> tuple[ReadValue, ...]:
    """Every measured value between points, with the standard error its method has; level shots are not among them."""
    return tuple(chain.from_iterable(_read(shots, shots.values(), repeat(rules))))


@remembered_columns
def _read(name: str, shot: Shot, rules: SurveyRules) -> tuple[ReadValue, ...]:
    return tuple(_of_shot(name, shot, rules))


def _of_shot(name: str, shot: Shot, rules: SurveyRules) -> Iterator[ReadValue]:
    tape = rules.tape_sigma_ft
    match shot:
        case TieShot():
            yield _tape(name, "tie", "tape a", shot.from_a, shot.point, shot.tape_a_ft, tape, shot.rise_a_ft)
            yield _tape(name, "tie", "tape b", shot.from_b, shot.point, shot.tape_b_ft, tape, shot.rise_b_ft)
        case TapeShot():
            yield _tape(name, "tape", "tape", shot.from_point, shot.to_point, shot.length_ft, tape, shot.rise_ft)
        case OffsetShot():
            yield from _offset(name, shot, rules.offset_sigma_ft)
        case LegShot():
            a, b = shot.from_point, shot.to_point
            yield _bearing(name, "leg", a, b, shot.azimuth_deg, rules)
            yield _tape(name, "leg", "length", a, b, shot.length_ft, tape, shot.rise_ft)
        case PacesShot() if 1 <= rules.step_ft <= 7:
            a, b = shot.from_point, shot.to_point
            if shot.azimuth_deg is not None:
                yield _bearing(name, "paces", a, b, shot.azimuth_deg, rules)
            length = paced_ft(shot.paces, rules.step_ft)
            yield _tape(name, "paces", "paces", a, b, length, max(length * rules.paces_sigma_pct / 100, tape))


def _bearing(name: str, method: str, a: str, b: str, azimuth_deg: float, rules: SurveyRules) -> ReadValue:
    bearing = Direction(f"{name} bearing", a, b, azimuth_deg, rules.bearing_sigma_deg)
    return ReadValue(name, method, "bearing", bearing, f"The bearing from {a} to {b}", (a, b))


def _tape(name: str, method: str, part: str, a: str, b: str, length_ft: float, sigma_ft: float, rise_ft: float | None = None) -> ReadValue:
    what = {"leg": "leg", "paces": "pacing"}.get(method, "tape")
    level = level_ft(length_ft, rise_ft)
    distance = Distance(f"{name} {part}", a, b, level, sigma_ft * length_ft / level)
    return ReadValue(name, method, part, distance, f"The {what} from {a} to {b}", (a, b))


def _offset(name: str, shot: OffsetShot, sigma_ft: float) -> Iterator[ReadValue]:
    a, b, p = shot.base_from, shot.base_to, shot.point
    way = 1 if shot.side == "right" else -1
    along = Along(f"{name} along", a, b, p, shot.along_ft, sigma_ft)
    off = Offset(f"{name} offset", a, b, p, way * shot.offset_ft, sigma_ft)
    yield ReadValue(name, "offset", "along", along, f"The distance along {a} to {b} for {p}", (a, b, p))
    yield ReadValue(name, "offset", "offset", off, f"The offset of {p} from {a} to {b}", (a, b, p), way)


def level_ft(tape_ft: float, rise_ft: float | None) -> float:
    """Level length of a tape as the crew wrote it: held level, or on the slope with its rise."""
    return tape_ft if rise_ft is None else slope_to_level_ft(tape_ft, rise_ft)


def first_places(known: Mapping[str, Point], shots: Mapping[str, Shot], read: tuple[ReadValue, ...], rules: SurveyRules) -> Placing:
    """Places good enough to start the adjustment from: each shot carries on from points that have one. Ties, offsets and legs (backwards
    too) go first; then tapes alone, three or more of which tell the side; last, paces with a bearing."""
    placing = Placing(dict(known))
    left = {name: shot for name, shot in shots.items() if shot.method == "tie" or shot.method == "offset" or shot.method == "leg"}
    while _carry(placing, left) or _by_tapes(placing, read, rules) or _by_paces(placing, shots, rules):
        pass
    return placing


def _carry(placing: Placing, left: dict[str, _Carrying]) -> bool:
    """One round over the shots not used yet; whether any placed a point."""
    before = len(placing.places)
    for name, shot in list(left.items()):
        found = _carried(name, shot, placing)
        if found is None:
            continue
        del left[name]
        if found[0] not in placing.places:
            placing.places[found[0]] = found[1]
            placing.how[found[0]] = found[2]
    return len(placing.places) > before


def _carried(name: str, shot: _Carrying, placing: Placing) -> tuple[str, Point, str] | None:
    """The point a shot gives from the places there are: its name, place, and how."""
    at = placing.places
    match shot:
        case TieShot(from_a=a, from_b=b) if a in at and b in at:
            found, gap_ft = _tied(shot, at[a], at[b])
            if gap_ft is not None:
                placing.apart[name] = gap_ft
            return found
        case OffsetShot(point=point, base_from=a, base_to=b) if _apart(at, a, b):
            off = shot.offset_ft if shot.side == "right" else -shot.offset_ft
            return point, offset_point(at[a], at[b], shot.along_ft, off), f"offset from {a} to {b}"
        case LegShot(from_point=a, to_point=b) if a in at and b not in at:
            return b, travel(at[a], shot.azimuth_deg, level_ft(shot.length_ft, shot.rise_ft)), f"leg from {a}"
        case LegShot(from_point=a, to_point=b) if b in at and a not in at:
            return a, travel(at[b], shot.azimuth_deg, -level_ft(shot.length_ft, shot.rise_ft)), f"leg back from {b}"
    return None


@remembered_same
def _tied(tie: TieShot, a: Point, b: Point) -> tuple[tuple[str, Point, str] | None, float | None]:
    """The point that a tie gives, its place, and how; else by how much its tapes miss each other, where its two points are apart."""
    if distance_ft(a, b) <= SAME_SPOT_FT:
        return None, None
    try:
        tapes = level_ft(tie.tape_a_ft, tie.rise_a_ft), level_ft(tie.tape_b_ft, tie.rise_b_ft)
        return (tie.point, two_tape_point(a, b, *tapes, tie.side), f"tied from {tie.from_a} and {tie.from_b}"), None
    except TapesDontMeet as miss:
        return None, miss.gap_ft


def _apart(at: Mapping[str, Point], a: str, b: str) -> bool:
    return a in at and b in at and distance_ft(at[a], at[b]) > SAME_SPOT_FT


def _by_tapes(placing: Placing, read: tuple[ReadValue, ...], rules: SurveyRules) -> bool:
    """Place the first point that three tapes or more fix; whether there was one."""
    for point, tapes in reaching(placing.places, read).items():
        place = _where_tapes_cross(tapes, placing.places, rules)
        if place:
            placing.places[point] = place
            placing.how[point] = f"tapes from {listed(list(tapes))}"
            return True
    return False


def _by_paces(placing: Placing, shots: Mapping[str, Shot], rules: SurveyRules) -> bool:
    """Place the first point that paces with a bearing lead to, either way; whether there was one."""
    at = placing.places
    for shot in shots.values():
        if not isinstance(shot, PacesShot) or shot.azimuth_deg is None or not 1 <= rules.step_ft <= 7:
            continue
        a, b = shot.from_point, shot.to_point
        if (a in at) != (b in at):
            length_ft = paced_ft(shot.paces, rules.step_ft)
            base, point, way_ft = (a, b, length_ft) if a in at else (b, a, -length_ft)
            at[point] = travel(at[base], shot.azimuth_deg, way_ft)
            placing.how[point] = f"paced from {base}"
            return True
    return False


def reaching(places: Mapping[str, Point], read: tuple[ReadValue, ...]) -> dict[str, dict[str, float]]:
    """For each point without a place, the placed points that a tape reaches it from, with the tape."""
    tapes: dict[str, dict[str, float]] = {}
    for reading in read:
        if not isinstance(reading.observation, Distance):
            continue
        a, b = reading.points
        if (a in places) == (b in places):
            continue
        base, point = (a, b) if a in places else (b, a)
        tapes.setdefault(point, {}).setdefault(base, reading.observation.length_ft)
    return tapes


def _where_tapes_cross(tapes: Mapping[str, float], at: Mapping[str, Point], rules: SurveyRules) -> Point | None:
    """Where the best-crossing pair of tapes meets, on the side that the other tapes tell; None where they don't tell it."""
    pairs = sorted(_crossings(tapes, at))
    if len(tapes) < 3 or not pairs:
        return None
    _, a, b = pairs[0]
    left, right = (two_tape_point(at[a], at[b], tapes[a], tapes[b], side) for side in ("left", "right"))
    off_left, off_right = (max(abs(distance_ft(at[base], place) - tape) for base, tape in tapes.items()) for place in (left, right))
    if abs(off_left - off_right) < rules.misfit * rules.tape_sigma_ft:
        return None
    return left if off_left < off_right else right


def _crossings(tapes: Mapping[str, float], at: Mapping[str, Point]) -> Iterator[tuple[float, str, str]]:
    """Pairs of bases whose tapes meet, with how far from square they cross in degrees."""
    for a, b in combinations(tapes, 2):
        base_ft = distance_ft(at[a], at[b])
        if base_ft > SAME_SPOT_FT and abs(tapes[a] - tapes[b]) < base_ft < tapes[a] + tapes[b]:
            yield abs(90 - apex_angle_deg(tapes[a], tapes[b], base_ft)), a, b


def floating(point: str, shots: Mapping[str, Shot], placing: Placing, read: tuple[ReadValue, ...]) -> tuple[str, str]:
    """Why a point has no place, and the shot that would give it one."""
    for name, gap_ft in placing.apart.items():
        shot = shots[name]
        if isinstance(shot, TieShot) and shot.point == point:
            return (
                f"{point} floats: the tapes of {name} from {shot.from_a} and {shot.from_b} miss each other by {format_ft_in(gap_ft)}.",
                f"Tape {point} again from both.",
            )
    bases = list(reaching(placing.places, read).get(point, {}))
    if len(bases) == 1:
        return f"{point} floats: only one tape reaches it.", "Tape it from a second known point."
    if bases:
        return (
            f"{point} floats: tapes from {listed(bases)} reach it, but don't tell which side it is on.",
            "Write two of them as a tie with its side, or tape it from one more point off that line.",
        )
    waits = sorted({name for shot in shots.values() for name in _others(shot, point) if name not in placing.places})
    if waits:
        return f"{point} floats: it hangs on {listed(waits)}, which has no place either.", f"Tie {point} or {waits[0]} to known points."
    return f"{point} floats: no shot reaches it.", "Tape it from two known points."


def _others(shot: Shot, point: str) -> list[str]:
    names = list(shot_points(shot).values())
    return [name for name in names if name != point] if point in names else []
