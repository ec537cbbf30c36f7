"""The ground under each bay: its stations as they are, also where the bay runs past an end of its line, and the floors it runs over."""

from bisect import bisect_right
from functools import cached_property
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, slope_distance_ft
from engine.calc.remember import remembered, remembered_columns, remembered_of, remembered_same
from engine.calc.tolerances import EDGE_FT, ROUNDING_PLACES, TOUCHING_FT
from engine.stages.layout.bays import bay_id
from engine.stages.layout.stage import Bay, Layout, LineLayout, Support
from engine.stages.survey.floors import floored, round_again
from engine.stages.survey.stage import Floor, LineSurvey, Survey


@dataclass(frozen=True)
class BayGround:
    """A bay with the ground it runs over. Stations may lie before 0 or past the line's length, where a post was moved there or a
    closed line begins inside the bay; the profile reaches over both, from the break before the bay to the one after it, and `round_ft` is
    a closed line's length where the bay reaches its start: the others don't hang on it. `floors` are those inside the bay, and `underfoot`
    is the ground with decks and treads laid over it, from the bay's start to its end."""

    bay: Bay
    start_ft: float
    end_ft: float
    profile: Profile
    round_ft: float | None
    floors: tuple[Floor, ...]
    underfoot: Profile

    def __hash__(self) -> int:
        """Of a few fields: bays are looked up often and are seldom alike."""
        return hash((self.bay.id, self.start_ft, self.end_ft))

    @cached_property
    def along_ft(self) -> float:
        """How long it is along the ground, break by break; the very same number wherever on the line it lies."""
        return _same_ft(round(slope_distance_ft(self.profile, self.start_ft, self.end_ft), ROUNDING_PLACES))

    def shown_ft(self, station_ft: float) -> float:
        """A station as it is taped from the line's start."""
        return station_ft if self.round_ft is None or 0 <= station_ft <= self.round_ft else station_ft % self.round_ft


@remembered_of
def bay_grounds(survey: Survey, layout: Layout) -> dict[str, BayGround]:
    """Every bay that is no gate with the ground under it, in layout order."""
    lines = {name: _line_ground(line) for name, line in survey.lines.items()}
    closing = {_closing_bay(line) for name, line in layout.lines.items() if line.supports and name in lines and lines[name].closed}
    bays = [bay for bay in layout.bays.values() if bay.gate is None and bay.line in lines]
    supports = layout.supports
    grounds = _under(
        [lines[bay.line] for bay in bays],
        bays,
        [supports[bay.from_id] for bay in bays],
        [supports[bay.to_id] for bay in bays],
        [bay.id in closing for bay in bays],
    )
    return {ground.bay.id: ground for ground in grounds}


def _closing_bay(line: LineLayout) -> str:
    """The bay from a closed line's last support to its first, which is none where the two touch."""
    return bay_id(line.supports[-1], line.supports[0])


class _LineGround(NamedTuple):
    """A line's ground and floors as far as its bays may reach: of a closed one round its start too."""

    line: LineSurvey
    closed: bool
    profile: Profile
    floors: tuple[Floor, ...]


@remembered_same
def _line_ground(line: LineSurvey) -> _LineGround:
    if line.path[0] != line.path[-1]:
        return _LineGround(line, False, line.profile, line.floors)
    return _LineGround(line, True, _round(line), round_again(line.floors, line.length_ft))


@remembered_columns
def _under(ground: _LineGround, bay: Bay, before: Support, after: Support, closes: bool) -> BayGround:
    start_ft, end_ft = _ends_ft(bay, before, after, ground, closes=closes)
    here = tuple(floor for floor in ground.floors if floor.from_ft < end_ft - EDGE_FT and floor.to_ft > start_ft + EDGE_FT)
    profile = _between(ground.profile, start_ft, end_ft)
    underfoot = floored(profile, here, start_ft, end_ft)
    length_ft = ground.line.length_ft
    round_ft = length_ft if ground.closed and not 0 < start_ft < end_ft < length_ft else None
    return _known(BayGround(bay, start_ft, end_ft, profile, round_ft, here, underfoot))


def _between(profile: Profile, start_ft: float, end_ft: float) -> Profile:
    """As much of a profile as tells its levels from one station to another: alike wherever the line changes elsewhere."""
    stations = profile.stations_ft
    part = slice(max(bisect_right(stations, start_ft) - 1, 0), bisect_right(stations, end_ft) + 1)
    return Profile(stations[part], profile.levels_ft[part])


@remembered
def _same_ft(length_ft: float) -> float:
    return length_ft


@remembered
def _known(ground: BayGround) -> BayGround:
    """The ground that was found before where one is like it: the turn of a support at its end may be all that changed."""
    return ground


def _round(line: LineSurvey) -> Profile:
    """The ground of a closed line three times round, so that it goes on across the start."""
    ground = list(zip(line.profile.stations_ft, line.profile.levels_ft, strict=True))
    levels = {station + turn * line.length_ft: level for turn in (-1, 1, 0) for station, level in ground}
    stations = sorted(levels)
    return Profile(tuple(stations), tuple(levels[station] for station in stations)) if len(ground) > 1 else line.profile


def _ends_ft(bay: Bay, before: Support, after: Support, ground: _LineGround, *, closes: bool) -> tuple[float, float]:
    """Stations of a bay's supports on its own line; the end of one on a closed line lies past its start by less than the line's length,
    wherever a post was moved across the first point."""
    round_ft = ground.line.length_ft
    start_ft = before.station_ft if before.line == bay.line else bay.start_ft
    end_ft = after.station_ft + (round_ft if closes else 0.0) if after.line == bay.line else bay.end_ft
    if ground.closed and not -TOUCHING_FT <= end_ft - start_ft <= round_ft:
        end_ft += round_ft if end_ft < start_ft else -round_ft
    return start_ft, (start_ft + bay.plan_ft if end_ft - start_ft < TOUCHING_FT else end_ft)
