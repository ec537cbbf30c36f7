"""How high the fence hangs in every bay: the fence's own height, that of a stretch, or a deck's rail, and the eyes that go with it."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.job.model.fence import Fence
from engine.job.model.job import Job
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.depths import EyeHeights, eye_heights


@dataclass(frozen=True)
class BayHeight:
    """The fence in one bay: its height over what it runs on, its eyes, and the deck it runs over, empty on the ground."""

    height_ft: float
    eyes: EyeHeights
    deck: str = ""


def bay_heights(job: Job, layout: Layout) -> dict[str, BayHeight]:
    """How the fence hangs in every bay and over every gate.

    A stretch's height and a deck count for the bays whose middle lies in them, which is to say that they change at the support nearest to
    their ends. On a deck the fence is as high as the rail where there is one. A gate may have a height of its own.
    Source: common practice, no source: eyes as in engine.stages.posts.depths; a bay has one height.
    """
    cap_in = job.rules.posts.cap_in
    found = {}
    for name, bay in layout.bays.items():
        height_ft, deck = _height_ft(job, bay)
        found[name] = BayHeight(height_ft, eye_heights(height_ft, cap_in), deck)
    return found


def fence_over(job: Job, bay: Bay) -> Fence:
    """The fence as it is in one bay or gate: the job's own, as high as it hangs there."""
    height_ft, _ = _height_ft(job, bay)
    return job.fence if height_ft == job.fence.height_ft else job.fence.model_copy(update={"height_ft": height_ft})


def _height_ft(job: Job, bay: Bay) -> tuple[float, str]:
    asked = job.gates.get(bay.gate or "")
    if asked is not None and asked.height_ft is not None:
        return asked.height_ft, ""
    middle_ft = (bay.start_ft + bay.end_ft) / 2
    stretches = (row.height_ft for row in job.heights.values() if row.line == bay.line and row.from_ft <= middle_ft <= row.to_ft)
    height_ft = next(stretches, job.fence.height_ft)
    for name, row in job.surfaces.items():
        if row.line == bay.line and row.kind == "deck" and row.height_ft > 0 and row.from_ft <= middle_ft <= row.to_ft:
            return (height_ft if row.rail_ft is None else row.rail_ft), name
    return height_ft, ""


def base_level_ft(support: Support, hang: BayHeight) -> float:
    """Level under a support that a bay's eyes count from: a post at a deck's edge carries those of the bay below over the ground."""
    return support.level_ft if hang.deck else support.level_ft - support.lift_ft


def eyes_at(layout: Layout, hangs: Mapping[str, BayHeight]) -> dict[str, tuple[BayHeight, ...]]:
    """The different hangs that meet at each support, the highest first. No cable runs over a gate, so it counts where nothing else does."""
    meeting: dict[str, dict[BayHeight, None]] = {name: {} for name in layout.supports}
    for name, bay in sorted(layout.bays.items(), key=lambda row: row[1].gate is not None):
        for post in (bay.from_id, bay.to_id):
            if bay.gate is None or not meeting[post]:
                meeting[post][hangs[name]] = None
    return {name: tuple(sorted(row, key=lambda hang: (hang.deck, hang.height_ft), reverse=True)) for name, row in meeting.items()}
