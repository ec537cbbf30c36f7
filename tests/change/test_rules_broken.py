"""What a change breaks: work that has to be done again is none of it, a gap that wasn't there is."""

from dataclasses import replace
from functools import cache

import pytest

from engine.change.found_in_ground import obstacle_found, where_it_stands
from engine.change.rules_broken import rules_broken
from engine.change.settling import settled
from engine.change.suggestions import suggestions
from engine.findings import Finding, Level
from engine.job.model.job import Job
from engine.stages.fabric.aprons import Filled, Short
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted
from tests.test_done_means_done import all_ticked

BAY = "P11-P12"


@cache
def finished() -> Job:
    return all_ticked(accepted())


def rocky(job: Job, post: str, radius_ft: float) -> Job:
    line, station_ft, offset_ft = where_it_stands(job, walk(job), post)
    return obstacle_found(job, walk(job), "rock", line, station_ft, AT, BY, offset_ft=offset_ft, radius_ft=radius_ft)


@pytest.mark.parametrize("post", ["P11", "P12"])
def test_a_dip_that_was_filled_has_the_offers_of_one_that_was_not(post: str) -> None:
    new, done = rocky(accepted(), post, 2.5), rocky(finished(), post, 2.5)
    offered = [offer.kind for offer in suggestions(new, walk(new), post, AT)]
    assert [offer.kind for offer in suggestions(done, walk(done), post, AT)] == offered
    assert offered


def test_a_moved_posts_filled_dip_is_told_but_breaks_no_rule() -> None:
    job = rocky(finished(), "P11", 2.5)
    before = walk(job)
    offers = list(suggestions(job, before, "P11", AT))
    assert offers[0].reason.startswith("2' 6\" back along the line")
    after = walk(settled(job, before, offers[0].steps, AT, BY))
    assert [one.code for one in after.findings if one.subject == BAY and one.code == "apron_short"] == ["apron_short"]
    assert rules_broken(before, after, {}) == []


def dip(from_ft: float, to_ft: float, least_in: float, kind: str = "soil") -> Short:
    return Short(from_ft, to_ft, least_in, kind)


def with_gap(code: str, level: Level, *short: Short) -> Walk:
    """The demo with one bay short as is said, and that told."""
    walked = walk(accepted())
    told = Finding(code, level, "fabric", (BAY,), "", "")
    bays = {**walked.fabric.bays, BAY: replace(walked.fabric.bays[BAY], short=short)}
    return replace(walked, fabric=replace(walked.fabric, bays=bays), stage_findings={**walked.stage_findings, "fabric": (told,)})


def filled(*short: Short) -> Walk:
    """The demo with one bay short as is said, and all of that filled, so that nothing is told."""
    walked = with_gap("apron_short", "fix", *short)
    done = replace(walked.fabric, filled=Filled(frozenset((BAY,)), frozenset()))
    return replace(walked, fabric=done, stage_findings={**walked.stage_findings, "fabric": ()})


SHORT, HOLE, STEPS = dip(184, 186, 5.0), dip(184, 186, -2.0), dip(184, 186, -2.0, "steps")


@pytest.mark.parametrize(
    ("was", "code", "level", "now", "new"),
    [
        ((SHORT,), "apron_short", "fix", (dip(183, 185, 4.0),), False),
        ((HOLE,), "hole_under_wire", "stop", (dip(184, 187, -2.5),), False),
        ((HOLE,), "apron_short", "fix", (SHORT,), False),
        ((SHORT,), "hole_under_wire", "stop", (HOLE,), True),
        ((SHORT,), "apron_short", "fix", (dip(178, 180, 5.5),), True),
        ((SHORT,), "apron_short", "fix", (SHORT, dip(178, 180, 5.5)), True),
        ((HOLE,), "gap_over_treads", "fix", (STEPS,), True),
        ((STEPS,), "gap_over_treads", "fix", (dip(184, 186, -2.1, "steps"),), False),
        ((STEPS,), "gap_over_treads", "stop", (dip(184, 186, -4.0, "steps"),), True),
        ((SHORT,), "cable_on_ground", "fix", (SHORT,), True),
    ],
)
def test_a_gap_that_was_not_there_is_new_though_the_bay_was_filled(
    was: tuple[Short, ...], code: str, level: Level, now: tuple[Short, ...], new: bool
) -> None:
    assert bool(rules_broken(filled(*was), with_gap(code, level, *now), {})) is new


def test_a_gap_in_a_bay_that_was_never_filled_is_new() -> None:
    before = filled(SHORT)
    unfilled = replace(before, fabric=replace(before.fabric, filled=Filled(frozenset(), frozenset())))
    assert [one.code for one in rules_broken(unfilled, with_gap("apron_short", "fix", SHORT), {})] == ["apron_short"]
