"""Which facts the record prints: those that were sealed, and only where it doesn't hold them those that this version works out."""

from dataclasses import replace
from datetime import UTC, datetime

from engine.calc.frozen import dataclass
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.signed_record import BuiltSupport, Record
from engine.paper.as_built import build_record
from engine.stages.layout.stage import Support
from engine.stages.posts.sleeves.old_sleeves import OldSleeve
from engine.walk import Walk

ALWAYS_HELD = ("supports", "bays_ft", "quantities")
HELD_WITH_TIMES = ("loops", "braces", "gates", "stages", "sleeves_left")
"""What a record holds that tells when each stage was worked on; older ones were written without."""
NEVER = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class PrintedFacts:
    """The record that is printed, and beside it all as this version works it out. `signed` is whether the job is signed off; `worked_out`
    names the parts of its record that it was written without."""

    record: Record
    fresh: Record
    signed: bool
    worked_out: tuple[str, ...] = ()


def facts_to_print(job: Job, walk: Walk) -> PrintedFacts:
    """What was sealed, as far as the record of a signed-off job goes; of an open job, what is worked out of it today."""
    sealed = job.record
    if sealed is None:
        fresh = build_record(job, walk, NEVER, "", "", {})
        fresh = fresh.model_copy(update={"bays_ft": {name: bay.slope_ft for name, bay in walk.layout.bays.items()}})
        return PrintedFacts(fresh, fresh, signed=False)
    fresh = build_record(job, walk, sealed.signed_at, sealed.signed_by, sealed.accepted_by, sealed.left_open)
    parts = ALWAYS_HELD if sealed.stages else (*ALWAYS_HELD, *HELD_WITH_TIMES)
    missing = {name: getattr(fresh, name) for name in parts if not getattr(sealed, name) and (sealed.supports or name != "supports")}
    if not sealed.stages and all(built.driven_in is None for built in sealed.supports.values()):
        depths = {name: built.driven_in for name, built in fresh.supports.items()}
        missing["supports"] = {name: built.model_copy(update={"driven_in": depths.get(name)}) for name, built in sealed.supports.items()}
    return PrintedFacts(sealed.model_copy(update=missing), fresh, signed=True, worked_out=tuple(missing))


def drawn_walk(walk: Walk, facts: PrintedFacts) -> Walk:
    """The walk as the plan of the record draws it: supports and sleeves left where they were sealed, bays as long as they were."""
    if not facts.signed:
        return walk
    layout, record = walk.layout, facts.record
    supports = {name: _support(name, built, layout.supports.get(name)) for name, built in record.supports.items()}
    bays = {
        name: replace(bay, slope_ft=record.bays_ft.get(name, bay.slope_ft))
        for name, bay in layout.bays.items()
        if bay.from_id in supports and bay.to_id in supports
    }
    pulls = {name: pull for name, pull in walk.bracing.pulls.items() if name in supports}
    gates = {name: work for name, work in walk.gate.gates.items() if work.hinge_post in supports and work.latch_post in supports}
    left = tuple(
        OldSleeve(ItemKey("posts", name, "old_sleeve"), name, one.what, one.at, True, one.line, one.station_ft, (one.east_ft, one.north_ft))
        for name, one in record.sleeves_left.items()
        if one.east_ft is not None and one.north_ft is not None
    )
    return replace(
        walk,
        posts=replace(walk.posts, old_sleeves=left),
        layout=replace(layout, supports=supports, bays=bays),
        bracing=replace(walk.bracing, pulls=pulls),
        gate=replace(walk.gate, gates=gates),
    )


def _support(name: str, built: BuiltSupport, today: Support | None) -> Support:
    place = (built.east_ft, built.north_ft)
    if today is None:
        return Support(
            name, built.line, built.station_ft, 0.0, built.kind, built.support, None, *place,
            level_ft=0.0, turn_deg=0.0, gate=None, planned=place, meant=place, moved=False,
        )  # fmt: skip
    return replace(today, line=built.line, kind=built.kind, support=built.support, east_ft=built.east_ft, north_ft=built.north_ft)
