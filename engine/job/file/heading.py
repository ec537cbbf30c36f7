"""The first lines of a job file: which format it is in, who wrote it, and which version of the job it is."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Annotated, Any

from pydantic import AwareDatetime, Field

from engine.job.errors import Problem, shown
from engine.job.model.base import AT_ONCE, Part, ShortText
from engine.job.model.job import FORMAT, FORMAT_MINOR

SHORT = 16
"""How much of a version's hash tells it from all others of a job."""
MOST_EARLIER = 11


class Heading(Part):
    """The bookkeeping of one version of a job file. Versions are ordered by `revision`; the clock is only shown. `parent` is the hash of
    the version it replaced, `earlier` the first of the hashes of those that stood when its last days of work began."""

    model_config = AT_ONCE

    format_minor: Annotated[int, Field(ge=0)] = FORMAT_MINOR
    written_by: ShortText = ""
    revision: Annotated[int, Field(ge=0, le=1_000_000_000)] = 0
    parent: ShortText = ""
    saved_on: ShortText = ""
    saved_at: AwareDatetime | None = None
    earlier: ShortText = ""

    @property
    def newer(self) -> bool:
        """Whether a later program wrote things that this one may not know."""
        return self.format_minor > FORMAT_MINOR


def first_lines(heading: Heading) -> dict[str, Any]:
    """A heading as the file holds it; what is empty because the file is new is left out."""
    return {"format": FORMAT, **heading.model_dump(exclude=None if heading.earlier else {"earlier"})}


def followed_by(heading: Heading, digest: str, now: datetime) -> dict[str, Any]:
    """What the heading of the next version says of the versions before it."""
    marks = heading.earlier.split()
    if heading.saved_at is None or heading.saved_at.astimezone(UTC).date() != now.astimezone(UTC).date():
        marks.append(digest[:SHORT])
    return {"revision": heading.revision + 1, "parent": digest, "earlier": " ".join(marks[-MOST_EARLIER:])}


def marks_of(digests: Iterable[str]) -> str:
    """Versions that another one holds, as its heading names them."""
    return " ".join(digest[:SHORT] for digest in digests)


def wrong_format(data: Mapping[str, Any]) -> Problem | None:
    """What is wrong with the format a file says it is in."""
    number = data.get("format")
    if number is None:
        return Problem(("format",), f"the file doesn't say which format it is in. A job file starts with: format = {FORMAT}")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        said = f'"{shown(number)}"' if isinstance(number, str) else shown(str(number))
        says = f"the format must be a whole number from 1 on, not {said}. This program writes: format = {FORMAT}"
        return Problem(("format",), says, number)
    return None


def later_format(data: Mapping[str, Any]) -> str | None:
    """The sentence for a file of a later format than this program reads."""
    number = data.get("format")
    if isinstance(number, bool) or not isinstance(number, int) or number <= FORMAT:
        return None
    return f"is in format {number} and this program reads up to format {FORMAT}. It was not touched. Get the newer program to open it."
