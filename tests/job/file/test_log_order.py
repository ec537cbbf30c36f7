"""The log stands in its file by time; what takes effect later than that says what it follows, and is read back in its place."""

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.errors import BadContent
from engine.job.file.file_text import parse
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry, RerouteEntry
from tests.demo import accepted, others
from tests.job.small import NOW


def noted(minutes: list[int]) -> Job:
    """A job whose notes take effect in this order, each made that many minutes after the start."""
    log = (
        NoteEntry(id=f"n{number}", kind="note", at=NOW + timedelta(minutes=late), by="Mo", text="x") for number, late in enumerate(minutes)
    )
    return Job(log=tuple(log))


def in_file(loaded: Loaded) -> list[tuple[str, str | None]]:
    """Every entry of the file, as it stands there, with the one that it says it follows."""
    tables = parse(loaded.path, loaded.path.read_text(encoding="utf-8"))
    assert [entry["at"] for entry in tables["log"]] == sorted(entry["at"] for entry in tables["log"])
    return [(entry["id"], entry.get("follows")) for entry in tables["log"]]


@settings(max_examples=40, deadline=None)
@given(minutes=st.lists(st.integers(0, 5), min_size=1, max_size=9), more=st.lists(st.integers(0, 5), min_size=10, max_size=12))
def test_whatever_the_clocks_say_the_file_is_by_time_and_the_job_in_its_own_order(
    tmp_path_factory: pytest.TempPathFactory, minutes: list[int], more: list[int]
) -> None:
    folder = tmp_path_factory.mktemp("law")
    first = new(folder / "yard.toml", noted(minutes), NOW, state=folder / "state")
    later = save(first, noted((minutes + more)[: len(more)]), NOW, state=folder / "state")
    for loaded, job in ((first, noted(minutes)), (later, noted((minutes + more)[: len(more)]))):
        assert loaded.job == job
    in_file(later)
    assert load(later.path).job == later.job


def test_what_was_made_before_says_what_it_follows(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", noted([3, 5, 1, 2, 5, 0, 7]), NOW, state=tmp_path / "state")
    assert in_file(loaded) == [
        ("n5", "n4"), ("n2", "n1"), ("n3", "n2"), ("n0", None), ("n1", None), ("n4", None), ("n6", None),
    ]  # fmt: skip
    assert [entry.id for entry in load(loaded.path).job.log] == ["n0", "n1", "n2", "n3", "n4", "n5", "n6"]


def test_a_move_that_follows_a_later_plan_moves_its_post_after_it_is_read(tmp_path: Path) -> None:
    job = edits.move_post(accepted(), "P4", accepted().log[-1].at - timedelta(hours=1), "Mo", along_ft=1.0)
    loaded = new(tmp_path / "yard.toml", job, NOW, state=tmp_path / "state")
    assert in_file(loaded) == [(job.log[1].id, job.log[0].id), (job.log[0].id, None)]
    assert load(loaded.path).job == job


def test_an_older_file_whose_log_stands_as_it_takes_effect_is_read_as_it_stands(tmp_path: Path) -> None:
    older = noted([3, 1, 2])
    path = new(tmp_path / "yard.toml", older, NOW, state=tmp_path / "state").path
    rows = path.read_text(encoding="utf-8").split("[[log]]")
    plain = [row.replace('follows = "n0"\n', "").replace('follows = "n1"\n', "") for row in rows]
    end = plain[3][plain[3].index("\n[end]") :]
    path.write_text(
        "[[log]]".join([plain[0], plain[3].removesuffix(end) + "\n", plain[1], plain[2].rstrip() + "\n" + end]), encoding="utf-8"
    )
    loaded = load(path)
    assert [entry.id for entry in loaded.job.log] == ["n0", "n1", "n2"]
    assert in_file(save(loaded, loaded.job, NOW, state=tmp_path / "state")) == [("n1", "n0"), ("n2", "n1"), ("n0", None)]


@pytest.mark.parametrize(
    ("given_id", "says"),
    [
        ('"n9"', "no log entry is called n9. Name the entry that this one takes effect after, or take the line out."),
        ('"n2"', "these entries follow each other in a circle. Name the entry that this one takes effect after, or take the line out."),
        ("7", "this is the id of another log entry, a text."),
    ],
)
def test_what_follows_nothing_is_refused_with_its_place(tmp_path: Path, given_id: str, says: str) -> None:
    path = new(tmp_path / "yard.toml", noted([3, 1, 2]), NOW, state=tmp_path / "state").path
    text = path.read_text(encoding="utf-8").replace('follows = "n0"', f"follows = {given_id}")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadContent) as caught:
        load(path)
    problem = caught.value.problems[0]
    assert (problem.message, text.splitlines()[problem.line - 1]) == (says, f"follows = {given_id}")
    assert path.read_text(encoding="utf-8") == text


def test_a_problem_of_an_entry_names_its_line_in_the_file(tmp_path: Path) -> None:
    job = edits.move_post(accepted(), "P4", accepted().log[-1].at - timedelta(hours=1), "Mo", along_ft=1.0)
    path = new(tmp_path / "yard.toml", job, NOW, state=tmp_path / "state").path
    text = path.read_text(encoding="utf-8").replace('kind = "move"\npost = "P4"', 'kind = "move"\npost = "P44"')
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadContent) as caught:
        load(path)
    assert [text.splitlines()[problem.line - 1] for problem in caught.value.problems] == ['post = "P44"']


def test_a_sealed_job_with_a_log_out_of_time_holds_its_seal(tmp_path: Path) -> None:
    signed = next(job for job in others().values() if job.record is not None and not any(isinstance(one, RerouteEntry) for one in job.log))
    log = (*signed.log[:-1], signed.log[-1].model_copy(update={"at": signed.log[0].at - timedelta(days=1)}))
    assert signed.record is not None
    again = signed.model_copy(update={"log": log, "record": signed.record.model_copy(update={"digest": ""})})
    loaded = new(tmp_path / "yard.toml", again, NOW, state=tmp_path / "state")
    assert load(loaded.path).seal_holds
    assert save(loaded, loaded.job, NOW, state=tmp_path / "state").digest == loaded.digest
