"""A folder of jobs, each on one line: at a glance, worked out, remembered; what can't be read with the reason."""

import json
import shutil
import zlib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.folder.kept_by_hash import MOST
from engine.folder.listing import glance, listed, names_of, whole
from engine.folder.listing_memory import NAME, ListedFacts, recall, remember
from engine.job.errors import UnreadableFile
from engine.job.file.disk import Disk
from engine.job.file.store import load
from tests.demo import DEMO, FOLDER, accepted
from tests.faults.failing_disk import FailingDisk
from tests.repair.finished import signed_file

WILLOW = ListedFacts("2611", "Willow Bend back yard", "Client as on the work order", "2026-04-14", 0, 214, "survey", "fix", 0, "")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for name in ("alder_row", "willow_bend"):
        shutil.copy(FOLDER / f"{name}.toml", jobs)
    return jobs


def test_rows_come_at_a_glance_first_and_then_whole(folder: Path, state: Path) -> None:
    rows = list(listed(folder, state))
    assert [(row.name, row.whole) for row in rows] == [
        *(("alder_row.toml", False), ("willow_bend.toml", False)),
        *(("alder_row.toml", True), ("willow_bend.toml", True)),
    ]
    first, last = rows[1].kept, rows[3].kept
    assert first is not None
    assert last is not None
    assert (first.title, first.day, first.done, first.of) == (WILLOW.title, WILLOW.day, 0, None)
    assert (last.title, last.day, last.done, last.seal) == (WILLOW.title, WILLOW.day, 0, "")
    assert (last.worst_code, last.length_ft, last.units, last.signed_at) == ("post_lifted", 261.6556, "feet-inches", "")
    assert [(row.kept.signed_at, row.kept.signed_by) for row in rows if row.kept and row.name == "alder_row.toml"] == [
        ("", ""),
        ("2026-03-09 17:46", "Teal"),
    ]
    assert [row.kept.seal for row in rows if row.kept and row.name == "alder_row.toml"] == ["signed off", "sealed"]


def test_what_was_worked_out_once_is_whole_at_a_glance_and_a_changed_file_is_worked_out_anew(folder: Path, state: Path) -> None:
    before = list(listed(folder, state))[2:]
    assert list(listed(folder, state)) == before
    path = folder / "willow_bend.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("Willow Bend", "Elm Bend"), encoding="utf-8")
    rows = list(listed(folder, state))
    assert [(row.name, row.whole) for row in rows] == [("alder_row.toml", True), ("willow_bend.toml", False), ("willow_bend.toml", True)]
    assert rows[2].kept is not None
    assert rows[2].kept.title == "Elm Bend back yard"


def test_a_list_broken_off_remembers_what_it_has(folder: Path, state: Path) -> None:
    rows = listed(folder, state)
    for _ in range(3):
        next(rows)
    rows.close()
    assert len(recall(Disk(), state)) == 1


def test_a_sealed_job_is_told_as_it_was_signed(tmp_path: Path) -> None:
    job = accepted()
    path = signed_file(tmp_path / "a.toml", job).path
    record = load(path, state=tmp_path / "state").job.record
    assert record is not None
    told = whole(path, Disk()).kept
    assert told is not None
    assert (told.seal, told.stage, told.short, told.of) == ("sealed", "survey", 0, told.done + len(record.items_open))
    assert (told.worst, told.worst_code, told.length_ft) == (
        "stop",
        "yard_not_closed",
        pytest.approx(sum(record.bays_ft.values()), abs=1e-4),
    )
    assert any(told.worst_says == found.says for found in record.found_open.values())
    alder = whole(FOLDER / "alder_row.toml", Disk()).kept
    assert alder is not None
    assert (alder.seal, alder.of, alder.stage, alder.worst, alder.worst_says, alder.short) == ("sealed", alder.done, "", "", "", 0)


def test_a_sealed_job_that_was_touched_is_told(folder: Path) -> None:
    path = folder / "alder_row.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("Alder Row", "Elder Row"), encoding="utf-8")
    row = whole(path, Disk())
    assert row.kept is not None
    assert row.kept.seal == "touched"


