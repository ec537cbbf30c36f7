"""A job's layout and its alternatives side by side, each worked out as the job's own would be."""

from collections.abc import Mapping

from engine.ahead.crew_hours import Spread, crew_hours, pieces_left
from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.round_what_stands import as_it_began, round_what_stands
from engine.calc.frozen import dataclass
from engine.findings import Finding, Level, worst
from engine.job.model.fence import Alternative
from engine.job.model.job import Job, with_layout
from engine.walk import walk

OWN = ""
"""Name of the job's own layout among them: no alternative is called so."""


@dataclass(frozen=True)
class LayoutFigures:
    """What one layout comes to. `heights_ft` are all heights of its bays, lowest first; `others` supports that no post is driven for;
    `largest_in` the largest way out, None where there is none; `cost` of the packs with a price, None where none has one; `hours` are crew
    hours, None where no finished jobs tell them."""

    name: str
    note: str
    length_ft: float
    heights_ft: tuple[float, ...]
    posts: int
    others: int
    gates: int
    braces: int
    loops: int
    ways_out: int
    largest_in: float | None
    packs: int
    cost: float | None
    unpriced: int
    hours: Spread | None
    findings: Mapping[Level, int]
    worst: Finding | None


def side_by_side(job: Job, finished: FinishedJobs | None = None) -> tuple[LayoutFigures, ...]:
    """The job's own layout as it stands today, then every alternative as it would be planned; the hours of each by finished jobs."""
    own = _figures(OWN, "", job, finished)
    return (own, *(_figures(name, other.note, as_planned(job, other), finished) for name, other in job.alternatives.items()))


def as_planned(job: Job, layout: Alternative) -> Job:
    """Job with another layout and nothing built, ticked or found along its lines yet; a dog whose yard that layout hasn't runs in all. In a
    repair what stood is kept where that layout has a place for it."""
    began = job if job.repair_of is None else as_it_began(job, job.repair_of)
    checks = {key: tick for key, tick in began.checks.items() if key.stage == "survey"}
    dogs = {name: dog if dog.yard in (None, *layout.yards) else dog.model_copy(update={"yard": None}) for name, dog in job.dogs.items()}
    planned = with_layout(began, layout).model_copy(
        update={"posts": {}, "log": (), "checks": checks, "record": None, "alternatives": {}, "dogs": dogs}
    )
    return planned if job.repair_of is None else round_what_stands(began, job.repair_of, planned)


def _figures(name: str, note: str, job: Job, finished: FinishedJobs | None) -> LayoutFigures:
    worked = walk(job)
    supports, bays = worked.layout.supports.values(), worked.layout.bays
    ways, rows, found = worked.punch.ways_out, [row for row in worked.takeoff.rows if row.packs > 0], worked.findings
    driven = sum(support.support == "driven" for support in supports)
    costs = [row.cost for row in rows if row.cost is not None]
    return LayoutFigures(
        name=name,
        note=note,
        length_ft=sum(bay.slope_ft for bay in worked.layout.bays.values()),
        heights_ft=tuple(sorted({worked.posts.hangs[bay].height_ft for bay in bays if bay in worked.posts.hangs})),
        posts=driven,
        others=len(supports) - driven,
        gates=len(job.gates),
        braces=worked.bracing.brace_count,
        loops=len(worked.cables.loops),
        ways_out=len(ways),
        largest_in=max((way.opening_in for way in ways), default=None),
        packs=sum(row.packs for row in rows),
        cost=sum(costs) if costs else None,
        unpriced=len(rows) - len(costs),
        hours=crew_hours(pieces_left(job, worked), finished).total if finished else None,
        findings={level: sum(finding.level == level for finding in found) for level in ("stop", "fix", "note")},
        worst=next((finding for finding in found if finding.level == worst(found)), None),
    )
