"""What stands since before a repair began, and what is new: ticks that count no more, findings told as notes, cuts to make."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from engine.calc.cutting.cut_plan import Stock, plan_cuts
from engine.checklist import Checklist, ChecklistLine
from engine.findings import Finding, StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import OfPost, PlannedEntry, RerouteEntry, live
from engine.job.model.signed_record import FoundBefore, RepairOf
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.stages.cables.loop_items import ROUND_AGAIN
from engine.stages.cables.stage import Cables
from engine.stages.fabric.stage import Fabric
from engine.stages.punch.openings import HOUSE_CLOSED

OF_A_VISIT = ("offcuts_picked_up", "care_notes", "client_accepts")
"""Items of the punch list that every visit asks anew."""
ASKED_AFTER: Mapping[str, tuple[StageName, ...]] = {
    "walked": ("cables", "fabric", "staking", "gate"),
    "gates_worked_by_client": ("gate",),
}
"""Those that are asked anew once something of these stages was opened or done."""
MARKS = ("marks_called", "marks_seen")
NO_MARKS = ("notice_not_called", "marks_not_seen", "no_utilities")
"""Findings that matter where something is driven."""
DRIVEN = ("driven_depth", "footed", "flush", "ground_sleeve")
FOOT = "foot_"
"""Items of what goes into the ground: sleeves, brace feet by their letters, stakes."""
HANGS_ON: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("cables", "cut_length"): ("closed", "sag", "tail"),
    ("cables", "closed"): ("sag", "tail"),
    ("fabric", "wire_hung"): ("apron_turned", "slits_lapped", "seam_ringed", "corners_tied"),
    ("fabric", "mesh_hung"): ("seam_ringed", "corners_tied"),
    ("gate", "hung"): ("diagonal_", "two_people", "drop_rod", "held_open", "swing_clear", "latch_holds", "bottom_gap"),
}
"""What is done anew with an item of the same loop or gate, by how its keys end, or begin to."""
AS_IT_STOOD = "As it stood:"
MOST_LETTERS = 2_000
"""What a file keeps of a sentence."""
_FIGURE = re.compile(r"[-\d.,/'\" ]")

Ticks = Mapping[ItemKey, Tick]


def stands(tick: Tick | None, repair_of: RepairOf | None) -> bool:
    """Whether a tick was made before a repair began. A line that was left open then has none."""
    return repair_of is not None and tick is not None and repair_of.stood(tick.at)


def hung_on(line: ChecklistLine, checklists: Mapping[StageName, Checklist], repair_of: RepairOf | None) -> tuple[ChecklistLine, ...]:
    """What hangs on an item that stands from before a repair: it is opened with it, for it is done anew with it, though it was once in this
    repair. Once a loop is strung anew all are read and pulled again; what hangs on a loop that ends at a wall closes the fence there."""
    stage, subject, what = line.item.key
    words = HANGS_ON.get((stage, what), ()) if stands(line.tick, repair_of) else ()
    if not words:
        return ()
    own = [other for other in checklists[stage].lines if other.item.subject == subject and other.item.key.what.startswith(words)]  # type: ignore[index]  # a key of ours names a stage
    again = checklists["cables"].by_key.get(ROUND_AGAIN) if stage == "cables" else None
    at_wall = checklists["punch"].by_key.get(HOUSE_CLOSED) if stage == "fabric" else None
    own += [again] if again is not None else []
    if at_wall is not None and {at.support for at in at_wall.item.of.places} & {at.support for at in line.item.of.places}:
        own.append(at_wall)
    return tuple(other for other in own if other.tick is not None)


def drives_anew(job: Job, checklists: Iterable[Checklist]) -> bool:
    """Whether a repair drives anything: a post was moved, added, swapped or left out since, a new way or plan taken; or a sleeve, a brace
    foot or stakes weren't in the ground when it began, or were opened since."""
    if any(isinstance(entry, OfPost | PlannedEntry | RerouteEntry) for entry in live(job.log)):
        return True
    lines = (line for checklist in checklists for line in checklist.lines if not stands(line.tick, job.repair_of))
    return any(line.item.key.what in DRIVEN or line.item.key.what.startswith(FOOT) for line in lines)


def just_begun(job: Job) -> bool:
    """Whether nothing was logged, ticked or opened in a repair yet."""
    repair_of = job.repair_of
    if repair_of is None or any(not stands(tick, repair_of) for tick in job.checks.values()):
        return False
    return all(repair_of.stood(entry.at) for entry in live(job.log))


def without_marks(own: Ticks, job: Job, *, anew: bool) -> Ticks:
    """The survey's ticks: utility marks that were seen years ago answer nothing once something is driven."""
    if not anew:
        return own
    return {key: tick for key, tick in own.items() if key.what not in MARKS or not stands(tick, job.repair_of)}


