"""The law of a finding's own advice does what is told: a sentence that is worded anew can't fall out of it unseen."""

from typing import Any

from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.walk import walk
from tests.change.test_advice_of_findings import SEEN, TAKEN, put, troubled
from tests.demo import accepted

NOT_MET = {"gate_in_the_way", "gate_post_off_line"}
"""Two gates in one opening, and a gate hung on a tree off its line: none of these jobs has them."""
DONE = {
    649: {"gate_elsewhere", "gate_mower", "post_too_short"},
    2903: {"loop_too_long"},
    3656: {"bay_over", "bay_under", "fence_low", "foot_past_bay", "gate_without_posts", "post_in_opening", "same_place"},
    4363: {"cable_slack"},
    8880: {"foot_in_keep_out", "gate_off_line"},
    9014: {"near_boundary", "tree_used_twice"},
    9419: {"brace_too_short", "cable_on_ground", "lock_too_weak", "low_part", "point_without_post"},
}
"""What is done in some jobs of that law."""


def stocked(row: str, **fields: Any) -> Job:
    """The demo's job with a stock row that falls short."""
    job = accepted()
    return job.model_copy(update={"stock": {**job.stock, row: stock_of(job.stock)[row].model_copy(update=fields)}})


def is_done(job: Job, code: str) -> bool:
    """Whether the advice of some finding of that code is an edit here."""
    walked, taker = walk(job), TAKEN.get(code) or SEEN[code]
    return any(True for one in walked.findings if one.code == code for _ in taker(job, walked, one))


def test_what_is_advised_in_jobs_of_the_law_is_done() -> None:
    for seed, codes in DONE.items():
        job = troubled(seed)
        assert {code for code in codes if is_done(job, code)} == codes


def test_all_advice_that_is_an_edit_is_done_in_some_job() -> None:
    built = {
        "cable_too_weak": stocked("cable-3-32", strength_lbf=150.0),
        "gate_drags": put(accepted(), "gates", "side", opens="left", station_ft=138.0).model_copy(update={"posts": {}}),
        "mesh_roll_too_short": stocked("mesh-48", length_ft=10.0),
        "spool_too_short": stocked("cable-3-32", length_ft=60.0),
        "wall_unfit": put(accepted(), "structures", "house", holds_eyes=False),
        "wire_roll_too_short": stocked("wire-48", length_ft=10.0),
    }
    assert {code for code, job in built.items() if is_done(job, code)} == {*built}
    assert {*built, *(code for codes in DONE.values() for code in codes)} == {*TAKEN, *SEEN} - NOT_MET
