"""What went into the ground and the fence: rings, ties and plates that are more than are asked stay, and all counts as it was made."""

import pytest

from engine.change.older_ticks import with_facts
from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import accepted
from tests.test_done_means_done import all_ticked


def of_rule(job: Job, part: str, **limits: float) -> Job:
    """The job with limits of one stage changed."""
    rules = getattr(job.rules, part).model_copy(update=limits)
    return job.model_copy(update={"rules": job.rules.model_copy(update={part: rules})})


def opened_by(done: Job, job: Job) -> set[str]:
    """What was done and is open in another version of a job."""
    lines = [line for checklist in walk(job).checklists.values() for line in checklist.lines]
    was = walk(done).checklists
    return {str(line.item.key) for line in lines if line.state == "open" and was[line.item.key.stage].by_key[line.item.key].settled}  # type: ignore[index]  # a key of ours names a stage


LOOPS, SPLICED = tuple(f"L{n}" for n in range(1, 7)), ("L3", "L4", "L5", "L6")
SPACINGS = {
    ("fabric", "ring_cable_ft"): {f"fabric.{loop}.wire_hung" for loop in LOOPS},
    ("fabric", "ring_mesh_ft"): {f"fabric.{loop}.mesh_hung" for loop in LOOPS},
    ("fabric", "ring_seam_ft"): {f"fabric.{loop}.seam_ringed" for loop in LOOPS},
    ("fabric", "ring_splice_ft"): {f"fabric.{loop}.seam_ringed" for loop in SPLICED},
    ("gate", "ring_ft"): {"gate.side.hung"},
}


@pytest.mark.parametrize(("part", "limit"), SPACINGS)
def test_rings_that_are_wanted_closer_open_what_was_ringed_and_nothing_else_and_closer_ones_than_wanted_stay(part: str, limit: str) -> None:
    """Ticks of an older program don't say how far apart rings are: they count until the first edit writes that day's rule into them."""
    done = all_ticked(accepted())
    apart = getattr(getattr(done.rules, part), limit)
    closer, wider = of_rule(done, part, **{limit: apart / 2}), of_rule(done, part, **{limit: apart * 2})
    assert (opened_by(done, closer), opened_by(done, wider)) == (SPACINGS[part, limit], set())
    assert opened_by(done, of_rule(wider, part, **{limit: apart})) == set()

    older = done.model_copy(update={"checks": {key: said_by_an_older_program(tick) for key, tick in done.checks.items()}})
    assert opened_by(done, of_rule(older, part, **{limit: apart / 2})) == set()
    written = with_facts(older, walk(older))
    assert {key: str(tick.of) for key, tick in written.checks.items()} == {key: str(tick.of) for key, tick in done.checks.items()}
    assert with_facts(wider, walk(wider)) is wider


def said_by_an_older_program(tick: Tick) -> Tick:
    """A tick that says the stock, and neither how far apart rings are nor what was taken."""
    sizes = tuple(size for size in tick.of.sizes if not size.name.endswith((" apart", " taken")))
    words = tuple(word for word in tick.of.words if not word.endswith((" rings", " plates")))
    return tick.model_copy(update={"of": tick.of._replace(sizes=sizes, words=words)})


def test_ties_fewer_than_were_tied_and_a_second_plate() -> None:
    """35 ties are tied at 12 in; at 24 in 20 would do. Of two feet of P9 one was on a plate."""
    done = all_ticked(accepted())
    assert opened_by(done, of_rule(done, "fabric", tie_corner_in=24)) == set()
    footed = item_key("bracing.P9.footed")
    one = done.checks[footed].of._replace(words=("1 plates",))
    assert done.checks[footed].of.words == ("2 plates",)
    assert opened_by(
        done, done.model_copy(update={"checks": {**done.checks, footed: done.checks[footed].model_copy(update={"of": one})}})
    ) == {str(footed)}
