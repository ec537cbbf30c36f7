"""Reasons given at sign-off are found under today's keys and under those that older versions made of words."""

from dataclasses import replace
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.stages.punch.closing_list import NOT_CLOSED, UNTICKED
from engine.stages.punch.reasons import reason_given, reasons_that_stood, reasons_told
from engine.stages.punch.way_key import WayKey
from engine.walk import Walk, walk
from tests.demo import AT, BY
from tests.repair.finished import finished
from tests.stages import yards

FORMATS = Path(__file__).parents[2] / "job" / "file" / "formats"


def leaky() -> Walk:
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"]["shoulder_in"] = 4.0
    return walk(yards.build(tables))


def told_of_ways(walked: Walk, reasons: dict[str, str]) -> str:
    return next(reason_given(finding, walked.punch, reasons) for finding in walked.findings if finding.code == "punch_ways_out")


@pytest.mark.parametrize(
    ("key", "text"),
    [
        (WayKey("under_wire", "P1-P2"), "way_out:under_wire:P1-P2"),
        (WayKey("under_deck", "porch", at="back"), "way_out:under_deck:porch:back"),
        (WayKey("at_wall", "back", "start", "house"), "way_out:at_wall:back:start:house"),
        (WayKey("jump_off", "P1-P2", at="bench", nth=2), "way_out:jump_off:P1-P2:bench:2"),
    ],
)
def test_the_text_of_a_way_s_key_is_made_of_its_fields(key: WayKey, text: str) -> None:
    assert str(key) == text


def test_a_reason_under_todays_key_stands_beside_the_finding_that_tells_the_ways() -> None:
    walked = leaky()
    way = walked.punch.ways_out[0]
    told = reasons_told(walked.punch, {str(way.key): "mason comes"})
    assert told_of_ways(walked, told) == f"{way.where}: mason comes"
    assert told_of_ways(walked, {str(way.key): "mason comes"}) == f"{way.where}: mason comes"


def test_a_reason_under_an_older_key_is_found_by_every_kind_of_way() -> None:
    older = {
        "under_wire": "under_the_wire",
        "under_gate": "under_gate_{of}",
        "beside_gate": "beside_gate_{of}",
        "open_yard": "yard_{of}_doesn't_close",
        "free_end": "line_{of}_ends_free_at_{subject}",
        "at_wall": "between_{subject}_and_{at}",
    }
    walked = leaky()
    assert {way.key.place for way in walked.punch.ways_out} <= set(older)
    for way in walked.punch.ways_out:
        words = older[way.key.place].format(of=way.key.of, at=way.key.at, subject=way.subject)
        assert told_of_ways(walked, {f"way_out:{way.subject}:{words}": "later"}) == f"{way.where}: later"


@pytest.mark.parametrize(
    ("key", "subject", "older"),
    [
        (WayKey("under_deck", "porch", at="back"), "porch", "way_out:porch:under_deck_porch_on_line_back"),
        (WayKey("low_fence", "P1-P2"), "P1-P2", "way_out:P1-P2:over_the_4'_0\"_fence"),
        (WayKey("low_gate", "front"), "front", "way_out:front:over_gate_front"),
        (WayKey("jump_off", "P1-P2", at="bench"), "P1-P2", "way_out:P1-P2:over_the_fence_from_bench"),
    ],
)
def test_a_reason_under_an_older_key_of_a_deck_or_a_way_over_the_fence_is_found(key: WayKey, subject: str, older: str) -> None:
    walked = leaky()
    way = replace(walked.punch.ways_out[0], key=key, subject=subject, where="there")
    punch = replace(walked.punch, ways_out=(way,))
    (finding,) = [finding for finding in punch.findings if finding.code == "punch_ways_out"]

    assert reason_given(finding, punch, {older: "later"}) == "there: later"
    assert reason_given(finding, punch, {f"{older}s": "later"}) == ""


@pytest.mark.parametrize("name", ["format_1_1.toml", "format_1_2.toml"])
def test_reasons_of_a_file_of_an_older_version_are_found_beside_their_findings(name: str) -> None:
    job: Job = load(FORMATS / name).job
    assert job.record is not None
    walked = walk(job)
    found = {str(finding.key): reason_given(finding, walked.punch, job.record.left_open) for finding in walked.findings}
    kept = {key: reason for key, reason in found.items() if reason}
    assert kept.keys() >= {key for key in job.record.left_open if key.startswith(("bay_over", "line_without_posts"))}
    assert set(kept.values()) == {"follows"}


def test_the_reason_for_what_was_unticked_is_none_for_what_opened_since() -> None:
    """One item is left open for a reason; once the job is opened again a post moves, and twenty more are open that nobody spoke of."""
    job = finished("willow_bend")
    job = edits.untick(job, item_key("posts.P8.plumb"), AT, BY)
    given = {str(UNTICKED): "next visit", str(NOT_CLOSED): "next visit", "no_stake:P4-P5": "dug by hand"}
    signed = edits.sign(job, build_record(job, walk(job), AT, BY, "client", given), AT, BY, "client")
    reopened = edits.reopen(signed, "another gate is wanted", AT, BY)
    noted = edits.note(reopened, "The client isn't in.", AT, BY)
    moved = edits.move_post(reopened, "P14", AT, BY, along_ft=1.5)
    lower = reopened.model_copy(update={"fence": reopened.fence.model_copy(update={"height_ft": 5.0})})

    stood = [reasons_that_stood(one.log, walk(one).checklists) for one in (job, reopened, noted, moved, lower)]
    assert stood == [{}, given, given, *[{"no_stake:P4-P5": "dug by hand"}] * 2]
