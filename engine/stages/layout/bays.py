"""The bays between neighbouring supports of each line."""

from collections.abc import Mapping
from itertools import chain, repeat
from math import hypot

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import distance_ft
from engine.calc.remember import remembered, remembered_columns, remembered_rows
from engine.calc.tolerances import TOUCHING_FT
from engine.stages.layout.line_rows import LineRow, Standing
from engine.stages.layout.line_tracks import Track


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


def bays(rows: Mapping[str, LineRow], gates: Mapping[str, tuple[str, str]]) -> dict[str, Bay]:
    """All bays, line by line, in order. Both supports of a bay are levelled on the bay's own line, so that a shared support is taken where
    this line's ground is."""
    hung = tuple(chain.from_iterable((gate, *pair) for gate, pair in gates.items()))
    found: dict[str, Bay] = {}
    for row in rows.values():
        for bay in _along(row, hung):
            found.setdefault(bay.id, bay)
    return found


@remembered_rows
def _along(row: LineRow, hung: tuple[str, ...]) -> tuple[Bay, ...]:
    """The bays of one line in order, with the gate that hangs in each. hung: every gate and its two posts, one after another."""
    gate_of = {(first, last): gate for gate, first, last in zip(hung[::3], hung[1::3], hung[2::3], strict=True)}
    before, start_ft = row.supports, row.stations_ft
    after, end_ft = (*before[1:], *before[: row.closed]), (*start_ft[1:], *start_ft[: row.closed])
    gates = [gate_of.get((one.id, other.id)) for one, other in row.runs]
    round_again = [n == len(before) - 1 for n in range(len(after))]
    between = _bay(repeat(row.track), before, after, start_ft, end_ft, gates, round_again)
    return tuple(bay for bay in between if bay is not None)


@remembered_columns
def _bay(
    track: Track, before: Standing, after: Standing, start_ft: float, end_ft: float, gate: str | None, round_again: bool
) -> Bay | None:
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


def _level(track: Track, support: Standing, station_ft: float) -> float:
    return support.ground_ft if support.line == track.name else level_at_ft(track.profile, station_ft)


def line_layouts(rows: Mapping[str, LineRow], bays: Mapping[str, Bay]) -> dict[str, LineLayout]:
    """Supports and bays of every line in order."""
    own: dict[str, list[str]] = {name: [] for name in rows}
    for bay in bays.values():
        own[bay.line].append(bay.id)
    return {name: LineLayout(name, row.track.length_ft, row.names, tuple(own[name])) for name, row in rows.items()}
