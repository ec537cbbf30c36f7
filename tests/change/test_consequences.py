"""What one change does to everything downstream, read off two walks of the main demo."""

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.changed_findings import FindingChange
from engine.change.consequences import Consequences, Difference, WayChange, consequences
from engine.change.new_way.given_up import NewWay
from engine.findings import Finding, FindingOf, Level
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.stages.layout.stage import TapeTie
from engine.walk import Walk, walk
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT, BY, accepted, demo, others
from tests.test_done_means_done import JOBS, all_ticked, changed

DEPTH_EYES = ("driven_depth", "eyes")

GROUPS = {
    "posts": ("stands at",),
    "bays": ("length",),
    "ties": ("first tape", "second tape"),
    "braces": ("brace length", "foot"),
    "loops": ("supports", "cable to cut", "run"),
    "fabric": ("wire to cut", "mesh to cut", "rings"),
    "apron": ("least apron",),
    "stakes": ("stakes",),
    "gate": ("opening",),
    "materials": ("needed", "packs to load"),
}
"""What can differ, in the order of the stages."""


def of(after: Job) -> Consequences:
    return consequences(walk(accepted()), walk(after))


def moved(along_ft: float = 0.0, out_ft: float = 0.0, post: str = "P6") -> Consequences:
    return of(edits.move_post(accepted(), post, AT, BY, along_ft=along_ft, out_ft=out_ft))


def group(found: Consequences, name: str) -> dict[str, tuple[str, str, str]]:
    return {change.subject: (change.what, change.before, change.after) for change in found.changes if change.what in GROUPS[name]}


def tied(walked: Walk, tie: TapeTie | None) -> Walk:
    """The walk with another tie at P6, or none."""
    ties = {**walked.layout.ties, "P6": tie} if tie else {name: one for name, one in walked.layout.ties.items() if name != "P6"}
    return replace(walked, layout=replace(walked.layout, ties=ties))


def test_nothing_changes_between_a_walk_and_itself() -> None:
    assert consequences(walk(accepted()), walk(accepted())) == Consequences()


@pytest.mark.closed_form
def test_a_move_along_the_line_changes_the_two_bays_beside_it() -> None:
    """P5 stands on the bend at 66.09, P7 on the oak at 100.01, 3/4 ft off the line: 2 ft on from 83 makes 18.9 and 15.0 ft."""
    bays = group(moved(along_ft=2), "bays")
    assert list(bays) == ["P5-P6", "P6-P7"]
    assert bays["P5-P6"] == ("length", "16' 11\"", "18' 11\"")
    assert bays["P6-P7"][1] == "17' 0 3/8\""
    assert bays["P6-P7"][2].startswith("15' 0")


def test_a_move_within_one_loop_changes_everything_that_hangs_on_its_bays_and_nothing_else() -> None:
    found = moved(along_ft=2)
    assert {change.subject for change in found.changes if change.what in GROUPS["ties"]} == {"P6"}
    assert {change.subject for change in found.changes if change.what in GROUPS["loops"] + GROUPS["fabric"]} <= {"L3"}
    assert {change.subject for change in found.changes if change.what in ("stakes", "least apron")} <= {"P5-P6", "P6-P7"}
    assert group(found, "stakes")
    assert not group(found, "braces")
    assert not group(found, "gate")


def test_changes_stand_in_the_order_of_the_stages() -> None:
    group_of = {what: name for name, whats in GROUPS.items() for what in whats}
    groups = [group_of[change.what] for change in of(edits.add_post(accepted(), "back", 220, AT, BY)).changes]
    assert groups == sorted(groups, key=list(GROUPS).index)
    assert "materials" in groups


def test_an_added_post_is_new_with_all_that_it_brings_and_the_bay_it_splits_is_gone() -> None:
    found = of(edits.add_post(accepted(), "back", 220, AT, BY))
    bays = group(found, "bays")
    assert {name: (before, after) for name, (_, before, after) in bays.items() if "-" in (before, after)} == {
        "P13-P14": ("17' 0 1/2\"", "-"),
        "P13-P17": ("-", "10' 0 3/8\""),
        "P17-P14": ("-", "7' 0 1/4\""),
    }
    packs = {change.subject: (change.before, change.after) for change in found.changes if change.what == "packs to load"}
    assert packs["round steel post 1 5/8 in, 8 ft"] == ("12", "13")
    assert packs["steel sleeve 30 in"] == ("12", "13")
    needed = {change.subject: (change.before, change.after) for change in found.changes if change.what == "needed"}
    assert needed["post eye with band"] == ("24", "26")


