"""Sleeves that stay in the ground: which, where, and that the record and its seal hold them."""

import csv
import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.consequences import consequences
from engine.change.new_way.given_up import NewWay
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.file.store import load, new, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import tick_facts
from engine.paper.as_built import build_record
from engine.paper.record_office import office_tables
from engine.paper.tables.csv_tables import record_csv
from engine.walk import walk
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT, BY

WEEK = timedelta(days=7)


def driven(job: Job, *names: str, at: datetime = AT) -> Job:
    for name in names:
        job = edits.tick(job, item_key(f"posts.{name}.driven_depth"), at, BY, reading_in=24)
    return job


def left(job: Job) -> list[tuple[str, str, tuple[float, float] | None]]:
    found = [sleeve for sleeve in walk(job).posts.old_sleeves if sleeve.stays]
    return [(one.post, one.what, one.there and (round(one.there[0], 3), round(one.there[1], 3))) for one in found]


def test_nothing_is_left_where_nothing_went() -> None:
    assert left(driven(line_of(), "P3", "P4")) == []


@pytest.mark.closed_form
def test_a_post_left_out_after_a_week_leaves_its_sleeve_where_it_stood() -> None:
    """P4 stands 60 ft up a line due north, moved 1.5 ft on and 2 ft to its right before it was driven."""
    job = edits.move_post(line_of(), "P4", AT, BY, along_ft=1.5, out_ft=2)
    job = driven(job, "P4")
    assert left(edits.drop_post(job, "P4", AT + WEEK, BY)) == [("P4", "post left out", (2.0, 61.5))]
    assert left(edits.drop_post(job, "P4", AT + WEEK - timedelta(minutes=1), BY)) == []


@pytest.mark.closed_form
def test_a_post_moved_after_a_week_leaves_the_old_sleeve_and_one_driven_anew_is_in_the_new_hole() -> None:
    job = edits.move_post(driven(line_of(), "P4"), "P4", AT + WEEK, BY, along_ft=3)
    assert left(job) == [("P4", "post moved", (0.0, 60.0))]
    again = edits.move_post(job, "P4", AT + 2 * WEEK, BY, along_ft=-1)
    assert left(again) == [("P4", "post moved", (0.0, 60.0))]  # nothing was driven at 63 ft


def test_a_post_that_was_never_driven_leaves_nothing() -> None:
    assert left(edits.drop_post(line_of(), "P4", AT + WEEK, BY)) == []


def test_what_was_taken_back_leaves_nothing() -> None:
    job = edits.drop_post(driven(line_of(), "P4"), "P4", AT + WEEK, BY)
    struck = job.log[-1].model_copy(update={"struck_at": AT + WEEK, "struck_by": BY})
    assert left(job.model_copy(update={"log": (*job.log[:-1], struck)})) == []


@pytest.mark.closed_form
def test_a_new_way_leaves_what_it_says_where_it_stood_on_the_line_as_it_ran() -> None:
    job = another_way(driven(line_of(), "P4"), NewWay("P3", "P5", ("N",)), AT + WEEK)
    assert left(job) == [("P4", "came out with a new way", (0.0, 60.0))]


def test_the_record_and_its_tables_hold_them_and_the_seal_too(tmp_path: Path) -> None:
    job = edits.drop_post(driven(line_of(), "P4"), "P4", AT + WEEK, BY)
    record = build_record(job, walk(job), AT + WEEK, BY, "the client", {})
    assert record.sleeves_left["P4"].model_dump(exclude={"at"}) == {
        "what": "post left out", "line": "n", "station_ft": 60.0, "east_ft": 0.0, "north_ft": 60.0,
        "tie_a": "30' 0\" from N", "tie_b": "60' 0\" from S",
    }  # fmt: skip
    loaded = new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state")
    signed = save(loaded, edits.sign(job, record, AT + WEEK, BY, "the client"), AT + WEEK, state=tmp_path / "state")
    again = load(signed.path)
    assert (again.seal_holds, again.job.record and again.job.record.sleeves_left) == (True, record.sleeves_left)
    table = next(table for table in office_tables(again.job, walk(again.job)) if table.title == "Sleeves left in the ground")
    assert table.rows == (("P4", "post left out", "2026-04-21", "60' 0\" on n", "30' 0\" from N", "60' 0\" from S", "0.00", "60.00"),)
    told = next(csv.DictReader(io.StringIO(record_csv(again.job, walk(again.job))["sleeves-left-in-the-ground"], newline="")))
    assert [told[f"{which}_tape_{what}"] for which in ("first", "second") for what in ("ft", "from")] == ["30", "N", "60", "S"]


