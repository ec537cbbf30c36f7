"""Two things measured apart under one counted name: both stand, the same whichever copy is named first, and what was done follows."""

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits, entering
from engine.job.edit.renames_found import Renamed
from engine.job.merge.merge import merge
from engine.job.merge.records_apart import taken_over
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from tests.demo import AT, accepted

BASE = accepted()
LATER = AT + timedelta(hours=1)


def level(job: Job, station_ft: float, name: str = "level-back-1") -> Job:
    return entering.add(job, "shots", name, {"method": "level", "line": "back", "station_ft": station_ft, "level_ft": -1.5})


def tie(job: Job, point: str, feet: float) -> Job:
    ends = {"from_a": "A", "from_b": "H", "side": "right"}
    return entering.add(job, "shots", f"tie-{point}", {"method": "tie", "point": point, **ends, "tape_a_ft": feet, "tape_b_ft": 150.0})


def tree(job: Job, name: str, feet: float) -> Job:
    """A tree at a point of its own name."""
    return entering.add(tie(job, name, feet), "trees", name, {"point": name, "diameter_in": feet / 10})


def both_ways(base: Job, one: Job, other: Job) -> Job:
    """The one job that comes out of both, unasked; joined with either again it stays as it is."""
    merged, turned = merge(base, one, other), merge(base, other, one)
    assert (merged.conflicts, turned.conflicts) == ((), ())
    assert merged.job == turned.job
    for side in (one, other):
        again = merge(base, merged.job, side)
        assert (again.conflicts, again.job) == ((), merged.job)
    return merged.job


def test_two_readings_of_one_name_both_stand_and_one_line_tells_the_new_one() -> None:
    one, other = level(BASE, 52.0), level(BASE, 131.0)
    job = both_ways(BASE, one, other)
    assert {name: shot.station_ft for name, shot in job.shots.items() if name.startswith("level-back")} == {  # type: ignore[union-attr]
        "level-back-1": 131.0,
        "level-back-2": 52.0,
    }
    told = "Both sides added shot level-back-1: {} is called level-back-2 now."
    assert merge(BASE, one, other).came_in == (told.format("yours"), "Shot level-back-1 was added.")
    assert merge(BASE, other, one).came_in == (told.format("theirs"), "Shot level-back-2 was added.")


def test_one_reading_entered_twice_alike_is_one() -> None:
    job = both_ways(BASE, level(BASE, 52.0), level(edits.note(BASE, "wet", AT, "Mo"), 52.0))
    assert [name for name in job.shots if name.startswith("level-back")] == ["level-back-1"]


def test_two_points_with_their_trees_stand_apart_and_what_was_logged_follows() -> None:
    one = edits.note(tree(BASE, "T4", 140.0), "leans", AT, "Mo", about="T4")
    other = edits.note(tree(BASE, "T4", 160.0), "hollow", LATER, "Ash", about="T4")
    merged = merge(BASE, one, other)
    job = both_ways(BASE, one, other)
    trees = {entry.text: job.trees[entry.about] for entry in job.log if entry.kind == "note" and entry.about}
    assert {text: row.diameter_in for text, row in trees.items()} == {"leans": 14.0, "hollow": 16.0}
    tapes = {shot.point: shot.tape_a_ft for shot in job.shots.values() if shot.method == "tie"}
    assert {text: tapes[row.point] for text, row in trees.items()} == {"leans": 140.0, "hollow": 160.0}
    assert merged.came_in[0] == "Both sides added point T4, tree T4 and shot tie-T4: theirs are called T5, T5 and tie-T5 now."


def test_a_point_called_by_hand_on_both_sides_is_one_and_each_shot_of_it_stands() -> None:
    job = both_ways(BASE, tie(BASE, "corner", 140.0), tie(BASE, "corner", 141.0))
    assert [name for name, shot in job.shots.items() if shot.method == "tie" and shot.point == "corner"] == ["tie-corner-2", "tie-corner"]


def test_what_both_had_and_both_put_right_is_asked() -> None:
    base = level(BASE, 52.0)
    one, other = (entering.put(base, "shots", "level-back-1", {**base.shots["level-back-1"].model_dump(), "level_ft": n}) for n in (1, 2))
    assert [asked.path for asked in merge(base, one, other).conflicts] == [("shots", "level-back-1", "level_ft")]


def test_what_is_put_right_after_its_name_was_taken_is_put_right_under_its_new_one() -> None:
    mine = level(BASE, 52.0)
    joined = merge(BASE, mine, level(BASE, 131.0)).job
    assert taken_over(mine, joined) == (Renamed("shots", "level-back-1", "level-back-2"),)
    righted = entering.put(mine, "shots", "level-back-1", {**mine.shots["level-back-1"].model_dump(), "level_ft": -2.0})
    for merged in (merge(mine, righted, joined), merge(mine, joined, righted)):
        assert merged.conflicts == ()
        levels = {name: (shot.station_ft, shot.level_ft) for name, shot in merged.job.shots.items() if shot.method == "level"}
        assert (levels["level-back-1"], levels["level-back-2"]) == ((131.0, -1.5), (52.0, -2.0))


def test_a_tick_follows_the_thing_that_was_called_anew() -> None:
    found = item_key("survey.pin-1.boundary_found")
    sides = []
    for tapes, by in ((140.0, "Mo"), (160.0, "Ash")):
        job = tie(BASE, "E9", tapes)
        job = entering.add(job, "boundaries", "pin-1", {"points": ["A", "E9"], "client_side": "left", "setback_ft": tapes / 40})
        sides.append(edits.tick(job, found, AT, by))
    job = both_ways(BASE, sides[0], sides[1])
    ticked = {job.boundaries[key.subject].setback_ft: tick.by for key, tick in job.checks.items() if key.what == "boundary_found"}
    assert {setback: by for setback, by in ticked.items() if by in ("Mo", "Ash")} == {3.5: "Mo", 4.0: "Ash"}


