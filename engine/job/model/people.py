"""Who, when and for which dogs; the one-call notice."""

from typing import Annotated

from pydantic import Field

from engine.calc.units import Units
from engine.job.model.base import Day, Id, LongInches, Number, Part, ShortText, Text


class Who(Part):
    """The job's number, title, people and dates. Client and site are free text."""

    number: ShortText = ""
    title: ShortText = ""
    client: Text = ""
    site: Text = ""
    crew: Annotated[tuple[ShortText, ...], Field(max_length=20)] = ()
    planned_for: Day | None = None
    licensed_kennel: bool = False
    units: Units = "feet-inches"


class Dog(Part):
    """One dog, or several alike. Shoulder height and body length (nose tip to base of tail) size gaps and floor space."""

    count: Annotated[int, Field(ge=1, le=200)] = 1
    weight_lb: Annotated[Number, Field(gt=0, le=400)]
    shoulder_in: Annotated[LongInches, Field(le=60)]
    body_in: Annotated[LongInches, Field(le=90)]
    jumps: bool = False
    climbs: bool = False
    digs: bool = False
    chews: bool = False
    yard: Id | None = None


class UtilityNotice(Part):
    """The one-call ticket: nothing is driven before `earliest_start` nor after `expires`."""

    ticket: ShortText = ""
    called: Day | None = None
    earliest_start: Day | None = None
    expires: Day | None = None
    marks_seen: bool = False
