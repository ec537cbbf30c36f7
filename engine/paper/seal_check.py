"""A signed-off job that isn't what was signed any more: what was changed, told from the version that was signed where this machine has it,
else from the seal's own list of parts; of a file signed before there was one, from the record."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import Any

from engine import __version__
from engine.calc.phrases import counted, first_few
from engine.job.errors import shown
from engine.job.file.backups import sealed_copies
from engine.job.file.disk import Disk
from engine.job.file.job_tables import tables_of
from engine.job.file.seal_parts import parts_between
from engine.job.file.store import Loaded, readable, state_folder
from engine.job.model.job import Job
from engine.job.model.log_entries import ReopenedEntry, SignedEntry, live, reopened_since
from engine.job.model.signed_record import Record
from engine.job.model.words.key_words import RECORD, Named, item_words
from engine.job.model.words.part_words import MOST_NAMED, PartsChanged, changed_words
from engine.paper.as_built import asked_when_signed, build_record
from engine.paper.changed_facts import HowTold, SideWords, changed_facts, quoted, record_facts
from engine.stages.punch.closing_list import UNTICKED
from engine.walk import Walk

BUILT = ("fence", "supports", "bays_ft", "loops", "braces", "gates", "stages", "quantities", "sleeves_left")
UNKNOWN = "The version that was signed isn't kept on this machine."
MOST_WHY = 900
"""So many letters of a reason, and of what was changed, are kept in the log."""
MOST_SAID = 3
"""So many changes are told where there is room for one sentence of them."""
ONLY_SPELLED = "Only how something is written was changed: what it says is what was signed."
AGAINST = SideWords("in the record", "by the file as this version works it out")
ELSEWHERE = "What the record lists is what the file gives: something else was changed, a tick, a rule or somebody's words."
OR_THIS_VERSION = (
    "Either the file was changed there or this version works it out otherwise; other ticks and words may have been changed, too."
)
LIST_TOO = "The seal's own list of parts was changed."


def touched(loaded: Loaded, worked: Walk, *, disk: Disk | None = None, state: Path | None = None) -> tuple[str, ...]:
    """What was changed in a signed-off file since it was signed, a sentence each."""
    if loaded.seal_holds is not False or loaded.job.record is None:
        return ()
    kept = _signed_version(loaded, disk or Disk(), state or state_folder())
    if found := _since(kept.job, loaded, _found(worked)) if kept else ():
        return found
    if loaded.changed is not None and loaded.changed.sound:
        return loaded.changed_says
    if kept:
        return (ONLY_SPELLED,)
    return (UNKNOWN, *loaded.changed_says, *_against_record(loaded.job, worked, _found(worked)))


def _signed_version(loaded: Loaded, disk: Disk, state: Path) -> Loaded | None:
    """The version that was signed, where this machine kept it: told by its seal, or by its list of parts; any signed version of this file
    where it has no sound list of its own."""
    record = loaded.job.record
    if record is None:
        return None
    copies = readable(sealed_copies(disk, state, disk.realpath(loaded.path), record.digest), disk, state)
    signed = [(copy, copy.job.record) for copy in copies if copy.seal_holds and copy.job.record is not None]
    same = (copy for copy, of in signed if of.digest == record.digest or (of.parts_digest and of.parts_digest == record.parts_digest))
    other = () if loaded.changed and loaded.changed.sound else (copy for copy, _ in signed)
    return next(chain(same, other), None)


def _since(signed: Job, loaded: Loaded, says: Named) -> tuple[str, ...]:
    """What was changed, fact by fact, with what stood there when it was signed; then what says the same, written otherwise."""
    now = loaded.job
    lists = {(job.record.parts_digest, *sorted(job.record.parts.items())) for job in (signed, now) if job.record}
    return tuple(dict.fromkeys((*changed_facts(signed, now, says), *([LIST_TOO] if len(lists) > 1 else []), *_spelled(signed, loaded))))


def _spelled(signed: Job, loaded: Loaded) -> tuple[str, ...]:
    told = loaded.changed.parts if loaded.changed else ()
    known = {part[:2] for part in parts_between(tables_of(signed), tables_of(loaded.job))} if told else ()
    only = (part for part in told if part[:2] not in known)
    otherwise = tuple(part if part.how == "order" else part._replace(how="only written otherwise") for part in only)
    return changed_words(PartsChanged(otherwise, sound=True), loaded.job.log) if otherwise else ()


def seal_broken(loaded: Loaded, worked: Walk, *, disk: Disk | None = None, state: Path | None = None) -> tuple[str, ...]:
    """What is wrong with the seal of a file: changed since it was signed, or cut out without a reopening; nothing where all is well."""
    if loaded.sealed:
        return touched(loaded, worked, disk=disk, state=state)
    return tuple(_cut_out(loaded, disk or Disk(), state or state_folder()))


def seal_lines(loaded: Loaded, broken: Sequence[str]) -> tuple[str, ...]:
    """What is said of a seal that is broken, a sentence each; nothing of one that holds."""
    return (loaded.seal_says, *broken) if loaded.sealed and broken else tuple(broken)


def in_short(changed: Sequence[str]) -> str:
    """The first few things that were changed, and how many more were; empty where the signed version isn't known."""
    if not changed or changed[0] == UNKNOWN:
        return ""
    more = len(changed) - MOST_SAID
    return " ".join([*changed[:MOST_SAID], *([f"And {counted(more, 'thing')} more."] if more > 0 else [])])