def test_a_point_that_one_took_anew_keeps_its_name_though_the_other_measured_another_like_the_old_one() -> None:
    base = tie(BASE, "D5", 150.0)
    anew = entering.put(base, "shots", "tie-D5", {**base.shots["tie-D5"].model_dump(), "tape_a_ft": 157.0})
    job = both_ways(base, anew, tie(base, "D6", 150.0))
    assert {name: job.shots[name].tape_a_ft for name in ("tie-D5", "tie-D6")} == {"tie-D5": 157.0, "tie-D6": 150.0}  # type: ignore[union-attr]


def noted_tree(job: Job, name: str, feet: float) -> Job:
    """A tree, and what its finder says of it."""
    return edits.note(tree(job, name, feet), f"of {feet:g}", AT + timedelta(minutes=feet), f"Finder {feet:g}", about=name)


def found(job: Job) -> dict[str, tuple[str, float]]:
    """What is said of each tree that was found: its name and its tape."""
    tapes = {shot.point: shot.tape_a_ft for shot in job.shots.values() if shot.method == "tie"}
    return {entry.text: (entry.about, tapes[job.trees[entry.about].point]) for entry in job.log if entry.kind == "note" and entry.about}


@given(st.lists(st.integers(0, 2), min_size=6, max_size=6), st.permutations([139.0, 140.5, 141.0, 150.0, 163.0, 98.0]))
@settings(max_examples=8, deadline=None)
def test_names_are_the_same_in_whatever_order_three_laptops_meet(whose: list[int], measured: list[float]) -> None:
    copies = []
    for laptop in range(3):
        job = BASE
        for n, feet in enumerate((feet for by, feet in zip(whose, measured, strict=True) if by == laptop), 4):
            job = level(noted_tree(job, f"T{n}", feet), feet, f"level-back-{n}")
        copies.append(job)
    pairs = [merge(BASE, copies[n], copies[n - 1]) for n in range(3)]
    wholes = [merge(BASE, pair.job, copies[n - 2]) for n, pair in enumerate(pairs)] + [merge(BASE, pairs[0].job, pairs[1].job)]
    assert [merged.conflicts for merged in (*pairs, *wholes)] == [()] * 7
    assert {text: feet for text, (_, feet) in found(wholes[0].job).items()} == {f"of {feet:g}": feet for feet in measured}
    for merged in wholes:
        assert all(getattr(merged.job, table) == getattr(wholes[0].job, table) for table in ("shots", "trees", "log"))
        again = merge(None, wholes[0].job, merged.job)
        assert (again.conflicts, found(again.job)) == ((), found(wholes[0].job))


def test_with_no_version_in_common_what_was_said_of_a_tree_stands_on_it_once() -> None:
    mine = noted_tree(BASE, "T4", 141.0)
    joined = merge(BASE, mine, noted_tree(BASE, "T4", 139.0)).job
    assert found(joined) == {"of 139": ("T4", 139.0), "of 141": ("T5", 141.0)}
    righted = entering.put(mine, "trees", "T4", {**mine.trees["T4"].model_dump(), "note": "hollow"})
    righted = edits.note(righted, "ants", LATER + timedelta(hours=9), "Mo", about="T4")
    for one, other in ((joined, righted), (righted, joined)):
        merged = merge(None, one, other)
        assert [asked.path for asked in merged.conflicts] == [("trees", "T5", "note")]
        assert found(merged.job) == {"of 139": ("T4", 139.0), "of 141": ("T5", 141.0), "ants": ("T5", 141.0)}
        assert set(merged.job.trees) == set(joined.trees)


def test_what_was_said_of_a_tree_follows_it_when_its_name_is_swapped_with_anothers() -> None:
    swapped = BASE
    for old, new in (("oak", "spare"), ("hickory", "oak"), ("spare", "hickory")):
        swapped = entering.rename(swapped, "trees", old, new)
    other = edits.note(BASE, "hollow", AT, "Teal", about="oak")
    other = entering.put(other, "trees", "oak", {**BASE.trees["oak"].model_dump(), "note": "hollow"})
    for one, two in ((swapped, other), (other, swapped)):
        merged = merge(BASE, one, two)
        assert merged.conflicts == ()
        assert [entry.about for entry in merged.job.log if entry.kind == "note" and entry.text == "hollow"] == ["hickory"]
        assert {name: (row.point, row.note) for name, row in merged.job.trees.items() if name != "dogwood"} == {
            "oak": (BASE.trees["hickory"].point, BASE.trees["hickory"].note),
            "hickory": (BASE.trees["oak"].point, "hollow"),
        }
        assert [post.at for post in merged.job.posts.values()] == [post.at for post in swapped.posts.values()]
    told = [says for says in merge(BASE, other, swapped).came_in if "is called" in says]
    assert told == ["Tree oak is called hickory now.", "Tree hickory is called oak now."]


def test_a_gate_that_both_decided_alike_under_two_names_is_one() -> None:
    def gated(job: Job, name: str, station_ft: float) -> Job:
        fields = {"line": "back", "station_ft": station_ft, "leaf_width_ft": 3.0, "opens": "left", "hinge": "start"}
        return entering.add(job, "gates", name, fields)

    job = both_ways(BASE, gated(BASE, "G1", 150.0), gated(gated(BASE, "G1", 40.0), "G2", 150.0))
    assert {name: gate.station_ft for name, gate in job.gates.items() if name != "side"} == {"G1": 40.0, "G2": 150.0}