def without_last_visit(own: Ticks, job: Job, checklists: Mapping[StageName, Checklist]) -> Ticks:
    """The punch list's ticks: what each visit asks is asked once something was done, or is to be; that the yard is walked and the gates
    are worked by the client, once what they are about was opened or done anew."""
    if job.repair_of is None:
        return own
    anew = {stage: [line for line in one.lines if not stands(line.tick, job.repair_of)] for stage, one in checklists.items()}
    if not any(anew.values()):
        return own
    touched = {stage for stage, lines in anew.items() if any(line.left is None for line in lines)}
    asked = (*OF_A_VISIT, *(what for what, stages in ASKED_AFTER.items() if touched.intersection(stages)))
    return {key: tick for key, tick in own.items() if key.what not in asked or not stands(tick, job.repair_of)}


def as_it_stood(found: tuple[Finding, ...], job: Job, checklist: Checklist, *, anew: bool) -> tuple[Finding, ...]:
    """Findings with those notes that were found of the line as it stood: what wanted a fix, and what stopped and was left for a reason.
    Marks on the ground are missed only where something is driven. Past a new way stations are told otherwise of what stands untouched."""
    repair_of = job.repair_of
    if repair_of is None or not found:
        return found
    kept = found if anew else tuple(finding for finding in found if finding.code not in NO_MARKS)
    new_way = any(isinstance(entry, RerouteEntry) for entry in live(job.log))
    return tuple(_told(finding, repair_of, checklist if new_way else None) for finding in kept)


def _told(finding: Finding, repair_of: RepairOf, checklist: Checklist | None) -> Finding:
    before = found_before(finding, repair_of)
    if before is None or finding.level == "note":
        return finding
    if finding.says[:MOST_LETTERS] not in before.in_words and (checklist is None or not _untouched(finding, repair_of, checklist)):
        return finding
    if finding.level == "stop" and not before.reason:
        return finding
    why = f" Left so then: {before.reason}" if before.reason else ""
    return replace(finding, level="note", says=f"{AS_IT_STOOD} {finding.says}{why}", left=True)


def found_before(finding: Finding, repair_of: RepairOf) -> FoundBefore | None:
    """What was found of the same before a repair began, but for its figures: past a new way stations are others."""
    before = repair_of.found.get(str(finding.key))
    says = _FIGURE.sub("", finding.says[:MOST_LETTERS])
    return before if before is not None and says in [_FIGURE.sub("", one) for one in before.in_words] else None


def _untouched(finding: Finding, repair_of: RepairOf, checklist: Checklist) -> bool:
    """Whether all that is asked of what a finding is about was answered before the repair."""
    about = [line for line in checklist.lines if line.item.subject in finding.subjects]
    return bool(about) and all(stands(line.tick, repair_of) for line in about)


def new_cable(job: Job, cables: Cables, checklist: Checklist) -> Cables:
    """Cables with the spools for what a repair strings anew."""
    if job.repair_of is None:
        return cables
    fresh = [name for name in cables.loops if not _stood(checklist, job.repair_of, "cables", name, "cut_length")]
    row = stock_of(job.stock).get(job.fence.cable)
    spool = Stock(job.fence.cable, row.length_ft) if row is not None and row.length_ft else None
    cut_ft = {name: cables.loops[name].cut_ft for name in fresh}
    return replace(cables, spools=plan_cuts(cut_ft, spool), total_ft=sum(cut_ft.values()))


def new_fabric(job: Job, fabric: Fabric, checklist: Checklist) -> Fabric:
    """Fabric with the rolls, rings and ties of what a repair hangs anew."""
    repair_of = job.repair_of
    if repair_of is None:
        return fabric

    def fresh(name: str, what: str) -> bool:
        return not _stood(checklist, repair_of, "fabric", name, what)

    stock, names = stock_of(job.stock), fabric_ids(job.fence)
    pieces = {word: [cut for name, cut in fabric.pieces[word].items() if fresh(name, f"{word}_hung")] for word in ("wire", "mesh")}
    strips = {
        strip: cut_ft
        for strip, cut_ft in fabric.strips.items()
        if any(piece.strip == strip and fresh(piece.bay, piece.ticked_as) for piece in fabric.infills)
    }
    rolls = {}
    for word, name in zip(("wire", "mesh"), names, strict=True):
        row = stock.get(name)
        cuts = {piece: cut_ft for cut in pieces[word] for piece, cut_ft in cut.items()}
        cuts |= {str(strip): cut_ft for strip, cut_ft in strips.items()} if word == "wire" else {}
        rolls[word] = plan_cuts(cuts, Stock(name, row.length_ft) if row is not None and row.length_ft else None)
    return replace(
        fabric,
        strips=strips,
        wire_rolls=rolls["wire"],
        mesh_rolls=rolls["mesh"],
        rings=sum(cut.rings_by[what] for name, cut in fabric.loops.items() for what in cut.rings_by if fresh(name, what)),
        ties=sum(cut.corner_ties for name, cut in fabric.loops.items() if fresh(name, "corners_tied")),
    )


def _stood(checklist: Checklist, repair_of: RepairOf | None, stage: StageName, subject: str, what: str) -> bool:
    line = checklist.by_key.get(ItemKey(stage, subject, what))
    return line is not None and stands(line.tick, repair_of)
