"""A job file in pieces: the very text of the long way round, and no piece that wouldn't open again."""

from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.file.heading import Heading, first_lines
from engine.job.file.job_tables import tables_of
from engine.job.file.pieces import heading_reads_back, pieces, reads_back, text_of
from engine.job.file.toml_text import write_text
from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry
from tests.bench.big_job import big_job
from tests.demo import accepted, demo, others

AT = datetime(2026, 4, 14, 9, 30, tzinfo=UTC)
HEADING = Heading(written_by="linewalk 0", revision=7, parent="abc", saved_on="truck", saved_at=AT)


def the_long_way(job: Job) -> str:
    return write_text({**first_lines(HEADING), **tables_of(job)})


@pytest.mark.parametrize("job", [Job(), demo(), accepted(), *others().values(), big_job()], ids=lambda job: job.job.title or "empty")
def test_the_pieces_are_the_text_of_the_long_way(job: Job) -> None:
    parts = list(pieces(job))
    assert text_of(HEADING, parts) == the_long_way(job)
    assert all(map(reads_back, parts))


@given(
    words=st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1).filter(str.strip),
    feet=st.floats(0, 19_999),
    key=st.sampled_from(["layout.P2.flag", "posts.P7.driven_depth", "gate.side.opening"]),
)
@settings(max_examples=60, deadline=None)
def test_edits_keep_the_two_ways_together(words: str, feet: float, key: str) -> None:
    job = edits.tick(edits.note(accepted(), words, AT, "Mo"), key, AT, "Mo", reading_ft=feet, note=words)
    assert text_of(HEADING, list(pieces(job))) == the_long_way(job)
    assert all(map(reads_back, pieces(job)))


def test_what_would_not_open_again_is_not_taken() -> None:
    escape = NoteEntry.model_construct(id="n1", at=AT, by="Mo", kind="note", about="", text="red \x1b[31m")
    far = demo().trees["oak"].model_copy(update={"diameter_in": 40_000.0})
    bad_log = demo().model_copy(update={"log": (escape,)})
    bad_tree = demo().model_copy(update={"trees": {"oak": far}})
    bad_name = demo().model_copy(update={"trees": {"no such name!": demo().trees["oak"]}})
    for job in (bad_log, bad_tree, bad_name):
        assert not all(map(reads_back, pieces(job)))


def test_a_record_under_another_name_is_another_piece() -> None:
    tree = demo().trees["oak"]
    job = demo().model_copy(update={"trees": {"oak": tree, "elm": tree}})
    assert [piece.keys for piece in pieces(job) if piece.record is tree] == [("trees", "oak"), ("trees", "elm")]
    assert [piece.text.splitlines()[0] for piece in pieces(job) if piece.record is tree] == ["[trees.oak]", "[trees.elm]"]


def test_a_heading_that_would_not_open_again_is_not_taken() -> None:
    assert heading_reads_back(HEADING)
    assert not heading_reads_back(HEADING.model_copy(update={"saved_on": "a\x1b[2Jb"}))
    assert not heading_reads_back(HEADING.model_copy(update={"revision": -1}))
