"""Which units lengths are read and written in: feet and inches, or metres. The job says it; here is what is in force right now.

The job in hand of a screen sets what is in force for as long as it is open (`in_hand`); whoever works on any job at all, as the walk, the
page and the folder do, wraps that work in `in_units` of its own, which counts in its own thread and task only and ends with the block. What
is remembered is remembered for the units it was made in (`remember.py`, `walk.py`): two jobs in one process never mix.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Concatenate, Literal, ParamSpec, Protocol, TypeVar

Units = Literal["feet-inches", "metres"]
FEET_INCHES: Units = "feet-inches"
METRES: Units = "metres"
LengthUnit = Literal["ft", "in"]
"""Places for lengths: one for feet, one for inches. Where metres are in force they are places for metres and for centimetres."""

SHOWN_IN_METRES = True
"""Whether a job in metres is shown in metres yet; until all is, all is shown in feet and inches."""

_of_block: ContextVar[Units | None] = ContextVar("units_of_block", default=None)
_of_hand: Units = FEET_INCHES


def units_now() -> Units:
    """The units in force: those of the innermost block, else those of the job in hand.

    Returns: "feet-inches" or "metres".
    Source: derived.
    Valid for: any time.
    """
    return _of_block.get() or _of_hand


def metric() -> bool:
    """Whether lengths are read and written in metres right now.

    Returns: true for metres, false for feet and inches.
    Source: derived.
    Valid for: any time.
    """
    return (_of_block.get() or _of_hand) is METRES


@contextmanager
def in_units(units: Units) -> Iterator[None]:
    """A block in which lengths are read and written in these units, in this thread and task only; not for use in a generator, whose
    block stays open while others work.

    units: those of the job that is worked on.
    Source: derived.
    Valid for: blocks in blocks.
    """
    token = _of_block.set(_shown(units))
    try:
        yield
    finally:
        _of_block.reset(token)


class OfHeading(Protocol):
    """As much of a job's heading as is asked here."""

    @property
    def units(self) -> Units:
        """What its lengths are written in."""
        ...


class OfUnits(Protocol):
    """As much of a job as is asked here."""

    @property
    def job(self) -> OfHeading:
        """Its heading."""
        ...


J = TypeVar("J", bound=OfUnits)
P = ParamSpec("P")
R = TypeVar("R")


def in_its_units(work: Callable[Concatenate[J, P], R]) -> Callable[Concatenate[J, P], R]:
    """A function of a job, and what else, that reads and writes lengths in the units of that job.

    work: a function, not a generator, whose first argument is the job.
    Source: derived.
    Valid for: any job, whatever is in hand.
    """

    @wraps(work)
    def within(job: J, /, *others: P.args, **named: P.kwargs) -> R:
        with in_units(job.job.units):
            return work(job, *others, **named)

    return within


def in_hand(units: Units) -> None:
    """The units of the job in hand: in force wherever no block says otherwise, in every thread and task.

    units: those of the job that is shown from now on.
    Source: derived.
    Valid for: one job in hand at a time.
    """
    global _of_hand
    _of_hand = _shown(units)


def bare_unit(place: LengthUnit) -> Literal["ft", "in", "m", "cm"]:
    """The unit of a number without a mark, in a place for feet or for inches: metres and centimetres where metres are in force.

    place: "ft" or "in". Returns the unit as it is written behind a number.
    Source: common practice, no source.
    Valid for: both places.
    """
    return place if not metric() else "m" if place == "ft" else "cm"


def unit_ft(place: LengthUnit) -> float:
    """How long the unit of a number without a mark is, in feet.

    place: "ft" or "in". Returns feet.
    Source: 85 FR 62698, 5 Oct 2020 (1 ft = 0.3048 m exactly).
    Valid for: both places.
    """
    return {"ft": 1.0, "in": 1 / 12, "m": 1 / 0.3048, "cm": 0.01 / 0.3048}[bare_unit(place)]


def in_force(amount: float, unit: str) -> float:
    """An amount as a number of the unit in force: feet as metres and inches as centimetres where metres are; any other unit as it is.

    amount: finite. unit: what it is counted in. Returns the number.
    Source: 85 FR 62698, 5 Oct 2020 (1 ft = 0.3048 m exactly).
    Valid for: every unit.
    """
    return amount * {"ft": 0.3048, "in": 2.54}.get(unit, 1.0) if metric() else amount


def named_in_force(name: str) -> str:
    """The name of a figure with the unit in force behind it: `length_ft` is `length_m` where metres are, `width_in` is `width_cm`.

    name: ends in its unit. Returns the name; unchanged where it ends in no unit of length.
    Source: common practice, no source.
    Valid for: any name.
    """
    start, mark, unit = name.rpartition("_")
    return f"{start}{mark}{bare_unit('ft' if unit == 'ft' else 'in')}" if unit in ("ft", "in") else name


def unit_called(place: LengthUnit) -> str:
    """What a length is written in, in a place for feet or for inches: feet, inches, metres, centimetres.

    place: "ft" or "in". Returns the word.
    Source: common practice, no source.
    Valid for: both places.
    """
    return {"ft": "feet", "in": "inches", "m": "metres", "cm": "centimetres"}[bare_unit(place)]


def _shown(units: Units) -> Units:
    """The one object that stands for these units, so that memories may compare by identity."""
    return METRES if SHOWN_IN_METRES and units == METRES else FEET_INCHES
