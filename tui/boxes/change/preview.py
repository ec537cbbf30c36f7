"""What a change does, shown before it is accepted: one page for every kind, whoever asks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from engine.calc.lengths import format_in
from engine.calc.phrases import counted, first_few, listed, plural
from engine.change.changed_findings import FindingChange
from engine.change.consequences import Consequences, Difference, WayChange
from engine.checklist import ChecklistLine
from engine.findings import TITLES, Finding
from engine.job.edit.subjects import said_subject
from engine.stages.posts.sleeves.old_sleeves import place_words
from tui.base.commands import Command, bindings
from tui.base.theme import SIGNS
from tui.boxes.dialog import LEAVE, Dialog, WrongField
from tui.boxes.row_words import finding_content
from tui.widgets.reading_text import ReadingText, in_paragraphs
from tui.working.job_in_hand import FreshNames, JobInHand

if TYPE_CHECKING:
    from tui.working.called_now import NewNames

T = TypeVar("T")
COMMANDS = (LEAVE, Command("take", "enter", "accept", "Accept what is shown.", "What it changes", first=True))
BETWEEN = "  "
MOST_IN_FULL = 3
LEAST_COLUMN = 12
"""Letters that before and after have at least, however little room there is."""
CAME = "Something came in from another laptop meanwhile: this is what it does now. Enter once more accepts it."


def summary(says: str, found: Consequences) -> Content:
    """What happens: what comes out or is used again, what opens or counts again, ways out, findings, and how many figures change."""
    return Content("\n").join([*([Content(says)] if says else []), *_lines_of(found)])


def _lines_of(found: Consequences) -> Iterator[Content]:
    for sleeve in found.sleeves:
        stays = "stays in the ground: cut it off and fill it" if sleeve.stays else "comes out: fill its hole"
        yield Content.styled(f"{SIGNS['fix']} {sleeve.post}'s old sleeve {stays}.", "bold $fix")
    for sleeve in found.said:
        yield Content.styled(f"{SIGNS['done']} {sleeve.post}'s old sleeve{place_words(sleeve)}: nothing is asked of it any more.", "$done")
    for post, of in found.reused:
        yield Content.styled(f"{SIGNS['done']} {post} goes into the old sleeve of {of}: no other is driven.", "$done")
    yield from _ticks(found)
    yield from (_good_or_bad(worse, line) for worse, line in _ways(found))
    yield from _findings(found)
    figures = counted(len(found.changes), "figure changes", "figures change") if found.changes else "No figure changes"
    yield Content(f"{figures}.")


def _ticks(found: Consequences) -> Iterator[Content]:
    """Items that open, by what they were, and those whose ticks count again."""
    done, unneeded = ([line for line in found.opened if line.state == state] for state in ("done", "not needed"))
    groups = (
        (done, "fix", "bold $fix", ("was done and counts no more", "were done and count no more")),
        (unneeded, "fix", "bold $fix", ("was not needed and opens again", "were not needed and open again")),
        (found.again, "done", "$done", ("was ticked before and counts again", "were ticked before and count again")),
    )
    for lines, sign, style, (one, many) in groups:
        if lines:
            yield Content.styled(f"{SIGNS[sign]} {counted(len(lines), 'item')} {plural(len(lines), one, many)}:", style)
            yield from (Content(f"    {line}") for line in _by_stage(lines))


def _findings(found: Consequences) -> Iterator[Content]:
    """Findings that are new, changed and gone, and all that those of many things are about."""
    for finding in found.appear:
        yield Content.assemble(Content.styled("New: ", "bold $fix"), finding_content(finding))
        yield from _rest(finding)
    for change in map(_led, found.changed):
        yield Content.assemble(Content.styled("Changed: ", "bold $fix"), finding_content(change.now), *_other_than_it_was(change))
    for finding in found.go:
        yield Content.styled(f"{SIGNS['done']} Gone: {finding.says}", "$done")
        yield from _rest(finding)


def _led(change: FindingChange) -> FindingChange:
    """One that is other than it was in what it says of others alone leads with the first of those, not with what stays as it was."""
    was, now, came, went, others = change
    if came or went or not others or (was.says, was.level) != (now.says, now.level):
        return change
    first, *rest = others
    said = dict(was.each).get(first, now.says_of(first))
    return change._replace(was=replace(was, says=said), now=replace(now, says=now.says_of(first)), others=tuple(rest))


def _rest(finding: Finding) -> Iterator[Content]:
    """What it is about behind the first, which its sentence names."""
    if rest := finding.subjects[1:] if finding.each else ():
        yield Content.styled(f"    Of {listed(rest)} too.", "$muted")


def _other_than_it_was(change: FindingChange) -> Iterator[Content]:
    """What it was; what of it is new, in the words of the first few, and of whom it says something else; what it is about no more."""
    was, now, came, went, others = change
    if was.says != now.says or was.level != now.level:
        yield Content.styled(f"\n    It was: {was.says if was.says != now.says else f'a {was.level}'}", "$muted")
    for said, names, style in (("New in it", came, "bold $fix"), ("Of others in it now", others, "$muted")):
        if says := " ".join(_in_words(now, names)):
            yield Content.styled(f"\n    {said}: {says}", style)
    if went:
        old = [f"{name} as it was" if name in now.subjects else name for name in went]
        yield Content.styled(f"\n    No more in it: {listed(old)}.", "$done")


def _in_words(finding: Finding, names: Sequence[str]) -> Iterator[str]:
    """What it says of the first few beside what it says first, and who else."""
    most = MOST_IN_FULL if finding.each else 0
    yield from dict.fromkeys(says for name in names[:most] if (says := finding.says_of(name)) != finding.says_of(finding.subject))
    if rest := names[most:]:
        yield f"{listed(rest)}."


def _good_or_bad(worse: bool | None, line: str) -> Content:
    """A line with its sign, or plain where it is neither."""
    if worse is None:
        return Content(line)
    return Content.styled(f"{SIGNS['stop' if worse else 'done']} {line}", "bold $stop" if worse else "$done")


def _by_stage(lines: Sequence[ChecklistLine]) -> Iterator[str]:
    stages = dict.fromkeys(line.item.key.stage for line in lines)
    for stage, title in TITLES.items():
        if stage in stages:
            yield f"{title}: {_named([line for line in lines if line.item.key.stage == stage])}"


def _named(lines: Sequence[ChecklistLine]) -> str:
    """The first few items in full, and of the others all that they are about."""
    said = first_few([_with_reading(line) for line in lines], MOST_IN_FULL)
    if len(lines) <= MOST_IN_FULL + 1:
        return said
    return f"{said}, of {listed(list(dict.fromkeys(said_subject(line.item.key) for line in lines[MOST_IN_FULL:])))}"


def _with_reading(line: ChecklistLine) -> str:
    reading, value = line.item.reading, line.tick.reading if line.tick else None
    return f"{line.item.says} ({reading.words(value)})" if reading is not None and value is not None else line.item.says


def _ways(found: Consequences) -> Iterator[tuple[bool | None, str]]:
    """The ways out before and after; whether each line is bad news, None where it is no news."""
    worse = found.ways_after > found.ways_before or any(_grows(way) for way in found.ways)
    says = f"Ways out for a dog: {found.ways_before or 'none'} before, {found.ways_after or 'none'} after."
    yield (worse if found.ways else None), says
    for way in found.ways:
        yield _grows(way), f"{way.where}: {_size(way)}"


def _grows(way: WayChange) -> bool:
    return (way.before_in or 0.0) < (way.after_in or 0.0)


def _size(way: WayChange) -> str:
    was, now = ("none" if size is None else format_in(size) for size in (way.before_in, way.after_in))
    return f"{was} before, {now} after"


def changes_text(changes: tuple[Difference, ...], width: int) -> str:
    """A row a figure that changes, before and after beside each other; what is too long for its column goes on below it."""
    if not changes:
        return ""
    rows = [("what", "", "before", "after"), *((one.subject, one.what, one.before, one.after) for one in changes)]
    widest = [max(len(row[column]) for row in rows) for column in range(4)]
    widest[0] = min(widest[0], max(width // 4, LEAST_COLUMN))
    room = max(width - widest[0] - widest[1] - 3 * len(BETWEEN), 2 * LEAST_COLUMN)
    if widest[2] + widest[3] > room:
        less = min(widest[2], widest[3], room // 2)
        widest[2:] = [less, room - less] if widest[2] <= widest[3] else [room - less, less]
    return "\n".join(line for row in rows for line in _folded(row, widest))


def _folded(row: tuple[str, ...], widths: list[int]) -> Iterator[str]:
    cells = [[cell] if len(cell) <= width else wrap(cell, width) for cell, width in zip(row, widths, strict=True)]
    for subject, what, before, after in zip_longest(*cells, fillvalue=""):
        words = f"{subject:<{widths[0]}}{BETWEEN}{what:<{widths[1]}}"
        yield f"{words}{BETWEEN}{before:>{widths[2]}}{BETWEEN}{after:>{widths[3]}}".rstrip()


class ChangedFigures(ReadingText):
    """Every figure that changes, in the room there is; nothing stands below them."""

    def __init__(self, changes: tuple[Difference, ...] = (), *, id: str) -> None:
        super().__init__(id=id)
        self._changes = changes

    def show(self, changes: tuple[Difference, ...]) -> None:
        self._changes = changes
        self._told(last=True)

    def _laid_out(self, width: int) -> Iterator[Content]:
        if self._changes:
            yield Content.styled("What it changes", "bold")
            yield from map(Content, changes_text(self._changes, width).split("\n"))


class TypedChange(Dialog[T]):
    """A change that is typed, box by box; below them stands what it does, or what is in the way, as soon as that can be told. What comes in
    from another laptop leaves what was typed, and what that does is told anew."""

    CALLED: ClassVar[Mapping[str, str]]
    """What its boxes are called, in their order."""
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    TypedChange .labelled { margin: 0; }
    """

    def __init__(self, title: str, hand: JobInHand) -> None:
        super().__init__()
        self.title, self.hand = title, hand
        self.job, self.before, self.at, self.by = hand.working.start, hand.walk, hand.working.at, hand.working.by
        self.told: tuple[Content, tuple[Difference, ...]] = Content(""), ()
        self._unread = False
        self._fresh = FreshNames(hand)

    def judge_anew(self, names: "Sequence[NewNames]") -> None:
        """What is typed judged against the job as it is now, by the `names` that were given since."""
        raise NotImplementedError

    def job_changed(self) -> None:
        """What came in may change what this does: it isn't accepted before that was read."""
        if self.giving:
            return
        before, told, names = self.before, self.told, self._fresh.take()
        self.job, self.before = self.hand.working.start, self.hand.walk
        if self.before != before:
            self.judge_anew(names)
            self._unread |= self.told != told

    def show_saved(self) -> None:
        """The disk is told of below it."""

    def told_anew(self) -> bool:
        """Whether something else is told now than was read; says so once."""
        if unread := self._unread:
            says, changes = self.told
            self.tell(Content("\n").join([Content.styled(f"{SIGNS['fix']} {CAME}", "bold $fix"), says]), changes)
        return unread

    def tell(self, says: Content, changes: tuple[Difference, ...] = ()) -> None:
        """What it does: in words, and figure by figure."""
        told, self.told = self.told, (says, changes)
        self._unread &= self.told == told
        self.query_one("#summary", ReadingText).tell(says, last=self.has_class("-roomy"))
        self.query_one(ChangedFigures).show(changes)

    def tell_wrong(self, wrong: WrongField) -> None:
        """What is wrong with what stands in a box; the cursor stays where it is."""
        self.problem(f"{self.CALLED[wrong.box]}: {wrong}")

    def problem(self, says: str) -> None:
        """What is in the way, where else stands what it does."""
        if says:
            self.tell(Content.styled(f"{SIGNS['fix']} {says}", "bold $fix"))


class ChangeDialog(Dialog[bool]):
    """A change of any kind, with all that it does, to accept or to leave."""

    BINDINGS: ClassVar = bindings(COMMANDS[1:])
    HINT: ClassVar[str] = "Enter accepts. Esc leaves everything as it is."
    AUTO_FOCUS: ClassVar[str | None] = ""
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    ChangeDialog #summary { margin: 0 0 1 0; }
    """

    def __init__(self, title: str, says: str, found: Consequences) -> None:
        super().__init__()
        self.title, self._says, self._found = title, says, found

    def parts(self) -> ComposeResult:
        yield ReadingText(in_paragraphs(summary(self._says, self._found)), id="summary")
        yield ChangedFigures(self._found.changes, id="changes")

    def action_take(self) -> None:
        self.dismiss(True)


class NoLayoutDialog(Dialog[None]):
    """Why there is no legal fresh layout."""

    TITLE = "No fresh layout"
    HINT: ClassVar[str] = "Esc goes back; the plan stays as it is. Move a post (m), or give that stretch a new way."

    def __init__(self, why: tuple[str, ...]) -> None:
        super().__init__()
        self.why = why

    def parts(self) -> ComposeResult:
        for sentence in self.why:
            yield Static(Content(sentence), classes="says")
