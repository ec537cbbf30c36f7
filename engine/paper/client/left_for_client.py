"""What of all that was left open a client is told, and in which words: what they see, use or answer for, without the crew's figures."""

import re
from collections.abc import Iterator, Mapping

from engine.calc.frozen import dataclass
from engine.calc.phrases import listed
from engine.findings import TITLES, finding_key
from engine.job.model.item_key import ITEM_KEY, item_key
from engine.job.model.job import Job
from engine.paper.as_built import items_open
from engine.paper.record_tables import LeftRow, left_rows
from engine.stages.punch.closing_list import UNTICKED, left_open
from engine.walk import Walk

TOLD = frozenset((
    "way_out", "hole_under_wire", "gap_over_floor", "gap_over_treads", "under_deck_open", "apron_short", "apron_unstaked",
    "jump_off", "low_part", "lap_short", "gap_at_wall", "gate_drags", "gate_gap_lets_dog_out", "gate_gap_over_rule",
    "gate_in_the_way", "gate_mower", "gate_opening_off", "gate_out_of_square", "gate_on_slope", "drop_rod_blocked",
    "yard_open", "kennel_floor", "over_boundary", "in_setback", "near_boundary", "in_keep_out", "near_old_sleeve",
    "keep_out_unplaced", "dog_size", "no_dogs", "fence_low", "may_not_hold", "fence_over_six", "overhead", "tree_unfit", "wall_unfit",
    "tree_too_thin", "trees_used", "marks_not_seen", "notice_expired", "notice_not_called", "notice_too_early",
))  # fmt: skip
"""Findings whose own sentence is for the client too: it holds lengths, never a pull, a load or what is on the truck."""
BY_STAGE: Mapping[str, str] = dict(TITLES.items())
MOST_PLACES = 12
"""Of something that stops a job."""


@dataclass(frozen=True)
class LeftForClient:
    """What is open: what stops the job and what else is told, sentences with their reasons; stages with unticked work and the reason for
    that; and how many more there are of the work itself, which the office's record tells."""

    stops: tuple[tuple[str, str], ...]
    others: tuple[tuple[str, str], ...]
    unticked: tuple[str, ...]
    unticked_reason: str
    more: int


def left_for_client(job: Job, walk: Walk) -> LeftForClient:
    """What is open of a job, or was left open when it was signed off."""
    rows = [*(left_rows(job, walk) if job.record else _open_today(walk))]
    items = [row for row in rows if row.level == "open"]
    found = [row for row in rows if row.level != "open"]
    stops = tuple(_said(row) for row in found if row.level == "stop")
    others = tuple(_said(row) for row in found if row.level != "stop" and told_to_client(row.key))
    stages = dict.fromkeys(title for key, *_ in items if (title := _stage_of(key)))
    return LeftForClient(stops, others, tuple(stages), next((row.reason for row in items), ""), len(found) - len(stops) - len(others))


def _open_today(walk: Walk) -> Iterator[LeftRow]:
    """What a sign-off would ask of a job that isn't signed."""
    asked = left_open(walk.punch, walk.stage_findings, walk.checklists)
    yield from (LeftRow(str(one.key), one.level, one.says, "") for one in asked if one.key != UNTICKED)
    yield from (LeftRow(key, "open", says, "") for key, says in items_open(walk).items())


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
    """What was known at sign-off and stops nothing, without what the crew was to do about it; and how many more notes there are of the work
    itself."""
    notes = job.record.notes if job.record else {}
    do = {str(finding.key): f" {finding.do}" for finding in walk.findings}
    told = tuple(says.removesuffix(do.get(key, "")) for key, says in notes.items() if told_to_client(key))
    return told, len(notes) - len(told)
