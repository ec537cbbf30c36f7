"""A reading that can't be of the thing that stands is out of range: all but that of a tree, of which any is thick enough, have two ends."""

import pytest

from engine.checklist import ChecklistLine
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import laid, straight

JOBS = {**others(), "willow_bend": accepted()}


def asked(job: Job) -> list[ChecklistLine]:
    return [line for checklist in walk(job).checklists.values() for line in checklist.lines if line.item.reading is not None]


@pytest.mark.parametrize("name", JOBS)
def test_every_reading_has_a_least_and_a_most_and_what_the_demo_crews_read_lies_between(name: str) -> None:
    lines = asked(JOBS[name])
    assert {line.item.key.what for line in lines} >= {"taped", "driven_depth", "sag", "cut_length", "bottom_gap"}
    for line in lines:
        reading = line.item.reading
        assert reading is not None
        assert reading.low is not None, line.item.key
        if line.item.key.what == "diameter":
            continue
        assert reading.high is not None, line.item.key
        assert reading.wanted is None or reading.passes(reading.wanted), line.item.key
        assert not reading.passes(3 * max(reading.high, 1.0)), line.item.key
    assert [line.item.key for line in lines if line.passes is False] == []


OAK = {"oak": {"point": "K", "diameter_in": 18}}


@pytest.mark.parametrize(
    ("yard", "bay", "fits", "misses"),
    [
        ({"length_ft": 15}, "P1-P2", (14, 15, 16), (1, 13.9, 16.1, 24)),
        ({"length_ft": 25}, "P1-P2", (24, 25), (23.9, 25.1)),
        ({"length_ft": 40, "trees": OAK, "points": {"K": (0.0, 20.0)}}, "P1-P2", (18.25, 20, 21.75), (18.1, 21.9)),
    ],
)
def test_a_bay_is_taped_as_planned_but_for_half_a_foot_at_either_post_and_what_a_trunk_hides(
    yard: dict[str, object], bay: str, fits: tuple[float, ...], misses: tuple[float, ...]
) -> None:
    """A foot more or less is two posts half a foot off; a tape held at the bark of a tree 18" through is 9" off its middle besides. Past
    the longest bay nothing fits."""
    (item,) = (item for item in laid(straight(**yard)).items if item.key == item_key(f"layout.{bay}.taped"))  # type: ignore[arg-type]  # a table of tests
    assert item.reading is not None
    assert {read: item.reading.passes(read) for read in (*fits, *misses)} == {**dict.fromkeys(fits, True), **dict.fromkeys(misses, False)}


def test_a_bay_taped_at_a_foot_says_what_it_may_be_and_what_to_do() -> None:
    taped = item_key("layout.P1-P2.taped")
    job = edits.tick(accepted(), taped, AT, BY, reading_ft=1, of=walk(accepted()).checklists["layout"].by_key[taped].item.of)
    (found,) = (one for one in walk(job).findings if one.code == "reading_out_of_range")
    assert found.says == "P1 to P2: taped: 1' 0\" was read, 15' 0\" to 17' 0\" is wanted."
    assert found.do == "Tape it again, and where a post stands elsewhere than planned log its move, or leave the reason for the record."
