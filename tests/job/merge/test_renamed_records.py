"""What one laptop calls otherwise or takes out while the other one ticks it, corrects it or logs on it."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from engine.job.edit import edits, entering
from engine.job.merge.came_in import came_in
from engine.job.merge.merge import Merged, merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.words.key_words import item_words
from engine.walk import walk
from tests.demo import AT, others

Edit = Callable[[Job], Job]
RING = others()["ridge_ring"].model_copy(update={"record": None})
LATER = AT + timedelta(minutes=30)


def called(table: str, old: str, new: str) -> Edit:
    return lambda job: entering.rename(job, table, old, new)


def out(table: str, name: str) -> Edit:
    return lambda job: entering.remove(job, table, name)


def ticked(text: str, feet: float | None = None) -> Edit:
    def tick(job: Job) -> Job:
        key = item_key(text)
        of = next(line.item.of for checklist in walk(job).checklists.values() for line in checklist.lines if line.item.key == key)
        return edits.tick(job, key, LATER, "Mo", reading_ft=feet, of=of)

    return tick


def corrected(table: str, name: str, **fields: object) -> Edit:
    return lambda job: entering.put(job, table, name, {**getattr(job, table)[name].model_dump(exclude_none=True), **fields})


def joined(ours: Edit, theirs: Edit, keep: str = "ours") -> Merged:
    """Both merged, which is the same whichever is named first."""
    one, other = ours(RING), theirs(RING)
    merged = merge(RING, one, other, "ours" if keep == "ours" else "theirs")
    turned = merge(RING, other, one, "theirs" if keep == "ours" else "ours")
    assert (merged.job, len(merged.conflicts)) == (turned.job, len(turned.conflicts))
    return merged


def by_mo(merged: Merged) -> list[ItemKey]:
    """Items ticked by Mo that the joined job asks."""
    asked = {line.item.key for checklist in walk(merged.job).checklists.values() for line in checklist.lines}
    return [key for key, tick in merged.job.checks.items() if (tick.by, tick.at) == ("Mo", LATER) and key in asked]


@pytest.mark.parametrize(
    ("name", "did", "stands"),
    [
        (("gates", "upper", "top"), ticked("gate.upper.opening", 4.2), "gate.top.opening"),
        (("yards", "west", "far"), ticked("punch.west.walked"), "punch.far.walked"),
        (("lines", "ring", "main"), ticked("survey.ring.levels_shot"), "survey.main.levels_shot"),
        (("boundaries", "east", "hedge"), ticked("survey.east.boundary_found"), "survey.hedge.boundary_found"),
        (("points", "K1", "oak"), ticked("survey.K1-K2.measured_twice"), "survey.K2-oak.measured_twice"),
    ],
)
def test_a_tick_stands_under_the_name_that_the_other_side_gave(name: tuple[str, str, str], did: Edit, stands: str) -> None:
    merged = joined(called(*name), did)
    assert merged.conflicts == ()
    assert by_mo(merged) == [item_key(stands)]


def test_what_was_opened_again_under_the_old_name_is_open_under_the_new_one() -> None:
    merged = joined(called("lines", "ring", "main"), lambda job: edits.untick(job, item_key("layout.ring.string"), LATER, "Mo"))
    assert not {item_key("layout.main.string"), item_key("layout.ring.string")} & merged.job.checks.keys()


def test_what_is_corrected_under_the_old_name_is_one_thing_under_the_new_one() -> None:
    merged = joined(called("trees", "ash", "oak"), corrected("trees", "ash", diameter_in=13.0))
    assert (merged.conflicts, list(merged.job.trees), merged.job.trees["oak"].diameter_in) == ((), ["oak"], 13.0)


def test_what_is_logged_on_a_line_follows_its_new_name() -> None:
    for log in (
        lambda job: edits.obstacle(job, "rock", "ring", 250, LATER, "Mo"),
        lambda job: edits.add_post(job, "ring", 250, LATER, "Mo"),
    ):
        merged = joined(called("lines", "ring", "main"), log)
        assert merged.conflicts == ()
        assert (merged.job.log[-1].line, merged.job.log[-1].struck_at) == ("main", None)


def test_a_gate_called_otherwise_and_made_higher_at_once_is_known_by_what_was_ticked_of_it() -> None:
    merged = joined(
        lambda job: corrected("gates", "top", height_ft=4.5)(called("gates", "upper", "top")(job)), ticked("gate.upper.opening", 4.2)
    )
    assert (merged.conflicts, by_mo(merged)) == ((), [item_key("gate.top.opening")])


@pytest.mark.parametrize("keep", ["ours", "theirs"])
@pytest.mark.parametrize(
    ("record", "tick"), [(("gates", "upper"), "gate.upper.hung"), (("boundaries", "east"), "survey.east.boundary_found")]
)
def test_what_one_side_took_out_and_the_other_ticked_is_asked(record: tuple[str, str], tick: str, keep: str) -> None:
    merged = joined(out(*record), ticked(tick), keep)
    (asked,) = merged.conflicts
    assert (asked.path, asked.ours) == (record, "it was taken out")
    assert asked.theirs == f"it stands, and was ticked: {item_words(item_key(tick))}"
    assert by_mo(merged) == ([item_key(tick)] if keep == "theirs" else [])
    assert item_key(tick) in merged.job.checks


def test_what_one_side_took_out_and_the_other_called_otherwise_is_asked() -> None:
    merged = joined(called("gates", "upper", "top"), out("gates", "upper"))
    assert [conflict.says for conflict in merged.conflicts] == [
        "Gate top: here it stands, and is called so now; on the other side it was taken out."
    ]
    assert merged.job == called("gates", "upper", "top")(RING)


@pytest.mark.parametrize(("keep", "stands"), [("ours", "top"), ("theirs", "high")])
def test_one_gate_of_two_new_names_is_asked_and_stands_once(keep: str, stands: str) -> None:
    merged = joined(called("gates", "upper", "top"), called("gates", "upper", "high"), keep)
    assert [conflict.says for conflict in merged.conflicts] == ["Gate upper: here it is called top; on the other side it is called high."]
    assert merged.job == called("gates", "upper", stands)(RING)


@pytest.mark.parametrize(("keep", "old"), [("ours", "west"), ("theirs", "east")])
def test_of_two_yards_of_one_new_name_the_kept_one_is_called_so(keep: str, old: str) -> None:
    merged = joined(called("yards", "west", "mid"), called("yards", "east", "mid"), keep)
    assert len(merged.conflicts) == 1
    assert merged.job == called("yards", old, "mid")(RING)


def test_a_new_name_that_something_else_has_on_the_other_side_is_not_given() -> None:
    inside = RING.yards["east"].inside
    merged = joined(
        called("yards", "west", "mid"), lambda job: entering.add(ticked("punch.west.walked")(job), "yards", "mid", {"inside": inside})
    )
    assert merged.came_in[0] == "Yard west keeps its name: both sides call something mid."
    assert (list(merged.job.yards), by_mo(merged)) == (["west", "east", "mid"], [item_key("punch.west.walked")])


@pytest.mark.parametrize(
    ("name", "told"),
    [
        (("gates", "upper", "top"), "Gate upper is called top now."),
        (("points", "K1", "oak"), "Point K1 is called oak now."),
        (("trees", "ash", "oak"), "Tree ash is called oak now."),
        (("lines", "ring", "main"), "Line ring is called main now."),
    ],
)
def test_another_name_is_told_as_such_and_nothing_as_ticked(name: tuple[str, str, str], told: str) -> None:
    after = called(*name)(RING)
    assert list(came_in(RING, after)) == [told]
    assert merge(RING, edits.note(RING, "soft", LATER, "Mo"), after).came_in == (told,)
    assert joined(lambda job: edits.note(job, "soft", LATER, "Mo"), called(*name)).job.log[-1].kind == "note"
