"""Work that was kept elsewhere is found again when its file is opened, until the file holds it."""

from pathlib import Path

import pytest

from engine.job.edit.edits import sign
from engine.job.file.store import Loaded, keep_elsewhere, load, new, save
from engine.job.merge.unsaved import unsaved
from engine.job.model.signed_record import Record
from tests.job.merge.test_merge import BASE, moved
from tests.job.small import NOW, SIGNED, note_ids, noted


@pytest.fixture
def state(tmp_path: Path) -> Path:
    return tmp_path / "state"


@pytest.fixture
def loaded(tmp_path: Path, state: Path) -> Loaded:
    return new(tmp_path / "yard.toml", BASE, NOW, state=state)


def test_a_file_without_copies_has_nothing_unsaved(loaded: Loaded, state: Path) -> None:
    assert unsaved(loaded, state=state) is None


def test_a_copy_with_more_in_it_is_found_with_the_version_both_came_from(loaded: Loaded, state: Path) -> None:
    copy = keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    later = save(loaded, noted(loaded.job, "saved"), NOW, state=state)
    found = unsaved(load(later.path), state=state)
    assert found is not None
    assert (found.copy.path, note_ids(found.copy.job), found.base) == (copy, ["n1", "kept"], loaded.job)


def test_a_copy_whose_work_is_in_the_file_by_now_is_not(loaded: Loaded, state: Path) -> None:
    keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    later = save(loaded, noted(loaded.job, "kept"), NOW, state=state)
    assert unsaved(later, state=state) is None
    assert unsaved(save(later, noted(later.job, "more"), NOW, state=state), state=state) is None


def test_a_fact_that_both_changed_is_still_unsaved(loaded: Loaded, state: Path) -> None:
    keep_elsewhere(loaded, moved(loaded.job, station_ft=3), NOW, state=state)
    assert unsaved(save(loaded, moved(loaded.job, station_ft=4), NOW, state=state), state=state) is not None


def test_a_sealed_file_and_one_to_look_at_only_take_nothing(loaded: Loaded, state: Path) -> None:
    keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    sealed = save(loaded, sign(loaded.job, Record.model_validate(SIGNED), NOW, "Ana", "the client"), NOW, state=state)
    assert unsaved(sealed, state=state) is None
    sealed.path.chmod(0o444)
    assert unsaved(load(sealed.path), state=state) is None


def test_a_damaged_copy_is_passed_over(loaded: Loaded, state: Path) -> None:
    copy = keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    assert copy is not None
    copy.write_text("format = 1\n", encoding="utf-8")
    assert unsaved(loaded, state=state) is None


def test_a_file_that_had_gone_is_written_anew_and_kept_elsewhere_too(loaded: Loaded, state: Path) -> None:
    stick = loaded.path.read_bytes()
    loaded.path.unlink()
    again = save(loaded, noted(loaded.job, "ours"), NOW, state=state)
    assert again.notes[0].startswith("yard.toml had gone from the disk and was written again. A copy is kept in ")
    assert unsaved(again, state=state) is None
    loaded.path.write_bytes(stick)
    found = unsaved(load(loaded.path), state=state)
    assert found is not None
    assert (note_ids(found.copy.job), found.base) == (["n1", "ours"], loaded.job)
