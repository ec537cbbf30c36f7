"""A post settled: what there is to choose from, which ticks fall, who was refused, and that what is saved is what was judged."""

from datetime import timedelta
from math import pi

import pytest
from hypothesis import assume, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from engine.change import suggestions as looked_for
from engine.change.found_in_ground import rock_where_it_stopped
from engine.change.settling import posts_to_choose, refused, settled, ticked, to_settle, tree_choices
from engine.change.suggestions import suggestions
from engine.checklist import Item, ReadingUnit, WantedReading
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import ObstacleEntry
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted
from tests.stages.flat_yards import logged, posts, straight

LATER = AT + timedelta(days=3)
WHATS = ("driven_depth", "solid", "eyes")


def line_of(**tables: object) -> Job:
    """Posts P1 to P6 every 20 ft along one straight line of flat ground."""
    return straight(100.0, posts=posts("n", 0, 20, 40, 60, 80, 100), **tables)


def driven(job: Job, post: str, depth_in: float) -> Job:
    """A post read at a depth, with all else of it ticked."""
    for what in WHATS:
        reading = {"reading_in": depth_in} if what == "driven_depth" else {}
        job = edits.tick(job, ItemKey("posts", post, what), AT, BY, **reading)
    return job


def done(job: Job) -> set[str]:
    """What is done, as the walk reads the ticks."""
    return {str(line.item.key) for checklist in walk(job).checklists.values() for line in checklist.lines if line.state == "done"}


def moved(post: str, along_ft: float = 1.0) -> dict[str, object]:
    return {"kind": "move", "post": post, "along_ft": along_ft, "out_ft": 0.0}


def test_all_of_a_post_that_is_settled_elsewhere_is_asked_for_again() -> None:
    job = driven(driven(line_of(), "P3", 8), "P4", 24)
    after = settled(job, walk(job), (moved("P3"),), LATER, BY, why="rock")
    assert done(job) - done(after) == {f"posts.P3.{what}" for what in WHATS}
    assert [(entry.kind, entry.at, entry.by) for entry in after.log] == [("move", LATER, BY)]


def test_all_of_a_post_that_goes_along_is_asked_for_again() -> None:
    job = driven(driven(line_of(), "P3", 24), "P4", 24)
    after = settled(job, walk(job), (moved("P3"), moved("P4")), LATER, BY)
    assert done(job) - done(after) == {f"posts.{post}.{what}" for post in ("P3", "P4") for what in WHATS}


def test_a_step_that_is_refused_leaves_every_tick() -> None:
    job = driven(line_of(), "P3", 8)
    with pytest.raises(EditRefused):
        settled(job, walk(job), (moved("P3"), moved("P9")), LATER, BY)
    assert done(job) == {f"posts.P3.{what}" for what in WHATS}


@pytest.mark.closed_form
@pytest.mark.parametrize(("depth_in", "short"), [(14.9, True), (14.95, False), (15.0, False), (24.0, False)])
def test_refused_is_what_a_tape_reads_as_less_than_half_the_sleeve(depth_in: float, short: bool) -> None:
    """Half of a 30 in sleeve is 15 in; 14.95 in reads as 15 to the eighth, and 14.9 as 14 7/8."""
    walked = walk(driven(line_of(), "P3", depth_in))
    assert walked.posts.work["P3"].depth_half_in == 15
    assert refused(walked, "P3") == short
    assert bool([one for one in walked.findings if one.code == "sleeve_stopped_short"]) == short
    assert not refused(walked, "P4")
    assert not refused(walked, "P99")


def test_a_proposal_refuses_nobody() -> None:
    job = driven(line_of(), "P3", 8).model_copy(update={"posts": {}})
    assert not refused(walk(job), "P3")


def test_only_a_depth_that_stopped_short_leads_to_settling() -> None:
    short, deep = walk(driven(line_of(), "P3", 8)), walk(driven(line_of(), "P3", 24))
    asked = {str(line.item.key): line.item.key for line in short.checklists["posts"].lines}
    assert to_settle(short, asked["posts.P3.driven_depth"]) == "P3"
    assert to_settle(short, asked["posts.P3.solid"]) is None
    assert to_settle(deep, asked["posts.P3.driven_depth"]) is None


def test_the_rock_lies_where_the_sleeve_stopped() -> None:
    job = driven(line_of(log=[logged("move", post="P3", along_ft=1.0, out_ft=0.5)]), "P3", 8)
    rock = rock_where_it_stopped(job, walk(job), "P3", LATER, BY).log[-1]
    assert isinstance(rock, ObstacleEntry)
    assert (rock.what, rock.line, rock.station_ft, rock.offset_ft, rock.radius_ft, rock.text) == (
        "rock", "n", 41.0, 0.5, 1.0, 'P3 stopped at 8"',
    )  # fmt: skip


