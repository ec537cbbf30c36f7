"""Laws of the nine sheets: every item stands in one cell, rows are whole, names are there, and no job is too odd."""

import random
from collections import Counter
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.findings import STAGES, StageName
from engine.job.edit import edits
from engine.job.file.store import load, starter
from engine.job.model.checks import CLOSES_YARD
from engine.job.model.job import Job
from engine.sheets.sheet import Sheet
from engine.sheets.stage_sheets import OF_WALK, sheet_of
from engine.walk import Walk, walk
from tests.bench.big_job import big_job
from tests.demo import AT, BY, accepted, demo, others
from tests.stages.layout.test_layout_robust import odd_job
from tests.stages.yards import build, half_surveyed, plain, sloping
from tests.test_done_means_done import JOBS, changed

FORMATS = Path(__file__).parents[1] / "job" / "file" / "formats"
ROOM = 78
"""Letters beside the sign of a row on 80 columns."""


def two_leaves() -> Job:
    """Two gates of which one has two leaves."""
    gate = {"line": "fence", "station_ft": 75, "leaf_width_ft": 3}
    return build(gates={"G1": {**gate, "leaves": 2}, "G2": {**gate, "station_ft": 20, "leaf_width_ft": 5}})


MADE: Mapping[str, Callable[[], Job]] = {
    "willow_bend": demo,
    "planned": accepted,
    **{name: (lambda name=name: others()[name]) for name in others()},
    "big": big_job,
    "empty": Job,
    "starter": lambda: starter("new"),
    "half_surveyed": half_surveyed,
    "plain": plain,
    "sloping": sloping,
    "two_leaves": two_leaves,
    **{path.stem: (lambda path=path: load(path).job) for path in sorted(FORMATS.glob("*.toml"))},
}


@cache
def sheets(name: str) -> tuple[Walk, dict[str, Sheet]]:
    job = MADE[name]()
    walked = walk(job)
    return walked, {stage: sheet_of(stage, job, walked) for stage in STAGES}


def wrong_in(walked: Walk, made: Mapping[str, Sheet]) -> list[str]:
    """What is against the law in the sheets of a job."""
    found = []
    for stage in STAGES:
        keys = Counter(cell.line.item.key for row in made[stage].rows() for cell in row.cells if cell.line)
        asked = {line.item.key for line in walked.checklists[stage].lines}
        found += [f"{key} stands in {keys[key]} cells" for key in asked if keys[key] != 1]
        found += [f"{key} in the sheet of {stage}" for key in keys if key not in asked and (stage, key.what) != ("posts", "pinned")]
        for part in made[stage].parts:
            found += [f"{stage} has a row of another width: {row}" for row in part.rows if len(row.cells) != len(part.columns)]
            found += [f"{stage} has a row without a name: {row}" for row in part.rows if not row.name.strip()]
            found += [f"{stage} has a head without a word" for column in part.columns if not column.head]
            found += [f"{stage} drops {part.columns[0].head}" for _ in part.columns[:1] if part.columns[0].drops]
            ticked = {at for row in part.rows for at, cell in enumerate(row.cells) if cell.line}
            found += [f"{stage} drops {part.columns[at].head}" for at in ticked if part.columns[at].drops]
            found += [f"{stage} cuts {part.columns[at].head}" for at in ticked if part.columns[at].long]
    return found


def test_every_stage_has_a_sheet() -> None:
    assert ("survey", *OF_WALK) == STAGES


@pytest.mark.parametrize("name", MADE)
def test_every_item_stands_in_one_cell_and_every_row_is_whole(name: str) -> None:
    walked, made = sheets(name)
    assert wrong_in(walked, made) == []


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6))
def test_no_job_is_too_odd(seed: int) -> None:
    job = odd_job(seed)
    walked = walk(job)
    assert wrong_in(walked, {stage: sheet_of(stage, job, walked) for stage in STAGES}) == []


def half_ticked(job: Job, rng: random.Random) -> Job:
    """The job with a part of what is asked done, read in and out of range, or not needed."""
    lines = [line for checklist in walk(job).checklists.values() for line in checklist.lines if line.state == "open"]
    for line in rng.sample(lines, len(lines) // 2):
        item, reading = line.item, line.item.reading
        if rng.random() < 0.2 and (item.key.stage, item.key.what) not in CLOSES_YARD:
            job = edits.tick(job, item.key, AT, BY, needed=False, note="no need", of=item.of)
        elif reading is None:
            job = edits.tick(job, item.key, AT, BY, of=item.of)
        else:
            read = rng.choice([1.0, reading.wanted or 12.0])
            given = {"reading_ft": read} if reading.unit == "ft" else {"reading_in": read}
            job = edits.tick(job, item.key, AT, BY, note="as it is", of=item.of, **given)
    return job


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_was_ticked_and_changed_since_stands_in_its_cell(name: str, seed: int) -> None:
    rng = random.Random(seed)
    job = half_ticked(JOBS[name](), rng)
    for _ in range(rng.randint(1, 3)):
        job = changed(job, rng)
    walked = walk(job)
    assert wrong_in(walked, {stage: sheet_of(stage, job, walked) for stage in STAGES}) == []


@pytest.mark.parametrize("name", ["willow_bend", "planned", *others(), "big"])
def test_names_ticks_and_readings_fit_on_eighty_columns(name: str) -> None:
    """With a gate more than there is room for, the gate sheet is wider: its columns are things."""
    _, made = sheets(name)
    for stage in STAGES:
        for part in made[stage].parts:
            kept = [at for at, column in enumerate(part.columns) if not column.drops]
            words = [[part.columns[at].head for at in kept], *([row.cells[at].words for at in kept] for row in part.rows)]
            shown = [at for at, place in enumerate(kept) if not part.columns[place].long]
            wide = sum(max(len(row[at]) for row in words) + 2 for at in shown) + 12 * (len(kept) - len(shown))
            assert wide <= ROOM, (stage, [part.columns[at].head for at in kept])


@pytest.mark.parametrize("stage", ["posts", "bracing"])
def test_what_is_said_of_a_row_names_its_own_post(stage: StageName) -> None:
    """Of several posts that are lifted the strip said of each what the worst does."""
    rows = [
        row
        for made in (demo, big_job)
        for row in sheet_of(stage, made(), walk(made())).rows()
        if row.finding is not None and row.jump is None
    ]
    assert [row.subject for row in rows if row.finding and row.subject not in row.finding.says_of(row.subject)] == []
    assert stage == "posts" or len({row.finding.says_of(row.subject) for row in rows if row.finding}) > 3
