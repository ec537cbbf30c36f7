"""What was measured: known points and shots of every method."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from engine.calc.lengths import parse_azimuth_deg
from engine.job.base import Feet, Id, LongFeet, Part, Side, SignedFeet, Text


class Point(Part):
    """A point whose place is known before any shot: a house corner, a survey pin."""

    east_ft: SignedFeet
    north_ft: SignedFeet
    note: Text = ""


class TieShot(Part):
    """Two tapes from two known points to one new point; `side` is seen walking from `from_a` to `from_b`."""

    method: Literal["tie"]
    point: Id
    from_a: Id
    from_b: Id
    tape_a_ft: LongFeet
    tape_b_ft: LongFeet
    side: Side
    note: Text = ""


class TapeShot(Part):
    """One tape between two points: a check, or one of the tapes that fix a point."""

    method: Literal["tape"]
    from_point: Id
    to_point: Id
    length_ft: LongFeet
    note: Text = ""


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


def _azimuth(value: object) -> object:
    return parse_azimuth_deg(value) if isinstance(value, str) else value


Azimuth = Annotated[float, BeforeValidator(_azimuth), Field(ge=0, lt=360)]


class LegShot(Part):
    """A bearing and a distance from one point to the next."""

    method: Literal["leg"]
    from_point: Id
    to_point: Id
    azimuth_deg: Azimuth
    length_ft: LongFeet
    note: Text = ""


class PacesShot(Part):
    """Single steps counted between two points; the step length is a rule of the job."""

    method: Literal["paces"]
    from_point: Id
    to_point: Id
    paces: Annotated[float, Field(gt=0, le=100_000)]
    note: Text = ""


class LevelShot(Part):
    """Ground level at a station of a line: given as a level, or as a rod reading below the instrument's height."""

    method: Literal["level"]
    line: Id
    station_ft: Feet
    level_ft: SignedFeet | None = None
    rod_ft: Feet | None = None
    instrument_ft: SignedFeet | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _one_way(self) -> "LevelShot":
        by_rod = self.rod_ft is not None and self.instrument_ft is not None
        if by_rod == (self.level_ft is not None) or (self.rod_ft is None) != (self.instrument_ft is None):
            raise ValueError("give level_ft alone, or rod_ft together with instrument_ft")
        return self

    @property
    def ground_ft(self) -> float:
        """Ground level above the job's datum."""
        if self.level_ft is not None:
            return self.level_ft
        assert self.instrument_ft is not None
        assert self.rod_ft is not None
        return self.instrument_ft - self.rod_ft


Shot = Annotated[
    TieShot | TapeShot | OffsetShot | LegShot | PacesShot | LevelShot,
    Field(discriminator="method"),
]

__all__ = ["Azimuth", "LegShot", "LevelShot", "OffsetShot", "PacesShot", "Point", "Shot", "TapeShot", "TieShot"]
