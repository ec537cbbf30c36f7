"""One post that both sides did something to: asked, alike counts once, and never do two moves add up."""

import pytest

from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit.edits import add_post, drop_post, move_post, tick
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import live
from engine.walk import walk
from tests.job.merge.test_merge import BASE, LATER, struck
from tests.job.merge.test_merge_law import START
from tests.job.small import NOW


def test_two_moves_of_one_post_are_asked_and_never_add_up():
    here, there = move_post(BASE, "P1", NOW, "Ana", along_ft=2), move_post(BASE, "P1", LATER, "Bo", along_ft=3)
    for keep, along_ft in (("ours", 2.0), ("theirs", 3.0)):
        merged = merge(BASE, here, there, keep)
        assert len(merged.conflicts) == 1
        assert [entry.along_ft for entry in live(merged.job.log) if entry.kind == "move"] == [along_ft]
        (gone,) = (entry for entry in merged.job.log if entry.struck_at is not None)
        assert (gone.struck_at, gone.struck_by) == (LATER, "Ana" if keep == "ours" else "Bo")


def test_one_move_logged_on_both_sides_counts_once_and_is_not_asked():
    here, there = move_post(BASE, "P1", NOW, "Ana", along_ft=2), move_post(BASE, "P1", LATER, "Bo", along_ft=2)
    for merged in (merge(BASE, here, there), merge(BASE, there, here)):
        assert merged.conflicts == ()
        assert [entry.by for entry in live(merged.job.log) if entry.kind == "move"] == ["Ana"]


def test_a_move_taken_back_here_and_a_post_moved_on_there_is_asked():
    base = move_post(BASE, "P1", NOW, "Ana", along_ft=2)
    here, there = struck(base), move_post(base, "P1", LATER, "Bo", along_ft=1)
    for keep, moves in (("ours", []), ("theirs", [2.0, 1.0])):
        merged = merge(base, here, there, keep)
        assert len(merged.conflicts) == 1
        assert [entry.along_ft for entry in live(merged.job.log) if entry.kind == "move"] == moves


def test_a_post_left_out_here_and_ticked_there_is_asked():
    here, there = drop_post(BASE, "P1", NOW, "Ana"), tick(BASE, item_key("posts.P1.plumb"), NOW, "Bo")
    for keep, standing in (("ours", True), ("theirs", False)):
        merged = merge(BASE, here, there, keep)
        assert [conflict.says for conflict in merged.conflicts] == ["P1: here P1 left out; on the other side ticked: P1 plumb."]
        assert any(entry.kind == "drop" for entry in live(merged.job.log)) is standing
        assert item_key("posts.P1.plumb") in merged.job.checks


@pytest.mark.parametrize(
    ("station_ft", "told", "asked"),
    [(45.0, True, True), (110.0, False, True), (110.0, True, False), (10.0, False, False)],
    ids=["on ground given up", "past it, without a place", "past it", "before it, without a place"],
)
def test_a_post_added_beside_a_new_way_stands_where_it_was_added_or_is_asked(station_ft: float, told: bool, asked: bool) -> None:
    """From P2 at 20 ft by way of N to P5 at 80 ft: what lies past it has 26 ft more. Of an older program the log says only a station."""
    before = walk(START)
    way = with_new_way(START, before, given_up(START, before, NewWay("P2", "P5", ("N",)), NOW), NOW, "Ana")
    added = add_post(START, "n", station_ft, LATER, "Bo")
    added = with_places(added, before, START) if told else added
    words = f"P11 added on n at {station_ft:.0f}' 0\"", "n takes a new way from P2 to P5 through N. P3 and P4 came out"
    for keep, stands in (("ours", False), ("theirs", True)):
        merged = merge(START, way, added, keep)
        assert [conflict.says for conflict in merged.conflicts] == (
            [f"The plan: here {words[1]}; on the other side P11: {words[0]}."] if asked else []
        )
        laid = walk(merged.job).layout.supports
        assert ("P3" in laid) is (asked and stands)
        assert ("P11" in laid) is (stands or not asked)
        assert "P11" not in laid or laid["P11"].xy == pytest.approx((0.0, station_ft), abs=0.001)
        assert len(merged.job.log) == 2
