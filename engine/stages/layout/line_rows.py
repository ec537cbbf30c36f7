"""Rows of supports along lines, by which what hangs between them is found again."""

from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered, remembered_rows
from engine.job.model.fence import PostKind, SupportKind
from engine.stages.layout.line_tracks import Track


class Standing(NamedTuple):
    """All of a support that bays and strings are laid out by: where it stands on its own line, what it hangs on, the ground under it, and
    the turn there. The very same from walk to walk, whatever plan or move has it there."""

    id: str
    line: str
    xy: Point
    station_ft: float
    kind: PostKind
    support: SupportKind
    at: str | None
    ground_ft: float
    turn_deg: float


same_standing = remembered(Standing)


@dataclass(frozen=True)
class LineRow:
    """The supports of one line in their order, those that it shares among them, with their stations on it."""

    track: Track
    supports: tuple[Standing, ...]
    stations_ft: tuple[float, ...]

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The supports by name."""
        return tuple(one.id for one in self.supports)

    @cached_property
    def driven(self) -> list[Standing]:
        """Those that are driven."""
        return [one for one in self.supports if one.support == "driven"]

    @property
    def runs(self) -> list[tuple[Standing, Standing]]:
        """Each with the next one, round a closed line."""
        return [*pairwise((*self.supports, *self.supports[: self.closed]))]

    @property
    def closed(self) -> bool:
        """Whether the last support has a bay to the first."""
        return self.track.closed and len(self.supports) > 2


same_row = remembered_rows(remembered(LineRow))
