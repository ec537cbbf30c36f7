"""Layouts side by side in one job: nothing of one is lost whatever is done in whatever order."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import entering
from engine.job.edit.alternatives import call_layout, drop_layout, keep_layout, take_layout
from engine.job.edit.edits import accept_layout
from engine.job.errors import EditRefused, EntryRefused
from engine.job.file.from_bytes import read_job
from engine.job.file.store import load, new
from engine.job.merge.merge import merge
from engine.job.model.job import Job, layout_now
from engine.job.model.log_entries import PlannedEntry
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.job.small import NOW
from tests.stages import yards

PLAIN = yards.plain()


def high(job: Job, height_ft: float) -> Job:
    return entering.put(job, "fence", None, {**job.fence.model_dump(), "height_ft": height_ft})


def gate_at(job: Job, station_ft: float) -> Job:
    return entering.put(job, "gates", "G1", {**job.gates["G1"].model_dump(), "station_ft": station_ft})


TWO = high(keep_layout(PLAIN, "six", "6 ft, as first asked"), 5)


def test_a_kept_layout_stands_beside_the_jobs_own() -> None:
    assert TWO.fence.height_ft == 5.0
    assert (TWO.alternatives["six"].fence.height_ft, TWO.alternatives["six"].note) == (6.0, "6 ft, as first asked")
    assert TWO.alternatives["six"].lines == PLAIN.lines


def test_taken_and_taken_back_is_the_job_it_was() -> None:
    taken = take_layout(TWO, "six", "five")
    assert (taken.fence.height_ft, list(taken.alternatives), taken.alternatives["five"].fence.height_ft) == (6.0, ["five"], 5.0)
    assert take_layout(taken, "five", "six", "6 ft, as first asked") == TWO


def test_a_layout_that_is_kept_already_isnt_kept_twice() -> None:
    three = keep_layout(TWO, "five")
    assert list(take_layout(three, "six", "again").alternatives) == ["five"]


def test_level_shots_go_with_the_lines_they_run_along() -> None:
    sloping = yards.sloping()
    kept = keep_layout(sloping, "hill")
    flat = kept.model_copy(update={"shots": {name: shot for name, shot in kept.shots.items() if shot.method != "level"}})
    assert take_layout(flat, "hill", "flat").shots.keys() == sloping.shots.keys()
    assert list(take_layout(flat, "hill", "flat").alternatives["flat"].levels) == []


REFUSED: tuple[Callable[[Job], Job], ...] = (
    lambda job: keep_layout(job, "six"),
    lambda job: keep_layout(job, "no name"),
    lambda job: take_layout(job, "six", "no name"),
    lambda job: take_layout(job, "no", "five"),
    lambda job: drop_layout(job, "no"),
    lambda job: call_layout(job, "no", "a", ""),
)


@pytest.mark.parametrize("edit", REFUSED)
def test_what_isnt_there_or_is_there_already_is_refused(edit: Callable[[Job], Job]) -> None:
    with pytest.raises((EditRefused, EntryRefused)):
        edit(TWO)


def test_once_the_plan_is_accepted_the_log_changes_the_layout() -> None:
    planned = accept_layout(TWO, planned_posts(walk(TWO).layout), NOW, "Ann")
    with pytest.raises(EditRefused) as refused:
        take_layout(planned, "six", "five")
    assert "log a new way" in str(refused.value)
    assert isinstance(planned.log[-1], PlannedEntry)


def test_a_job_without_a_line_keeps_nothing() -> None:
    with pytest.raises(EditRefused):
        keep_layout(yards.empty(), "none")


def test_called_otherwise_it_is_the_same_in_its_place() -> None:
    called = call_layout(keep_layout(TWO, "five"), "six", "high", "dogs jump")
    assert list(called.alternatives) == ["high", "five"]
    assert (called.alternatives["high"].note, called.alternatives["high"].fence) == ("dogs jump", TWO.alternatives["six"].fence)


def test_a_point_of_an_alternative_is_in_use() -> None:
    elsewhere = entering.put(TWO, "lines", "fence", {**TWO.lines["fence"].model_dump(), "points": ("A", "T2", "B")})
    with pytest.raises(EntryRefused) as refused:
        entering.remove(elsewhere, "shots", next(name for name, shot in elsewhere.shots.items() if getattr(shot, "point", "") == "T1"))
    assert "alternative six" in str(refused.value)


def test_a_new_name_is_followed_into_the_alternatives() -> None:
    named = entering.rename(entering.rename_point(TWO, "T1", "oak"), "lines", "fence", "back")
    assert named.alternatives["six"].lines["back"].points == ("A", "oak", "T2", "B")
    assert named.alternatives["six"].gates["G1"].line == "back"
    assert entering.rename_point(entering.rename(named, "lines", "back", "fence"), "oak", "T1") == TWO


def test_a_slip_in_a_file_is_told_with_line_and_field(tmp_path: Path) -> None:
    file = tmp_path / "two.toml"
    new(file, TWO)
    assert load(file).job == TWO
    text = file.read_text(encoding="utf-8")
    at = text.index("[alternatives.six.gates.G1]")
    with pytest.raises(Exception, match=r'Alternative six: Gate G1 names the line "fenc"') as told:
        read_job(file, (text[:at] + text[at:].replace('line = "fence"', 'line = "fenc"', 1)).encode())
    assert f":{text[:at].count(chr(10)) + 2}:" in str(told.value) or f"line {text[:at].count(chr(10)) + 2}" in str(told.value)


def test_a_layout_taken_on_one_laptop_stands_beside_the_one_taken_on_the_other() -> None:
    """Six feet with the gate near on one, six with the gate far on the other: the joined one is the second, the first stays."""
    base = high(keep_layout(high(gate_at(TWO, 20), 6), "far"), 5)
    base = gate_at(base, TWO.gates["G1"].station_ft)
    ours, theirs = take_layout(base, "six", "five"), take_layout(base, "far", "five")
    one, other = merge(base, ours, theirs), merge(base, theirs, ours)
    assert one.job == other.job
    assert (one.job.gates["G1"].station_ft, one.job.fence.height_ft, one.conflicts) == (20.0, 6.0, ())
    assert {name: row.fence.height_ft for name, row in one.job.alternatives.items()} == {"five": 5.0, "six": 6.0}
    assert one.job.alternatives["six"] == base.alternatives["six"]


def test_a_point_called_otherwise_on_one_laptop_is_called_so_in_what_the_other_kept() -> None:
    """Nothing is asked, whichever side is named first, and whoever opens the other's job is told the new name."""
    named, kept = entering.rename_point(TWO, "T1", "oak"), keep_layout(TWO, "low", "as it is")
    there, here = merge(TWO, kept, named), merge(TWO, named, kept)
    assert (there.conflicts, here.conflicts, there.job) == ((), (), here.job)
    assert {name: row.lines["fence"].points for name, row in there.job.alternatives.items()} == {
        "six": ("A", "oak", "T2", "B"),
        "low": ("A", "oak", "T2", "B"),
    }
    assert there.job.lines["fence"].points == ("A", "oak", "T2", "B")
    assert "Point T1 is called oak now." in there.came_in
    assert here.came_in[0] != "Point T1 is called oak now."


