"""What the ticks say was built: readings by item, times by stage, and the parts of the record that are written at sign-off."""

from collections.abc import Mapping
from datetime import datetime

from engine import __version__
from engine.checklist import ChecklistLine
from engine.findings import STAGES, TITLES, Finding, StageName
from engine.job.edit.next_record import free_name
from engine.job.model.fence import Fence
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.signed_record import (
    BuiltBrace,
    BuiltGate,
    BuiltLoop,
    BuiltSupport,
    LeftAsFound,
    LeftSleeve,
    Record,
    Worked,
    became,
)
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.stages.bracing.stage import BraceLeg
from engine.stages.layout.set_out import spot_ties
from engine.stages.layout.sleeves_in_ground import repair_now, unused_sleeves
from engine.stages.layout.stage import TapeTie
from engine.stages.posts.sleeves.old_sleeves import OldSleeve, in_ground
from engine.stages.punch import closing_list
from engine.stages.punch.closing_list import UNTICKED
from engine.stages.standing_line import stands
from engine.walk import Walk

MOST_LETTERS = 2_000


def build_record(
    job: Job,
    walk: Walk,
    at: datetime,
    by: str,
    accepted_by: str,
    left_open: Mapping[str, str],
    told_by: str = "",
    photos: Mapping[str, str] = {},
) -> Record:
    """The as-built fence in numbers at the moment of sign-off; the digest is added when the job is sealed. `photos` are pictures'."""
    supports = {
        name: BuiltSupport(
            line=support.line,
            station_ft=max(0.0, support.station_ft),
            east_ft=support.east_ft,
            north_ft=support.north_ft,
            kind=support.kind,
            support=support.support,
            **_taped(walk.layout.ties.get(name)),
            driven_in=walk.posts.work[name].driven_in if name in walk.posts.work else None,
        )
        for name, support in walk.layout.supports.items()
    }
    asked = closing_list.left_open(walk.punch, walk.stage_findings, walk.checklists)
    return Record(
        signed_at=at,
        signed_by=by,
        accepted_by=accepted_by,
        engine=__version__,
        left_open=dict(left_open),
        found_open={str(found.key): LeftAsFound(level=found.level, says=_short(found.says)) for found in asked if found.key != UNTICKED},
        items_open=items_open(walk),
        notes=_notes(walk),
        told_by=told_by,
        fence=job.fence,
        supports=supports,
        bays_ft={name: bay.slope_ft for name, bay in walk.layout.bays.items()},
        loops=built_loops(walk),
        braces=built_braces(walk),
        gates=built_gates(walk),
        stages=worked_stages(job, walk),
        planned={row.stock: round(row.needed, 2) for row in walk.takeoff.rows},
        quantities={row.stock: round(row.used, 2) for row in walk.takeoff.rows},
        sleeves_left=left_sleeves(job, walk),
        photos=dict(photos),
    )


def fence_built(job: Job) -> Fence:
    """Height and stock of the fence, as they were when it was signed; older records don't hold them."""
    return job.record.fence if job.record is not None and job.record.fence is not None else job.fence


def done_with_other(job: Job, walk: Walk) -> tuple[str, ...]:
    """Names of the stock with which things were done that weren't done again since the fence is of another."""
    stock, fence = stock_of(job.stock), fence_built(job)
    now = {fence.cable, fence.post, fence.sleeve, fence.brace, fence.gate_tube, *fabric_ids(fence)}
    rows = (row for checklist in walk.checklists.values() for line in checklist.lines for row in line.other_stock if row not in now)
    return tuple(dict.fromkeys((stock[row].name if row in stock else None) or row for row in rows))


def _notes(walk: Walk) -> dict[str, str]:
    """Every note in words by its key, numbered where two stages note alike."""
    notes: dict[str, str] = {}
    for finding in known_notes(walk):
        notes[free_name(str(finding.key), notes)] = _short(f"{finding.says} {finding.do}")
    return notes


def _short(words: str) -> str:
    """No longer than a file takes it."""
    return words if len(words) <= MOST_LETTERS else f"{words[: MOST_LETTERS - 4]} ..."


def items_open(walk: Walk) -> dict[str, str]:
    """Every unticked item in words, by its key."""
    return {
        str(line.item.key): f"{TITLES[stage].capitalize()}: {line.item.says}"
        for stage in STAGES
        for line in walk.checklists[stage].lines
        if line.state == "open"
    }


def known_notes(walk: Walk) -> tuple[Finding, ...]:
    """What is worth knowing and stops nothing, of the fence itself: a dog that suits a higher one, say."""
    return tuple(finding for finding in walk.findings if finding.level == "note" and finding.stage != "punch")


def asked_when_signed(job: Job, line: ChecklistLine) -> bool:
    """Whether an item may have been open when the job was signed off; any item of an open job, and any that is ticked."""
    signed = job.record
    if signed is None or line.state != "open" or line.left is not None:
        return True
    return str(line.item.key) in signed.items_open if signed.items_open else str(UNTICKED) in signed.left_open


def reading_of(walk: Walk, stage: StageName, key: ItemKey) -> float | None:
    """What the crew read at an item, in the unit the item asks for; None where nothing was read."""
    line = walk.checklists[stage].by_key.get(key)
    return line.tick.reading if line and line.tick else None


def foot_read_ft(walk: Walk, leg: BraceLeg) -> float | None:
    """How far from its post a brace foot was read to stand, ft; None where nobody read it."""
    return reading_of(walk, "bracing", leg.foot_key)


