"""What was logged keeps its place on whichever laptop, and whichever way its line takes meanwhile."""

from datetime import timedelta
from math import hypot

import pytest
from shapely import Polygon

from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay
from engine.job.edit import edits
from engine.job.merge.merge import merge
from engine.job.model.log_entries import AddEntry, MoveEntry
from engine.walk import walk
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT


@pytest.mark.closed_form
@pytest.mark.parametrize("rerouted_here", [True, False])
@pytest.mark.parametrize("minutes", [-5, 5])
def test_what_another_laptop_added_and_found_meanwhile_stays_where_it_was(rerouted_here: bool, minutes: int) -> None:
    """A post at (0, 110) past the new way and a rock at (0, 90): neither lands elsewhere."""
    base, at = line_of(), AT + timedelta(minutes=minutes)
    done = another_way(base, NewWay("P3", "P5", ("N",)))
    added = edits.add_post(base, "n", 110, at, "Ana")
    added = with_places(edits.obstacle(added, "rock", "n", 90, at, "Ana"), walk(base), base)

    merged = merge(base, *((done, added) if rerouted_here else (added, done)))

    assert merged.conflicts == ()
    layout = walk(merged.job).layout
    names = [entry.post for entry in merged.job.log if isinstance(entry, AddEntry)]
    assert len(set(names) | set(done.posts)) == len(done.posts) + 1
    assert [layout.supports[name].xy for name in names] == [(0.0, 110.0)]
    # The line runs 40 ft to P3, then two runs of hypot(30, 20) to N and back to P5 at (0, 80), then straight on.
    assert layout.supports[names[0]].station_ft == pytest.approx(40 + 2 * hypot(30, 20) + 30, abs=1e-3)
    rock = next(area for area in layout.keep_outs if area.id.source == "log")
    assert Polygon(rock.polygon).centroid.coords[0] == pytest.approx((0, 90), abs=1e-3)


@pytest.mark.parametrize("rerouted_here", [True, False])
def test_a_post_that_was_added_on_ground_the_other_laptops_way_gave_up_is_asked_about(rerouted_here: bool) -> None:
    """At (0, 70), between P3 at (0, 40) and P5 at (0, 80), where the line goes through N now."""
    base = line_of()
    done = another_way(base, NewWay("P3", "P5", ("N",)))
    added = with_places(edits.add_post(base, "n", 70, AT, "Ana"), walk(base), base)
    (asked,) = merge(base, *((done, added) if rerouted_here else (added, done))).conflicts
    assert {asked.ours, asked.theirs} == {"n takes a new way from P3 to P5 through N. P4 came out", "P11: P11 added on n at 70' 0\""}


@pytest.mark.closed_form
def test_a_move_is_written_with_the_place_it_led_to() -> None:
    """P3 at (0, 40), 2 ft on and 1 ft to the right, then 1 ft back."""
    base = line_of()
    once = edits.move_post(base, "P3", AT, "Ana", along_ft=2, out_ft=1)
    twice = with_places(edits.move_post(once, "P3", AT, "Ana", along_ft=-1), walk(base), base)
    assert [entry.place for entry in twice.log if isinstance(entry, MoveEntry)] == [(1.0, 42.0), (1.0, 41.0)]
    assert walk(twice).layout.supports["P3"].xy == (1.0, 41.0)
