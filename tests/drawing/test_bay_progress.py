"""How far a bay is: its posts in, its loop closed, its fabric hung, in this order."""

from engine.drawing.bay_progress import bay_progress
from engine.drawing.post_states import post_states
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, others


def ticked(job: Job, stage: str, *whats: str, but: str = "") -> Job:
    """The job with every such item of a stage ticked, but those of one thing, with a reading that passes where one is asked."""
    for line in walk(job).checklists[stage].lines:  # type: ignore[index]  # the stage's name
        if line.item.key.what in whats and line.item.subject != but:
            wanted = line.item.reading
            reading = {} if wanted is None else {f"reading_{wanted.unit}": wanted.wanted or wanted.low}
            job = edits.tick(job, line.item.key, AT, BY, of=line.item.of, **reading)  # type: ignore[arg-type]  # a length by its unit
    return job


def test_a_fresh_plan_is_planned_and_gates_have_no_progress() -> None:
    walked = walk(accepted())
    far = bay_progress(walked)
    assert set(far.values()) == {"planned"}
    assert set(far) == {name for name, bay in walked.layout.bays.items() if bay.gate is None}


def test_a_bay_goes_on_step_by_step() -> None:
    posts = ticked(accepted(), "posts", "driven_depth", "eyes")
    loop = next(iter(walk(posts).cables.loops))
    cabled = ticked(posts, "cables", "closed")
    wire = ticked(cabled, "fabric", "wire_hung")
    hung = ticked(wire, "fabric", "mesh_hung", but=loop)
    assert set(bay_progress(walk(posts)).values()) == {"posts in"}
    assert set(bay_progress(walk(cabled)).values()) == {"cabled"}
    assert set(bay_progress(walk(wire)).values()) == {"cabled"}
    assert {name for name, far in bay_progress(walk(hung)).items() if far == "cabled"} == set(walk(hung).cables.loops[loop].bays)


def test_a_post_to_be_driven_anew_brings_both_its_bays_back_to_planned() -> None:
    job = accepted()
    for stage, whats in (("posts", ("driven_depth", "eyes")), ("cables", ("closed",)), ("fabric", ("wire_hung", "mesh_hung"))):
        job = ticked(job, stage, *whats)
    moved = edits.move_post(job, "P5", AT, BY, along_ft=1)
    planned = {name for name, far in bay_progress(walk(moved)).items() if far == "planned"}
    assert planned == {"P4-P5", "P5-P6"}


def test_a_post_whose_sleeve_is_solid_is_in_though_its_depth_was_not_read() -> None:
    job = ticked(accepted(), "posts", "driven_depth", but="P5")
    assert bay_progress(walk(job))["P4-P5"] == "planned"
    solid = edits.tick(job, item_key("posts.P5.solid"), AT, BY)
    assert (bay_progress(walk(solid))["P4-P5"], post_states(walk(solid))["P5"]) == ("posts in", "done")


def test_a_tree_is_in_once_its_eyes_are() -> None:
    driven = ticked(accepted(), "posts", "driven_depth")
    assert bay_progress(walk(driven))["P6-P7"] == "planned"
    assert bay_progress(walk(ticked(driven, "posts", "eyes")))["P6-P7"] == "posts in"


def test_a_finished_fence_hangs_everywhere() -> None:
    assert set(bay_progress(walk(others()["alder_row"])).values()) == {"hung"}
