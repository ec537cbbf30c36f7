"""What stands already, by the ticks: a fresh layout keeps it where it is, and an offer leaves it or says that it is pulled."""

from engine.findings import StageName
from engine.job.model.job import Job
from engine.stages.layout.stage import Support
from engine.walk import Walk

_BUILT: tuple[StageName, ...] = ("posts", "bracing", "fabric", "staking")
"""Stages whose ticks say that what they are about stands; of a cable loop it is the tick that it is closed."""


def standing(job: Job, walk: Walk) -> set[str]:
    """Supports that stand: by their own ticks, or those of a brace, bay or loop on them."""
    carried: dict[str, tuple[str, ...]] = {name: (name,) for name in walk.layout.supports}
    carried |= {name: (bay.from_id, bay.to_id) for name, bay in walk.layout.bays.items()}
    carried |= {name: loop.supports for name, loop in walk.cables.loops.items()}
    found: set[str] = set()
    built = (key for stage in _BUILT for key in walk.checklists[stage].readings if key.what != "diameter")
    closed = (key for key, tick in job.checks.items() if (key.stage, key.what) == ("cables", "closed") and tick.state == "done")
    for key in (*built, *closed):
        found.update(carried.get(key.subject, ()))
    return found & set(walk.layout.supports)


def posts_to_choose(walk: Walk, chosen: str | None) -> list[Support]:
    """Driven posts in the order of the plan, of which one may be moved, swapped or left out; the chosen one first."""
    driven = [support for support in walk.layout.supports.values() if support.support == "driven"]
    return sorted(driven, key=lambda support: support.id != chosen)