def test_a_brace_whose_post_moves_says_how_far_its_foot_goes() -> None:
    braces = [change for change in moved(out_ft=-1, post="P9").changes if change.what == "foot"]
    assert {change.subject for change in braces} == {"P9-a", "P9-b"}
    assert {change.before for change in braces} == {"as set out"}
    assert all(change.after.endswith(" over") for change in braces)


def test_a_brace_that_is_needed_no_more_is_a_dash_and_so_is_one_that_was_not_there() -> None:
    """The corner hung on the thin tree in the middle of the next run: the sharp turns are at its neighbours then."""
    found = of(edits.swap_to_tree(accepted(), "P9", "dogwood", AT, BY))
    braces = [change for change in found.changes if change.what == "brace length"]
    assert [change.subject for change in braces if change.after == "-"] == ["P9-a", "P9-b"]
    assert [change.subject for change in braces if change.before == "-"] == ["P8-a", "P8-b", "P10-a", "P10-b"]


def test_a_gate_post_that_moves_changes_the_opening() -> None:
    assert group(moved(along_ft=0.25, post="P3"), "gate") == {"side": ("opening", "5' 2\"", "5' 5\"")}


def test_findings_that_appear_and_that_go() -> None:
    long = edits.drop_post(accepted(), "P14", AT, BY)
    found = of(long)
    assert "bay_over:P13-P15:P13:P15" in {str(finding.key) for finding in found.appear}
    back = consequences(walk(long), walk(accepted()))
    assert {finding.key for finding in back.go} == {finding.key for finding in found.appear}
    assert {finding.key for finding in back.appear} == {finding.key for finding in found.go}


def test_accepting_the_plan_changes_no_figure_and_takes_its_note_away() -> None:
    found = consequences(walk(demo()), walk(accepted()))
    assert found.changes == ()
    assert [str(finding.key) for finding in found.go] == ["not_accepted"]


def test_there_and_back_are_each_other_s_mirror() -> None:
    there = moved(along_ft=2, out_ft=-1)
    here = consequences(walk(edits.move_post(accepted(), "P6", AT, BY, along_ft=2, out_ft=-1)), walk(accepted()))
    mirrored = {replace(change, before=change.after, after=change.before) for change in here.changes}
    assert mirrored == set(there.changes)


@pytest.mark.parametrize(
    ("old", "new", "changes"),
    [
        (TapeTie("P6", "A", 80.0, "B", 95.0, 60.0, None), TapeTie("P6", "A", 80.004, "B", 95.0, 60.0, None), ()),
        (
            TapeTie("P6", "A", 80.0, "B", 95.0, 60.0, None),
            TapeTie("P6", "A", 80.5, "B", 95.0, 60.0, None),
            (Difference("P6", "first tape", "80' 0\" from A", "80' 6\" from A"),),
        ),
        (
            TapeTie("P6", "A", 80.0, "B", 95.0, 60.0, None),
            TapeTie("P6", "A", 80.0, "H", 95.0, 60.0, None),
            (Difference("P6", "second tape", "95' 0\" from B", "95' 0\" from H"),),
        ),
        (
            TapeTie("P6", "A", 80.0, "B", 95.0, 60.0, None),
            None,
            (Difference("P6", "first tape", "80' 0\" from A", "-"), Difference("P6", "second tape", "95' 0\" from B", "-")),
        ),
    ],
)
def test_a_tape_that_starts_elsewhere_says_where(old: TapeTie, new: TapeTie | None, changes: tuple[Difference, ...]) -> None:
    """The best pair of points may be another one after a move; the same length from another point is another tape."""
    found = consequences(tied(walk(accepted()), old), tied(walk(accepted()), new))
    assert found.changes == changes


