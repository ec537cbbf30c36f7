"""Ticks of older files, which don't say all that they were made for: the first edit writes into them what they count for until then."""

from collections.abc import Iterator

from engine.checklist import Stood, standing_then
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import NO_FACTS, TickFacts, at_place, said_in_full, same_facts
from engine.walk import Walk

_LOOP_ITEMS = frozenset(
    ("cut_length", "closed", "sag", "tail", "wire_hung", "apron_turned", "slits_lapped", "mesh_hung", "seam_ringed", "corners_tied")
)
_SIZED_LATER = frozenset(
    (
        "band_a", "band_b", "footed", "sag", "flush", "fastened", "tight", "two_people", "hung", "swing_clear", "latch_holds", "bottom_gap",
        "ground_sleeve", "drop_rod", "held_open", "wire_hung", "apron_turned", "slits_lapped", "mesh_hung", "seam_ringed", "corners_tied",
        "walked", "gates_worked_by_client", "client_accepts",
    )
)  # fmt: skip
"""Items of which older programs didn't say all sizes: no other one is looked at twice."""
NO_LOOP = TickFacts(words=("of a loop that isn't strung so any more",))
"""Of a tick that answers nothing on the day of the first edit: loops are numbered anew, and another of that number isn't its loop."""
OTHER_PLACE = TickFacts(words=("of what stood there then",))
"""Of one whose support or bay was another at its time: a later plan, which holds the moves until then, would take it for today's."""


def with_facts(job: Job, walk: Walk) -> Job:
    """The job, with the facts of its walk in every tick that counts and doesn't say what it was made for; a sealed one stays as it is."""
    if job.record is not None or not (given := dict(_given(job, walk))):
        return job
    return job.model_copy(update={"checks": {**job.checks, **given}})


def _given(job: Job, walk: Walk) -> Iterator[tuple[ItemKey, Tick]]:
    lines = {stage: checklist.by_key for stage, checklist in walk.checklists.items()}
    for key, tick in job.checks.items():
        said = tick.of.places or tick.of.sizes
        if said and key.what not in _SIZED_LATER:
            continue
        line = lines.get(key.stage, {}).get(key)  # type: ignore[call-overload]  # a file may name a stage that there isn't
        if said:
            if line is not None and line.tick is not None and len(tick.of.sizes) < len(line.item.of.sizes):
                yield key, tick.model_copy(update={"of": said_in_full(tick.of, line.item.of)})
        elif line is not None and line.tick is not None:
            if line.item.of != NO_FACTS and (tick.of == NO_FACTS or line.item.of.places):
                yield key, tick.model_copy(update={"of": line.item.of})
        elif line is not None and tick.of == NO_FACTS and line.item.of.places:
            yield key, tick.model_copy(update={"of": _facts_then(line.item.of, tick, walk.layout.stood)})
        elif tick.of == NO_FACTS and key.stage in ("cables", "fabric") and key.what in _LOOP_ITEMS:
            yield key, tick.model_copy(update={"of": NO_LOOP})


def _facts_then(today: TickFacts, tick: Tick, stood: Stood) -> TickFacts:
    """What a tick was made for: supports where the plan and the log had them at its time, as far as that is known."""
    spots = [(at.support, standing_then(stood, at.support, tick.at) if at.support in stood else at[1:]) for at in today.places]
    places = tuple(at_place(name, there) for name, there in spots if there is not None)
    then = today._replace(places=places)
    return OTHER_PLACE if len(places) < len(spots) or same_facts(then, today) else then
