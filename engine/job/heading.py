"""The first lines of a job file: which format it is in, who wrote it, and which version of the job it is."""

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import AwareDatetime, Field

from engine.job.base import Part, ShortText
from engine.job.errors import Problem
from engine.job.job import FORMAT, FORMAT_MINOR


class Heading(Part):
    """The bookkeeping of one version of a job file. Versions are ordered by `revision`; the clock is only shown."""

    format_minor: Annotated[int, Field(ge=0)] = FORMAT_MINOR
    written_by: ShortText = ""
    revision: Annotated[int, Field(ge=0, le=1_000_000_000)] = 0
    parent: ShortText = ""
    saved_on: ShortText = ""
    saved_at: AwareDatetime | None = None

    @property
    def newer(self) -> bool:
        """Whether a later program wrote things that this one may not know."""
        return self.format_minor > FORMAT_MINOR


def wrong_format(data: Mapping[str, Any]) -> Problem | None:
    """What is wrong with the format a file says it is in.

    Arguments: data, the tables of a file.
    Returns: None where it says a format from 1 on.
    Source: derived: the job file's own rules.
    Valid for: any tables.
    """
    number = data.get("format")
    if number is None:
        return Problem(("format",), f"the file doesn't say which format it is in. A job file starts with: format = {FORMAT}")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        return Problem(("format",), f"the format must be a whole number from 1 on. This program writes: format = {FORMAT}", number)
    return None


def later_format(data: Mapping[str, Any]) -> str | None:
    """The sentence for a file of a later format than this program reads.

    Arguments: data, the tables of a file.
    Returns: None where this program reads it.
    Source: derived: the job file's own rules.
    Valid for: any tables.
    """
    number = data.get("format")
    if isinstance(number, bool) or not isinstance(number, int) or number <= FORMAT:
        return None
    return f"is in format {number} and this program reads up to format {FORMAT}. It was not touched. Get the newer program to open it."