def told(*findings: Finding) -> Walk:
    """The demo's walk with these findings of the layout."""
    walked = walk(accepted())
    return replace(walked, stage_findings={name: findings if name == "layout" else () for name in walked.stage_findings})


def finding(code: str, says: str, *subjects: str, level: Level = "fix") -> Finding:
    return Finding(code, level, "layout", subjects, says, "")


def test_a_finding_that_grew_is_changed_and_of_notes_those_of_where_posts_stand() -> None:
    was, now = finding("gap", "8 1/4 in", "P4"), finding("gap", "26 in", "P4")
    note, other = (replace(finding("n", f"{count} are open", level="note"), stage="punch") for count in (12, 14))
    near, nearer = (finding("near", f"{feet} ft inside the boundary", "P5", level="note") for feet in (2.1, 0.2))
    found = consequences(told(was, note, near), told(now, other, nearer))
    assert (found.appear, found.go, [one[:2] for one in found.changed]) == ((), (), [(was, now), (near, nearer)])


def test_a_finding_that_stands_for_several_stays_one_when_another_comes_first() -> None:
    was, same = finding("lifts", "P4 and 1 more", "P4", "P7"), finding("lifts", "P4 and 1 more", "P7", "P4")
    more = finding("lifts", "P9 and 2 more", "P9", "P4", "P7")
    assert consequences(told(was), told(same)) == Consequences()
    found = consequences(told(was), told(more))
    assert (found.appear, found.go, found.changed) == ((), (), (FindingChange(was, more, ("P9",)),))


def test_a_group_with_the_same_words_about_others_tells_who_came_and_who_went() -> None:
    was, now = (of_many("lifts", "P9", "P2", post) for post in ("P12", "P11"))
    assert was.says == now.says
    found = consequences(told(was), told(now))
    assert (found.appear, found.go, found.changed) == ((), (), (FindingChange(was, now, ("P11",), ("P12",)),))


def of_many(code: str, *posts: str) -> Finding:
    return FindingOf("layout").of_many(code, "fix", {post: f"{post} is lifted" for post in posts}, "lifted too", "Pin it.")


def test_a_group_in_which_another_than_the_first_says_something_else_is_changed() -> None:
    was, now = of_many("lifts", "P9", "P2"), of_many("lifts", "P9", "P2")
    now = replace(now, each=(now.each[0], ("P2", "P2 is lifted more.")))
    assert consequences(told(was), told(now)).changed == (FindingChange(was, now, (), (), ("P2",)),)


def test_two_of_one_code_about_other_things_are_told_apart() -> None:
    one, other = finding("bay", "26 ft", "P1-P2"), finding("bay", "27 ft", "P8-P9")
    third = finding("bay", "28 ft", "P3-P4")
    found = consequences(told(one, other), told(other, third))
    assert (found.appear, found.go, found.changed) == ((third,), (one,), ())


def test_a_second_corner_of_a_line_that_is_left_bare_is_told_beside_the_first() -> None:
    first = edits.drop_post(others()["ridge_ring"], "P14", AT, BY)
    found = consequences(walk(first), walk(edits.drop_post(first, "P1", AT, BY)))
    assert [one.says for one in found.appear if one.code == "point_without_post"] == ['No post stands at the turn at 0" on ring.']


def test_ways_out_are_told_by_their_place_with_the_size_before_and_after() -> None:
    before = walk(others()["ridge_ring"])
    (way, *rest) = before.punch.ways_out
    grown = replace(before, punch=replace(before.punch, ways_out=(replace(way, opening_in=way.opening_in + 18),)))
    found = consequences(before, grown)
    assert (found.ways_before, found.ways_after) == (1 + len(rest), 1)
    assert found.ways[0] == WayChange(way.where, way.opening_in, way.opening_in + 18)
    assert {(change.where, change.after_in) for change in found.ways[1:]} == {(one.where, None) for one in rest}


