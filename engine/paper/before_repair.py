"""What a repair's record tells of the job before it: which one, whether its seal holds, and what it left open."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine.calc.phrases import counted, plural
from engine.findings import STAGES, TITLES
from engine.job.errors import JobError
from engine.job.file.disk import Disk
from engine.job.file.kept_text import kept_job
from engine.job.file.store import Loaded
from engine.job.model.job import Job
from engine.job.model.signed_record import RepairOf
from engine.job.model.words.part_words import changed_words
from engine.paper.built_tables import TIMES, Table, stands
from engine.paper.photos.photo_notes import away_note, photo_troubles
from engine.paper.photos.picture_files import MISSING
from engine.paper.sealed_facts import facts_to_print
from engine.walk import Walk

TITLE = "Repair of"
LEFT = "Left open before this repair"
HOLDS = "holds: the lines kept here are what was signed"
NOT_ASKED = "not asked when it was signed"
NO_REPAIR = "isn't a repair, so no other record stands in it."


def before_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Which job it repairs, and what that left open with its reasons; nothing in a job that repairs none."""
    before = job.repair_of
    if before is None:
        return ()
    rows = (
        ("job", before.called),
        ("signed off", f"{before.signed_at:{TIMES}} by {before.signed_by}, accepted by {before.accepted_by}"),
        ("file", before.file),
        ("seal", before.digest),
        ("its seal", seal_words(before)),
    )
    left = tuple(_left(before, walk))
    return (Table(TITLE, ("", ""), rows), *((Table(LEFT, ("left open", "reason given"), left),) if left else ()))


def seal_words(before: RepairOf) -> str:
    """Whether the lines that are kept of the job before are what was signed, worked out of them anew."""
    try:
        wrong = changed_before(before)
    except JobError as error:
        return f"can't be read any more: {error.brief}"
    return " ".join(("doesn't hold.", *wrong)) if wrong else HOLDS


def changed_before(before: RepairOf) -> tuple[str, ...]:
    """What was changed in the lines that are kept of the job before: as was known when the repair began, then by the old seal's own list of
    parts; nothing where that seal holds. Raises: JobError where they can't be read."""
    kept = kept_job(before)
    told = changed_words(kept.changed, kept.job.log) if kept.changed else ()
    return () if kept.seal_holds else tuple(dict.fromkeys((*before.changed, *told))) or ("Its kept lines were changed.",)


def _left(before: RepairOf, walk: Walk) -> Iterator[tuple[str, str]]:
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            if line.left is not None or line.state == "not asked":
                yield f"{TITLES[stage].capitalize()}: {line.item.says}", NOT_ASKED if line.left is None else line.left.note
    yield from ((found.says, found.reason) for found in before.found.values() if found.reason)


def repair_words(job: Job, walk: Walk) -> str:
    """What a job repairs, and what is wrong with the old seal; empty where it repairs none."""
    before = job.repair_of
    if before is None:
        return ""
    left = sum(len(checklist.left_open) for checklist in walk.checklists.values())
    unasked = sum(line.state == "not asked" for checklist in walk.checklists.values() for line in checklist.lines)
    more = f" {counted(left, 'item')} left open then {plural(left, 'is', 'are')} open still." if left else ""
    more += f" {counted(unasked, 'item')} {plural(unasked, 'was', 'were')} not asked then." if unasked else ""
    more += "" if (seal := seal_words(before)) == HOLDS else f" The old seal {seal}"
    return f"A repair of {before.called}, signed off {before.signed_at:{TIMES}}: what stands is done, and only what is new is asked.{more}"


def begins_with(job: Job, walk: Walk) -> str:
    """What stands when a repair begins, and what is to be done: `9 supports stand, nothing is to be done yet`."""
    record = facts_to_print(job, walk).record
    standing = sum(stands(walk, name, built) for name, built in record.supports.items())
    of_all = "" if standing == len(record.supports) else f" of {len(record.supports)}"
    left = sum(len(checklist.left_open) for checklist in walk.checklists.values())
    do = f"{counted(left, 'item')} left open then {plural(left, 'is', 'are')} to be done" if left else "nothing is to be done yet"
    return f"{standing}{of_all} {plural(standing, 'support stands', 'supports stand')}, {do}"


def of_a_repair(job: Job, says: str) -> str:
    """What is to be known of a repair's figures, with which job it repairs; empty where it repairs none."""
    return "" if job.repair_of is None else f"A repair of {job.repair_of.called}: {says}"


def record_before(loaded: Loaded) -> Loaded:
    """The signed job that a repair keeps, as if its own file were opened. Raises: JobError where the job is no repair."""
    before = loaded.job.repair_of
    if before is None:
        raise JobError(f"{loaded.path.name} {NO_REPAIR}")
    kept = kept_job(before)
    return replace(loaded, job=kept.job, seal_holds=kept.seal_holds, changed=kept.changed, texts={})


def photos_away(loaded: Loaded, disk: Disk | None = None) -> tuple[tuple[str, str], ...]:
    """Which pictures the record before names that aren't beside the repair, and what to do; nothing where all are there."""
    before = loaded.job.repair_of
    try:
        wrong = photo_troubles(record_before(loaded), disk) if before is not None else {}
    except JobError:
        return ()
    names = [name for name, says in wrong.items() if says == MISSING]
    if not names or before is None:
        return ()
    return (away_note(names, " of the record before", f"{before.file} lies", "the old record"),)


def seal_before(loaded: Loaded) -> Sequence[str]:
    """What is wrong with the seal of the job before."""
    return () if loaded.job.repair_of is None else changed_before(loaded.job.repair_of)