def reason_kept(why: str, seal_holds: bool | None, changed: Sequence[str]) -> str:
    """Why a signed-off job is opened again, as its log keeps it: with what was changed in it unsaid, for the seal that tells it goes."""
    if seal_holds is not False:
        return why
    return f"{why.rstrip('.')[:MOST_WHY]}. The file had been changed after it was signed. {shown(in_short(changed), MOST_WHY)}".strip()


def _cut_out(loaded: Loaded, disk: Disk, state: Path) -> Iterator[str]:
    """That a job without a record was signed off, by its own log or by the copy this machine kept, and never reopened."""
    entries = [entry for entry in live(loaded.job.log) if isinstance(entry, SignedEntry | ReopenedEntry)]
    kept = next((found for found in _signed_here(loaded, disk, state) if not reopened_since(found.job.log, loaded.job.log)), None)
    if not (entries and isinstance(entries[-1], SignedEntry)) and kept is None:
        return
    copy = f" The version that was signed is kept in {shown(str(kept.path), 400)}." if kept else ""
    yield f"This job was signed off, and its record is gone from the file although nobody reopened it.{copy}"


def _signed_here(loaded: Loaded, disk: Disk, state: Path) -> Iterator[Loaded]:
    """Versions of this very job that were signed at this path and whose seal holds."""
    ids = {entry.id for entry in loaded.job.log}
    for signed in readable(sealed_copies(disk, state, disk.realpath(loaded.path)), disk, state):
        if signed.seal_holds and (ids & {entry.id for entry in signed.job.log} or signed.job.job == loaded.job.job):
            yield signed


def _without_empty(value: Any) -> Any:
    """Tables without what is empty: a record says nothing of what it was written without."""
    if not isinstance(value, Mapping):
        return value
    inner = {key: _without_empty(inside) for key, inside in value.items()}
    return {key: inside for key, inside in inner.items() if inside not in (None, "", (), {})}


def _as_far_as(was: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    """What there is now, as far as the record goes: tables it was written without, and fields of a row, are left out."""
    tables = {name: now.get(name, {}) for name in was}
    return {name: {key: _of_row(was[name].get(key), row) for key, row in table.items()} for name, table in tables.items()}


def _of_row(was: Any, now: Any) -> Any:
    if not isinstance(was, Mapping) or not isinstance(now, Mapping):
        return now
    return {field: value for field, value in now.items() if field in was}


def _against_record(job: Job, worked: Walk, says: Named) -> Iterator[str]:
    record = job.record
    if record is None:
        return
    if record.engine != __version__:
        yield f"It was signed with linewalk {record.engine}, which may have worked out different figures."
    fresh = build_record(job, worked, record.signed_at, record.signed_by, record.accepted_by, record.left_open)
    was, now = (_without_empty(one.model_dump(include=set(BUILT))) for one in (record, fresh))
    facts = record_facts(was, _as_far_as(was, now), job, says, AGAINST)
    caution = (OR_THIS_VERSION,) if facts else ()
    yield from (*_signature(job, record), *caution, *facts, *_opened(job, worked)) or [ELSEWHERE]


def _signature(job: Job, record: Record) -> Iterator[str]:
    """What the log says otherwise of the signing off than the record."""
    signed = next((entry for entry in reversed(live(job.log)) if isinstance(entry, SignedEntry)), None)
    if signed is None:
        yield "The signing off isn't in the log any more."
        return
    told = HowTold({}, {}, {}, SideWords("in the record", "in the log"))
    yield from told.differences(
        {"signed_at": record.signed_at, "signed_by": record.signed_by, "accepted_by": record.accepted_by},
        {"signed_at": signed.at, "signed_by": signed.by, "accepted_by": signed.accepted_by},
        (RECORD,),
    )


def _opened(job: Job, worked: Walk) -> Iterator[str]:
    """Items whose ticks stand in the file and don't count any more, though they did when it was signed."""
    lines = (line for checklist in worked.checklists.values() for line in checklist.lines)
    names = [item_words(line.item.key) for line in lines if line.was is not None and not asked_when_signed(job, line)]
    if names:
        yield f"{counted(len(names), 'item that was ticked is', 'items that were ticked are')} open again: {first_few(names, MOST_NAMED)}."


def _found(worked: Walk) -> Named:
    """What a record may give a reason for, in today's words."""
    return quoted({str(finding.key): finding.says for finding in worked.findings}) | {("left_open", str(UNTICKED)): "what wasn't ticked"}
