"""Edits: each gives a new job and leaves the old one, writes what was asked, and refuses the rest in a crew's words."""

import re
from collections.abc import Callable, Iterable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.file.store import load, new
from engine.job.model.fence import Post
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, PlannedEntry, ReopenedEntry, SignedEntry, SupersededEntry
from engine.job.model.plan_before import PlanBefore
from engine.job.model.signed_record import Record
from tests.demo import AT, BY, accepted, demo

Edit = Callable[[Job], Job]

RECORD = Record(signed_at=AT, signed_by=BY, accepted_by="the client", engine="0.1.0")
POSTS = {"P1": Post(line="back", station_ft=0, kind="end"), "P2": Post(line="back", station_ft=20, kind="end")}

EDITS: dict[str, Edit] = {
    "tick": lambda job: edits.tick(job, item_key("layout.P5.flag"), AT, BY),
    "untick": lambda job: edits.untick(job, item_key("layout.P4.flag"), AT, BY),
    "accept": lambda job: edits.accept_layout(job, POSTS, AT, BY),
    "obstacle": lambda job: edits.obstacle(job, "rock", "back", 83, AT, BY, offset_ft=-1, radius_ft=2, text="ledge"),
    "move": lambda job: edits.move_post(job, "P6", AT, BY, along_ft=2, out_ft=0.5, why="rock"),
    "swap": lambda job: edits.swap_to_tree(job, "P11", "dogwood", AT, BY, why="roots"),
    "add": lambda job: edits.add_post(job, "back", 200, AT, BY, why="long bay"),
    "drop": lambda job: edits.drop_post(job, "P6", AT, BY, why="not needed"),
    "note": lambda job: edits.note(job, "Soft ground.", AT, BY, about="P6"),
    "photo": lambda job: edits.photo(job, "photos/rock.jpg", AT, BY, about="P6", line="back", station_ft=83, caption="ledge"),
    "photos of a tick": lambda job: edits.photos_of_tick(job, item_key("layout.P4.flag"), ("flag.jpg",)),
    "sign": lambda job: edits.sign(job, RECORD, AT, BY, "the client"),
}


def sealed() -> Job:
    return edits.sign(accepted(), RECORD, AT, BY, "the client")


def without(job: Job, *tables: str) -> dict[str, Any]:
    return {name: getattr(job, name) for name in Job.model_fields if name not in tables}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_leaves_the_old_job_as_it_was(name: str) -> None:
    job = edits.tick(accepted(), item_key("layout.P4.flag"), AT, BY)
    before = job.model_dump_json()
    after = EDITS[name](job)
    assert job.model_dump_json() == before
    assert after != job


@pytest.mark.parametrize("name", EDITS)
def test_a_sealed_job_refuses_every_edit_but_reopening(name: str) -> None:
    with pytest.raises(EditRefused, match="signed off and sealed"):
        EDITS[name](sealed())


@pytest.mark.parametrize("name", EDITS)
def test_an_edited_job_opens_again_as_it_is(name: str, tmp_path: Path) -> None:
    job = EDITS[name](edits.tick(accepted(), item_key("layout.P4.flag"), AT, BY))
    made = new(tmp_path / "job.toml", job, AT, state=tmp_path / "state")
    assert load(made.path).job == made.job
    assert without(made.job, "record") == without(job, "record")


def test_an_edit_touches_only_its_own_tables() -> None:
    job = accepted()
    job = edits.tick(job, item_key("layout.P4.flag"), AT, BY)
    touched = {
        "tick": ("checks",),
        "photos of a tick": ("checks",),
        "untick": ("checks",),
        "accept": ("posts", "log"),
        "sign": ("log", "record"),
    }
    for name, edit in EDITS.items():
        tables = touched.get(name, ("log",))
        assert without(edit(job), *tables) == without(job, *tables), name


