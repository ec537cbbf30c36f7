"""Ticks of older files, which don't say all that they were made for: the first edit writes into them what they count for until then."""

from collections.abc import Iterator

from engine.checklist import Stood, standing_then
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import NO_FACTS, TickFacts, at_place, lacks, said_in_full, same_facts
from engine.walk import Walk

_LOOP_ITEMS = frozenset(
    ("cut_length", "closed", "sag", "tail", "wire_hung", "apron_turned", "slits_lapped", "mesh_hung", "seam_ringed", "corners_tied")
)
_OF_NO_STOCK = frozenset(("flag", "taped", "string", "dips_filled", "old_sleeve", "diameter"))
"""Items whose ticks say all that they are about without any: none of the many is looked at twice."""
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
        if tick.of.stock or (said and key.what in _OF_NO_STOCK):
            continue
        line = lines.get(key.stage, {}).get(key)  # type: ignore[call-overload]  # a file may name a stage that there isn't
        if said or (line is not None and tick.of.words == line.item.of.words != ()):
            if line is not None and lacks(tick.of, line.item.of) and (line.tick is not None or _alike(tick.of, line.item.of)):
                yield key, tick.model_copy(update={"of": said_in_full(tick.of, line.item.of)})
        elif line is not None and line.tick is not None:
            if line.item.of != NO_FACTS and (tick.of == NO_FACTS or line.item.of.places):
                yield key, tick.model_copy(update={"of": line.item.of})
        elif line is not None and tick.of == NO_FACTS and line.item.of.places:
            yield key, tick.model_copy(update={"of": _facts_then(line.item.of, tick, walk.layout.stood)})
        elif tick.of == NO_FACTS and key.stage in ("cables", "fabric") and key.what in _LOOP_ITEMS:
            yield key, tick.model_copy(update={"of": NO_LOOP})


def _alike(then: TickFacts, of: TickFacts) -> bool:
    """Whether one that counts no more is of the same kind of thing elsewhere, and may come to count again."""
    return then.words == of.words and [size.name for size in then.sizes] == [size.name for size in of.sizes]


def _facts_then(today: TickFacts, tick: Tick, stood: Stood) -> TickFacts:
    """What a tick was made for: supports where the plan and the log had them at its time, as far as that is known."""
    spots = [(at.support, standing_then(stood, at.support, tick.at) if at.support in stood else at[1:]) for at in today.places]
    places = tuple(at_place(name, there) for name, there in spots if there is not None)
    then = today._replace(places=places)
    return OTHER_PLACE if len(places) < len(spots) or same_facts(then, today) else then
