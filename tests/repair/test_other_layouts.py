"""Other layouts in a repair: as its own, each is counted by what is new in it, with what stood when the repair began."""

from datetime import timedelta

from engine.ahead.round_what_stands import as_it_began
from engine.ahead.side_by_side import side_by_side
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.edit.alternatives import keep_layout
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import BY
from tests.repair.finished import YEARS
from tests.repair.test_what_stands import fresh, lines


def rebuilt(job: Job) -> Job:
    """A post out, a stretch gone another way, and one of its posts driven and flagged."""
    out = edits.drop_post(job, "P5", YEARS, BY)
    laid = walk(out)
    done = with_new_way(out, laid, given_up(out, laid, NewWay("P7", "P9"), YEARS), YEARS, BY)
    for key, line in lines(walk(done)).items():
        if line.state == "open" and line.item.reading is None:
            done = edits.tick(done, key, YEARS + timedelta(hours=1), "Wren", of=line.item.of)
    return done


def test_the_layout_as_it_was_has_nothing_new_whatever_was_done_since() -> None:
    start = keep_layout(fresh("willow_bend"), "as_built")
    own, as_built = side_by_side(rebuilt(start))
    stood, _ = side_by_side(start)
    assert (as_built.packs, as_built.posts, as_built.loops, as_built.findings) == (0, stood.posts, stood.loops, stood.findings)
    assert (own.packs > 0, own.posts) == (True, stood.posts - 1)


def test_a_higher_layout_counts_its_fabric_and_none_of_the_posts_that_stand() -> None:
    start = keep_layout(fresh("ridge_ring"), "as_built")
    low, high = (
        side_by_side(start)[0],
        side_by_side(start.model_copy(update={"fence": start.fence.model_copy(update={"height_ft": 6.0})}))[0],
    )
    kept = keep_layout(start.model_copy(update={"fence": start.fence.model_copy(update={"height_ft": 6.0})}), "higher")
    back = kept.model_copy(update={"fence": start.fence})
    higher = next(one for one in side_by_side(back) if one.name == "higher")
    assert (higher.packs, higher.posts, higher.braces) == (high.packs, high.posts, high.braces)
    assert higher.packs > low.packs == 0


def test_a_repair_is_wound_back_to_where_it_began() -> None:
    start = fresh("willow_bend")
    job = rebuilt(start)
    assert start.repair_of is not None
    began = as_it_began(job, start.repair_of)
    assert (began.posts, began.lines, began.shots, began.gates, began.log) == (
        start.posts,
        start.lines,
        start.shots,
        start.gates,
        start.log,
    )
    assert {key: (tick.state, tick.at) for key, tick in began.checks.items()} == {
        key: (tick.state, tick.at) for key, tick in start.checks.items()
    }


def test_what_stood_past_a_new_way_stays_a_note_though_its_stations_are_told_otherwise() -> None:
    def left(job: Job) -> list[tuple[str, str]]:
        return [(found.level, found.says) for found in walk(job).findings if "the tolerance zone of the gas line" in found.says]

    start = fresh("willow_bend")
    laid = walk(start)
    after = with_new_way(start, laid, given_up(start, laid, NewWay("P7", "P9"), YEARS), YEARS, BY)
    assert left(start) != left(after)
    assert [level for level, _ in left(after)] == ["note"]
    moved = edits.move_post(after, "P15", YEARS, BY, along_ft=0.5)
    assert [level for level, _ in left(moved)] == ["fix"]
