"""Work that was kept elsewhere is found again when its file is opened, until the file holds it."""

import shutil
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.edit.edits import sign, untick
from engine.job.file.store import Loaded, keep_elsewhere, load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.signed_record import Record
from engine.job.versions.sharing import save_shared
from engine.job.versions.unsaved import unsaved
from tests.demo import AT
from tests.job.merge.test_merge import BASE, moved
from tests.job.merge.test_merge_law import NEW_WAY, START, after
from tests.job.small import NOW, SIGNED, note_ids, noted

FLAG = item_key("layout.P1.flag")


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


def test_what_was_signed_without_it_is_known_and_one_to_look_at_only_takes_nothing(loaded: Loaded, state: Path) -> None:
    keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    sealed = save(loaded, sign(loaded.job, Record.model_validate(SIGNED), NOW, "Ana", "the client"), NOW, state=state)
    found = unsaved(sealed, state=state)
    assert found is not None
    assert note_ids(found.copy.job) == ["n1", "kept"]
    sealed.path.chmod(0o444)
    assert unsaved(load(sealed.path), state=state) is None


def test_of_a_signed_file_what_it_holds_is_no_work_left_out(loaded: Loaded, state: Path) -> None:
    keep_elsewhere(loaded, noted(loaded.job, "kept"), NOW, state=state)
    there = save(loaded, noted(loaded.job, "kept"), NOW, state=state)
    signed = save(there, sign(there.job, Record.model_validate(SIGNED), NOW, "Ana", "the client"), NOW, state=state)
    assert unsaved(signed, state=state) is None


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


def test_a_copy_of_which_no_common_version_is_kept_is_joined_by_what_both_tell(tmp_path: Path) -> None:
    """The new way of the copy tells what stood before it, so nothing is asked; what only one has is kept and told."""
    base = edits.tick(START, FLAG, AT, "Ana")
    way, there = after(base, [NEW_WAY], "Ana", 30), edits.note(untick(base, FLAG, AT, "Bo"), "soft", AT, "Bo")
    first = new(tmp_path / "yard.toml", base, AT, state=tmp_path / "other machine")
    file = save(
        save(first, edits.note(base, "hi", AT, "Bo"), AT, state=tmp_path / "other machine"), there, AT, state=tmp_path / "other machine"
    )
    state = tmp_path / "state"
    keep_elsewhere(first, way, AT, state=state)
    found = unsaved(load(file.path, state=state), state=state)
    assert found is not None
    assert found.base == base
    shutil.rmtree(state / "backups")
    found = unsaved(load(file.path, state=state), state=state)
    assert found is not None
    assert found.base is None
    shared = save_shared(file, found.copy.job, AT, base=found.base, state=state)
    assert shared.conflicts == ()
    assert (shared.loaded.job.posts, shared.loaded.job.lines) == (way.posts, way.lines)
    assert [entry.kind for entry in shared.loaded.job.log] == ["note", "reroute"]
    assert FLAG in shared.loaded.job.checks
    assert shared.came_in[-1] == (
        "Ticked only in the copy that was kept elsewhere: P1 flag. It is kept; whether yard.toml opened it again isn't known."
    )
