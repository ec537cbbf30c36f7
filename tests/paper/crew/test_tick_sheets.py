"""The nine sheets on paper: every item that is open has one box, and what isn't has none."""

import random
import xml.etree.ElementTree as ET
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.findings import STAGES
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.paper.crew.tick_sheets import FIRST_SHOTS, MORE_SHOTS, tick_sheets, title_of_stage
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo, others
from tests.paper.test_record_page import words
from tests.sheets.test_stage_sheets import MADE, half_ticked
from tests.stages.layout.test_layout_robust import odd_job
from tests.test_done_means_done import JOBS, changed


def sheets(job: Job) -> dict[str, ET.Element]:
    """Every sheet as an XML reader sees it."""
    return {stage: ET.fromstring(f"<div>{inside}</div>") for stage, inside in tick_sheets(job, walk(job))}


def boxes(job: Job) -> Counter[str]:
    return Counter(one.attrib["data-item"] for sheet in sheets(job).values() for one in sheet.iter() if "data-item" in one.attrib)


def wrong_in(job: Job) -> list[str]:
    """Open items without a box or with two, and boxes of what isn't open."""
    is_open = {str(line.item.key) for checklist in walk(job).checklists.values() for line in checklist.lines if line.state == "open"}
    found = boxes(job)
    return [f"{key} has {found[key]} boxes" for key in (*is_open, *found) if found[key] != (key in is_open)]


@pytest.mark.parametrize("name", MADE)
def test_every_open_item_has_one_box(name: str) -> None:
    assert wrong_in(MADE[name]()) == []


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_every_open_item_of_an_odd_job_has_one_box(seed: int) -> None:
    assert wrong_in(odd_job(seed)) == []


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_was_ticked_and_changed_since_has_a_box_where_it_is_open(name: str, seed: int) -> None:
    rng = random.Random(seed)
    assert wrong_in(changed(half_ticked(JOBS[name](), rng), rng)) == []


@pytest.mark.parametrize("name", ["willow_bend", "planned", *others(), "big"])
def test_rows_stand_in_the_order_of_the_screen(name: str) -> None:
    """A sheet read from top to bottom is the sheet on the screen, so that what was written by hand goes in row after row."""
    job = MADE[name]()
    for stage, sheet in sheets(job).items():
        shown = [row.name for row in sheet_of(next(one for one in STAGES if one == stage), job, walk(job)).rows()]
        printed = [words(row[0]) for row in sheet.iter("tr") if len(row) and row[0].tag == "td" and words(row[0])]
        rest = iter(shown)
        assert [one for one in printed if not any(" ".join(name.split()) == one for name in rest)] == []


def row(job: Job, stage: str, name: str) -> list[str]:
    """A row of a sheet as words, a box as `[ ]`, a line to write on as `__`."""
    found = next(one for one in sheets(job)[stage].iter("tr") if len(one) and words(one[0]) == name)
    said = []
    for cell in found:
        empty = [kind for one in cell.iter() for kind in (one.get("class") or "").split() if kind in ("box", "line")]
        said.append(f"{words(cell)}{'[ ]' if 'box' in empty else '__' * empty.count('line')}")
    return said


def test_a_row_has_boxes_lines_and_dashes() -> None:
    assert row(accepted(), "posts", "P4")[:8] == ["P4", "sleeve", '15 to 30"', '"__', "[ ]", "[ ]", "[ ]", "–"]
    assert row(accepted(), "posts", "P7")[:8] == ["P7", "oak", 'at least 6"', '"__', "–", "–", "[ ]", "–"]
    assert row(accepted(), "layout", "P2")[-4:] == ["[ ]", "P3", "5' 2\"", "–"]


def test_what_is_pinned_is_ticked_on_its_own_sheet() -> None:
    assert row(accepted(), "posts", "P9")[7] == "sheet 4"
    assert row(accepted(), "bracing", "P9 a")[-1] == "[ ]"
    assert row(accepted(), "bracing", "P9 b")[-1] == "–"


def test_what_was_read_ticked_or_is_not_needed_is_printed() -> None:
    job, asked = accepted(), walk(accepted()).checklists["posts"].by_key
    for what, told in {
        "driven_depth": {"reading_in": 24.5},
        "solid": {},
        "plumb": {"needed": False, "note": "leans with the tree"},
    }.items():
        item = asked[ItemKey("posts", "P4", what)].item
        job = edits.tick(job, item.key, AT, BY, of=item.of, **told)  # type: ignore[arg-type]
    assert row(job, "posts", "P4")[3:7] == ['24 1/2"', "✓", "not needed", "[ ]"]
    assert "leans with the tree" in words(sheets(job)["posts"])


def test_a_reading_out_of_range_says_so_and_one_of_an_older_place_stands_beside_its_line() -> None:
    assert row(others()["ridge_ring"], "layout", "P7")[-1] == "(17' 8 3/8\") '\"____"
    job = accepted()
    item = walk(job).checklists["posts"].by_key[ItemKey("posts", "P4", "driven_depth")].item
    job = edits.tick(job, item.key, AT, BY, reading_in=9.0, note="rock", of=item.of)
    assert row(job, "posts", "P4")[3] == '9" out of range'


def test_the_field_book_has_empty_rows_to_write_into() -> None:
    empty = [one for one in sheets(Job())["survey"].iter("tr") if one.get("class") == "write"]
    more = [one for one in sheets(demo())["survey"].iter("tr") if one.get("class") == "write"]
    assert (len(empty), len(more)) == (FIRST_SHOTS, MORE_SHOTS) == (20, 8)
    assert {len(one) for one in (*empty, *more)} == {9}


def test_who_did_it_is_asked_where_something_is_open() -> None:
    asked = [stage for stage, sheet in sheets(others()["ridge_ring"]).items() if "Done by" in words(sheet)]
    assert asked == ["layout", "posts", "bracing", "cables", "fabric", "staking", "gate", "punch"]


def test_what_is_left_names_what_is_wrong_and_no_open_box_of_another_sheet() -> None:
    said = words(sheets(demo())["punch"])
    assert "Between P11 and P12 the apron is 5 3/8" in said
    assert "flag set" not in said


def test_sheets_are_named_by_number() -> None:
    assert [title_of_stage(stage) for stage in STAGES[2:4]] == ["3 sleeves and posts", "4 bracing"]