def test_a_tick_keeps_its_reading_time_name_and_note() -> None:
    row = edits.tick(demo(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22.5, note="solid").checks[
        item_key("posts.P4.driven_depth")
    ]
    assert (row.state, row.at, row.by, row.reading_ft, row.reading_in, row.note) == ("done", AT, "Mo Teal", None, 22.5, "solid")
    assert row.reading == 22.5


def test_a_tick_in_feet_and_one_not_needed() -> None:
    assert (
        edits.tick(demo(), item_key("gate.side.opening"), AT, BY, reading_ft=5.1667).checks[item_key("gate.side.opening")].reading == 5.1667
    )
    assert (
        edits.tick(demo(), item_key("layout.side.clear"), AT, BY, needed=False).checks[item_key("layout.side.clear")].state == "not needed"
    )


def test_the_later_tick_of_an_item_wins_and_the_others_stay() -> None:
    job = edits.tick(edits.tick(demo(), item_key("layout.P2.flag"), AT, "Mo"), item_key("layout.P3.flag"), AT, "Mo")
    job = edits.tick(job, item_key("layout.P2.flag"), AT + timedelta(hours=1), "Teal")
    assert {key: row.by for key, row in job.checks.items()} == {item_key("layout.P2.flag"): "Teal", item_key("layout.P3.flag"): "Mo"}


def test_opening_an_item_again_takes_its_tick_away_and_only_that() -> None:
    job = edits.tick(edits.tick(demo(), item_key("layout.P2.flag"), AT, BY), item_key("layout.P3.flag"), AT, BY)
    assert list(edits.untick(job, item_key("layout.P2.flag"), AT, BY).checks) == [item_key("layout.P3.flag")]
    assert edits.untick(demo(), item_key("layout.P2.flag"), AT, BY) == demo()


def test_why_an_item_was_not_needed_stays_in_the_log_once_it_is_opened_or_read() -> None:
    depth = item_key("posts.P4.driven_depth")
    unneeded = edits.tick(accepted(), depth, AT, BY, note="rock there", needed=False)
    later = AT + timedelta(hours=1)
    opened = edits.untick(unneeded, depth, later, BY)
    read = edits.tick(unneeded, depth, later, BY, reading_in=28.0)
    told = edits.tick(unneeded, depth, later, BY, note="a root there", needed=False)
    for job in (opened, read, told):
        entry = job.log[-1]
        assert isinstance(entry, SupersededEntry)
        assert (entry.item, entry.state, entry.text) == (depth, "not needed", "rock there")
    assert edits.tick(unneeded, depth, later, BY, note="rock there", needed=False).log == unneeded.log


def test_accepting_keeps_the_plan_and_says_so_in_the_log() -> None:
    job = accepted()
    assert list(job.posts) == [f"P{number}" for number in range(1, 17)]
    assert (job.posts["P7"].support, job.posts["P7"].at, job.posts["P9"].kind) == ("tree", "oak", "corner")
    assert job.log == (PlannedEntry(id=job.log[0].id, at=AT, by=BY, kind="planned", supports=16, before=PlanBefore()),)


def test_what_happened_stands_last_in_the_log_with_all_its_fields() -> None:
    def last(name: str) -> dict[str, Any]:
        return EDITS[name](accepted()).log[-1].model_dump(exclude={"id", "at", "by", "struck_at", "struck_by", "east_ft", "north_ft"})

    assert last("obstacle") == {
        **{"kind": "obstacle", "what": "rock", "line": "back", "station_ft": 83.0},
        **{"offset_ft": -1.0, "radius_ft": 2.0, "long_ft": None, "wide_ft": None, "text": "ledge"},
    }
    assert last("move") == {"kind": "move", "post": "P6", "along_ft": 2.0, "out_ft": 0.5, "why": "rock"}
    assert last("swap") == {"kind": "swap", "post": "P11", "tree": "dogwood", "why": "roots"}
    assert last("add") == {
        **{"kind": "add", "post": "P17", "line": "back", "station_ft": 200.0},
        **{"offset_ft": 0.0, "post_kind": "line", "why": "long bay"},
    }
    assert last("drop") == {"kind": "drop", "post": "P6", "why": "not needed"}
    assert last("note") == {"kind": "note", "about": "P6", "text": "Soft ground."}
    assert last("sign") == {"kind": "signed", "accepted_by": "the client", "text": ""}


def test_signing_seals_and_reopening_takes_the_record_out_with_the_reason_logged() -> None:
    job = sealed()
    assert job.record == RECORD
    assert isinstance(job.log[-1], SignedEntry)
    opened = edits.reopen(job, "one more gate", AT, BY)
    assert opened.record is None
    assert isinstance(opened.log[-1], ReopenedEntry)
    assert opened.log[-1].why == "one more gate"
    assert [(entry.struck_at, entry.struck_by) for entry in opened.log if entry.kind == "signed"] == [(AT, BY)]
    assert edits.note(opened, "again open", AT, BY).log[-1].kind == "note"


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (lambda job: edits.move_post(job, "P99", AT, BY, along_ft=1), "P99 is not in the accepted plan"),
        (lambda job: edits.drop_post(job, "P99", AT, BY), "P99 is not in the accepted plan"),
        (lambda job: edits.swap_to_tree(job, "P99", "oak", AT, BY), "choose a post that is in it"),
        (lambda job: edits.swap_to_tree(job, "P6", "elm", AT, BY), "There is no tree elm in this job. It has: oak, hickory, dogwood."),
        (lambda job: edits.obstacle(job, "rock", "front", 3, AT, BY), "There is no line front in this job. It has: back."),
        (lambda job: edits.add_post(job, "front", 3, AT, BY), "There is no line front in this job. It has: back."),
        (lambda job: edits.move_post(job, "P6", AT, BY), "P6 would stay where it is"),
        (lambda job: edits.note(job, " \n ", AT, BY), "A note needs some words."),
        (lambda job: edits.accept_layout(job, {}, AT, BY), "There is nothing to accept yet"),
        (lambda job: edits.reopen(job, "why not", AT, BY), "isn't signed off, so there is nothing to reopen"),
        (lambda _: edits.reopen(sealed(), "  ", AT, BY), "Say why the job is being reopened."),
    ],
)
def test_what_cannot_be_is_refused_in_words(edit: Edit, words: str) -> None:
    with pytest.raises(EditRefused) as refused:
        edit(accepted())
    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (lambda job: edits.obstacle(job, "rock", "back", 30_000, AT, BY), "Station (ft): 30000 is out of range: it must be at most"),
        (lambda job: edits.obstacle(job, "rock", "back", 3, AT, BY, radius_ft=0), "Radius (ft): 0 is out of range: it must be over 0."),
        (lambda job: edits.add_post(job, "back", -2.5, AT, BY), "Station (ft): -2.5 is out of range: it must be at least 0."),
        (lambda job: edits.move_post(job, "P6", AT, BY, out_ft=float("nan")), "Out (ft): nan is given where a number"),
        (lambda job: edits.tick(job, item_key("layout.side.clear"), AT, BY, reading_in=-1), "Reading (in): -1 is out of range"),
        (lambda job: edits.tick(job, item_key("layout.side.clear"), AT, BY, reading_in=1, reading_ft=1), "a tick has one reading"),
        (lambda job: edits.note(job, "soft " * 500, AT, BY), "Text: the text is longer than 2,000 characters. Shorten it."),
    ],
)
def test_a_length_no_tape_gives_is_refused_in_words(edit: Edit, words: str) -> None:
    with pytest.raises(EditRefused) as refused:
        edit(accepted())
    assert words in str(refused.value)