def item_of(job: Job) -> str:
    return next(line.item.says for line in walk(job).checklists["posts"].lines if line.item.key == OLD)


OLD = item_key("posts.P4.0_00E_60_00N.old_sleeve")


def sleeves(job: Job) -> tuple[float, float]:
    row = next(row for row in walk(job).takeoff.rows if row.stock == job.fence.sleeve)
    return row.needed, row.used


@pytest.mark.closed_form
def test_what_became_of_an_old_sleeve_is_asked_and_counted() -> None:
    """Seven posts stand; a week-old sleeve of P4 stays when it is moved, so eight are needed, and of two driven two are used. A younger one
    goes in again: it is in the ground, and used, until somebody says that it is out, whether P4 is driven anew before that or not."""
    job = driven(line_of(), "P3", "P4")
    needed, used = sleeves(job)
    old, young = (edits.move_post(job, "P4", at, BY, along_ft=2) for at in (AT + WEEK, AT + timedelta(days=1)))

    assert used == 2
    assert sleeves(old) == (needed + 1, 2)
    assert sleeves(young) == (needed, 2)
    again = now(young, DEPTH, AT + timedelta(days=2), 24)
    assert [sleeves(edits.tick(job, OLD, AT + timedelta(days=2), BY)) for job in (young, again)] == [(needed, 1), (needed, 2)]
    assert sleeves(again) == (needed, 3)
    assert item_of(old) == "P4: the old sleeve at 60' 0\" of n cut off below the ground and filled, it stays"
    assert item_of(young) == "P4: the old sleeve at 60' 0\" of n pulled, its hole filled"
    came_out = edits.tick(old, OLD, AT + WEEK, BY, needed=False, note="it pulled after all")
    assert (left(came_out), sleeves(came_out)) == ([], (needed, 1))


def test_a_sleeve_that_would_not_come_out_is_said_in_the_log() -> None:
    job = edits.move_post(driven(line_of(), "P4"), "P4", AT + timedelta(days=1), BY, along_ft=2)
    said = edits.sleeve_left(job, "P4", (0.0, 60.0), AT + timedelta(days=2), BY, why="it broke")

    assert (left(job), left(said)) == ([], [("P4", "post moved", (0.0, 60.0))])
    assert OLD not in {line.item.key for line in walk(said).checklists["posts"].lines}
    found = consequences(walk(job), walk(said))
    assert ([one.key for one in found.said], found.opened, found.sleeves) == ([OLD], (), ())
    assert consequences(walk(said), walk(said)).said == consequences(walk(said), walk(job)).said == ()


def test_a_reading_put_right_in_the_same_hole_is_no_second_sleeve_and_one_taken_back_is_none() -> None:
    at_p4 = next(item.of for item in walk(line_of()).posts.items if item.key == item_key("posts.P4.driven_depth"))
    depth = item_key("posts.P4.driven_depth")
    once = edits.tick(line_of(), depth, AT, BY, reading_in=24, of=at_p4)
    again = edits.tick(once, depth, AT + timedelta(hours=1), BY, reading_in=26, of=at_p4)
    back = edits.move_post(edits.untick(once, depth, AT, BY), "P4", AT + WEEK, BY, along_ft=2)

    assert (walk(again).posts.old_sleeves, walk(back).posts.old_sleeves) == ((), ())
    moved = edits.move_post(again, "P4", AT + 2 * WEEK, BY, along_ft=2)
    assert left(moved) == [("P4", "post moved", (0.0, 60.0))]
    there = next(item.of for item in walk(moved).posts.items if item.key == depth)
    assert left(edits.tick(moved, depth, AT + 2 * WEEK, BY, reading_in=25, of=there)) == [("P4", "post moved", (0.0, 60.0))]


DEPTH = item_key("posts.P4.driven_depth")


