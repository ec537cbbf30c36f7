"""What happened on the ground: the append-only log, one record kind a class."""

from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.job.base import Feet, Id, LongFeet, Part, ShortText, SignedFeet, Text
from engine.job.fence import PostKind
from engine.job.site import ObstacleKind


class Entry(Part):
    """What every entry has: its id, when, and who."""

    id: Id
    at: AwareDatetime
    by: ShortText


class ObstacleEntry(Entry):
    """Something in the ground at a spot of a line; it becomes a keep-out of that radius."""

    kind: Literal["obstacle"]
    what: ObstacleKind
    line: Id
    station_ft: Feet
    offset_ft: SignedFeet = 0.0
    radius_ft: LongFeet = 1.0
    text: Text = ""


class MoveEntry(Entry):
    """A post moved from where it stood: along the line (on is positive) and square off it (right is positive)."""

    kind: Literal["move"]
    post: Id
    along_ft: SignedFeet = 0.0
    out_ft: SignedFeet = 0.0
    why: Text = ""


class SwapEntry(Entry):
    """A post given up for a tree that carries the cables in its place."""

    kind: Literal["swap"]
    post: Id
    tree: Id
    why: Text = ""


class AddEntry(Entry):
    """A post added to the plan."""

    kind: Literal["add"]
    post: Id
    line: Id
    station_ft: Feet
    offset_ft: SignedFeet = 0.0
    post_kind: PostKind = "line"
    why: Text = ""


class DropEntry(Entry):
    """A post left out."""

    kind: Literal["drop"]
    post: Id
    why: Text = ""


class PlannedEntry(Entry):
    """A proposed set of supports accepted as the plan; what the log says of posts from here on is said of this plan."""

    kind: Literal["planned"]
    supports: Annotated[int, Field(ge=1)]


class NoteEntry(Entry):
    """Plain words, about something or about the job."""

    kind: Literal["note"]
    about: ShortText = ""
    text: Annotated[Text, Field(min_length=1)]


class SignedEntry(Entry):
    """The client's acceptance and the crew's signature; it seals the file."""

    kind: Literal["signed"]
    accepted_by: ShortText
    text: Text = ""


class ReopenedEntry(Entry):
    """A sealed job opened again, and why."""

    kind: Literal["reopened"]
    why: Annotated[Text, Field(min_length=1)]


LogEntry = Annotated[
    ObstacleEntry | MoveEntry | SwapEntry | AddEntry | DropEntry | PlannedEntry | NoteEntry | SignedEntry | ReopenedEntry,
    Field(discriminator="kind"),
]


def current_entries(log: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """Log entries since the plan was last accepted; earlier moves are part of that plan already.

    Arguments: log, entries in order.
    Returns: entries in order; all of them where no plan was ever accepted.
    Source: derived: the last `planned` entry.
    Valid for: any log.
    """
    last = max((n for n, entry in enumerate(log) if isinstance(entry, PlannedEntry)), default=-1)
    return log[last + 1 :]
