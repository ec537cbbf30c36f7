"""What happened on the ground: the append-only log, one record kind a class. What is taken back is struck, not erased."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Annotated, Literal, Self, get_args

from pydantic import AwareDatetime, Field, model_validator

from engine.calc.frozen import dataclass
from engine.job.model.base import Feet, Id, Inches, LongFeet, Loose, Part, PhotoFile, PhotoFiles, ShortText, SignedFeet, Station, Text
from engine.job.model.checks import Tick, TickState
from engine.job.model.fence import PostKind
from engine.job.model.item_key import ItemKey, KeyInFile
from engine.job.model.plan_before import LineRows, PlanBefore
from engine.job.model.site import ObstacleKind
from engine.job.model.tick_facts import NO_FACTS, FactsInFile


class Entry(Part):
    """What every entry has: its id, when, and who; and, where it was taken back after it was on disk, when that was and by whom."""

    id: Id
    at: AwareDatetime
    by: ShortText
    struck_at: AwareDatetime | None = None
    struck_by: ShortText = ""


class PlacedEntry(Entry):
    """An entry that says where: `east_ft` and `north_ft` are the place it came to on that day, whatever way its line takes since."""

    east_ft: SignedFeet | None = None
    north_ft: SignedFeet | None = None

    @property
    def place(self) -> tuple[float, float] | None:
        """The place, ft; None in what an older program wrote."""
        return None if self.east_ft is None or self.north_ft is None else (self.east_ft, self.north_ft)

    @model_validator(mode="after")
    def _both(self) -> Self:
        if (self.east_ft is None) != (self.north_ft is None):
            raise ValueError("a place has both east_ft and north_ft, or neither")
        return self


class ObstacleEntry(PlacedEntry):
    """Something in the ground at a spot of a line, its middle there; nothing is planned in it, nor within `radius_ft` of it.

    A station is less than 0 where it lies before the start of its line. `long_ft` is its size along the line and `wide_ft` across it;
    without them it is a spot, and with one of them a strip.
    """

    kind: Literal["obstacle"]
    what: ObstacleKind
    line: Id
    station_ft: Station
    offset_ft: SignedFeet = 0.0
    radius_ft: LongFeet = 1.0
    long_ft: LongFeet | None = None
    wide_ft: LongFeet | None = None
    text: Text = ""

    @property
    def off_line_ft(self) -> float:
        """How far off its line the ground begins that it keeps clear."""
        return max(0.0, abs(self.offset_ft) - (self.wide_ft or 0.0) / 2 - self.radius_ft)


class MoveEntry(PlacedEntry):
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


class AddEntry(PlacedEntry):
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
    """A proposed set of supports accepted as the plan; what the log says of posts from here on is said of this plan.

    `gone` are those of the plan before that this one hasn't: no post is called so again. `before` is what stood before it, None where an
    older program wrote it; `steps` are entries that were logged with it.
    """

    kind: Literal["planned"]
    supports: Annotated[int, Field(ge=1)]
    gone: tuple[Id, ...] = ()
    before: PlanBefore | None = None
    steps: tuple[Id, ...] = ()


class RerouteEntry(Entry):
    """A stretch of a line taken another way, between two of its supports that stay; what came out with it, and where that stood.

    `old_points` are the line's points as it ran before; `from_ft` and `to_ft` the stations of the two supports on it. What stands past
    `to_ft` has stations `shift_ft` more since then. On a closed line the stretch may run over the first point: `to_ft` is then less than
    `from_ft`, and what stands between them is what stays. `out` are the supports that came out, each with its old station and offset;
    `left` those whose sleeves stay in the ground, `loops` the closed loops that were cut, of `cable_cut_ft` of cable in all. `before` is
    what it changed or took out, as it was, and `after` as it wrote that; None in older files.
    """

    kind: Literal["reroute"]
    line: Id
    from_post: Id
    to_post: Id
    through: tuple[Id, ...] = ()
    old_points: Annotated[tuple[Id, ...], Field(min_length=2, max_length=500)]
    from_ft: Feet
    to_ft: Feet
    shift_ft: SignedFeet
    out: tuple[Id, ...] = ()
    out_stations_ft: tuple[Feet, ...] = ()
    out_offsets_ft: tuple[SignedFeet, ...] = ()
    left: tuple[Id, ...] = ()
    loops: tuple[Id, ...] = ()
    cable_cut_ft: Feet = 0.0
    why: Text = ""
    before: PlanBefore | None = None
    after: LineRows | None = None

    @model_validator(mode="after")
    def _rows(self) -> "RerouteEntry":
        if not len(self.out) == len(self.out_stations_ft) == len(self.out_offsets_ft):
            raise ValueError("out, out_stations_ft and out_offsets_ft say the same of each support, so they are equally long")
        if strange := [name for name in self.left if name not in self.out]:
            raise ValueError(f"left names {strange[0]}, which did not come out")
        return self


class DeliveryEntry(Entry):
    """Stock that came to the site after the truck was loaded: whole packs, loose pieces (feet where it is cut to length), or both."""

    kind: Literal["delivery"]
    stock: Id
    packs: Annotated[int, Field(ge=1, le=100_000)] | None = None
    loose: Loose | None = None
    brought_by: ShortText = ""
    text: Text = ""

    @model_validator(mode="after")
    def _something(self) -> "DeliveryEntry":
        if self.packs is None and self.loose is None:
            raise ValueError("a delivery says how much came: packs, or loose pieces")
        return self


class SupersededEntry(Entry):
    """What an item was ticked with before it was ticked anew, or `opened` again: no reading goes without a trace. The tick's own time, hand
    and note are `done_at`, `done_by` and `text`; `alike` is whether it was a second one, on another laptop, that said the same."""

    kind: Literal["superseded"]
    item: KeyInFile
    state: TickState = "done"
    done_at: AwareDatetime
    done_by: ShortText
    reading_ft: Feet | None = None
    reading_in: Inches | None = None
    text: Text = ""
    of: FactsInFile = NO_FACTS
    photos: PhotoFiles = ()
    opened: bool = False
    alike: Literal[True] | None = None

    @property
    def tick(self) -> Tick:
        """The tick as it was."""
        return Tick.model_construct(
            state=self.state, at=self.done_at, by=self.done_by, reading_ft=self.reading_ft, reading_in=self.reading_in, note=self.text,
            of=self.of, photos=self.photos,
        )  # fmt: skip


class SleeveLeftEntry(Entry):
    """A sleeve that its post doesn't stand in any more, cut off and left in the ground at a place, ft."""

    kind: Literal["sleeve_left"]
    post: Id
    east_ft: SignedFeet
    north_ft: SignedFeet
    why: Text = ""