def test_a_point_called_otherwise_on_both_laptops_is_asked() -> None:
    merged = merge(TWO, entering.rename_point(TWO, "T1", "oak"), entering.rename_point(TWO, "T1", "elm"))
    assert merged.conflicts != ()


TAKEN = take_layout(TWO, "six", "five")
EDITS: dict[str, Callable[[Job], Job]] = {
    "high": lambda job: high(job, 6),
    "low": lambda job: high(job, 4),
    "gate": lambda job: gate_at(job, 20),
    "gate back": lambda job: gate_at(job, 75),
    "keep a": lambda job: keep_layout(job, "a"),
    "keep b": lambda job: keep_layout(job, "b"),
    "take a": lambda job: take_layout(job, "a", "mine"),
    "take b": lambda job: take_layout(job, "b", "own"),
    "take six": lambda job: take_layout(job, "six", "five"),
    "take mine": lambda job: take_layout(job, "mine", "a"),
}


def bare(job: Job) -> list[object]:
    """Every layout of a job, its own and those beside it."""
    return [layout.model_copy(update={"note": ""}) for layout in (layout_now(job), *job.alternatives.values())]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(sorted(EDITS)), max_size=12))
def test_keeping_and_taking_loses_no_layout(chain: list[str]) -> None:
    job = PLAIN
    for name in chain:
        before = job
        try:
            job = EDITS[name](job)
        except (EditRefused, EntryRefused):
            continue
        if name.startswith(("keep", "take")):
            assert all(layout in bare(job) for layout in bare(before))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(sorted(EDITS)), max_size=5), st.lists(st.sampled_from(sorted(EDITS)), max_size=5))
def test_two_laptops_make_one_job_of_it_whichever_is_named_first(mine: list[str], yours: list[str]) -> None:
    def after(chain: list[str]) -> Job:
        job = TWO
        for name in chain:
            try:
                job = EDITS[name](job)
            except (EditRefused, EntryRefused):
                continue
        return job

    ours, theirs = after(mine), after(yours)
    one, other = merge(TWO, ours, theirs, "ours"), merge(TWO, theirs, ours, "theirs")
    assert one.job == other.job
    asked = {conflict.path for conflict in one.conflicts}
    for side in (ours, theirs):
        took_six = "six" not in side.alternatives and layout_now(side) == layout_now(TAKEN)
        assert not took_six or layout_now(TAKEN) in bare(one.job)
    for name in ours.alternatives.keys() | theirs.alternatives.keys():
        here, there = ours.alternatives.get(name), theirs.alternatives.get(name)
        held = one.job.alternatives.get(name)
        assert held in (here, there)
        if held != there and there is not None and there != TWO.alternatives.get(name):
            assert asked
