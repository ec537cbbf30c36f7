"""The big job of the bench, as a test that the walk stands up to one: 2,000 ft, four yards, moved posts, ticks."""

import pytest

from engine.change.consequences import consequences
from engine.findings import STAGES
from engine.job.edit.edits import move_post
from engine.job.model.cross_checks import problems
from engine.paper.plan.plan_json import plan_text
from engine.paper.record_office import record_text
from engine.walk import Walk, walk
from tests.bench.big_job import NOON, big_job, proposed


@pytest.fixture(scope="module")
def worked() -> Walk:
    """The big job's walk."""
    return walk(big_job())


def test_it_keeps_every_rule_across_records() -> None:
    assert problems(big_job()) == []


def test_it_is_the_same_for_the_same_seed() -> None:
    assert proposed() == proposed()
    assert proposed(seed=8) != proposed()


def test_it_is_big(worked: Walk) -> None:
    assert len(worked.layout.supports) >= 80
    assert 1900 <= sum(line.length_ft for line in worked.layout.lines.values()) <= 2100
    assert len(worked.gate.gates) == 4
    assert len(worked.cables.loops) > 30
    assert all(worked.checklists[name].lines for name in STAGES)


def test_nothing_in_it_is_an_internal_finding(worked: Walk) -> None:
    assert [finding for finding in worked.findings if "internal" in finding.code] == []
    assert all(finding.says and finding.do for finding in worked.findings)


def test_its_four_yards_close(worked: Walk) -> None:
    assert all(yard.area_ft2 and 15_000 < yard.area_ft2 < 25_000 for yard in worked.survey.yards.values())


def test_it_prints(worked: Walk) -> None:
    assert plan_text(worked).endswith("}\n")
    assert record_text(big_job(), worked).startswith("What was built\n")


def test_one_move_changes_its_neighbours_and_not_the_far_yards(worked: Walk) -> None:
    job = big_job()
    post = next(name for name, row in job.posts.items() if row.kind == "line" and row.support == "driven" and row.line == "ring2")
    found = consequences(worked, walk(move_post(job, post, NOON, "Lead", out_ft=2.5, why="rock")))
    bays = {change.subject for change in found.changes if change.what == "length"}
    assert bays == {bay.id for bay in worked.layout.bays.values() if post in (bay.from_id, bay.to_id)}
    lines = {bay.id: bay.line for bay in worked.layout.bays.values()}
    assert {lines[change.subject] for change in found.changes if change.what in ("length", "stakes", "least apron")} == {"ring2"}
