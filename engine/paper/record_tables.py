"""The record's tables that tell what happened: who signed, the log, readings, what was left open, notes, the checklist."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from engine.calc.phrases import counted, listed
from engine.checklist import ChecklistLine
from engine.findings import STAGES, TITLES, Finding
from engine.job.model.job import Job
from engine.job.model.log_entries import ReopenedEntry, SignedEntry, in_time, live
from engine.job.model.signed_record import Record
from engine.job.model.words.key_words import item_words
from engine.job.model.words.log_sentences import sentence
from engine.paper.as_built import asked_when_signed, items_open
from engine.paper.built_tables import TIMES, Table, stands, was_words
from engine.paper.repair_work import TITLE as DONE_HERE
from engine.paper.repair_work import Mended, mended
from engine.paper.tables.told_cells import READ, WANTED, told_ft, told_reading
from engine.stages.punch.closing_list import UNTICKED, left_open
from engine.stages.punch.reasons import reason_given
from engine.walk import Walk

NOTES = "Notes known at sign-off"
OF_READING = (("read", READ), ("wanted", WANTED))


def head(job: Job, seal: Sequence[str], *, estimated: bool = False) -> Table:
    """What and for whom, and whether it is signed off and still what was signed; or that nothing is surveyed yet."""
    who = job.job
    rows = [("job", " ".join(part for part in (who.number, who.title) if part)), ("client", who.client), ("site", who.site)]
    rows.append(("crew", ", ".join(who.crew)))
    since = "; the file was changed since" if seal else ""
    if job.record is None:
        before = signed_before(job)
        was = f"; it was signed off {before.says()}" if before else ""
        rows.append(("state", f"{'ESTIMATE, nothing surveyed yet; ' if estimated else ''}not signed off{was}{since}"))
    else:
        signed = job.record
        rows.append(("state", f"signed off {signed.signed_at:{TIMES}} by {signed.signed_by}, accepted by {signed.accepted_by}{since}"))
        rows += [("worked out by", f"linewalk {signed.engine}"), ("seal", signed.digest)]
    return Table("What was built", ("", ""), tuple(row for row in rows if row[1]))


class SignedBefore(NamedTuple):
    """The last signature of a job that has none now, and how and when it went."""

    entry: SignedEntry
    how: str
    at: datetime

    def says(self) -> str:
        """In words, behind what tells that it was signed."""
        one = self.entry
        return f"{one.at:{TIMES}} by {one.by}, accepted by {one.accepted_by}, and {self.how} {self.at:{TIMES}}"


def signed_before(job: Job) -> SignedBefore | None:
    """None where the job was never signed."""
    signed = [(at, entry) for at, entry in enumerate(job.log) if isinstance(entry, SignedEntry)]
    if not signed:
        return None
    at, last = signed[-1]
    reopened = [entry.at for entry in live(job.log[at:]) if isinstance(entry, ReopenedEntry)]
    return SignedBefore(last, "reopened", reopened[-1]) if reopened else SignedBefore(last, "taken back", last.struck_at or last.at)


def changes(job: Job, walk: Walk, record: Record) -> Table:
    """What stands otherwise than planned; what a repair put in or mended is told by a table of its own."""
    rows = tuple((change.support, change.what, told_ft(change.moved_ft)) for change in walk.punch.changes)
    built = all(stands(walk, name, support) for name, support in record.supports.items())
    stood = "built as planned" if job.repair_of is None else "no support stands elsewhere than planned"
    as_planned = stood if built else "nothing, as far as it stands"
    empty = as_planned if walk.layout.accepted else "no plan accepted yet"
    return Table("Changed from the plan", ("support", "what", "by"), rows, empty=empty, figures=(("by", ("moved_ft",)),))


def log(job: Job) -> Table:
    """What happened, in order."""
    rows = tuple((f"{entry.at:{TIMES}}", entry.by, sentence(entry)) for entry in in_time(job.log))
    return Table("Log", ("when", "who", "what happened"), rows)


def readings(walk: Walk) -> Table:
    """Every reading that stands, and whose it is."""
    rows = []
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            tick, reading = line.tick, line.item.reading
            if tick is None or tick.reading is None or reading is None:
                continue
            passed = "in range" if line.passes else "out of range"
            read = (*_read(line), passed, f"{tick.at:{TIMES}}", tick.by)
            rows.append((TITLES[stage], line.item.says, *read))
    return Table("Readings", ("stage", "item", "read", "wanted", "judged", "when", "who read it"), tuple(rows), keys=2, figures=OF_READING)


def _read(line: ChecklistLine) -> tuple[str, str]:
    """What was read of an item, and what passes."""
    tick, reading = line.tick, line.item.reading
    if reading is None:
        return "", ""
    read = tick.reading if tick else None
    said = "" if read is None else told_reading(reading.words(read), reading.unit, read)
    return said, told_reading(reading.range_words, reading.unit, reading.low, reading.high)


class LeftRow(NamedTuple):
    """Something left open: its key, empty where none is kept; its level, words, and the reason given."""

    key: str
    level: str
    says: str
    reason: str


def left(job: Job, walk: Walk) -> Table:
    """What is open, and of a signed-off job why it was left so: findings in the words of that day, then every open item by its name."""
    rows = tuple((row.level, row.says, row.reason) for row in left_rows(job, walk))
    return Table("Left open", ("level", "finding", "reason given"), rows, empty="nothing", keys=2)


def left_rows(job: Job, walk: Walk) -> Iterator[LeftRow]:
    """The same one by one, each with its key."""
    signed = job.record
    if signed is None:
        yield from (LeftRow(str(finding.key), finding.level, finding.says, "") for finding in _open(walk))
        yield from (LeftRow(key, "open", says, "") for key, says in items_open(walk).items())
        return
    reasons = signed.left_open
    if signed.found_open:
        for key, found in signed.found_open.items():
            yield LeftRow(key, found.level, found.says, reasons.get(key, ""))
    else:
        yield from _left_open_in_older(signed, walk)
    told = signed.items_open
    if str(UNTICKED) in reasons and not told:
        yield LeftRow(str(UNTICKED), "open", "Items that weren't ticked: the checklist names them.", reasons[str(UNTICKED)])
    yield from (LeftRow(key, "open", says, reasons.get(str(UNTICKED), "")) for key, says in told.items())


def _open(walk: Walk) -> list[Finding]:
    return [finding for finding in walk.findings if finding.level != "note"]


def _left_open_in_older(signed: Record, walk: Walk) -> Iterator[LeftRow]:
    """Of a record that keeps only keys: the findings that have a reason, in today's words, and reasons of what isn't found any more."""
    reasons, told = signed.left_open, {str(UNTICKED)}
    for finding in _open(walk):
        if reason := reason_given(finding, walk.punch, reasons):
            told.add(str(finding.key))
            yield LeftRow(str(finding.key), finding.level, finding.says, reason)
    for asked in left_open(walk.punch, walk.stage_findings, walk.checklists):
        told |= {key for key in reasons if key == str(asked.key) or key.startswith("way_out:")}
    yield from (LeftRow("", "", key, reason) for key, reason in reasons.items() if key not in told)


def found_since(job: Job, walk: Walk) -> Iterator[tuple[str, str]]:
    """Findings that this version makes of a signed-off job and that had no part in its sign-off, with their levels."""
    signed = job.record
    if signed is None:
        return
    for finding in _open(walk):
        told = finding.stage == "punch" or str(finding.key) in signed.found_open or reason_given(finding, walk.punch, signed.left_open)
        if not told:
            yield finding.level, finding.says


def since_words(job: Job, walk: Walk, *, changed: bool) -> str:
    """What this version asks and finds of a signed-off job that had no part in the sign-off, in one sentence if there is any; where its
    file was `changed` since, that may be why."""
    found = len(list(found_since(job, walk)))
    asked = sum(not asked_when_signed(job, line) for stage in STAGES for line in walk.checklists[stage].lines)
    both = [f"finds {counted(found, 'thing')} to stop for or to fix"] * bool(found) + [f"asks {counted(asked, 'item')}"] * bool(asked)
    if not both:
        return ""
    if changed:
        return f"By the file as it was changed, this version {' and '.join(both)} that had not been left open at sign-off."
    return f"This version {' and '.join(both)} that had no part in the sign-off; the record holds what was signed."


def notes(job: Job) -> Table:
    """What was known at sign-off and stops nothing, and who told the client of it."""
    signed = job.record
    rows = tuple((says, signed.told_by or "not said") for says in signed.notes.values()) if signed else ()
    return Table(NOTES, ("note", "who told the client"), rows)


def checklist(job: Job, walk: Walk) -> Table:
    """Every item; one that was ticked for what isn't so any more is open, and its old tick stands in the note."""
    rows = []
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            tick = line.tick
            judged = "out of range" if line.passes is False else ""
            signed = (f"{tick.at:{TIMES}}", tick.by, tick.note) if tick else ("", "", was_words(line))
            state = line.state if asked_when_signed(job, line) else "not open when signed"
            rows.append((TITLES[stage], line.item.says, state, *_read(line), judged, *signed))
    columns = ("stage", "item", "state", "read", "wanted", "judged", "when", "who", "note")
    return Table("Checklist", columns, tuple(rows), empty="nothing to tick", keys=2, figures=OF_READING)


def work_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Every item that was done in a repair, by what it is of; no table in a job that is none."""
    if job.repair_of is None:
        return ()
    rows = tuple(
        (TITLES[one.stage], "" if one.of == "job" else one.of, one.says, _did(one), *_when(one.lines)) for one in mended(job, walk)
    )
    return (
        Table(DONE_HERE, ("stage", "of", "new, anew or finished", "what was done", "last done", "who"), rows, empty="nothing yet", keys=2),
    )


def _did(one: Mended) -> str:
    return ", ".join(item_words(line.item.key).removeprefix(f"{one.of} ") for line in one.lines)


def _when(lines: Sequence[ChecklistLine]) -> tuple[str, str]:
    ticks = [line.tick for line in lines if line.tick is not None]
    return f"{max(tick.at for tick in ticks):{TIMES}}", listed(list(dict.fromkeys(tick.by for tick in ticks)))
