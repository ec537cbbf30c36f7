"""Checklist items: what a stage asks of the crew, the reading it wants, and how ticks in the job answer it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import datetime
from functools import cached_property
from itertools import compress, count, pairwise
from math import floor
from operator import is_not
from typing import Literal, NamedTuple, Protocol

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.metric_lengths import MM_PER_FT, MM_PER_IN
from engine.calc.phrases import counted, first_few, listed, plural
from engine.calc.units import metric
from engine.findings import UNPRINTED, Finding, StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import NO_FACTS, At, TickFacts, as_said_by, met_by, same_facts, same_place, same_places

ReadingUnit = Literal["ft", "in"]
State = Literal["open", "done", "not needed", "not asked"]

IN_PER_FT = 12
MARKS = {"in": 8, "ft": 8 * IN_PER_FT}
"""Marks of a tape in one inch and one foot: a crew reads to the eighth, and lengths are printed to it."""
MM_MARKS = {"in": MM_PER_IN, "ft": MM_PER_FT}
"""The same of a tape in metres: read, and printed, to the millimetre."""


@dataclass(frozen=True)
class WantedReading:
    """A length the item asks for: what is wanted and the range that passes, all in `unit`; an open side of the range is None. `told`
    is set where the stage itself makes the finding of a reading under the range, so that nobody reads it twice."""

    unit: ReadingUnit
    wanted: float | None = None
    low: float | None = None
    high: float | None = None
    told: bool = False

    def passes(self, value: float) -> bool:
        """Whether a reading, in this unit, is within the range, ends included. Reading and ends count as they are printed, to the nearest
        mark of a tape, so that what is read there is what is judged. Where metres are in force either tape may have been read: what passed
        in inches passes still."""
        return (self.low is None or self._reaches(value, self.low)) and (self.high is None or self._reaches(self.high, value))

    def is_short(self, value: float) -> bool:
        """Whether a reading is under the range."""
        return self.low is not None and not self._reaches(value, self.low)

    def _reaches(self, value: float, least: float) -> bool:
        tapes = (MARKS, MM_MARKS) if metric() else (MARKS,)
        return any(floor(value * marks[self.unit] + 0.5) >= floor(least * marks[self.unit] + 0.5) for marks in tapes)

    def words(self, value: float) -> str:
        """Value in trade notation: inches for an inch reading, feet and inches for a feet reading."""
        return format_in(value) if self.unit == "in" else format_ft_in(value)

    @property
    def range_words(self) -> str:
        """The range that passes, in words; one length where that alone does."""
        if self.low is not None and self.low == self.high:
            return self.words(self.low)
        if self.low is not None and self.high is not None:
            return f"{self.words(self.low)} to {self.words(self.high)}"
        if self.low is not None:
            return f"at least {self.words(self.low)}"
        if self.high is not None:
            return f"at most {self.words(self.high)}"
        return "any"


class ReadingMeans(Protocol):
    """What a reading tells besides its length."""

    def short(self, value: float) -> str:
        """In a few words."""
        ...

    def words(self, value: float) -> str:
        """In full, with what to do."""
        ...


class Item(NamedTuple):
    """One thing to do. `key` is stable, for files hold it; `says` is the line the crew reads.

    `of` is what it is about today, and goes into the tick: where that differs from what a tick was made for, the item is open again.
    `tells` is set where a reading means something besides its length.
    """

    key: ItemKey
    says: str
    reading: WantedReading | None = None
    of: TickFacts = NO_FACTS
    tells: ReadingMeans | None = None

    @property
    def subject(self) -> str:
        """What it is about."""
        return self.key.about


@dataclass(frozen=True)
class TicksOf:
    """What a stage reads of a job's ticks: those of one item of everything it is asked of, by the word its keys end with. Where `matter` is
    given, only of jobs in which they do."""

    what: str
    matter: Callable[[Job, tuple[object, ...]], bool] | None = None


class StoodAt(NamedTuple):
    """One place of a support that the log touches: since when (None: from the plan on), where (None: left out), and between which of
    those that stand on its line today."""

    since: datetime | None
    there: Point | None
    beside: frozenset[str] = frozenset()


Stood = Mapping[str, tuple[StoodAt, ...]]
"""Where supports that the log touches stood, by support, in order."""


def counts(tick: Tick, of: TickFacts, stood: Stood) -> bool:
    """Whether a tick still says what it said: it was made for these very facts, as far as a tape tells, or more was done than they ask. A
    tick of an older file doesn't say what it was made for, or says of a closed loop but its ends, as P4-P7: it counts for what stood at its
    time by the plan and the log."""
    then = tick.of
    if then.places or not of.places:
        if then in (of, NO_FACTS):
            return True
        if not same_places(then, of):
            return False
        return same_facts(then, said := as_said_by(then, of)) or same_facts(then, met_by(then, said))
    if tick.of != NO_FACTS and tick.of.words != (f"{of.places[0].support}-{of.places[-1].support}",):
        return False
    there = {at.support: at for at in of.places}
    if any(name in stood and not _stood_there(stood, at, tick.at) for name, at in there.items()):
        return False
    bays = {frozenset((one.support, other.support)) for one, other in pairwise(of.places)}
    return bool(tick.of.words) or not any(_stood_then(stood, name, tick.at).beside in bays for name in stood if name not in there)


def standing_tick(checks: Mapping[ItemKey, Tick], key: ItemKey, of: TickFacts, stood: Stood) -> Tick | None:
    """The tick of an item, where it still counts for what the item is about; what the job before a repair left open or never asked has
    none."""
    tick = checks.get(key)
    return tick if tick is not None and tick.state in ("done", "not needed") and tick.answers(key) and counts(tick, of, stood) else None


def is_done(checks: Mapping[ItemKey, Tick], key: ItemKey, of: TickFacts, stood: Stood) -> bool:
    """Whether an item is done, as it is about today; not needed is not done."""
    tick = standing_tick(checks, key, of, stood)
    return tick is not None and tick.state == "done"


def standing_then(stood: Stood, support: str, at: datetime) -> Point | None:
    """Where a support that the log touches stood at a time."""
    return _stood_then(stood, support, at).there


def _stood_then(stood: Stood, support: str, at: datetime) -> StoodAt:
    return next((place for place in reversed(stood[support]) if place.since is None or place.since <= at), StoodAt(None, None))


def _stood_there(stood: Stood, place: At, at: datetime) -> bool:
    there = standing_then(stood, place.support, at)
    return there is not None and same_place(At(place.support, *there), place)


class ChecklistLine(NamedTuple):
    """An item together with the tick that answers it; `passes` is None where there is no reading. `was` is a tick that was made for other
    facts: it answers nothing any more, and is shown as what it was. `left` says that the job before a repair left it open, and why."""

    item: Item
    tick: Tick | None
    passes: bool | None = None
    was: Tick | None = None
    left: Tick | None = None

    @property
    def given(self) -> Tick | None:
        """The row that the file has of it, whether it answers or not."""
        return self.tick or self.was or self.left

    @property
    def why_left(self) -> str:
        """That the job before a repair left it open, and why; empty where it didn't."""
        return "" if self.left is None else f"Left open before this repair{f': {self.left.note}' if self.left.note else '.'}"

    @property
    def settled(self) -> bool:
        """Whether it is done, or not needed."""
        return self.state in ("done", "not needed")

    @property
    def other_stock(self) -> tuple[str, ...]:
        """The stock rows that it was done with and that it isn't made of any more."""
        now, then = self.item.of.stock, self.was.of.stock if self.was is not None else ()
        return tuple(row for row in then if row not in now) if now else ()

    @property
    def state(self) -> State:
        """Open, done, not needed, or never asked by the job before a repair."""
        return "open" if self.tick is None or self.tick.state == "left open" else self.tick.state


