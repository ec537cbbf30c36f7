"""How high the fence is here: in a bay, over a gate, at a support. The job's own height is for no place."""

from collections.abc import Iterable, Mapping

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered
from engine.calc.tolerances import EDGE_FT, TAPE_FT
from engine.job.model.fence import Fence, Gate, HeightChange, Surface
from engine.job.model.job import Job
from engine.job.model.rules import PostRules
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.depths import EyeHeights, eye_heights
from engine.stages.posts.standing_supports import Stand


@dataclass(frozen=True)
class BayHeight:
    """The fence in one bay: its height over what it runs on, its eyes, and the deck it runs over, empty on the ground."""

    height_ft: float
    eyes: EyeHeights
    deck: str = ""

    def __hash__(self) -> int:
        """Of a few fields: heights are looked up often and are seldom alike."""
        return hash((self.height_ft, self.deck))


def usual_height(fence: Fence, rules: PostRules) -> BayHeight:
    """The job's own height, where no stretch, deck or gate changes it: right for what stands in no bay, and to compare with."""
    return _hung(fence.height_ft, rules.cap_in, "")


@remembered
def _hung(height_ft: float, cap_in: float, deck: str) -> BayHeight:
    return BayHeight(height_ft, eye_heights(height_ft, cap_in), deck)


def lower_than_usual(job: Job, hang: BayHeight) -> bool:
    """Whether a bay or gate is lower than the fence is elsewhere."""
    return hang.height_ft < job.fence.height_ft - TAPE_FT


def bay_heights(job: Job, layout: Layout) -> dict[str, BayHeight]:
    """How the fence hangs in every bay and over every gate.

    A stretch's height and a deck count for the bays whose middle lies in them, which is to say that they change at the support nearest to
    their ends. On a deck the fence is as high as the rail where there is one. A gate may have a height of its own.
    Source: common practice, no source: eyes as in engine.stages.posts.depths; a bay has one height.
    """
    usual = usual_height(job.fence, job.rules.posts)
    changing = {row.line for row in job.heights.values()} | {row.line for row in job.surfaces.values()}
    return {
        name: usual
        if bay.gate is None and bay.line not in changing
        else _in_bay(bay, job.fence, job.rules.posts, job.gates, job.heights, job.surfaces)
        for name, bay in layout.bays.items()
    }


def _in_bay(
    bay: Bay,
    fence: Fence,
    rules: PostRules,
    gates: Mapping[str, Gate],
    heights: Mapping[str, HeightChange],
    surfaces: Mapping[str, Surface],
) -> BayHeight:
    """Height in one bay, and the deck under it: a gate's own goes before a deck's rail, that before the stretch's."""
    middle_ft = (bay.start_ft + bay.end_ft) / 2
    gate = gates.get(bay.gate or "")
    stretches = (row for row in heights.values() if row.line == bay.line and _covers(row, middle_ft))
    decks = (
        (name, row)
        for name, row in surfaces.items()
        if row.line == bay.line and row.kind == "deck" and row.height_ft > 0 and _covers(row, middle_ft)
    )
    deck, floor = next(decks, ("", None))
    asked = (gate.height_ft if gate else None, floor.rail_ft if floor else None, *(row.height_ft for row in stretches))
    return _hung(next((height_ft for height_ft in asked if height_ft is not None), fence.height_ft), rules.cap_in, deck)


def _covers(row: HeightChange | Surface, station_ft: float) -> bool:
    """Whether a stretch lies at a station, its edges included."""
    return row.from_ft - EDGE_FT <= station_ft <= row.to_ft + EDGE_FT


def base_level_ft(stand: Stand, hang: BayHeight) -> float:
    """Level under a support that a bay's eyes count from: a post at a deck's edge carries those of the bay below over the ground."""
    return stand.level_ft if hang.deck else stand.level_ft - stand.lift_ft


def heights_met(hangs: Iterable[tuple[BayHeight, str | None]]) -> tuple[BayHeight, ...]:
    """The different heights that meet at a support, of its bays each with its gate: those over a deck first, then the highest. No cable
    runs over a gate, so it counts where nothing else does."""
    rows = tuple(hangs)
    met = [hang for hang, gate in rows if gate is None] or [hang for hang, _ in rows[:1]]
    if len(set(map(id, met))) < 2:
        return tuple(met[:1])
    return tuple(sorted(dict.fromkeys(met), key=lambda hang: (hang.deck != "", hang.height_ft), reverse=True))