class NoteEntry(Entry):
    """Plain words, about something or about the job."""

    kind: Literal["note"]
    about: ShortText = ""
    text: Annotated[Text, Field(min_length=1)]


class PhotoEntry(PlacedEntry):
    """A picture file beside the job: of something by its name, or taken at a spot of a line. Nothing follows from it."""

    kind: Literal["photo"]
    file: PhotoFile
    about: ShortText = ""
    line: Id | None = None
    station_ft: Station | None = None
    caption: Text = ""


class SignedEntry(Entry):
    """The client's acceptance and the crew's signature; it seals the file."""

    kind: Literal["signed"]
    accepted_by: ShortText
    text: Text = ""


class ReopenedEntry(Entry):
    """A sealed job opened again, and why; `left_open` are the reasons that its record held, by the same keys."""

    kind: Literal["reopened"]
    why: Annotated[Text, Field(min_length=1)]
    left_open: dict[str, Text] = {}


LogEntry = Annotated[
    ObstacleEntry | MoveEntry | SwapEntry | AddEntry | DropEntry | PlannedEntry | RerouteEntry | DeliveryEntry | SupersededEntry
    | SleeveLeftEntry | NoteEntry | PhotoEntry | SignedEntry | ReopenedEntry,
    Field(discriminator="kind"),
]  # fmt: skip

ENTRIES: Mapping[str, type[Entry]] = {get_args(one.model_fields["kind"].annotation)[0]: one for one in get_args(get_args(LogEntry)[0])}
"""The class of each kind."""
OfPost = AddEntry | MoveEntry | SwapEntry | DropEntry
"""What is said of one post of the plan."""