class Tally(NamedTuple):
    """The ticks of what is done, by what is asked and then by what it is about."""

    done: Mapping[str, Mapping[str, Tick]] = {}


@dataclass(frozen=True)
class Checklist:
    """A stage's lines in order, what they come to, and ticks of what isn't asked any more."""

    lines: tuple[ChecklistLine, ...]
    tally: Tally = field(compare=False, repr=False, metadata=UNPRINTED)
    past: tuple[tuple[ItemKey, Tick], ...] = field(default=(), compare=False, repr=False, metadata=UNPRINTED)

    @cached_property
    def done(self) -> int:
        """How many items are done, not needed, or were never asked by the job before a repair."""
        return sum(line.tick is not None for line in self.lines)

    @cached_property
    def open_items(self) -> tuple[Item, ...]:
        """Items that nobody ticked, in order."""
        return tuple([line.item for line in self.lines if line.tick is None])

    @cached_property
    def left_open(self) -> tuple[ChecklistLine, ...]:
        """What the job before a repair left open and is open still, in order."""
        return tuple([line for line in self.lines if line.left is not None])

    @cached_property
    def ticked_done(self) -> Mapping[ItemKey, Tick]:
        """The ticks of what is done, by the key of its item."""
        return {line.item.key: line.tick for line in self.lines if line.tick is not None and line.tick.state == "done"}

    @cached_property
    def told(self) -> tuple[ChecklistLine, ...]:
        """Lines that a finding may be made of: of a tick for other facts, or of a reading out of range."""
        return tuple([line for line in self.lines if line.was is not None or line.passes is False])

    @cached_property
    def made(self) -> Mapping[str, Mapping[str, Tick]]:
        """The ticks of what was done, also of what has to be done again, by what is asked and then by what it is about."""
        found: dict[str, Mapping[str, Tick]] = {**self.tally.done}
        for line in self.told:
            if line.was is not None and line.was.state == "done":
                _, subject, what = line.item.key
                found[what] = {**found.get(what, {}), subject: line.was}
        return found

    @cached_property
    def by_key(self) -> Mapping[ItemKey, ChecklistLine]:
        """Lines by the key of their item."""
        return {line.item.key: line for line in self.lines}

    @cached_property
    def readings(self) -> Mapping[ItemKey, float | None]:
        """What was read, by the key of every item ticked as done; None where nothing was."""
        return {key: tick.reading for key, tick in self.ticked_done.items()}


