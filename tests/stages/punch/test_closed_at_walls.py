"""That the fence is closed against the house hangs on the loops that end there."""

from datetime import timedelta

import pytest

from engine.change.older_ticks import with_facts
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.stages.punch.openings import HOUSE_CLOSED
from engine.walk import walk
from tests.demo import BY, accepted
from tests.stages.flat_yards import yard
from tests.test_done_means_done import LATER, all_ticked


def state(job: Job) -> str:
    return walk(job).checklists["punch"].by_key[HOUSE_CLOSED].state


@pytest.mark.parametrize(
    ("post", "loop", "closed"), [("P14", "L6", "open"), ("P2", "L1", "open"), ("P15", "L6", "open"), ("P6", "L3", "done")]
)
def test_where_a_loop_at_the_house_is_hung_anew_the_house_is_closed_anew(post: str, loop: str, closed: str) -> None:
    """L1 runs from P1 at the house to P2 and L6 from P13 by P14 and P15 to P16 at it; L3 meets no wall."""
    done = all_ticked(accepted())
    moved = edits.move_post(done, post, LATER, BY, along_ft=1)
    wire = next(line for line in walk(moved).checklists["fabric"].lines if (line.item.subject, line.item.key.what) == (loop, "wire_hung"))
    assert (state(done), wire.state, state(moved)) == ("done", "open", closed)
    again = all_ticked(moved, LATER + timedelta(hours=1))
    assert (state(again), state(edits.move_post(again, post, LATER + timedelta(hours=2), BY, along_ft=-1))) == ("done", closed)


def test_a_loop_at_the_house_that_gets_another_post_opens_it() -> None:
    done = all_ticked(accepted())
    end = walk(done).layout.supports["P15"]
    assert state(edits.add_post(done, end.line, end.station_ft + 5, LATER, BY)) == "open"


@pytest.mark.parametrize(("away_ft", "asked"), [(3.0, ["Closed against the trees that its lines end at"]), (0.0, [])])
def test_a_gap_at_a_tree_is_closed_by_a_tick_though_no_line_meets_a_wall(away_ft: float, asked: list[str]) -> None:
    """The way out there couldn't be settled; where the tree carries the cables itself there is nothing to close."""
    line = {"points": ["S", "E"], "start_meets": "tree", "start_at": "oak"}
    places = {"S": (0.0, 0.0), "E": (0.0, 20.0), "OAK": (away_ft, 0.0)}
    job = yard(places, {"n": line}, trees={"oak": {"point": "OAK", "diameter_in": 12}})
    walked = walk(job)
    assert [item.says for item in walked.punch.items if item.key == HOUSE_CLOSED] == asked
    assert [way.where for way in walked.punch.ways_out if way.key.place == "at_wall"] == ["between P1 and oak"] * len(asked)
    if asked:
        closed = edits.tick(job, HOUSE_CLOSED, LATER, BY, of=walked.checklists["punch"].by_key[HOUSE_CLOSED].item.of)
        assert (state(closed), [way for way in walk(closed).punch.ways_out if way.key.place == "at_wall"]) == ("done", [])


def test_a_tick_of_an_older_program_counts_until_an_edit_writes_in_where_the_loops_ran() -> None:
    done = all_ticked(accepted())
    tick = done.checks[HOUSE_CLOSED]
    older = done.model_copy(update={"checks": {**done.checks, HOUSE_CLOSED: tick.model_copy(update={"of": tick.of._replace(sizes=())})}})
    assert state(older) == "done"
    assert str(with_facts(older, walk(older)).checks[HOUSE_CLOSED].of) == str(tick.of)
