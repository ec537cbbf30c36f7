"""What a client said, taken down on one laptop or on both."""

from engine.job.edit.first_talk import with_first_talk
from engine.job.file.store import starter
from engine.job.merge.merge import merge
from engine.job.model.words.key_words import fact_words

BASE = starter("Maple")


def test_what_one_side_took_down_is_joined_with_the_rest() -> None:
    ours = with_first_talk(BASE, {"length": "140", "gates": "5"})
    theirs = BASE.model_copy(update={"job": BASE.job.model_copy(update={"client": "As on the work order"})})
    for one, other in ((ours, theirs), (theirs, ours)):
        found = merge(BASE, one, other)
        wanted = (
            ("The first talk's length was added.", "The first talk's gate widths were added.")
            if other is ours
            else ("The job's client was changed.",)
        )
        assert found.came_in == wanted
        assert (found.conflicts, found.job.rough, found.job.job.client) == ((), ours.rough, "As on the work order")


def test_two_lengths_are_asked_and_both_said() -> None:
    ours, theirs = (with_first_talk(BASE, {"length": length}) for length in ("140", "165"))
    found = merge(BASE, ours, theirs)
    assert [conflict.about for conflict in found.conflicts] == ["The first talk's length"]
    assert found.job.rough == ours.rough


def test_one_that_was_put_in_or_taken_out_is_called_by_its_name() -> None:
    assert fact_words(("rough",)) == "The first talk"
    assert fact_words(("rough", "spread_pct")) == "The first talk's may be off (%)"
