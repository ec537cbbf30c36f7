"""The laws of the file: what is saved is what is read, the same job is the same bytes, and a small edit is a small difference."""

import difflib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.file.store import load, new, save
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from tests.bench.big_job import big_job
from tests.demo import accepted, demo, others
from tests.job.small import NOW

HEADING = {"revision", "parent", "saved_at", "earlier", "runs"}
MARKS = st.characters(exclude_categories=["Cs", "Cc"])
JOBS = [accepted(), demo(), *(job for job in others().values() if job.record is None)]
STEPS: dict[str, Callable[[Job, str, datetime], Job]] = {
    "tick": lambda job, words, at: edits.tick(job, item_key("layout.P4.flag"), at, "Mo", note=words),
    "reading": lambda job, words, at: edits.tick(job, item_key("posts.P4.driven_depth"), at, "Mo", reading_in=22.5, note=words),
    "open again": lambda job, _, at: edits.untick(job, item_key("layout.P4.flag"), at, "Mo"),
    "note": lambda job, words, at: edits.note(job, words, at, "Mo"),
    "rock": lambda job, words, at: edits.obstacle(job, "rock", next(iter(job.lines)), 83.0, at, "Mo", text=words),
    "title": lambda job, words, _: job.model_copy(update={"job": job.job.model_copy(update={"title": words.strip()})}),
}


def lines_changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came, without those of the heading that every save writes anew."""
    told = [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[:2] in ("- ", "+ ")]
    facts = [line for line in told if line[2:].split(" = ")[0] not in HEADING]
    return [line[2:] for line in facts if line[0] == "-"], [line[2:] for line in facts if line[0] == "+"]


@settings(max_examples=40, deadline=None)
@given(
    job=st.sampled_from(JOBS),
    steps=st.lists(st.tuples(st.sampled_from(list(STEPS)), st.text(MARKS, min_size=1, max_size=40).filter(str.strip)), max_size=5),
)
def test_loading_saving_and_loading_again_is_the_same_job(
    tmp_path_factory: pytest.TempPathFactory, job: Job, steps: list[tuple[str, str]]
) -> None:
    folder = tmp_path_factory.mktemp("law")
    loaded = new(folder / "yard.toml", job, NOW, state=folder / "state")
    for number, (name, words) in enumerate(steps):
        edited = STEPS[name](loaded.job, words, NOW + timedelta(seconds=number))
        loaded = save(loaded, edited, NOW, state=folder / "state")
        assert loaded.job == edited == load(loaded.path).job
    first = load(loaded.path)
    again = save(first, first.job, NOW, state=folder / "state")
    assert load(again.path).job == first.job
    assert lines_changed(first_text(folder, first.job), again.path.read_text(encoding="utf-8")) == ([], [])


def first_text(folder: Path, job: Job) -> str:
    """The job as a new file."""
    return new(folder / "new.toml", job, NOW, state=folder / "state").path.read_text(encoding="utf-8")


@pytest.mark.parametrize("job", [Job(), *JOBS, big_job()], ids=lambda job: job.job.title or "empty")
def test_the_same_job_at_the_same_time_is_the_same_bytes(tmp_path: Path, job: Job) -> None:
    one, other = (new(tmp_path / f"{name}.toml", job, NOW, state=tmp_path / "state").path for name in ("a", "b"))
    assert one.read_bytes() == other.read_bytes()


def test_one_tick_is_one_added_row(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", big_job(), NOW, state=tmp_path / "state")
    before = loaded.path.read_text(encoding="utf-8")
    flags = (ItemKey("layout", name, "flag") for name in loaded.job.posts)
    key = next(flag for flag in flags if flag not in loaded.job.checks)
    save(loaded, edits.tick(loaded.job, key, NOW, "Mo"), NOW, state=tmp_path / "state")
    went, came = lines_changed(before, loaded.path.read_text(encoding="utf-8"))
    assert went == []
    assert [line for line in came if line] == [f'[checks."{key}"]', 'state = "done"', "at = 2026-11-25 14:05:00+00:00", 'by = "Mo"']


def test_one_log_entry_is_one_added_row_and_one_taken_back_two_more_lines(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", accepted(), NOW, state=tmp_path / "state")
    before = loaded.path.read_text(encoding="utf-8")
    noted = save(loaded, edits.note(loaded.job, "soft ground", NOW, "Mo"), NOW, state=tmp_path / "state")
    after = noted.path.read_text(encoding="utf-8")
    went, came = lines_changed(before, after)
    assert (went, [line.split(" = ")[0] for line in came if line]) == ([], ["[[log]]", "id", "at", "by", "kind", "text"])
    entry = noted.job.log[-1].model_copy(update={"struck_at": datetime(2026, 11, 26, tzinfo=UTC), "struck_by": "Teal"})
    struck = save(noted, noted.job.model_copy(update={"log": (*noted.job.log[:-1], entry)}), NOW, state=tmp_path / "state")
    assert lines_changed(after, struck.path.read_text(encoding="utf-8")) == (
        [],
        ["struck_at = 2026-11-26 00:00:00+00:00", 'struck_by = "Teal"'],
    )
    assert live(struck.job.log) == accepted().log
