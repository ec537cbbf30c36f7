"""A fence that is repaired again and again: every record before stands in the file and can be checked, and the file stays small."""

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.errors import JobError, NotSaved
from engine.job.file.file_text import MOST_OPEN_BYTES
from engine.job.file.kept_text import kept_job
from engine.job.file.packed_text import PLAIN_BYTES
from engine.job.file.store import Loaded, new, save
from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry
from engine.job.model.signed_record import RepairOf
from engine.paper.before_repair import HOLDS, seal_words
from engine.repair.repair_file import write_repair
from engine.walk import walk
from tests.demo import BY
from tests.repair.finished import YEARS, finished, opened, signed, signed_file
from tests.test_done_means_done import all_ticked
from tui.cli import main

TIMES = 5
A_REPAIR_ADDS = 35_000
"""Bytes, more than a repair of the small yard adds: what it is packed to, and what happened in it."""


@pytest.fixture(scope="module")
def row(tmp_path_factory: pytest.TempPathFactory) -> list[Loaded]:
    """The first job and its repairs, each signed off."""
    folder = tmp_path_factory.mktemp("repairs")
    files = [signed_file(folder / "yard.toml", finished("willow_bend"))]
    for number in range(TIMES):
        job = write_repair(files[-1].path, folder / f"repair{number}.toml", state=folder / "state").job
        when = YEARS + timedelta(days=300 * number)
        post = [name for name, one in walk(job).layout.supports.items() if one.support == "driven" and one.kind == "line"][number]
        job = all_ticked(edits.move_post(job, post, when, BY, along_ft=1.0), when + timedelta(hours=1))
        loaded = opened(folder / f"repair{number}.toml")
        files.append(save(loaded, signed(job, when + timedelta(days=1)), state=folder / "state"))
    return [opened(one.path) for one in files]


def before(job: Job) -> RepairOf:
    assert job.repair_of is not None
    return job.repair_of


def test_every_job_before_stands_whole_in_the_last_one_and_its_seal_holds(row: list[Loaded]) -> None:
    job = row[-1].job
    for earlier in reversed(row[:-1]):
        kept = kept_job(before(job))
        assert (kept.seal_holds, kept.job) == (True, earlier.job)
        job = kept.job
    assert job.repair_of is None


def test_a_repair_more_adds_what_one_job_is_packed_to(row: list[Loaded]) -> None:
    sizes = [one.path.stat().st_size for one in row]
    packed = sizes[2:]  # the first one keeps lines that are few
    assert all(later - size < A_REPAIR_ADDS for size, later in pairwise(packed)), sizes
    assert sizes[-1] < MOST_OPEN_BYTES / 10


def test_a_few_lines_stay_as_an_editor_shows_them(row: list[Loaded]) -> None:
    first, second = before(row[1].job), before(row[2].job)
    assert "\n".join(first.text) == row[0].path.read_text()
    assert (first.text_bz2_base64, second.text) == ("", ())
    assert row[1].path.stat().st_size > PLAIN_BYTES


def test_a_repair_of_a_repair_from_before_there_was_packing_opens_as_it_was_and_is_packed_once_it_goes_on(
    row: list[Loaded], tmp_path: Path
) -> None:
    kept = row[1].path.read_text()
    lines = before(row[2].job).model_copy(update={"text": tuple(kept.split("\n")), "text_bz2_base64": ""})
    unsealed = row[2].job.record.model_copy(update={"digest": "", "parts": {}, "parts_digest": ""})  # type: ignore[union-attr]
    sealed = new(tmp_path / "sealed.toml", row[2].job.model_copy(update={"repair_of": lines, "record": unsealed}), state=tmp_path)
    assert (sealed.seal_holds, before(opened(sealed.path).job)) == (True, lines)
    assert seal_words(lines) == HOLDS
    open_again = new(tmp_path / "open.toml", sealed.job.model_copy(update={"record": None}), state=tmp_path)
    size = open_again.path.stat().st_size
    loaded = opened(open_again.path)
    assert kept_job(before(loaded.job)).job == row[1].job
    saved = save(loaded, edits.note(loaded.job, "went on", YEARS, BY), state=tmp_path)
    assert saved.path.stat().st_size < size - PLAIN_BYTES
    assert kept_job(before(opened(saved.path).job)).job == row[1].job


@pytest.mark.parametrize(("was", "is_now"), [("QlpoOTFB", "QlpoOTFC"), ("QlpoOTFB", "QlpoOTF!"), ("QlpoOTFB", "")])
def test_a_packed_text_that_was_damaged_is_told_and_the_repair_opens_all_the_same(
    row: list[Loaded], tmp_path: Path, capsys: pytest.CaptureFixture[str], was: str, is_now: str
) -> None:
    path = tmp_path / "mend.toml"
    path.write_text(row[2].path.read_text().replace(f'"{was}', f'"{is_now}', 1))
    assert main(["record", str(path)]) == 0
    assert "can't be unpacked: its letters were changed. Take an older copy." in " ".join(capsys.readouterr().out.split())
    with pytest.raises(JobError):
        kept_job(before(opened(path).job))


def test_an_open_job_that_is_too_large_says_what_to_do_and_can_be_signed_off(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", finished("willow_bend"), state=tmp_path)
    notes = [NoteEntry(id=f"n{number}", at=YEARS, by=BY, kind="note", text="rain " * 150) for number in range(2_500)]
    large = loaded.job.model_copy(update={"log": (*loaded.job.log, *notes)})
    with pytest.raises(NotSaved) as refused:
        save(loaded, large, state=tmp_path)
    assert refused.value.why == (
        "over 2 MB, more than an open job may be. Sign it off as it is, which saves all of it, and go on in a repair of it: that begins "
        "without its log."
    )
    done = save(loaded, signed(large, YEARS), state=tmp_path)
    assert done.path.stat().st_size > MOST_OPEN_BYTES
    assert opened(done.path).job.log == done.job.log
    mend = write_repair(done.path, tmp_path / "mend.toml", state=tmp_path)
    assert mend.path.stat().st_size < MOST_OPEN_BYTES / 10
    assert kept_job(before(mend.job)).seal_holds is True


def test_more_than_any_job_file_may_be_says_what_to_do(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", finished("willow_bend"), state=tmp_path)
    notes = [NoteEntry(id=f"n{number}", at=YEARS, by=BY, kind="note", text="rain " * 190) for number in range(3_500)]
    with pytest.raises(NotSaved, match=r"over 3 MB, more than a job file may be\. Make two jobs of it, each a part of the fence\."):
        save(loaded, loaded.job.model_copy(update={"log": (*loaded.job.log, *notes)}), state=tmp_path)