def current_entries(log: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """Live log entries since the plan was last accepted or rerouted; earlier moves are part of that plan already."""
    standing = live(log)
    last = max((n for n, entry in enumerate(standing) if isinstance(entry, PlannedEntry | RerouteEntry)), default=-1)
    return standing[last + 1 :]


@dataclass(frozen=True)
class PostsSince:
    """Posts of the accepted plan with what the log did to it since: those that are to stand, and which were added, swapped or left out.
    Names only: where a post stands is `engine.stages.layout.todays_supports.today`."""

    standing: tuple[str, ...]
    added: frozenset[str]
    swapped: Mapping[str, str]
    dropped: tuple[str, ...]


def posts_since(plan: Iterable[str], log: tuple[LogEntry, ...]) -> PostsSince:
    """What became of a plan's posts by the log; nothing becomes of a plan that isn't accepted."""
    planned = dict.fromkeys(plan)
    standing, dropped, swapped = dict(planned), dict[str, None](), dict[str, str]()
    for entry in current_entries(log) if planned else ():
        match entry:
            case AddEntry():
                standing[entry.post] = None
            case SwapEntry():
                swapped[entry.post] = entry.tree
            case DropEntry():
                standing.pop(entry.post, None)
                dropped[entry.post] = None
    left_out = tuple(name for name in dropped if name in planned and name not in standing)
    return PostsSince(tuple(standing), frozenset(standing.keys() - planned.keys()), swapped, left_out)


def in_time(log: Iterable[LogEntry]) -> tuple[LogEntry, ...]:
    """Entries by the time they were made. A job holds them in the order in which they take effect, which two laptops may mix."""
    return tuple(sorted(log, key=lambda entry: entry.at))


def with_entries(log: Iterable[LogEntry], fresh: Iterable[LogEntry]) -> tuple[LogEntry, ...]:
    """A log with more entries, which nothing counts from, each before the first one that was made later."""
    kept = list(log)
    for entry in sorted(fresh, key=lambda one: (one.at, one.id)):
        kept.insert(next((n for n, one in enumerate(kept) if one.at > entry.at), len(kept)), entry)
    return tuple(kept)


def live(log: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """Log entries that stand: those that weren't struck."""
    return tuple(entry for entry in log if entry.struck_at is None)


def ticks_before(log: tuple[LogEntry, ...]) -> Iterator[tuple[ItemKey, Tick]]:
    """Ticks that were made anew since, with their items; those that were taken back, then or later, are none."""
    past = [entry for entry in live(log) if isinstance(entry, SupersededEntry)]
    back = [(entry.item, entry.tick) for entry in past if entry.opened]
    return ((entry.item, entry.tick) for entry in past if not entry.opened and (entry.item, entry.tick) not in back)


def reopened_since(signed: tuple[LogEntry, ...], log: tuple[LogEntry, ...]) -> bool:
    """Whether the log says that the job was opened again after it was signed with the other one."""
    known = {entry.id for entry in signed}
    return any(isinstance(entry, ReopenedEntry) and entry.id not in known for entry in live(log))


def reroutes(log: tuple[LogEntry, ...]) -> tuple[RerouteEntry, ...]:
    """Reroutes that stand: the sleeves they left in the ground and the cable they cut are used up."""
    return tuple(entry for entry in live(log) if isinstance(entry, RerouteEntry))


def struck(entry: LogEntry, at: datetime, by: str) -> LogEntry:
    """The entry taken back then and by whom; one that was struck already stays as it is."""
    return entry if entry.struck_at is not None else entry.model_copy(update={"struck_at": at, "struck_by": by})


def unstruck(entry: LogEntry) -> LogEntry:
    """The entry as it was before it was struck."""
    return entry if entry.struck_at is None else entry.model_copy(update={"struck_at": None, "struck_by": ""})


def log_gone_back(
    log: tuple[LogEntry, ...], wanted: tuple[LogEntry, ...], saved: Mapping[str, LogEntry], at: datetime, by: str
) -> tuple[LogEntry, ...]:
    """The log of a job that goes back, or on again, to one of its versions: what that version lacks is struck, not erased."""
    there = {entry.id: entry for entry in wanted}
    kept = [there.get(entry.id) or struck(entry, at, by) for entry in log if entry.id in there or entry.id in saved]
    held = {entry.id for entry in kept}
    return (*kept, *(entry for entry in wanted if entry.id not in held))