NOTHING_ASKED = Checklist((), Tally())


def alike_ends(one: Sequence[object], other: Sequence[object]) -> tuple[int, int]:
    """How many things from the start of two rows, and how many of the others from their end, are the very same: most that an edit leaves
    alone stands so."""
    first = _alike(one, other)
    return first, _alike(one[first:][::-1], other[first:][::-1])


def _alike(one: Sequence[object], other: Sequence[object]) -> int:
    return next(compress(count(), map(is_not, one, other)), min(len(one), len(other)))


DONE_BEFORE = "done_before_it_changed"


def put_right(key: ItemKey) -> str:
    """What to do where a reading is out of its range."""
    if key.what == "taped":
        return "Tape it again, and where a post stands elsewhere than planned log its move"
    return "Put it right and read it again"


def changed_findings(stage: StageName, checklist: Checklist) -> tuple[Finding, ...]:
    """One finding a stage: what was done before its post, bay or loop changed, and is open again."""
    lines = [line for line in checklist.told if line.was is not None and line.was.state == "done"]
    if not lines:
        return ()
    subjects = tuple(dict.fromkeys(line.item.subject for line in lines))
    what = f"{counted(len(lines), 'item')} {plural(len(lines), 'was', 'were')} done before {first_few(subjects)} changed"
    do = f"Do {plural(len(lines), 'it', 'them')} again as it stands now, and tick {plural(len(lines), 'it', 'them')}."
    if rows := tuple(dict.fromkeys(row for line in lines for row in line.other_stock)):
        other = f"done with {listed(rows)}, which the fence doesn't name any more. Where only what is new is of another row"
        do += f" {plural(len(lines), 'It was', 'Some were')} {other}, put the old one back and say in a note what is of the other."
    return (Finding(DONE_BEFORE, "note", stage, subjects, f"{what}: {plural(len(lines), 'it is', 'they are')} open again.", do),)


def reading_findings(stage: StageName, checklist: Checklist) -> tuple[Finding, ...]:
    """Findings for readings kept though out of range, each with the crew's reason."""
    found = []
    for line in checklist.told:
        reading = line.item.reading
        if line.passes is not False or line.tick is None or line.tick.reading is None or reading is None:
            continue
        if reading.told and reading.is_short(line.tick.reading):
            continue
        reason = f" Reason given: {line.tick.note}." if line.tick.note else ""
        says = f"{line.item.says}: {reading.words(line.tick.reading)} was read, {reading.range_words} is wanted.{reason}"
        do, about = f"{put_right(line.item.key)}, or leave the reason for the record.", (line.item.subject, line.item.key.what)
        found.append(Finding("reading_out_of_range", "fix", stage, about, says, do, line.item.key))
    return tuple(found)