def test_what_does_not_open_is_listed_with_the_reason(folder: Path, state: Path) -> None:
    (folder / "broken.toml").write_text("format = 1\n", encoding="utf-8")
    (folder / "later.toml").write_text("format = 99\n", encoding="utf-8")
    (folder / "notes.txt").write_text("buy rings", encoding="utf-8")
    (folder / ".yard.toml.ab12.saving.toml").write_text("", encoding="utf-8")
    (folder / "folder.toml").mkdir()
    (folder / "huge.toml").write_bytes(b"#" * 3_000_001)
    (folder / "nowhere.toml").symlink_to("gone.toml")
    said = {row.name: row.error for row in listed(folder, state) if row.error}
    assert said.pop("broken.toml").startswith("line 2, column 1: the file stops before its last two lines, [end] and complete = true")
    assert said.pop("later.toml").startswith("is in format 99 and this program reads up to format 1. It was not touched.")
    assert list(said) == ["folder.toml", "huge.toml", "nowhere.toml"]
    for name, why in said.items():
        with pytest.raises(UnreadableFile) as refused:
            load(folder / name)
        assert str(refused.value) == f"{name}: {why}"
    assert names_of(folder)[:2] == ["alder_row.toml", "broken.toml"]


def test_a_folder_that_is_not_there_can_not_be_listed(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="there is no such folder in"):
        names_of(tmp_path / "nowhere")


@settings(max_examples=40, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=300), st.text(max_size=300).map(lambda text: f"format = 1\n[job]\n{text}\n[log]".encode("utf-8", "replace"))
    )
)
def test_a_glance_at_anything_at_all_ends_in_a_row(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    path = tmp_path_factory.mktemp("glance") / "any.toml"
    path.write_bytes(raw)
    assert glance(path, {}, Disk()).name == "any.toml"
    assert whole(path, Disk()).whole


def test_a_glance_at_a_demo_agrees_with_the_whole_of_it() -> None:
    for path in FOLDER.glob("*.toml"):
        first, last = glance(path, {}, Disk()).kept, whole(path, Disk()).kept
        assert first is not None
        assert last is not None
        told = [(kept.number, kept.title, kept.client, kept.day, bool(kept.seal)) for kept in (first, last)]
        assert told[0] == told[1]


def test_what_was_kept_by_another_program_or_damaged_is_as_if_it_were_not_there(state: Path) -> None:
    assert remember(Disk(), state, {}, {"a": WILLOW})
    assert recall(Disk(), state) == {"a": WILLOW}
    said = json.loads(zlib.decompress((state / NAME).read_bytes()))
    for wrong in (
        {**said, "by": "0"},
        {**said, "jobs": []},
        {**said, "jobs": {"a": ["x"]}},
        {**said, "jobs": {"a": [1, 2, 3, 4, 5, 6]}},
        [],
        7,
    ):
        (state / NAME).write_bytes(zlib.compress(json.dumps(wrong).encode()))
        assert recall(Disk(), state) == {}
    for damaged in (b"", b"{", b"\xff\xfe", zlib.compress(b"{"), zlib.compress(b"\xff\xfe"), zlib.compress(b"[" * 100_000)):
        (state / NAME).write_bytes(damaged)
        assert recall(Disk(), state) == {}


def test_the_newest_are_kept(state: Path) -> None:
    many = {f"{number}": replace(WILLOW, done=number) for number in range(MOST)}
    assert remember(Disk(), state, many, {"new": WILLOW})
    kept = recall(Disk(), state)
    assert (len(kept), "0" in kept, kept["new"]) == (MOST, False, WILLOW)


def test_where_nothing_can_be_kept_the_list_is_the_same(folder: Path, state: Path) -> None:
    before = {row.name for row in listed(folder, state)}
    full = FailingDisk("full from then on", 0).disk(pid=1)
    disk = replace(Disk(), open_excl=full.open_excl, make_folder=full.make_folder)
    assert {row.name for row in listed(folder, state.with_name("other"), disk=disk)} == before
    assert not remember(disk, state.with_name("other"), {}, {"a": WILLOW})
    assert DEMO.exists()
