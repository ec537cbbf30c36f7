"""Parts of a fence: lines that share a support hang together, and what is done to one part leaves the others the very same."""

from engine.job.edit import edits
from engine.stages.cables.fence_parts import lines_that_meet
from engine.walk import forget, walk
from tests.demo import AT, BY
from tests.stages.layouts import Spot, layout_of, row
from tests.test_remembering import two_yards


def test_lines_that_share_a_support_are_one_part_also_by_a_third_that_was_drawn_last() -> None:
    one, other = [Spot("P1", 0), Spot("P2", 20)], [Spot("P3", 60), Spot("P4", 80)]
    between = [Spot("P2", 20), Spot("P9", 40, 10), Spot("P3", 60)]
    apart = [Spot(f"{spot.id}a", spot.east_ft, 100.0) for spot in row(3, 20.0)]

    assert lines_that_meet(layout_of({"a": one, "far": apart, "b": other})) == [["a"], ["far"], ["b"]]
    assert lines_that_meet(layout_of({"a": one, "far": apart, "b": other, "c": between})) == [["far"], ["a", "b", "c"]]
    assert lines_that_meet(layout_of({})) == []


def test_a_move_leaves_all_cables_of_another_yard_the_very_same() -> None:
    job = two_yards()
    forget()  # a walk of a while ago would be given again, of things that are kept no more
    before = walk(job)
    post = next(name for name, one in before.layout.supports.items() if one.kind == "line" and one.support == "driven")
    after = walk(edits.move_post(job, post, AT, BY, along_ft=0.25))

    line = before.layout.supports[post].line
    elsewhere = [name for name, loop in before.cables.loops.items() if loop.line != line]
    posts = [name for name, one in before.layout.supports.items() if one.line != line]
    assert elsewhere
    assert all(after.cables.loops[name] is before.cables.loops[name] for name in elsewhere)
    assert all(after.cables.gives[name] is before.cables.gives[name] for name in posts)
    assert list(after.cables.gives) == list(after.layout.supports)
    assert list(after.cables.loops) == list(after.bracing.strung)
