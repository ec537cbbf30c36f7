"""What was done in one place doesn't count in another of the same size: dips, decks, posts cut; a new name moves nothing."""

from typing import Any

import pytest

from engine.change.older_ticks import with_facts
from engine.job.edit import edits, entering
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import POST_CUT, SHORT
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.stages.flat_yards import posts, ring
from tests.test_done_means_done import all_ticked, states

DIP = ("fabric.P1-P2.infill", "staking.P1-P2.dips_filled")
CLOSED = "fabric.s.under_closed"


def with_dip(at_ft: float) -> Job:
    """A ring of bays of 20 ft with a dip of 17 in across 4 ft, so far along its first bay."""
    levels = {0.0: 0.0, at_ft - 2: 0.0, at_ft: -1.4, at_ft + 2: 0.0, 80.0: 0.0}
    shots = {
        f"l{n}": {"method": "level", "line": "r", "station_ft": station_ft, "level_ft": level_ft}
        for n, (station_ft, level_ft) in enumerate(levels.items())
    }
    kinds: Any = {0: "corner", 2: "corner", 4: "corner", 6: "corner", 7: "line"}
    return ring(shots=shots, posts=posts("r", 0, 20, 40, 60, 80, 100, 120, 140, kinds=kinds))


def with_stretch(**fields: Any) -> Job:
    """The demo with a hard stretch s under P6 to P8, laid out on it."""
    length_ft = walk(accepted()).survey.lines["back"].length_ft
    tables = accepted().model_dump(exclude={"checks", "posts", "log"})
    tables["surfaces"]["s"] = {"line": "back", "from_ft": 0.3 * length_ft, "to_ft": 0.3 * length_ft + 55, **fields}
    bare = Job.model_validate(tables)
    return all_ticked(edits.accept_layout(bare, planned_posts(walk(bare).layout), AT, BY))


def changed(job: Job, table: str, name: str, **fields: Any) -> Job:
    rows = getattr(job, table)
    return job.model_copy(update={table: {**rows, name: rows[name].model_copy(update=fields)}})


def opened(before: Job, after: Job) -> set[str]:
    was, now = (
        {str(key): line.state for one in walk(job).checklists.values() for key, line in one.by_key.items()} for job in (before, after)
    )
    return {key for key, state in was.items() if state == "done" and now.get(key, "gone") != "done"}


def test_a_dip_that_is_corrected_to_another_place_in_its_bay_isnt_filled() -> None:
    done = all_ticked(with_dip(6.0))
    elsewhere = done.model_copy(update={"shots": with_dip(14.0).shots})
    assert set(states(done, *DIP).values()) == {"done"}
    assert not walk(done).punch.ways_out
    assert set(states(elsewhere, *DIP).values()) == {"open"}
    assert [way.where for way in walk(elsewhere).punch.ways_out] == ["under the wire, P1 to P2 at 14' 0\""]


def test_a_dip_filled_as_an_older_program_wrote_it_counts_and_is_written_anew() -> None:
    done = all_ticked(with_dip(6.0))
    keys = [item_key(name) for name in DIP]
    full = {key: done.checks[key].of for key in keys}
    less = {key: of._replace(sizes=tuple(size for size in of.sizes if not size.name.endswith(SHORT))) for key, of in full.items()}
    old = done.model_copy(
        update={"checks": {**done.checks, **{key: done.checks[key].model_copy(update={"of": of}) for key, of in less.items()}}}
    )
    assert set(states(old, *DIP).values()) == {"done"}
    assert [str(with_facts(old, walk(old)).checks[key].of) for key in keys] == [str(full[key]) for key in keys]


def test_a_space_closed_under_a_deck_is_open_where_the_deck_lies_elsewhere_on_its_line() -> None:
    length_ft = walk(accepted()).survey.lines["back"].length_ft
    done = with_stretch(kind="deck", height_ft=1.0, rail_ft=3.0)
    moved = changed(done, "surfaces", "s", from_ft=0.3 * length_ft - 20, to_ft=0.3 * length_ft + 35)
    assert states(done, CLOSED) == {CLOSED: "done"}
    assert states(moved, CLOSED) == {CLOSED: "open"}
    assert [finding.level for finding in walk(moved).findings if finding.code == "under_deck_open"] == ["stop"]


def test_decks_that_were_protected_are_asked_for_again_where_a_deck_lies_elsewhere() -> None:
    done, key = all_ticked(accepted()), "punch.job.decks_protected"
    shots = {name: done.shots[name] for name in ("offset-D1", "offset-D2", "offset-D3", "offset-D4")}
    west = {name: shot.model_copy(update={"along_ft": shot.along_ft - 15}) for name, shot in shots.items()}  # type: ignore[union-attr]  # offsets
    assert states(done, key) == {key: "done"}
    assert states(done.model_copy(update={"shots": {**done.shots, **west}}), key) == {key: "open"}


@pytest.mark.parametrize(("height_ft", "says"), [(5.0, "5' 0\""), (6.0, "6' 0\"")])
def test_a_post_on_a_plate_is_cut_anew_for_a_fence_of_another_height(height_ft: float, says: str) -> None:
    done = with_stretch(kind="slab")
    lower = done.model_copy(update={"fence": done.fence.model_copy(update={"height_ft": height_ft})})
    plates = [key for key in done.checks if key.what == "plate"]
    assert len(plates) == 2
    for key in plates:
        line = walk(lower).checklists["posts"].by_key[key]
        assert line.item.says == f"{key.subject}: base plate bolted down on s, post cut to {says}"
        assert line.state == ("done" if height_ft == done.fence.height_ft else "open")
        assert [size.name for size in line.item.of.sizes] == [POST_CUT]


@pytest.mark.parametrize("fields", [{"kind": "slab"}, {"kind": "deck", "height_ft": 1.0, "rail_ft": 3.0}], ids=["slab", "deck"])
def test_a_hard_stretch_under_another_name_opens_nothing(fields: dict[str, Any]) -> None:
    done = with_stretch(**fields)
    renamed = entering.rename(done, "surfaces", "s", "terrace")
    gone = {CLOSED} if "height_ft" in fields else set()
    assert opened(done, renamed) == gone, "asked under its new name"
    if gone:
        assert states(renamed, "fabric.terrace.under_closed") == {"fabric.terrace.under_closed": "done"}
    assert not [finding for finding in walk(renamed).findings if finding.code == "under_deck_open"]


def test_a_deck_under_another_name_opens_nothing() -> None:
    done = all_ticked(accepted())
    (deck,) = done.decks
    renamed = entering.rename(done, "decks", deck, "terrace")
    assert renamed.checks[item_key("punch.job.decks_protected")].of.words == ("terrace",)
    assert {key for key in opened(done, renamed) if f".{deck}." not in key} == set()