def built_loops(walk: Walk) -> dict[str, BuiltLoop]:
    """Every loop with the cable it took, as it was read or else as worked out, and its fabric as worked out; ft."""
    built = {}
    for name, loop in walk.cables.loops.items():
        read, fabric = reading_of(walk, "cables", ItemKey("cables", name, "cut_length")), walk.fabric.loops.get(name)
        built[name] = BuiltLoop(
            supports=loop.supports,
            cable_ft=loop.cut_ft if read is None else read,
            cable_read=read is not None,
            wire_ft=fabric.wire_cut_ft if fabric else 0.0,
            mesh_ft=fabric.mesh_cut_ft if fabric else 0.0,
        )
    return built


def built_braces(walk: Walk) -> dict[str, BuiltBrace]:
    """Every brace with its foot, as it was read or else as worked out; ft."""
    built = {}
    for pull in walk.bracing.pulls.values():
        for leg in pull.legs:
            planned_ft, read_ft = leg.foot_distance_ft, foot_read_ft(walk, leg)
            built[leg.id] = BuiltBrace(
                support=leg.support,
                toward=leg.toward,
                foot_ft=planned_ft if read_ft is None else read_ft,
                foot_read=read_ft is not None,
                foot_planned_ft=None if read_ft is None else planned_ft,
            )
    return built


def built_gates(walk: Walk) -> dict[str, BuiltGate]:
    """Every gate with the opening and diagonals that were read; what nobody read is left out. Ft."""
    built = {}
    for name, work in walk.gate.gates.items():
        numbers = range(1, len(work.leaves) + 1) if len(work.leaves) > 1 else ("",)
        keys = [ItemKey("gate", name, f"diagonal_{side}{number}") for number in numbers for side in "ab"]
        read = [reading_of(walk, "gate", key) for key in keys]
        built[name] = BuiltGate(
            hinge_post=work.hinge_post,
            latch_post=work.latch_post,
            leaves=len(work.leaves),
            opening_ft=reading_of(walk, "gate", ItemKey("gate", name, "opening")),
            diagonals_ft=tuple(found for found in read if found is not None),
            bottom_gap_in=reading_of(walk, "gate", ItemKey("gate", name, "bottom_gap")),
        )
    return built


def left_sleeves(job: Job, walk: Walk) -> dict[str, LeftSleeve]:
    """Every sleeve that stays in the ground where no post stands any more, or that nobody said was pulled, by its post; a second one of a
    post is numbered."""
    left: dict[str, LeftSleeve] = {}
    all_found = sleeves_in_ground(walk)
    ties = spot_ties(job, walk.survey, {f"{n}": found.there for n, found in enumerate(all_found) if found.there is not None})
    for n, found in enumerate(all_found):
        east_ft, north_ft = found.there or (None, None)
        left[free_name(found.post, left)] = LeftSleeve(
            what=became(found.what, cut_off=said_cut_off(walk, found)), at=found.at,
            line=found.line, station_ft=found.station_ft, east_ft=east_ft, north_ft=north_ft,
            **_taped(ties.get(f"{n}")),
        )  # fmt: skip
    return left | _left_before(job, walk, left)


def sleeves_in_ground(walk: Walk) -> list[OldSleeve]:
    """Sleeves of this job that no post stands in and that nobody said came out: pulled, or after all not cut off."""
    return in_ground(walk.posts.old_sleeves, walk.checklists["posts"].by_key)


def said_cut_off(walk: Walk, one: OldSleeve) -> bool:
    """Whether the crew ticked, or logged, that it was cut off below the ground; what nobody said may be whole."""
    asked = walk.checklists["posts"].by_key.get(one.key)
    return one.stays and (asked is None or asked.state == "done")


def _left_before(job: Job, walk: Walk, left: Mapping[str, LeftSleeve]) -> dict[str, LeftSleeve]:
    """Sleeves that a job before this one left in the ground and that no post stands in today."""
    driven = (one.xy for one in walk.layout.supports.values() if one.support == "driven")
    unused = dict(unused_sleeves(repair_now(job), driven))
    ties = spot_ties(job, walk.survey, {name: one.xy for name, one in unused.items()}) if unused else {}
    found: dict[str, LeftSleeve] = {}
    for name, one in unused.items():
        found[free_name(name, (*left, *found))] = LeftSleeve(
            what=one.became, at=one.left_at, line=one.line, station_ft=one.station_ft, east_ft=one.east_ft, north_ft=one.north_ft,
            **_taped(ties.get(name)),
        )  # fmt: skip
    return found


def _taped(tie: TapeTie | None) -> dict[str, str]:
    """The two tapes of a place, where it has any."""
    return dict(zip(("tie_a", "tie_b"), tie.words, strict=True)) if tie else {}


def worked_lines(job: Job, walk: Walk, stage: StageName) -> tuple[ChecklistLine, ...]:
    """The items that are work of this job: those that may have been open when it was signed off, in a repair without what stands."""
    lines = walk.checklists[stage].lines
    return tuple(line for line in lines if asked_when_signed(job, line) and not stands(line.tick, job.repair_of))


def worked_times(job: Job, walk: Walk, stage: StageName) -> tuple[datetime | None, datetime | None]:
    """When the first item of a stage was ticked, and when the last one was, once all are that were asked when the job was signed off."""
    lines = worked_lines(job, walk, stage)
    times = [line.tick.at for line in lines if line.tick]
    return min(times, default=None), max(times, default=None) if len(times) == len(lines) else None


def worked_stages(job: Job, walk: Walk) -> dict[str, Worked]:
    """The times of every stage that was begun."""
    times = {stage: worked_times(job, walk, stage) for stage in STAGES}
    return {stage: Worked(started=started, finished=finished) for stage, (started, finished) in times.items() if started}
