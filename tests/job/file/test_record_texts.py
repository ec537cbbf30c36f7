"""A version is written and read back by what is new in it, and is to the byte what it is written from nothing."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.errors import NotSaved
from engine.job.file.record_texts import only_new, record_texts
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry
from tests.bench.big_job import big_job
from tests.demo import accepted, demo, others
from tests.job.small import NOW

FLAG, OTHER = item_key("layout.P4.flag"), item_key("layout.P5.flag")
JOBS = [Job(), demo(), accepted(), *others().values(), big_job()]


@pytest.fixture
def saved(tmp_path: Path) -> Loaded:
    return new(tmp_path / "yard.toml", accepted(), NOW, state=tmp_path / "state")


def again(saved: Loaded, job: Job) -> Loaded:
    return save(saved, job, NOW, state=saved.path.parent / "state")


def texts(job: Job) -> list[str]:
    return [written.text for written in record_texts(job, {}).values()]


def with_oak(job: Job, diameter_in: float) -> Job:
    return job.model_copy(update={"trees": {**job.trees, "oak": job.trees["oak"].model_copy(update={"diameter_in": diameter_in})}})


def test_tables_stand_in_the_order_of_the_trade() -> None:
    assert list(dict.fromkeys(name for name, _ in record_texts(big_job(), {}))) == [
        "job", "dogs", "utility_notice", "rules", "points", "shots", "structures", "trees", "obstacles", "utilities", "boundaries",
        "fence", "lines", "gates", "yards", "posts", "log", "checks",
    ]  # fmt: skip


def test_a_tick_writes_one_record_and_reads_back_one(saved: Loaded) -> None:
    job = edits.tick(saved.job, FLAG, NOW, "Mo")
    after = again(saved, job)
    assert [place for place, written in after.texts.items() if saved.texts.get(place) is not written] == [("checks", FLAG)]
    assert only_new(job, saved.texts) == Job(checks={FLAG: Tick(at=NOW, by="Mo")})
    assert only_new(job, after.texts) == Job()
    assert after.job is job


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.job.title or "empty")
def test_of_a_file_only_read_everything_is_new(job: Job) -> None:
    assert only_new(job, {}) == job


@settings(max_examples=60, deadline=None)
@given(
    job=st.sampled_from(JOBS),
    gone=st.sets(st.integers(0, 30), max_size=4),
    words=st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=20).filter(str.strip),
    struck=st.booleans(),
)
def test_a_text_made_of_the_one_before_is_the_text_made_of_nothing(job: Job, gone: set[int], words: str, struck: bool) -> None:
    """Records taken out, added, renamed, changed, and moved up in the log."""
    before = record_texts(job, {})
    left = {key: shot for number, (key, shot) in enumerate(job.shots.items()) if number not in gone}
    log = tuple(entry for number, entry in enumerate(job.log) if number not in gone)
    noted = NoteEntry(id="n-new", at=NOW, by="Mo", kind="note", text=words)
    log = (*log, noted.model_copy(update={"struck_at": NOW, "struck_by": "Mo"}) if struck else noted)
    trees = {f"{key}-2": tree for key, tree in job.trees.items()}
    checks = {**job.checks, ItemKey("posts", "P1", "plumb"): Tick(at=NOW, by=words)}
    edited = job.model_copy(update={"shots": left, "log": log, "trees": trees, "checks": checks})
    assert [written.text for written in record_texts(edited, before).values()] == texts(edited)


def test_one_record_under_two_names_is_two_texts(saved: Loaded) -> None:
    oak = saved.job.trees["oak"]
    after = again(saved, saved.job.model_copy(update={"trees": {**saved.job.trees, "elm": oak}}))
    assert after.texts["trees", "elm"].text == after.texts["trees", "oak"].text.replace("[trees.oak]", "[trees.elm]")
    assert load(saved.path).job.trees["elm"] == oak


ESCAPE = NoteEntry.model_construct(id="n1", at=NOW, by="Mo", kind="note", about="", text="red \x1b[31m")
BROKEN = {
    "a control character": lambda job: job.model_copy(update={"log": (*job.log, ESCAPE)}),
    "a number out of range": lambda job: with_oak(job, 40_000.0),
    "a name that is none": lambda job: job.model_copy(update={"trees": {"no such name!": job.trees["oak"]}}),
    "a line that posts stand on": lambda job: job.model_copy(update={"lines": {}}),
    "two keys of one text": lambda job: job.model_copy(
        update={"checks": {ItemKey("a", "b", "c.d"): Tick(at=NOW, by="Mo"), ItemKey("a", "b.c", "d"): Tick(at=NOW, by="Mo")}}
    ),
}


@pytest.mark.parametrize("what", BROKEN)
def test_what_would_not_open_again_is_not_saved_over_what_is_known_either(saved: Loaded, what: str) -> None:
    saved = again(saved, edits.tick(saved.job, FLAG, NOW, "Mo"))
    stands = saved.path.read_bytes()
    with pytest.raises(NotSaved, match="open again"):
        again(saved, BROKEN[what](saved.job))
    assert saved.path.read_bytes() == stands


def test_what_would_not_open_again_is_told_with_its_line_in_the_whole(saved: Loaded) -> None:
    with pytest.raises(NotSaved) as caught:
        again(saved, with_oak(saved.job, 40_000.0))
    assert caught.value.rescue is not None
    lines = caught.value.rescue.read_text(encoding="utf-8").splitlines()
    assert (
        f"line {lines.index('diameter_in = 40000.0') + 1}, column 1, [trees.oak] diameter_in: 40000.0 is out of range" in caught.value.why
    )


def test_a_length_that_reading_rounds_is_held_as_it_reads_and_never_as_it_was_handed_in(saved: Loaded) -> None:
    given_job = with_oak(saved.job, 14.123456789)
    first = again(saved, given_job)
    assert (first.job.trees["oak"].diameter_in, first.texts) == (14.12346, {})
    second = again(first, edits.tick(given_job, OTHER, NOW, "Mo"))
    assert second.job.trees["oak"].diameter_in == 14.12346
    assert second.job == load(saved.path).job
