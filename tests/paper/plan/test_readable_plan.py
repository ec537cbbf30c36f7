"""The plan to read: inside 80 columns whatever the job, the figures of the sheets, worst findings first, what it rests on said."""

from pathlib import Path

import pytest

from engine.findings import LEVELS
from engine.job.file.store import starter
from engine.job.model.job import Job
from engine.paper.plan.readable_plan import readable_plan
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said, taped
from tests.demo import FOLDER, accepted, demo, others
from tests.stages.yards import empty, half_surveyed, long_job, plain, sloping
from tui.cli import main

JOBS = {
    "starter": starter("yard"), "empty": empty(), "half surveyed": half_surveyed(), "plain": plain(), "sloping": sloping(),
    "long": long_job(), "said": said(PHONE), "taped": taped(PHONE, 140), "willow": demo(), "accepted": accepted(), **others(),
}  # fmt: skip


def lines(job: Job) -> list[str]:
    return readable_plan(job, walk(job)).split("\n")


@pytest.mark.parametrize("name", JOBS)
def test_no_line_is_longer_than_a_terminal_is_wide(name: str) -> None:
    assert [line for line in lines(JOBS[name]) if len(line) > 80] == []


def test_a_surveyed_plan_line_by_line() -> None:
    told = lines(accepted())
    for line in (
        "job             2611 Willow Bend back yard",
        "plan            accepted",
        "length          261' 7 7/8\" along the ground, gates included",
        "P2    gate           16' 0\"                     5' 2\" to P3, gate side",
        "P5    65' 9 1/4\" from A   100' 1 3/8\" from B   70' 0 1/8\" from C",
        'P7    oak        at least 6"          3\' 0", 5\' 11 3/4"',
        "P9 a   P8      5' 0\"   7' 9 3/8\"   184 lb  133 lb  yes",
        'L5    P11   P13  81\' 7"       P12-P13  1/8" to 3/8"',
        "L3    52' 5 1/2\"   yes    52' 5 1/2\"   70",
        "hinge post to latch post                             P2 to P3",
    ):
        assert line in told


@pytest.mark.parametrize("name", ["accepted", *others()])
def test_every_loop_brace_and_bay_of_the_sheets_is_in_it(name: str) -> None:
    job = JOBS[name]
    told = lines(job)
    for stage in ("bracing", "cables", "staking"):
        for row in sheet_of(stage, job, walk(job)).parts[0].rows:  # type: ignore[arg-type]  # three stage names
            assert any(line.startswith(f"{row.name} ") for line in told), row.name


@pytest.mark.parametrize("name", JOBS)
def test_findings_stand_worst_first_and_are_counted(name: str) -> None:
    told = lines(JOBS[name])
    found = told[told.index("Findings") :]
    levels = [line[:4].strip() for line in found if line[4:6] == "  " and line[:4].strip() in LEVELS]
    assert levels == sorted(levels, key=LEVELS.index)
    assert len(levels) == len(walk(JOBS[name]).findings)
    assert told[-2] == "{} to stop for, {} to fix, {} to note.".format(*(levels.count(level) for level in LEVELS))


def test_an_estimate_a_proposal_and_a_signed_job_say_so() -> None:
    rough = lines(said(PHONE))
    assert "state       ESTIMATE, nothing surveyed yet; not signed off" in rough
    assert "plan        no layout yet" in rough
    assert "ESTIMATE by what was said, nothing is surveyed yet: the least and most it may" in rough
    assert "plan            proposed, not accepted yet" in lines(demo())
    signed = others()["alder_row"]
    told = readable_plan(signed, walk(signed), ("Mo's name was changed.",))
    assert (
        "state           signed off 2026-03-09 17:46 by Teal, accepted by the client; the\n                file was changed since\n" in told
    )
    assert "What follows is worked out today; what was signed stands in the record." in told
    assert "\nseal  Mo's name was changed.\n" in told


def test_the_command_prints_it(capsys: pytest.CaptureFixture[str]) -> None:
    file = Path(FOLDER / "ridge_ring.toml")
    assert main(["plan", str(file)]) == 0
    job = others()["ridge_ring"]
    assert capsys.readouterr().out == readable_plan(job, walk(job))
