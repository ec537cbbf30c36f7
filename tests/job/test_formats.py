"""A file of every format ever released still opens, with everything in it. A new format adds a file here; none is ever changed."""

from pathlib import Path

import pytest

from engine.job.job import FORMAT, Job
from engine.job.store import load, new
from engine.walk import walk

SAMPLES = sorted(Path(__file__).with_name("formats").glob("format_*.toml"))


def test_there_is_one_of_each_format() -> None:
    assert [path.name for path in SAMPLES] == [f"format_{number}.toml" for number in range(1, FORMAT + 1)]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_it_opens_whole_and_unchanged(sample: Path, tmp_path: Path) -> None:
    loaded = load(sample)
    assert (loaded.read_only_reason, loaded.seal_holds) == (None, True)
    again = new(tmp_path / "again.toml", loaded.job, state=tmp_path / "state")
    assert load(again.path).job == loaded.job
    assert walk(loaded.job).layout.accepted


def test_format_1_holds_every_table_and_every_kind() -> None:
    job = load(SAMPLES[0]).job
    younger = {"surfaces", "heights"}
    tables = set(Job.model_fields) - {"format"} - younger
    assert [name for name in tables if getattr(job, name) == Job.model_fields[name].default] == []
    assert [getattr(job, name) for name in younger] == [{}, {}]
    assert {shot.method for shot in job.shots.values()} == {"tie", "tape", "offset", "leg", "paces", "level"}
    assert [entry.kind for entry in job.log] == [
        *("planned", "obstacle", "move", "swap", "add", "drop", "note"),
        *("signed", "reopened", "signed"),
    ]
    assert job.checks["posts.P3.driven_depth"].reading_in == 18.5
    assert job.posts["P7"].offset_ft == 0.25
    assert job.rules.layout.bay_max_ft == 24.0
    assert job.record is not None
    assert job.record.left_open == {"apron_gone:P3-P4": "flagstone follows"}