def test_nothing_is_moved_added_or_dropped_before_a_plan_is_accepted() -> None:
    for name in ("move", "swap", "drop", "add"):
        with pytest.raises(EditRefused, match="Accept the layout first"):
            EDITS[name](demo())


def test_a_dropped_post_is_gone_and_an_added_one_stands() -> None:
    job = edits.add_post(edits.drop_post(accepted(), "P6", AT, BY), "back", 84, AT, BY)
    assert edits.move_post(job, "P17", AT, BY, along_ft=1).log[-1].kind == "move"
    with pytest.raises(EditRefused, match=r"^P6 is not"):
        edits.move_post(job, "P6", AT, BY, along_ft=1)


def test_a_plan_accepted_anew_counts_as_it_is_whatever_the_log_dropped_before() -> None:
    job = edits.accept_layout(edits.drop_post(accepted(), "P6", AT, BY), accepted().posts, AT, BY)
    assert edits.move_post(job, "P6", AT, BY, along_ft=1).log[-1].kind == "move"


def test_log_ids_are_readable_and_each_is_new() -> None:
    assert edits.entry_id(demo(), AT, "Mo Teal") == "260414-093000-mt"
    assert edits.entry_id(demo(), AT, "  ") == "260414-093000-x"
    assert edits.entry_id(demo(), AT, "Ana B C D E F") == "260414-093000-abcd"
    job = demo()
    for _ in range(4):
        job = edits.note(job, "same second", AT, BY)
    stem = job.log[0].id
    assert re.fullmatch(r"260414-093000-mt-[0-9a-f]{4}", stem)
    assert [entry.id for entry in job.log] == [f"{stem}{behind}" for behind in ("", "-2", "-3", "-4")]
    other = edits.note(demo(), "other words in the same second", AT, BY)
    assert other.log[0].id != stem


