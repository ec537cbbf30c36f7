"""The first lines of a job file: which format it is in, who wrote it, and which version of the job it is."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from itertools import islice
from typing import Annotated, Any

from pydantic import AwareDatetime, Field

from engine.job.errors import Problem, shown
from engine.job.model.base import AT_ONCE, Part, ShortText, Text
from engine.job.model.job import FORMAT, FORMAT_MINOR

SHORT = 16
"""How much of a version's hash tells it from all others of a job."""
MOST_EARLIER = 11
MOST_RUNS = 40


class Heading(Part):
    """The bookkeeping of one version of a job file. Versions are ordered by `revision`; the clock is only shown. `parent` is the hash of
    the version it replaced, `earlier` the first of the hashes of those that stood when its last days of work began.

    `runs` are the runs of versions it came from, the newest first: `3fa90c11.12 77b04e2d.4`. One program that saves a file again and again
    makes one run, and a number says how far it came; another run begins where another version is saved on.
    """

    model_config = AT_ONCE

    format_minor: Annotated[int, Field(ge=0)] = FORMAT_MINOR
    written_by: ShortText = ""
    revision: Annotated[int, Field(ge=0, le=1_000_000_000)] = 0
    parent: ShortText = ""
    saved_on: ShortText = ""
    saved_at: AwareDatetime | None = None
    earlier: ShortText = ""
    runs: Text = ""

    @property
    def newer(self) -> bool:
        """Whether a later program wrote things that this one may not know."""
        return self.format_minor > FORMAT_MINOR


def first_lines(heading: Heading) -> dict[str, Any]:
    """A heading as the file holds it; what is empty because the file is new is left out."""
    return {"format": FORMAT, **heading.model_dump(exclude={name for name in ("earlier", "runs") if not getattr(heading, name)})}


def followed_by(heading: Heading, digest: str, now: datetime, run: str, joined: Mapping[str, Heading] | None = None) -> dict[str, Any]:
    """What the heading of the next version says of the versions before it; `run` is a name for a new run, none where who saves that made
    this one too and goes on. `joined` are others that the next one holds too, by their hashes."""
    joined = joined or {}
    marks = heading.earlier.split()
    if heading.saved_at is None or heading.saved_at.astimezone(UTC).date() != now.astimezone(UTC).date():
        marks.append(digest[:SHORT])
    earlier = " ".join([*marks, *marks_of(joined).split()][-MOST_EARLIER:])
    return {**joining(run or run_of(heading), [heading, *joined.values()]), "parent": digest, "earlier": earlier}


def run_of(heading: Heading) -> str:
    """The run that a version is on, empty where it names none."""
    return next(iter(runs_of(heading)), "")


def joining(run: str, headings: Sequence[Heading]) -> dict[str, Any]:
    """The number and the runs of a version on a run that holds others: after all of them, and the newest runs of each first, behind its
    own."""
    rows = [runs_of(heading) for heading in headings]
    reached = {name: max(row.get(name, 0) for row in rows) for name in _newest_first(rows)}
    found = {run: reached.pop(run, 0) + 1, **reached}
    runs = " ".join(f"{name}.{number}" for name, number in islice(found.items(), MOST_RUNS))
    return {"revision": 1 + max((heading.revision for heading in headings), default=0), "runs": runs}


def _newest_first(rows: Iterable[Iterable[str]]) -> Iterator[str]:
    """The names of several rows, each in turn, but none before one that stands before it in any of them."""
    left = [list(row) for row in rows]
    while left := [row for row in left if row]:
        heads = dict.fromkeys(row[0] for row in left)
        free = [name for name in heads if not any(name in row[1:] for row in left)] or [*heads][:1]
        yield from free
        left = [[name for name in row if name not in free] for row in left]


def runs_of(heading: Heading) -> dict[str, int]:
    """The runs that a version came from, the newest first, and how far it came on each."""
    parts = (part.rpartition(".") for part in heading.runs.split())
    return {run: int(reached) for run, _, reached in parts if run and reached.isascii() and reached.isdigit()}


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