def test_what_was_done_at_a_post_and_its_sleeve_are_told_when_it_goes() -> None:
    depth = next(item for item in walk(accepted()).posts.items if item.key == ItemKey("posts", "P6", "driven_depth"))
    job = edits.tick(accepted(), depth.key, AT, BY, reading_in=30, of=depth.of)
    later = AT + timedelta(days=1)
    found = consequences(walk(job), walk(edits.move_post(job, "P6", later, BY, along_ft=2)))
    assert [(line.item.key, line.tick and line.tick.reading) for line in found.opened] == [(depth.key, 30.0)]
    assert [(sleeve.post, sleeve.stays) for sleeve in found.sleeves] == [("P6", False)]


def states(walked: Walk) -> dict[ItemKey, str]:
    return {line.item.key: line.state for checklist in walked.checklists.values() for line in checklist.lines}


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_what_opens_and_what_counts_again_is_all_that_differs_between_the_checklists(name: str, seed: int) -> None:
    rng, job = Random(seed), all_ticked(JOBS[name]())
    checks = {key: tick.model_copy(update={"state": "not needed"}) if rng.random() < 0.3 else tick for key, tick in job.checks.items()}
    steps = [job.model_copy(update={"checks": checks})]
    for _ in range(rng.randint(1, 3)):
        steps.append(changed(steps[-1], rng))
    before, after = (walk(job) for job in rng.sample(steps, 2))
    one, other = states(before), states(after)
    found = consequences(before, after)
    assert {line.item.key: line.state for line in found.opened} == {
        key: state
        for key, state in one.items()
        if state != "open" and other.get(key, "open") == "open" and (key in other or state == "done")
    }
    assert {line.item.key: line.state for line in found.again} == {
        key: state for key, state in other.items() if state != "open" and one.get(key, "open") == "open"
    }


def test_a_post_moved_back_counts_again_and_what_was_not_needed_there_opens_with_it() -> None:
    depth, eyes = (next(item for item in walk(accepted()).posts.items if item.key == ItemKey("posts", "P6", what)) for what in DEPTH_EYES)
    job = edits.tick(edits.tick(accepted(), depth.key, AT, BY, reading_in=30, of=depth.of), eyes.key, AT, BY, of=eyes.of, needed=False)
    there = edits.move_post(job, "P6", AT + timedelta(days=1), BY, along_ft=2)
    back = edits.move_post(there, "P6", AT + timedelta(days=2), BY, along_ft=-2)
    gone, again = consequences(walk(job), walk(there)), consequences(walk(there), walk(back))
    assert [(line.item.key, line.state) for line in gone.opened] == [(depth.key, "done"), (eyes.key, "not needed")]
    assert [(line.item.key, line.state) for line in again.again] == [(depth.key, "done"), (eyes.key, "not needed")]
    assert (gone.again, again.opened) == ((), ())


def test_what_was_not_needed_at_a_post_that_goes_does_not_open_again() -> None:
    depth, eyes = (next(item for item in walk(accepted()).posts.items if item.key == ItemKey("posts", "P6", what)) for what in DEPTH_EYES)
    job = edits.tick(edits.tick(accepted(), eyes.key, AT, BY, of=eyes.of), depth.key, AT, BY, of=depth.of, needed=False, note="no tape")
    found = consequences(walk(job), walk(edits.drop_post(job, "P6", AT + timedelta(days=1), BY)))
    assert [(line.item.key, line.state) for line in found.opened] == [(eyes.key, "done")]
    assert [(sleeve.post, sleeve.stays) for sleeve in found.sleeves] == [("P6", False)]


@pytest.mark.parametrize("kind", ["move", "new way"])
def test_items_that_open_are_told_once_by_what_they_are(kind: str) -> None:
    """Posts P1 to P7 every 20 ft, all ticked: no finding says of the same items that they are open again."""
    job = all_ticked(line_of())
    before = walk(job)
    after = {
        "move": lambda: edits.move_post(job, "P4", AT, BY, along_ft=2),
        "new way": lambda: another_way(job, NewWay("P3", "P6", ("N",))),
    }[kind]()
    worked = walk(after)
    found = consequences(before, worked)
    said = [finding for finding in worked.findings if finding.code == "done_before_it_changed"]
    assert said
    assert {name for finding in said for name in finding.subjects} <= {line.item.subject for line in found.opened}
    assert not {finding.code for finding in (*found.appear, *found.go)} & {"done_before_it_changed"}
