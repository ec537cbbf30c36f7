"""What every part of the document is made of: the frozen base model and the field types for ids, lengths and text."""

from datetime import date
from typing import Annotated, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    ValidatorFunctionWrapHandler,
    WrapValidator,
)

from engine.calc.dates import parse_date
from engine.calc.lengths import parse_length_ft
from engine.calc.limits import HIGHEST_LEVEL_FT, LONGEST_ROD_FT
from engine.calc.typed_length import as_typed
from engine.job.errors import shown

FEET_PLACES = 4
INCH_PLACES = 5


class AgainstItself(ValueError):
    """What a record says against itself, with the field to put right first."""

    def __init__(self, field: str, says: str) -> None:
        super().__init__(says)
        self.field = field


class Part(BaseModel):
    """A frozen part of the job file; an unknown key or a number that isn't finite is refused. How one is read by itself is worked out when
    it first is: reading a whole job needs it of the job alone."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, str_strip_whitespace=True, defer_build=True)


AT_ONCE = ConfigDict(defer_build=False)
"""Of what several threads may be the first to read: that is worked out with its class."""


def leads_to_file(name: str) -> bool:
    """Whether a name leads to a file in one folder or in a folder there, on whatever machine."""
    sound = all(part.strip(". ") and part == part.strip() for part in name.split("/"))
    return sound and name.isprintable() and "\\" not in name and ":" not in name


def _photo_file(name: str) -> str:
    if not leads_to_file(name):
        says = "isn't a file beside the job. Write its name, such as gate.jpg, or photos/gate.jpg in a folder"
        raise ValueError(f'"{shown(name)}" {says}')
    return name


def _feet(value: object, number: ValidatorFunctionWrapHandler) -> float:
    """To the places that a file keeps; what was typed in metres stays beside it."""
    value = parse_length_ft(value, bare="ft") if isinstance(value, str) else _no_bool(value)
    length_ft = round(number(value), FEET_PLACES) + 0.0
    return as_typed(length_ft, value) if isinstance(value, float) else length_ft


def _inches(value: object, number: ValidatorFunctionWrapHandler) -> float:
    """The same in inches."""
    if isinstance(value, str):
        read_ft = parse_length_ft(value, bare="in")
        value = as_typed(read_ft * 12.0, read_ft)
    length_in = round(number(_no_bool(value)), INCH_PLACES) + 0.0
    return as_typed(length_in, value) if isinstance(value, float) else length_in


def _loose(value: object, number: ValidatorFunctionWrapHandler) -> float:
    """A count as it is; what was typed in metres of what is cut to length stays beside its feet."""
    value = parse_length_ft(value, bare="ft") if isinstance(value, str) else _no_bool(value)
    return as_typed(number(value), value) if isinstance(value, float) else number(value)


def _no_bool(value: object) -> object:
    if isinstance(value, bool):
        raise ValueError("true or false is given where a number is wanted")
    return value


def _day(value: object) -> object:
    return parse_date(value) if isinstance(value, str) else value


# A length along the ground or up a post: never negative, never longer than any yard fence.
Feet = Annotated[float, WrapValidator(_feet), Field(ge=0, le=20_000)]
LongFeet = Annotated[float, WrapValidator(_feet), Field(gt=0, le=20_000)]
# A length with a direction: a coordinate, a level, a move.
SignedFeet = Annotated[float, WrapValidator(_feet), Field(ge=-100_000, le=100_000)]
# A station that may lie before the start of its line.
Station = Annotated[SignedFeet, Field(ge=-20_000, le=20_000)]
# A level of the ground or of an instrument, and what a rod reads below it.
Level = Annotated[SignedFeet, Field(ge=-HIGHEST_LEVEL_FT, le=HIGHEST_LEVEL_FT)]
Rod = Annotated[Feet, Field(le=LONGEST_ROD_FT)]
# What was worked out and written down at sign-off: as large as it comes out, so that a record of anything a file allows can be made.
BuiltFeet = Annotated[float, WrapValidator(_feet), Field(ge=0, le=1e9)]
BuiltPlace = Annotated[float, WrapValidator(_feet), Field(ge=-1e9, le=1e9)]
Inches = Annotated[float, WrapValidator(_inches), Field(ge=0, le=12_000)]
LongInches = Annotated[float, WrapValidator(_inches), Field(gt=0, le=12_000)]

Day = Annotated[date, BeforeValidator(_day)]

Number = Annotated[float, BeforeValidator(_no_bool)]
# Loose pieces; feet of what is cut to length.
Loose = Annotated[float, WrapValidator(_loose), Field(gt=0, le=1_000_000)]
Count = Annotated[int, BeforeValidator(_no_bool), Field(ge=0, le=1_000_000)]

# Names people give to points, trees, lines: what a TOML key and a screen can both show.
Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$")]
Text = Annotated[str, StringConstraints(max_length=2_000)]
ShortText = Annotated[str, StringConstraints(max_length=200)]
# A picture file by its name from the folder of the job, folders parted by / on every machine.
PhotoFile = Annotated[ShortText, AfterValidator(_photo_file)]
PhotoFiles = Annotated[tuple[PhotoFile, ...], Field(max_length=50)]

Side = Literal["left", "right"]
LineEnd = Literal["start", "end"]
