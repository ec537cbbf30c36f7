"""Records, fields and values of a file as a crew calls them: none by an id of the program's."""

import pytest

from engine.calc.units import METRES, in_units
from engine.change.logged_places import with_places
from engine.job.edit import edits, entering
from engine.job.errors import PathInFile
from engine.job.merge.merge import merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.words.key_words import fact_words, item_words, record_words, told_value
from engine.walk import walk
from tests.demo import AT, BY, accepted, others
from tests.test_done_means_done import all_ticked

DEPTH = item_key("posts.P6.driven_depth")
CABLE = "galvanized cable 3/32 in 7x7"


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (("stock", "cable-3-32", "loaded"), f"Stock of {CABLE}, loaded"),
        (("stock", "our-own", "loaded"), "Stock of our-own, loaded"),
        (("rules", "survey", "tape_sigma_ft"), "The rules for survey, a tape may be off"),
        (("fence", "cable"), "The fence's cable"),
    ],
)
def test_a_fact_is_called_as_people_call_it(path: PathInFile, words: str) -> None:
    assert fact_words(path) == words


def with_old_sleeves(job: Job) -> Job:
    """Ticked, with a gate of two leaves, and a post moved twice, so that two of its sleeves are to be pulled."""
    job = all_ticked(job)
    for along_ft in (3.0, 3.0):
        job = with_places(edits.move_post(job, "P6", AT, BY, along_ft=along_ft), walk(job), job)
        of = walk(job).checklists["posts"].by_key[DEPTH].item.of
        job = edits.tick(job, DEPTH, AT, BY, reading_in=28, of=of)
    gate = job.gates["side"].model_copy(update={"leaves": 2, "leaf_width_ft": 3.0})
    return job.model_copy(update={"gates": {**job.gates, "side": gate}})


@pytest.mark.parametrize("name", ["main", "old sleeves", *others()])
def test_no_two_items_of_a_job_are_called_alike(name: str) -> None:
    job = with_old_sleeves(accepted()) if name == "old sleeves" else {"main": accepted(), **others()}[name]
    keys = [line.item.key for checklist in walk(job).checklists.values() for line in checklist.lines]
    called: dict[str, ItemKey] = {}
    assert [(key, called[words]) for key in keys if called.setdefault(words := item_words(key), key) != key] == []
    if name == "old sleeves":
        assert len([key for key in keys if key.what == "old_sleeve"]) == 2
        assert {"side leaf 1 first diagonal", "side leaf 2 other diagonal"} <= called.keys()


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("posts.P2.plumb", "P2 plumb"),
        ("bracing.P2.plumb", "P2 still plumb"),
        ("bracing.P2.footed", "P2 brace foot set"),
        ("cables.job.round_again", "every loop read and pulled again"),
        ("posts.P9.old_sleeve", "P9 old sleeve"),
        ("posts.P9.2.old_sleeve", "P9 old sleeve 2"),
        ("posts.P9.24_50E_102_25S.old_sleeve", "P9 old sleeve 24' 6\" east, 102' 3\" south"),
        ("posts.P9.24_50W_102_25N-2.old_sleeve", "P9 old sleeve 24' 6\" west, 102' 3\" north, 2"),
    ],
)
def test_an_item_is_called_as_a_crew_calls_it(key: str, words: str) -> None:
    assert item_words(item_key(key)) == words


def test_stock_of_a_job_in_metres_is_called_by_its_metric_name() -> None:
    with in_units(METRES):
        assert record_words("stock", "cable-3-32") != record_words("stock", "cable-1-8")


def test_the_stock_of_a_fence_is_told_by_its_name() -> None:
    assert (told_value(("fence", "cable"), "cable-3-32"), told_value(("fence", "cable"), None)) == (CABLE, "nothing")
    assert told_value(("job", "title"), "cable-3-32") == "cable-3-32"


def test_a_merge_asks_and_tells_of_stock_by_its_name() -> None:
    base = accepted()
    one, other = (entering.put(base, "stock", "cable-3-32", {"loaded": n}) for n in (4, 5))
    assert merge(base, base, one).came_in == (f"Stock of {CABLE} was changed.",)
    (asked,) = merge(base, one, other).conflicts
    assert asked.says == f"Stock of {CABLE}, loaded: here 4; on the other side 5."