def now(job: Job, key: ItemKey, at: datetime, reading_in: float | None = None) -> Job:
    """The job with an item ticked for what it is about today."""
    of = next(item.of for item in walk(job).posts.items if item.key == key)
    return edits.tick(job, key, at, BY, reading_in=reading_in, of=of)


def state(job: Job, key: ItemKey) -> str:
    return walk(job).checklists["posts"].by_key[key].state


def test_a_post_that_comes_back_to_a_sleeve_that_was_pulled_is_driven_anew() -> None:
    away = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=2)
    pulled = now(away, OLD, AT + timedelta(days=1, hours=1))
    at = AT + timedelta(days=2)
    back = edits.move_post(pulled, "P4", at, BY, along_ft=-2)
    struck = strike(pulled, away.log[-1].id, at, BY)

    assert state(edits.move_post(away, "P4", at, BY, along_ft=-2), DEPTH) == "done"  # nobody pulled it
    assert (state(back, DEPTH), state(struck, DEPTH)) == ("open", "open")
    assert walk(back).posts.work["P4"].driven_in is None
    assert (state(back, OLD), left(back)) == ("done", [])
    anew = now(back, DEPTH, at, 23)
    assert (state(anew, DEPTH), walk(anew).posts.work["P4"].driven_in) == ("done", 23)
    assert state(edits.untick(back, OLD, at, BY), DEPTH) == "done"


def test_a_sleeve_cut_off_where_its_post_comes_back_stays_and_another_is_driven() -> None:
    away = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + WEEK, BY, along_ft=2)
    cut = edits.sleeve_left(away, "P4", (0.0, 60.0), AT + WEEK, BY)
    back = edits.move_post(cut, "P4", AT + 2 * WEEK, BY, along_ft=-2)

    assert (state(back, DEPTH), left(back)) == ("open", [("P4", "post moved", (0.0, 60.0))])


def test_the_second_sleeve_of_one_hole_is_asked_about_too() -> None:
    job = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=2)
    job = edits.move_post(now(job, OLD, AT + timedelta(days=1)), "P4", AT + timedelta(days=2), BY, along_ft=-2)
    job = edits.move_post(now(job, DEPTH, AT + timedelta(days=2), 24), "P4", AT + timedelta(days=3), BY, along_ft=2)

    assert [(str(sleeve.key), state(job, sleeve.key)) for sleeve in walk(job).posts.old_sleeves] == [
        ("posts.P4.0_00E_60_00N.old_sleeve", "done"),
        ("posts.P4.0_00E_60_00N-2.old_sleeve", "open"),
    ]


@pytest.mark.parametrize("later", [timedelta(minutes=-30), timedelta(minutes=30)])
def test_a_sleeve_driven_where_the_other_laptop_had_moved_its_post_from_is_asked_about(later: timedelta) -> None:
    moved = edits.move_post(line_of(), "P4", AT, BY, along_ft=2)
    both = merge(line_of(), now(line_of(), DEPTH, AT + later, 24), moved).job

    assert state(both, DEPTH) == "open"
    assert [(sleeve.post, sleeve.there) for sleeve in walk(both).posts.old_sleeves] == [("P4", (0.0, 60.0))]
    assert state(both, OLD) == "open"


@pytest.mark.closed_form
@pytest.mark.parametrize(("days", "stays"), [(1, False), (8, True)])
def test_a_sleeve_driven_where_a_struck_entry_had_put_its_post_is_asked_about(days: int, stays: bool) -> None:
    """P4 moved 2 ft on to 62 and driven there, and P8 added at 70 and driven: both entries are struck."""
    moved = edits.add_post(edits.move_post(line_of(), "P4", AT, BY, along_ft=2), "n", 70, AT, BY)
    job = now(now(moved, DEPTH, AT, 24), item_key("posts.P8.driven_depth"), AT, 24)
    for entry in moved.log:
        job = strike(job, entry.id, AT + timedelta(days=days), BY)
    found = [(one.post, one.what, one.stays, one.there) for one in walk(job).posts.old_sleeves]
    assert found == [("P4", "struck from the log", stays, (0.0, 62.0)), ("P8", "struck from the log", stays, (0.0, 70.0))]
    assert (state(job, DEPTH), state(job, item_key("posts.P4.0_00E_62_00N.old_sleeve"))) == ("open", "open")
    assert walk(edits.untick(job, DEPTH, AT, BY)).posts.old_sleeves[0].post == "P8"