def test_no_post_id_is_used_twice() -> None:
    assert edits.next_post_id(demo()) == "P1"
    assert edits.next_post_id(demo(), {"P16": None}) == "P17"
    assert edits.next_post_id(accepted()) == "P17"
    twice = edits.add_post(edits.add_post(accepted(), "back", 84, AT, BY), "back", 90, AT, BY)
    assert [entry.post for entry in twice.log if isinstance(entry, AddEntry)] == ["P17", "P18"]


def test_an_id_that_the_log_or_a_tick_still_names_is_not_given_again() -> None:
    rest = {name: post for name, post in accepted().posts.items() if name != "P16"}
    dropped = edits.accept_layout(edits.drop_post(accepted(), "P16", AT, BY), rest, AT, BY)
    assert edits.next_post_id(dropped) == "P17"
    ticked = edits.tick(demo(), item_key("posts.P20.plumb"), AT, BY)
    assert edits.next_post_id(ticked) == "P21"


FLAGS = [item_key("layout.P2.flag"), item_key("layout.P3.flag")]
STEPS: dict[str, st.SearchStrategy[Edit]] = {
    "note": st.builds(lambda text: lambda job: edits.note(job, text, AT, BY), st.sampled_from(["rock", "wet", "gate side"])),
    "tick": st.builds(lambda key: lambda job: edits.tick(job, key, AT, BY), st.sampled_from(FLAGS)),
    "untick": st.builds(lambda key: lambda job: edits.untick(job, key, AT, BY), st.sampled_from(FLAGS)),
    "move": st.builds(
        lambda post, feet: lambda job: edits.move_post(job, post, AT, BY, along_ft=feet),
        st.sampled_from(["P4", "P6", "P17"]),
        st.floats(-3, 3, allow_nan=False).filter(lambda feet: abs(feet) > 0.01),
    ),
    "add": st.builds(lambda feet: lambda job: edits.add_post(job, "back", feet, AT, BY), st.floats(0, 260, allow_nan=False)),
    "drop": st.builds(lambda post: lambda job: edits.drop_post(job, post, AT, BY), st.sampled_from(["P4", "P6"])),
}


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(*STEPS.values()), max_size=12))
def test_the_jobs_before_any_run_of_edits_stay_what_they_were(steps: Iterable[Edit]) -> None:
    jobs, dumps = [accepted()], [accepted().model_dump_json()]
    for step in steps:
        try:
            job = step(jobs[-1])
        except EditRefused:
            continue
        jobs.append(job)
        dumps.append(job.model_dump_json())
    assert [job.model_dump_json() for job in jobs] == dumps
    ids = [entry.id for entry in jobs[-1].log]
    assert len(set(ids)) == len(ids)
    added = [entry.post for entry in jobs[-1].log if isinstance(entry, AddEntry)]
    assert len(set(added)) == len(added)
    assert not set(added) & set(jobs[-1].posts)
    assert all(later.log[: len(job.log)] == job.log for job in jobs for later in jobs[jobs.index(job) :])


def test_a_reading_that_somebody_else_reads_alike_stays_theirs_in_the_log() -> None:
    depth = item_key("posts.P1.driven_depth")
    job = edits.tick(edits.tick(Job(), depth, AT, "Al", reading_in=30), depth, AT + timedelta(hours=1), "Bo", reading_in=30)
    assert (job.checks[depth].by, job.checks[depth].reading_in) == ("Bo", 30.0)
    entry = job.log[-1]
    assert isinstance(entry, SupersededEntry)
    assert (entry.done_by, entry.reading_in, entry.by) == ("Al", 30.0, "Bo")
