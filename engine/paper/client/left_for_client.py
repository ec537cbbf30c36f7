"""What of all that was left open a client is told, and in which words: what they see, use or answer for, without the crew's figures."""

import re
from collections.abc import Iterator, Mapping, Sequence

from engine.calc.frozen import dataclass
from engine.calc.phrases import listed
from engine.findings import TITLES, finding_key
from engine.job.model.item_key import ITEM_KEY, item_key
from engine.job.model.job import Job
from engine.paper.as_built import items_open
from engine.paper.record_tables import LeftRow, left_rows
from engine.stages.punch.closing_list import NOT_CLOSED, UNTICKED, left_open
from engine.walk import Walk

TOLD = frozenset((
    "way_out", "hole_under_wire", "gap_over_floor", "gap_over_treads", "under_deck_open", "apron_short", "apron_unstaked",
    "jump_off", "low_part", "lap_short", "gap_at_wall", "gate_drags", "gate_gap_lets_dog_out", "gate_gap_over_rule",
    "gate_in_the_way", "gate_mower", "gate_opening_off", "gate_out_of_square", "gate_on_slope", "drop_rod_blocked",
    "yard_open", "yard_not_closed", "kennel_floor", "over_boundary", "in_setback", "near_boundary", "in_keep_out", "near_old_sleeve",
    "keep_out_unplaced", "dog_size", "no_dogs", "fence_low", "may_not_hold", "fence_over_six", "overhead", "tree_unfit", "wall_unfit",
    "wall_low", "tree_too_thin", "trees_used", "marks_not_seen", "notice_expired", "notice_not_called", "notice_too_early",
))  # fmt: skip
"""Findings whose own sentence is for the client too: it holds lengths, never a pull, a load or what is on the truck."""
BY_STAGE: Mapping[str, str] = dict(TITLES.items())
MOST_PLACES = 12
"""Of something that stops a job."""


@dataclass(frozen=True)
class LeftForClient:
    """What is open: what stops the job and what else is told, sentences with their reasons; stages with unticked work and why that
    is so; and how many more there are of the work itself, which the office's record tells."""

    stops: tuple[tuple[str, str], ...]
    others: tuple[tuple[str, str], ...]
    unticked: tuple[str, ...]
    unticked_why: str
    more: int


def left_for_client(job: Job, walk: Walk) -> LeftForClient:
    """What is open of a job, or was left open when it was signed off; in a repair with what is as it was left before."""
    rows = [*(left_rows(job, walk) if job.record else _open_today(walk)), *_as_it_stood(job, walk)]
    items = [row for row in rows if row.level == "open"]
    found = [row for row in rows if row.level != "open"]
    stops = tuple(_said(row) for row in found if row.level == "stop")
    others = tuple(_said(row) for row in found if row.level != "stop" and told_to_client(row.key))
    stages = dict.fromkeys(title for key, *_ in items if (title := _stage_of(key)))
    return LeftForClient(stops, others, tuple(stages), _why(job, walk, items), len(found) - len(stops) - len(others))


def _why(job: Job, walk: Walk, items: Sequence[LeftRow]) -> str:
    """Why things are unticked: the reason given at sign-off, or what was left open before a repair."""
    if job.record is not None:
        return next((f"Reason given: {row.reason}" for row in items if row.reason), "")
    left = [line for checklist in walk.checklists.values() for line in checklist.left_open]
    says = left[0].why_left if left else ""
    return says if len(left) in (0, len(items)) else f"Some of it was {says[:1].lower()}{says[1:]}"


def _open_today(walk: Walk) -> Iterator[LeftRow]:
    """What a sign-off would ask of a job that isn't signed."""
    asked = left_open(walk.punch, walk.stage_findings, walk.checklists)
    yield from (LeftRow(str(one.key), one.level, one.says, "") for one in asked if one.key not in (UNTICKED, NOT_CLOSED))
    yield from (LeftRow(key, "open", says, "") for key, says in items_open(walk).items())


def _as_it_stood(job: Job, walk: Walk) -> Iterator[LeftRow]:
    """Notes of what a repair found left before and left so: each sentence tells the reason."""
    left = {str(finding.key): finding.says for finding in walk.findings if finding.left}
    told = left.items() if job.record is None else ((key, says) for key, says in _notes(job, walk) if key in left)
    yield from (LeftRow(key, "fix", says, "") for key, says in told)


def _notes(job: Job, walk: Walk) -> Iterator[tuple[str, str]]:
    """What was known at sign-off, by its key and without what the crew was to do about it."""
    do = {str(finding.key): f" {finding.do}" for finding in walk.findings}
    yield from ((key, says.removesuffix(do.get(key, ""))) for key, says in (job.record.notes if job.record else {}).items())


def told_to_client(key: str) -> bool:
    """Whether the sentence of a finding is for the client too."""
    return finding_key(key).code in TOLD


def _stage_of(key: str) -> str:
    """The stage of an unticked item; empty for all together."""
    return BY_STAGE.get(item_key(key).stage, "") if re.fullmatch(ITEM_KEY, key) else ""


def _said(row: LeftRow) -> tuple[str, str]:
    """What stops a job is told whatever it is: by its place alone where its sentence holds figures of the crew."""
    if told_to_client(row.key):
        return row.says, row.reason
    places = finding_key(row.key).subjects
    where = f" at {listed(places[:MOST_PLACES])}" if places else ""
    return f"Something that stops a job is open{where}: ask us what it is before you count on the fence there.", row.reason


def notes_for_client(job: Job, walk: Walk) -> tuple[tuple[str, ...], int]:
    """What was known at sign-off and stops nothing, but for what is told as left open; and how many more notes there are of the work
    itself."""
    left = {str(finding.key) for finding in walk.findings if finding.left}
    notes = {key: says for key, says in _notes(job, walk) if key not in left}
    told = tuple(says for key, says in notes.items() if told_to_client(key))
    return told, len(notes) - len(told)
