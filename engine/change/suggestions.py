"""Ways to settle a post that can't stay, best first: another spot, a tree, a post elsewhere, none at all, neighbours spread anew."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import islice
from typing import Literal

from engine.calc.frozen import dataclass
from engine.change.candidates import Candidate, SettlingKind, Step, candidates
from engine.change.rules_broken import rules_broken
from engine.change.settling import settled
from engine.change.spot_rules import CannotStay, case_of
from engine.job.edit.edits import next_post_id
from engine.job.errors import JobError
from engine.job.model.job import Job
from engine.stages.layout.bays import bay_id
from engine.stages.layout.stage import Layout
from engine.stages.punch.stage import MATERIALS_SHORT
from engine.walk import Walk, walk

__all__ = ["SettlingKind", "Step", "Suggestion", "suggestions"]

MOST = 6
TRIES = 3
SET_ANEW = {"add", "respread", "drop"}


@dataclass(frozen=True)
class Suggestion:
    """One way to settle a post. `steps` are fields of log entries, for engine.change.settling.settled. `lacks` says what the truck is short
    of for it: it can be taken once that has come."""

    kind: SettlingKind
    steps: tuple[Step, ...]
    reason: str
    lacks: str = ""


def suggestions(job: Job, walk: Walk, post: str, at: datetime, reach_ft: float | None = None) -> Iterator[Suggestion]:
    """The best legal ways to settle a post that can't stay, cheapest first, at most six, each as soon as the walk has let it pass as an
    edit made `at` that time: how long its sleeve has stood tells whether that is used again.

    None adds a stop or a fix to what the walk finds today; one that the truck lacks something for can't be taken before that has come, and
    tells it. What was read or cut before and doesn't fit after is no rule broken but work done again, and told. Where no move helps, posts
    are set anew though the apron can't be staked over the ground that the post stands in: that ground is there whatever is done, and it is
    told. Of spots within reach the best one each way is told: mostly on, back, right or left. A gate's post goes along its line only, with
    the other one, so that the opening fits the leaf. Cost, in feet of trouble, is the sum of: feet each post goes; 2 for each foot further
    off the line; 0.25 for each foot that the longest bay beside it comes to differ more from the shortest (for a post left out, that its
    one bay is longer than the longer of the two); 1 for a tree's eyes, for a post left out and another added, and for each further post
    that moves; 2 for each loop cut or hung already that is touched; 4 for each post more than before, for one pulled that stands, and for
    each bay that stays over the limit or through a trunk. There are none before a plan is accepted or for a support that isn't driven.
    Source: the reach: common practice, no source; the cost: derived, a choice of ours.
    Three spots are tried each way, and where the walk finds all of them wrong every other one, until one is right: of the 3 in grid within
    reach none that is legal is missed while nothing is offered.
    """
    case = case_of(job, walk, post)
    if case is not None:
        ranked = sorted(
            candidates(case, job.rules.layout.move_reach_ft if reach_ft is None else reach_ft), key=lambda candidate: candidate.cost
        )
        yield from islice(_let_pass(case, ranked, at), MOST)


def _let_pass(case: CannotStay, ranked: Sequence[Candidate], at: datetime) -> Iterator[Suggestion]:
    """The ways that the walk lets pass, one each way; where no move helps, posts set anew too that leave the rock to the apron."""
    done: dict[str, str] = {}
    tried: Counter[str] = Counter()
    left, gapped = [], []
    for candidate in ranked:
        if candidate.side in done or tried[candidate.side] == TRIES:
            left += [] if candidate.side in done else [candidate]
            continue
        tried[candidate.side] += 1
        breaks, lacks = _breaks(case, candidate, at)
        if breaks == "nothing":
            done[candidate.side] = candidate.kind
            yield _suggested(candidate, lacks)
        elif breaks == "apron" and candidate.kind in SET_ANEW:
            gapped.append((candidate, lacks))
    if set(done.values()) <= SET_ANEW:
        for candidate, lacks in gapped:
            if candidate.side not in done:
                done[candidate.side] = candidate.kind
                yield _suggested(candidate, lacks, f" No stake goes into the {case.stands_in[0].kind}: weight the apron down there.")
    if not done:
        judged = ((candidate, *_breaks(case, candidate, at)) for candidate in left)
        yield from islice((_suggested(candidate, lacks) for candidate, breaks, lacks in judged if breaks == "nothing"), 1)


def _suggested(candidate: Candidate, lacks: str, more: str = "") -> Suggestion:
    once = f" {lacks}" if lacks else ""
    return Suggestion(candidate.kind, candidate.steps, f"{candidate.reason()}{more}{once}", lacks)


def _breaks(case: CannotStay, candidate: Candidate, at: datetime) -> tuple[Literal["nothing", "apron", "rules"], str]:
    """What a way adds to the findings: nothing, only the apron unstaked over the very ground that the post stands in, or more; and what the
    truck lacks for it."""
    before = case.walk
    try:
        after = walk(settled(case.job, before, candidate.steps, at, ""))
    except JobError:
        return "rules", ""
    as_before = _as_before(after.layout, next_post_id(case.job), case.post.id) if candidate.kind == "add" else {}
    broken = rules_broken(before, after, as_before)
    new = [finding for finding in broken if finding.code != MATERIALS_SHORT]
    lacks = "".join(finding.says for finding in broken if finding.code == MATERIALS_SHORT)
    here = {area.id for area in case.stands_in}
    if all(finding.code == "apron_unstaked" and here & set(after.staking.bays[finding.subject].blocked_by) for finding in new):
        return "apron" if new else "nothing", lacks
    return "rules", lacks


def _as_before(after: Layout, added: str, post: str) -> dict[str, str]:
    """What a post that takes another's place, and its bays, are called as that one's."""
    names = {added: post}
    beside = (bay for bay in after.bays.values() if added in (bay.from_id, bay.to_id))
    return names | {bay.id: bay_id(names.get(bay.from_id, bay.from_id), names.get(bay.to_id, bay.to_id)) for bay in beside}
