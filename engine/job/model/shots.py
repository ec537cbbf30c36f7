"""What was measured: known points and shots of every method."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from engine.calc.lengths import parse_azimuth_deg
from engine.job.model.base import AgainstItself, Feet, Id, Level, LongFeet, Part, Rod, Side, SignedFeet, Text


class Point(Part):
    """A point whose place is known before any shot: a house corner, a survey pin."""

    east_ft: SignedFeet
    north_ft: SignedFeet
    note: Text = ""


def _reachable(length_ft: float, rise_ft: float | None) -> None:
    if abs(rise_ft or 0.0) >= length_ft:
        raise ValueError("the rise is as long as the tape: give the tape along the slope and how much its far end stands higher")


class TieShot(Part):
    """Two tapes from two known points to one new point; `side` is seen walking from `from_a` to `from_b`. Tapes held along the slope come
    with how much the new point stands higher than where each begins: `rise_a_ft`, `rise_b_ft`."""

    method: Literal["tie"]
    point: Id
    from_a: Id
    from_b: Id
    tape_a_ft: LongFeet
    tape_b_ft: LongFeet
    side: Side
    rise_a_ft: SignedFeet | None = None
    rise_b_ft: SignedFeet | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _slopes(self) -> "TieShot":
        _reachable(self.tape_a_ft, self.rise_a_ft)
        _reachable(self.tape_b_ft, self.rise_b_ft)
        return self


class TapeShot(Part):
    """One tape between two points: a check, or one of the tapes that fix a point. `rise_ft`: how much higher it ends, if on the slope."""

    method: Literal["tape"]
    from_point: Id
    to_point: Id
    length_ft: LongFeet
    rise_ft: SignedFeet | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _slope(self) -> "TapeShot":
        _reachable(self.length_ft, self.rise_ft)
        return self


class OffsetShot(Part):
    """A point at a distance along a base line and square off it; `side` is seen walking from `base_from` to `base_to`."""

    method: Literal["offset"]
    point: Id
    base_from: Id
    base_to: Id
    along_ft: SignedFeet
    offset_ft: Feet
    side: Side
    note: Text = ""


AT_A_POST = "at-{}"
WHERE_IT_STANDS = "where {} stands"
"""What a new way calls and notes of a point that it takes to be where a post stands: nobody measured to that."""


def _azimuth(value: object) -> object:
    return parse_azimuth_deg(value) if isinstance(value, str) else value


Azimuth = Annotated[float, BeforeValidator(_azimuth), Field(ge=0, lt=360)]


class LegShot(Part):
    """A bearing and a distance from one point to the next. `rise_ft`: how much higher it ends, if taped on the slope."""

    method: Literal["leg"]
    from_point: Id
    to_point: Id
    azimuth_deg: Azimuth
    length_ft: LongFeet
    rise_ft: SignedFeet | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _slope(self) -> "LegShot":
        _reachable(self.length_ft, self.rise_ft)
        return self


class PacesShot(Part):
    """Single steps counted between two points, with a bearing where one was taken; the step length is a rule of the job."""

    method: Literal["paces"]
    from_point: Id
    to_point: Id
    paces: Annotated[float, Field(gt=0, le=100_000)]
    azimuth_deg: Azimuth | None = None
    note: Text = ""


class LevelShot(Part):
    """Ground level at a station of a line: given as a level, or as a rod reading below the instrument's height. With `offset_ft`, right of
    the line positive, it is ground beside the line, and no part of the line's own profile."""

    method: Literal["level"]
    line: Id
    station_ft: Feet
    offset_ft: SignedFeet | None = None
    level_ft: Level | None = None
    rod_ft: Rod | None = None
    instrument_ft: Level | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _one_way(self) -> "LevelShot":
        by_rod = self.rod_ft is not None and self.instrument_ft is not None
        if by_rod == (self.level_ft is not None) or (self.rod_ft is None) != (self.instrument_ft is None):
            raise AgainstItself("level_ft", "give level_ft alone, or rod_ft together with instrument_ft")
        return self

    @property
    def ground_ft(self) -> float:
        """Ground level above the job's datum."""
        if self.level_ft is not None:
            return self.level_ft
        assert self.instrument_ft is not None
        assert self.rod_ft is not None
        return self.instrument_ft - self.rod_ft


Shot = Annotated[TieShot | TapeShot | OffsetShot | LegShot | PacesShot | LevelShot, Field(discriminator="method")]

__all__ = ["Azimuth", "LegShot", "LevelShot", "OffsetShot", "PacesShot", "Point", "Shot", "TapeShot", "TieShot"]


def is_measured(shot: Shot) -> bool:
    """Whether somebody read it, and no new way wrote down where a post stands."""
    if shot.method != "offset":
        return True
    begins, ends = WHERE_IT_STANDS.split("{}")
    return not (shot.point.startswith(AT_A_POST.format("")) and shot.note.startswith(begins) and shot.note.endswith(ends))
