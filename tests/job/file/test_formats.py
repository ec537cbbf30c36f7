"""A file of every format ever released still opens, with everything in it. A new format adds a file here; none is ever changed."""

import tomllib
from pathlib import Path
from typing import get_args

import pytest

from engine.job.file.packed_text import kept_bytes
from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.job.model.job import FORMAT, FORMAT_MINOR, Job
from engine.job.model.log_entries import LogEntry, ObstacleEntry, PhotoEntry, ReopenedEntry, SleeveLeftEntry, SupersededEntry
from engine.walk import walk

SAMPLES = sorted(Path(__file__).with_name("formats").glob("format_*.toml"))


KINDS = {get_args(kind.model_fields["kind"].annotation)[0] for kind in get_args(get_args(LogEntry)[0])}


def test_there_is_one_of_each_format_and_of_each_minor_one() -> None:
    assert FORMAT == 1
    assert [path.name for path in SAMPLES] == ["format_1.toml", *(f"format_1_{minor}.toml" for minor in range(1, FORMAT_MINOR + 1))]
    assert [load(path).heading.format_minor for path in SAMPLES] == list(range(FORMAT_MINOR + 1))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_it_opens_whole_and_unchanged(sample: Path, tmp_path: Path) -> None:
    loaded = load(sample)
    assert (loaded.read_only_reason, loaded.seal_holds, loaded.notes) == (None, True, ())
    again = new(tmp_path / "again.toml", loaded.job, state=tmp_path / "state")
    assert load(again.path).job == loaded.job
    assert walk(loaded.job).layout.accepted


def test_format_1_holds_every_table_and_every_kind() -> None:
    job = load(SAMPLES[0]).job
    younger = {"surfaces", "heights", "rough", "alternatives", "repair_of"}
    tables = set(Job.model_fields) - {"format"} - younger
    assert [name for name in tables if getattr(job, name) == Job.model_fields[name].default] == []
    assert (job.surfaces, job.heights, job.rough) == ({}, {}, None)
    assert {shot.method for shot in job.shots.values()} == {"tie", "tape", "offset", "leg", "paces", "level"}
    assert [entry.kind for entry in job.log] == [
        *("planned", "obstacle", "move", "swap", "add", "drop", "note"),
        *("signed", "reopened", "signed"),
    ]
    assert job.checks[item_key("posts.P3.driven_depth")].reading_in == 18.5
    assert job.posts["P7"].offset_ft == 0.25
    assert job.rules.layout.bay_max_ft == 24.0
    assert job.record is not None
    assert job.record.left_open == {"apron_gone:P3-P4": "flagstone follows"}


def test_minor_1_holds_what_was_new_in_it() -> None:
    job = load(SAMPLES[1]).job
    assert [job.shots["S1"].rise_a_ft, job.shots["S2"].rise_ft, job.shots["S5"].azimuth_deg] == [1.5, 2.0, 90.0]  # type: ignore[union-attr]  # their methods
    assert [entry.struck_by for entry in job.log if entry.struck_at] == ["Second"]
    assert job.rules.layout.tree_bend_ft == 1.5
    assert job.record is not None
    assert all((job.record.loops, job.record.braces, job.record.gates, job.record.stages))
    assert job.record.supports["P3"].driven_in == 18.5


def test_minor_2_holds_every_table_and_kind_and_what_was_new_in_it() -> None:
    job = load(SAMPLES[2]).job
    younger = ("format", "rough", "alternatives", "repair_of")
    assert [name for name in Job.model_fields if name not in younger and getattr(job, name) == Job.model_fields[name].default] == []
    assert {entry.kind for entry in job.log} == KINDS - {"superseded", "sleeve_left", "photo"}
    assert {surface.kind for surface in job.surfaces.values()} == {"paving", "deck", "steps"}
    assert any(tick.of for tick in job.checks.values())
    assert next(gate.height_ft for gate in job.gates.values()) == 5.0
    assert job.record is not None
    assert list(job.record.sleeves_left) == ["P7", "P11", "P7-2"]


