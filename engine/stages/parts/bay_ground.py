"""The ground under each bay: its stations as they are, also where the bay runs past an end of its line."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.ground import Profile
from engine.stages.layout import Bay, Layout
from engine.stages.survey import LineSurvey, Survey

LEAST_BAY_FT = 0.05
"""Stations nearer together than this are one."""


@dataclass(frozen=True)
class BayGround:
    """A bay with the ground it runs over. Stations may lie before 0 or past the line's length, where a post was moved there or a
    closed line begins inside the bay; the profile reaches over both, and `round_ft` is a closed line's length."""

    bay: Bay
    start_ft: float
    end_ft: float
    profile: Profile
    round_ft: float | None

    def shown_ft(self, station_ft: float) -> float:
        """A station as it is taped from the line's start.

        Arguments: station_ft, of this bay.
        Returns: ft; once round a closed line begins again at 0.
        Source: derived: remainder.
        Valid for: any station.
        """
        return station_ft if self.round_ft is None or 0 <= station_ft <= self.round_ft else station_ft % self.round_ft


def bay_grounds(survey: Survey, layout: Layout) -> dict[str, BayGround]:
    """Every bay that is no gate with the ground under it, in layout order.

    Arguments: survey and layout, stations and levels in ft.
    Returns: by bay id; a bay square to its line is taken to run along it.
    Source: derived: a closed line's ground goes on across its start.
    Valid for: any layout; bays of a line that isn't surveyed are left out.
    """
    closed = {name: line.path[0] == line.path[-1] for name, line in survey.lines.items()}
    profiles = {name: _round(line) if closed[name] else line.profile for name, line in survey.lines.items()}
    closing = {line.bays[-1] for name, line in layout.lines.items() if line.bays and closed.get(name)}
    return {
        name: _ground(bay, layout, survey.lines[bay.line], profiles, closed, closes=name in closing)
        for name, bay in layout.bays.items()
        if bay.gate is None and bay.line in profiles
    }


def _round(line: LineSurvey) -> Profile:
    """The ground of a closed line three times round, so that it goes on across the start."""
    ground = list(zip(line.profile.stations_ft, line.profile.levels_ft, strict=True))
    levels = {station + turn * line.length_ft: level for turn in (-1, 1, 0) for station, level in ground}
    stations = sorted(levels)
    return Profile(tuple(stations), tuple(levels[station] for station in stations)) if len(ground) > 1 else line.profile


def _ground(
    bay: Bay, layout: Layout, line: LineSurvey, profiles: Mapping[str, Profile], closed: Mapping[str, bool], *, closes: bool
) -> BayGround:
    before, after = layout.supports[bay.from_id], layout.supports[bay.to_id]
    start_ft = before.station_ft if before.line == bay.line else bay.start_ft
    end_ft = after.station_ft + (line.length_ft if closes else 0.0) if after.line == bay.line else bay.end_ft
    if end_ft - start_ft < LEAST_BAY_FT:
        end_ft = start_ft + bay.plan_ft
    return BayGround(bay, start_ft, end_ft, profiles[bay.line], line.length_ft if closed[bay.line] else None)
