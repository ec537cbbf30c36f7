"""Records, fields and values of a file as a crew calls them: none by an id of the program's."""

import pytest

from engine.calc.units import METRES, in_units
from engine.job.edit import entering
from engine.job.errors import PathInFile
from engine.job.merge.merge import merge
from engine.job.model.words.key_words import fact_words, record_words, told_value
from tests.demo import accepted

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
