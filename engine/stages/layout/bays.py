"""The bays between neighbouring supports of each line."""

from collections.abc import Mapping
from itertools import pairwise
from math import hypot

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import distance_ft
from engine.calc.remember import remembered, remembered_rows, remembered_same
from engine.calc.tolerances import TOUCHING_FT
from engine.stages.layout.line_tracks import Track
from engine.stages.layout.todays_supports import Members, Support


def bay_id(from_id: str, to_id: str) -> str:
    """What the bay between two supports is called."""
    return f"{from_id}-{to_id}"


@dataclass(frozen=True)
class Bay:
    """The space between two neighbouring supports of a line, or a gate's opening when `gate` is set.

    `start_ft`/`end_ft` are stations on `line`; `plan_ft` is level, `slope_ft` straight between the ground at both supports.
    The stations stay on the line even where a support was moved past an end of it, or a closed line begins inside the bay.
    """

    id: str
    line: str
    from_id: str
    to_id: str
    start_ft: float
    end_ft: float
    plan_ft: float
    slope_ft: float
    rise_ft: float
    gate: str | None

    def other_end(self, support: str) -> str:
        """The support at the end where this one isn't."""
        return self.to_id if self.from_id == support else self.from_id

    def __hash__(self) -> int:
        """Of a few fields: bays are looked up often and are seldom alike."""
        return hash((self.id, self.plan_ft, self.rise_ft))


@dataclass(frozen=True)
class LineLayout:
    """The supports and bays of a line in order. A closed line's last bay ends on its first support."""

    line: str
    length_ft: float
    supports: tuple[str, ...]
    bays: tuple[str, ...]


def bays(
    tracks: Mapping[str, Track], lines: Members, supports: Mapping[str, Support], gates: Mapping[str, tuple[str, str]]
) -> dict[str, Bay]:
    """All bays, line by line, in order. Both supports of a bay are levelled on the bay's own line, so that a shared support is taken where
    this line's ground is."""
    gate_of = {pair: gate for gate, pair in gates.items()}
    found: dict[str, Bay] = {}
    for name, track in tracks.items():
        row = [post for _, post in lines[name]]
        pairs = [*pairwise(row), *([(row[-1], row[0])] if track.closed and len(row) > 2 else [])]
        hung = tuple(gate_of.get(pair) for pair in pairs)
        for bay in _along(track, tuple(supports[post] for post in row), tuple(station_ft for station_ft, _ in lines[name]), hung):
            found.setdefault(bay.id, bay)
    return found


@remembered_rows
def _along(track: Track, row: tuple[Support, ...], stations_ft: tuple[float, ...], gates: tuple[str | None, ...]) -> tuple[Bay, ...]:
    """The bays of one line in order, with the gate that hangs in each; one more than pairs in a row goes round a ring again."""
    ends = [*zip(row, stations_ft, strict=True), (row[0], stations_ft[0])] if row else []
    between = (
        _bay(track, before, after, start_ft, end_ft, gate, n == len(row) - 1)
        for n, (((before, start_ft), (after, end_ft)), gate) in enumerate(zip(pairwise(ends), gates, strict=False))
    )
    return tuple(bay for bay in between if bay is not None)


@remembered_same
def _bay(track: Track, before: Support, after: Support, start_ft: float, end_ft: float, gate: str | None, round_again: bool) -> Bay | None:
    """A bay from one support to the next; None where they touch. One that goes `round_again` ends past a closed line's first point."""
    plan_ft = distance_ft(before.xy, after.xy)
    if plan_ft <= TOUCHING_FT:
        return None
    start, end = (min(max(station, 0.0), track.length_ft) for station in (start_ft, end_ft + track.length_ft * round_again))
    rise_ft = _level(track, after, end) - _level(track, before, start)
    name = bay_id(before.id, after.id)
    return _known(Bay(name, track.name, before.id, after.id, start, end, plan_ft, hypot(plan_ft, rise_ft), rise_ft, gate))


@remembered
def _known(bay: Bay) -> Bay:
    """The bay that was found before where one is like it: the turn of a support at its end may be all that changed."""
    return bay


def _level(track: Track, support: Support, station_ft: float) -> float:
    return support.level_ft - support.lift_ft if support.line == track.name else level_at_ft(track.profile, station_ft)


def line_layouts(tracks: Mapping[str, Track], lines: Members, bays: Mapping[str, Bay]) -> dict[str, LineLayout]:
    """Supports and bays of every line in order."""
    own: dict[str, list[str]] = {name: [] for name in tracks}
    for bay in bays.values():
        own[bay.line].append(bay.id)
    return {
        name: LineLayout(name, track.length_ft, tuple(post for _, post in lines[name]), tuple(own[name])) for name, track in tracks.items()
    }