def asked(job: Job) -> dict[str, str]:
    return {str(line.item.key): line.state for line in walk(job).checklists["posts"].lines if line.item.key.what == "old_sleeve"}


def twice_driven() -> Job:
    """P4 driven at 60 ft, moved to 62 and driven there, moved to 64."""
    job = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=2)
    return edits.move_post(now(job, DEPTH, AT + timedelta(days=1), 25), "P4", AT + timedelta(days=2), BY, along_ft=2)


FIRST, SECOND = "posts.P4.0_00E_60_00N.old_sleeve", "posts.P4.0_00E_62_00N.old_sleeve"
AT_THREE = AT + timedelta(days=3)


def test_the_tick_of_a_second_sleeve_stays_its_own_when_the_post_moves_back_to_the_first() -> None:
    pulled = now(twice_driven(), item_key(SECOND), AT + timedelta(days=2, hours=1))
    back = edits.move_post(pulled, "P4", AT_THREE, BY, along_ft=-4)

    assert asked(pulled) == {FIRST: "open", SECOND: "done"}
    assert asked(back) == {SECOND: "done"}
    assert {key for key in back.checks if key.stage == "posts"} <= walk(back).checklists["posts"].by_key.keys()


def test_sleeves_that_older_files_ticked_by_number_keep_those_keys_in_any_order() -> None:
    facts = {f"posts.P4{n}.old_sleeve": f"P4.{at} at 0.000 E {60 + 2 * (at - 1)}.000 N; old sleeve" for n, at in (("", 1), (".2", 2))}
    job = twice_driven()
    for key, of in facts.items():
        job = edits.tick(job, item_key(key), AT_THREE, BY, of=tick_facts(of))
    assert asked(job) == dict.fromkeys(facts, "done")
    assert asked(edits.move_post(edits.untick(job, item_key("posts.P4.old_sleeve"), AT_THREE, BY), "P4", AT_THREE, BY, along_ft=-4)) == {
        "posts.P4.2.old_sleeve": "done"
    }


def test_a_hand_written_tick_without_its_place_is_read_by_number() -> None:
    job = edits.tick(twice_driven(), item_key("posts.P4.2.old_sleeve"), AT_THREE, BY)
    assert asked(job) == {FIRST: "open", "posts.P4.2.old_sleeve": "done"}


def test_of_two_laptops_whose_new_posts_share_a_name_the_old_sleeve_follows_the_one_that_is_called_anew() -> None:
    here, there = edits.add_post(line_of(), "n", 30, AT, BY), edits.add_post(line_of(), "n", 70, AT + timedelta(hours=1), "Bo")
    driven_there = now(there, item_key("posts.P8.driven_depth"), AT + timedelta(hours=2), 24)
    moved = edits.move_post(driven_there, "P8", AT + timedelta(days=1), "Bo", along_ft=2)
    pulled = now(moved, item_key("posts.P8.0_00E_70_00N.old_sleeve"), AT + timedelta(days=1))
    for one, other in ((here, pulled), (pulled, here)):
        assert asked(merge(line_of(), one, other).job) == {"posts.P9.0_00E_70_00N.old_sleeve": "done"}


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["drive", "move", "pull", "strike"]), st.integers(0, 3)), max_size=14))
def test_a_sleeve_that_was_said_to_be_out_is_never_asked_about_again(steps: list[tuple[str, int]]) -> None:
    """P4 moves between four places 2 ft apart; each sleeve of them is one, in whatever order they are driven, left and come back to."""
    job, said = line_of(), set[str]()
    for n, (what, place) in enumerate(steps):
        at = AT + timedelta(hours=n)
        away_ft = 60 + 2 * place - walk(job).layout.supports["P4"].station_ft
        open_sleeves = [key for key, is_so in asked(job).items() if is_so == "open"]
        moves = [entry for entry in job.log if entry.kind == "move" and entry.struck_at is None]
        if what == "move" and abs(away_ft) > 1:
            job = edits.move_post(job, "P4", at, BY, along_ft=away_ft)
        elif what == "drive" and state(job, DEPTH) == "open":
            job = now(job, DEPTH, at, 24)
        elif what == "pull" and open_sleeves:
            said.add(open_sleeves[place % len(open_sleeves)])
            job = now(job, item_key(open_sleeves[place % len(open_sleeves)]), at)
        elif what == "strike" and moves:
            job = strike(job, moves[-1].id, at, BY)
        assert {key for key, is_so in asked(job).items() if is_so == "done"} == said & set(asked(job))