@pytest.mark.independent
def test_a_tree_is_told_with_its_distance_its_girth_and_what_it_carries() -> None:
    job = edits.swap_to_tree(accepted(), "P11", "dogwood", AT, BY)
    walked = walk(job)
    choices = tree_choices(job, walked, "P10")
    assert [choice.away_ft for choice in choices] == sorted(choice.away_ft for choice in choices)
    assert {choice.tree for choice in choices} == {"oak", "hickory", "dogwood"}
    dogwood = next(choice for choice in choices if choice.tree == "dogwood")
    assert dogwood.carries == ("P11",)
    assert dogwood.girth_in == pytest.approx(pi * job.trees["dogwood"].diameter_in)
    assert dogwood.words.endswith("carries P11 already")


def test_posts_to_choose_are_the_driven_ones_in_the_order_of_the_plan_the_chosen_one_first() -> None:
    walked = walk(edits.swap_to_tree(accepted(), "P11", "dogwood", AT, BY))
    driven_ones = [name for name, support in walked.layout.supports.items() if support.support == "driven"]
    assert "P11" not in driven_ones
    assert [post.id for post in posts_to_choose(walked, None)] == driven_ones
    assert [post.id for post in posts_to_choose(walked, "P9")] == ["P9", *(name for name in driven_ones if name != "P9")]
    assert [post.id for post in posts_to_choose(walked, "P9-P10")][:3] == ["P9", "P10", driven_ones[0]]
    assert [post.id for post in posts_to_choose(walked, "L2")][:4] == ["P3", "P4", "P5", "P2"]
    assert [post.id for post in posts_to_choose(walked, "P11")] == driven_ones
    assert [post.id for post in posts_to_choose(walked, "P11", trees=True)][:3] == ["P11", "P2", "P3"]


@pytest.mark.parametrize(("unit", "read"), [("ft", (5.5, None)), ("in", (None, 5.5))])
def test_a_reading_goes_into_the_unit_asked_for(unit: ReadingUnit, read: tuple[float | None, float | None]) -> None:
    item = Item(item_key("gate.G1.bottom_gap"), "bottom gap", WantedReading(unit, 2.0, 0.0, 3.0))

    tick = ticked(Job(), item, AT, BY, 5.5, "humpy").checks[item.key]

    assert ((tick.reading_ft, tick.reading_in), tick.state, tick.note) == (read, "done", "humpy")


def test_an_item_without_a_reading_is_done_without_one() -> None:
    item = Item(item_key("gate.G1.hung"), "hung")

    tick = ticked(Job(), item, AT, BY).checks[item.key]

    assert (tick.reading, tick.state, tick.note) == (None, "done", "")


@pytest.mark.parametrize(("value", "passes"), [(1.9, False), (2.0, True), (3.0, True), (3.2, False)])
def test_a_reading_passes_within_its_range_ends_included(value: float, passes: bool) -> None:
    assert WantedReading("in", 2.5, 2.0, 3.0).passes(value) is passes


def but_for_time_and_name(job: Job) -> Job:
    """A job whose log says neither when, nor who, nor why."""
    nameless = {"id": "x", "at": AT, "by": BY, "why": ""}
    return job.model_copy(update={"log": tuple(entry.model_copy(update=nameless) for entry in job.log)})


ASKED = ("reading_out_of_range", "post_lifted", "foot_gives")
"""What is told until it is ticked: of a reading to be read again, and of every braced post."""


def wrong(walked: Walk, post: str, added: str) -> set[tuple[str, str]]:
    """Code and subject of every stop and fix but readings that don't fit any more, a post in another's place taken for that one."""
    told = [one for one in walked.findings if one.level != "note" and one.code not in ASKED]
    pairs = [(one.code, subject) for one in told for subject in one.subjects or ("job",)]
    return {(code, "-".join(post if word == added else word for word in subject.split("-"))) for code, subject in pairs}


@examples(max_examples=20, deadline=None)
@given(
    post=st.sampled_from(["P2", "P3", "P4", "P6", "P10"]),
    depths=st.dictionaries(st.sampled_from(["P2", "P3", "P5", "P6", "P11"]), st.sampled_from([8.0, 16.0, 24.0]), max_size=4),
    rocky=st.booleans(),
)
def test_the_job_that_is_saved_is_the_one_the_offer_was_judged_by_and_nothing_new_is_wrong_with_it(
    post: str, depths: dict[str, float], rocky: bool
) -> None:
    job = accepted()
    for name, depth_in in depths.items():
        job = driven(job, name, depth_in)
    if rocky:
        spot = walk(job).layout.supports[post]
        job = edits.obstacle(job, "rock", spot.line, spot.from_start_ft, AT, BY, offset_ft=spot.offset_ft)
    before = walk(job)
    judged: list[Job] = []

    def looked_at(tried: Job) -> Walk:
        judged.append(but_for_time_and_name(tried))
        return walk(tried)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(looked_for, "walk", looked_at)
        found = list(suggestions(job, before, post, AT))
    assume(found)
    for offer in found:
        saved = settled(job, before, offer.steps, LATER, "Mo", why="rock")
        assert but_for_time_and_name(saved) in judged
        added = edits.next_post_id(job)
        assert wrong(walk(saved), post, added) <= wrong(before, post, added)