def test_minor_3_holds_what_a_tick_was_made_for_and_what_became_of_an_old_one() -> None:
    job = load(SAMPLES[3]).job
    assert {entry.kind for entry in job.log} == KINDS
    assert [(entry.file, entry.about, entry.station_ft) for entry in job.log if isinstance(entry, PhotoEntry)] == [
        ("photos/p2.jpg", "P2", 25.0)
    ]
    assert job.checks[item_key("posts.P7.driven_depth")].photos == ("photos/p7.jpg", "photos/p7 tape.jpg")
    assert job.record is not None
    assert job.record.photos == {"photos/p2.jpg": "5" * 64, "photos/p7.jpg": "7" * 64}
    depth = item_key("posts.P2.driven_depth")
    assert str(job.checks[depth].of) == "P2 at -0.006 E 26.500 N; sleeve"
    assert [(entry.item, str(entry.of)) for entry in job.log if isinstance(entry, SupersededEntry) and entry.reading_in == 20.5] == [
        (depth, "P2 at -0.005 E 25.000 N; sleeve")
    ]
    assert [(left.post, left.north_ft) for left in job.log if isinstance(left, SleeveLeftEntry)] == [("P2", 25.0)]
    assert any(isinstance(entry, ObstacleEntry) and entry.east_ft is not None for entry in job.log)
    assert job.record is not None
    assert job.record.sleeves_left["P2"].what == "post moved"
    assert job.rough is not None
    assert (job.rough.length_ft, job.rough.gates_ft, job.rough.dogs) == (140.0, (5.0,), "two beagles")
    assert job.repair_of is not None
    assert (job.repair_of.called, job.repair_of.sleeves["P90"].driven_in, job.repair_of.gone) == ("2041 As first built", 24.0, ("P90",))
    assert (job.alternatives["low"].fence.height_ft, job.fence.height_ft) == (4.0, 6.0)


def test_minor_4_holds_the_log_by_time_what_an_entry_follows_and_where_a_post_was_meant() -> None:
    sample = SAMPLES[4]
    times = [entry["at"] for entry in tomllib.loads(sample.read_text(encoding="utf-8"))["log"]]
    assert times == sorted(times)
    job = load(sample).job
    log = [entry.id for entry in job.log]
    assert log[log.index("late") - 1] == "260504-090700-s"
    assert (job.posts["P7"].meant_ft, job.posts["P6"].meant_ft) == (129.0, None)
    assert [(size.name, size.value) for size in job.checks[item_key("bracing.P3.band_a")].of.sizes] == [("band", 3.5)]


def test_minor_5_holds_the_parts_of_what_was_sealed() -> None:
    assert all(load(path).job.record.parts == {} for path in SAMPLES[:5])  # type: ignore[union-attr]  # each is signed
    record = load(SAMPLES[5]).job.record
    assert record is not None
    assert record.parts["gates"] == "G1:HHrH"
    assert record.parts["checks.posts.driven_depth"].startswith("P")
    assert len(record.parts_digest) == 16


def test_minor_5_says_of_which_stock_a_thing_was_made_when_it_was_ticked() -> None:
    job = load(SAMPLES[5]).job
    made = {str(key): tick.of.stock for key, tick in job.checks.items() if tick.of.stock}
    assert made == {"cables.L1.closed": ("sleeve-30", "post-8", "cable-3-32"), "posts.P2.driven_depth": ("sleeve-30",)}
    assert job.checks[item_key("posts.P2.driven_depth")].of.words == ("sleeve",)


def test_minor_7_says_what_the_job_before_a_repair_left_open_and_what_it_was_never_asked() -> None:
    checks = load(SAMPLES[7]).job.checks
    told = {str(key): (tick.state, tick.note) for key, tick in checks.items() if tick.state not in ("done", "not needed")}
    assert told == {
        "posts.P5.driven_depth": ("left open", "the client waits for the paving"),
        "cables.job.round_again": ("not asked", ""),
    }


def test_minor_8_keeps_the_file_of_the_job_before_packed_and_the_reasons_of_a_record_that_was_opened_again() -> None:
    job = load(SAMPLES[8]).job
    assert [entry.left_open for entry in job.log if isinstance(entry, ReopenedEntry)][-1] == {"punch_unfinished:job": "rain stopped it"}
    told = job.repair_of
    assert told is not None
    assert told.text == ()
    assert kept_bytes(told, SAMPLES[8]) == b"format = 1\n\n[end]\ncomplete = true\n"


def test_a_limit_that_nothing_asks_any_more_stays_in_a_file_that_has_it_and_the_seal_holds(tmp_path: Path) -> None:
    signed = load(SAMPLES[0]).job
    posts = signed.rules.posts.model_copy(update={"eye_tolerance_in": 0.75})
    assert signed.record is not None
    unsealed = signed.record.model_copy(update={"digest": ""})
    job = signed.model_copy(update={"rules": signed.rules.model_copy(update={"posts": posts}), "record": unsealed})
    path = new(tmp_path / "older.toml", job, state=tmp_path / "state").path
    assert "eye_tolerance_in = 0.75\n" in path.read_text(encoding="utf-8")
    loaded = load(path)
    assert (loaded.seal_holds, loaded.job.rules.posts.eye_tolerance_in) == (True, 0.75)
    assert "eye_tolerance_in" not in new(tmp_path / "newer.toml", signed, state=tmp_path / "state").path.read_text(encoding="utf-8")