def with_end(job: Job, east_ft: float) -> Job:
    """The job with the line's last point put right: the posts' stations are from its first, so a turn of the line shifts them."""
    return job.model_copy(update={"points": {**job.points, "E": job.points["E"].model_copy(update={"east_ft": east_ft})}})


@pytest.mark.closed_form
@pytest.mark.parametrize(("days", "stays"), [(1, False), (8, True)])
def test_a_sleeve_whose_post_a_corrected_point_puts_elsewhere_is_asked_about_and_counted(days: int, stays: bool) -> None:
    """The line runs to (90, 120) instead of (0, 120), so its 60 ft are at (36, 48)."""
    job = now(line_of(), DEPTH, AT, 24)
    needed, _ = sleeves(job)
    put_right = edits.note(with_end(job, 90), "E put right", AT + timedelta(days=days), BY)

    assert [(one.post, one.what, one.stays, one.there) for one in walk(put_right).posts.old_sleeves] == [
        ("P4", "place corrected", stays, (0.0, 60.0))
    ]
    assert (asked(put_right), state(put_right, DEPTH)) == ({FIRST: "open"}, "open")
    assert sleeves(put_right) == (needed + stays, 1)
    anew = now(put_right, DEPTH, AT + timedelta(days=days), 25)
    assert (asked(anew), sleeves(anew)) == ({FIRST: "open"}, (needed + stays, 2))
    assert asked(with_end(anew, 0)) == {"posts.P4.36_00E_48_00N.old_sleeve": "open"}
    assert walk(with_end(put_right, 0)).posts.old_sleeves == ()


@pytest.mark.closed_form
def test_a_correction_too_small_for_a_second_sleeve_opens_the_depth_and_leaves_the_post_in_its_sleeve() -> None:
    """The line runs to (0.9, 120): its 60 ft are 0.45 ft to the east; read anew it is the one sleeve that went in."""
    job = now(line_of(), DEPTH, AT, 24)
    put_right = with_end(job, 0.9)
    assert (asked(put_right), state(put_right, DEPTH), sleeves(put_right)) == ({}, "open", sleeves(job))
    read = now(put_right, DEPTH, AT + WEEK, 24)
    assert (asked(read), sleeves(read)) == ({}, (sleeves(job)[0], 1))
    assert asked(with_end(read, 1.2)) == {}
    assert list(asked(with_end(now(read, DEPTH, AT + WEEK, 25), 4))) == ["posts.P4.0_45E_60_00N.old_sleeve"]
    back = now(with_end(read, 0), DEPTH, AT + 2 * WEEK, 25)
    assert list(asked(with_end(back, 4))) == [FIRST]


def test_a_young_sleeve_that_was_said_to_be_pulled_does_not_come_to_stay_as_the_days_go_by() -> None:
    put_right = with_end(now(line_of(), DEPTH, AT, 24), 90)
    pulled = now(put_right, item_key(FIRST), AT + timedelta(days=1))
    later = edits.note(pulled, "on with it", AT + 2 * WEEK, BY)
    assert (asked(later), left(later)) == ({FIRST: "done"}, [])


def test_a_sleeve_whose_post_an_editor_took_out_or_put_on_a_tree_is_asked_about() -> None:
    job = now(line_of(trees={"oak": {"point": "N", "diameter_in": 14}}), DEPTH, AT, 24)
    gone = job.model_copy(update={"posts": {name: post for name, post in job.posts.items() if name != "P4"}})
    on_tree = job.posts["P4"].model_copy(update={"support": "tree", "at": "oak"})
    held = job.model_copy(update={"posts": {**job.posts, "P4": on_tree}})
    assert [one.what for other in (gone, held) for one in walk(other).posts.old_sleeves] == [
        "not in the plan any more",
        "a tree in its place",
    ]
