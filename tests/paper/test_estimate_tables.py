"""An estimate on paper: it says so at every head until a line is surveyed; then one line beside the survey."""

import csv
import io
import json

import pytest

from engine.job.model.job import Job
from engine.paper.load_list import load_csv, load_text
from engine.paper.plan.plan_json import plan_text
from engine.paper.record_office import office_tables, record_text
from engine.paper.record_page import record_html
from engine.paper.tables.csv_tables import record_csv, record_markdown
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said, taped

BESIDE = "estimate 140 ft (126 to 154); surveyed 152' 0\", inside the spread; 1 post more"


def surveyed() -> Job:
    """The fence of the phone call, taped."""
    return taped(PHONE, 152.0).model_copy(update={"rough": PHONE})


def test_every_table_for_other_programs_says_estimate() -> None:
    job = said(PHONE)
    tables = record_csv(job, walk(job))
    rows = {name: list(csv.DictReader(io.StringIO(text, newline=""))) for name, text in tables.items()}
    assert [name for name, found in rows.items() if any(row["rests_on"] != "estimate" for row in found)] == []
    assert {row["unit"]: (row["low_units"], row["likely_units"], row["high_units"]) for row in rows["estimate-in-figures"]} == {
        "ft": ("126", "140", "154"), "posts": ("7", "7", "8"), "braces": ("4", "4", "4"), "loops": ("3", "3", "3"),
    }  # fmt: skip


@pytest.mark.parametrize("priced", [False, True])
def test_materials_with_low_and_high(priced: bool) -> None:
    job = Job.model_validate({"rough": PHONE, "stock": {"post-8": {"price": 20.0}} if priced else {}})
    materials = next(table for table in office_tables(job, walk(job)) if table.title == "Estimated materials")
    posts = dict(zip(materials.columns, materials.rows[0], strict=True))
    assert (posts["needed low"], posts["needed likely"], posts["needed high"], posts["packs high"]) == ("7", "7", "8", "8")
    assert posts.get("cost high") == ("160.00" if priced else None)


def test_heads_say_estimate_until_a_line_is_surveyed() -> None:
    job, later = said(PHONE), surveyed()
    before, after = walk(job), walk(later)
    assert "state  ESTIMATE, nothing surveyed yet; not signed off" in record_text(job, before)
    assert "Estimate of a fence, nothing surveyed yet" in record_html(job, before)
    assert "Nothing is surveyed yet: what is listed is an estimate by what was said." in record_html(job, before)
    assert "along the ground" not in record_html(job, before)
    assert record_markdown(job, before).startswith("# Estimate of a fence\n")
    assert load_text(job, before.takeoff).startswith("ESTIMATE by what was said, nothing is surveyed yet")
    assert "ESTIMATE" not in record_text(later, after)
    assert "Estimate of a fence" not in record_html(later, after)
    assert record_markdown(later, after).startswith("# Fence record\n")
    assert "ESTIMATE" not in load_text(later, after.takeoff)


def test_the_difference_is_told_beside_the_survey() -> None:
    job = surveyed()
    assert f"Estimate\n--------\nfence  {BESIDE}.\n" in record_text(job, walk(job))
    supports = list(csv.DictReader(io.StringIO(record_csv(job, walk(job))["supports"], newline="")))
    assert {(row["rests_on"], row["seal"]) for row in supports} == {("survey", "")}


def test_a_load_list_says_what_of_it_will_not_do() -> None:
    tall = said(PHONE.model_copy(update={"height_ft": 8.0}))
    assert "\nWON'T DO: P2 needs a post of 9' 3\", 15\" longer than post-8" in load_text(tall, walk(tall).takeoff)
    assert "T DO: P2 needs a post of 9" in record_html(tall, walk(tall))
    assert "WON'T DO" not in load_text(said(PHONE), walk(said(PHONE)).takeoff)


def test_the_load_list_holds_the_least_and_most() -> None:
    job = said(PHONE)
    assert "[ ]  3  round steel post 1 5/8 in, 8 ft: 7 to 8 posts\n" in load_text(job, walk(job).takeoff)
    assert "apron stakes 12 in: 1 to 2 packs of 50; 48 to 55 needed\n" in load_text(job, walk(job).takeoff)
    rows = list(csv.DictReader(io.StringIO(load_csv(job, walk(job).takeoff), newline="")))
    stakes = next(row for row in rows if row["stock"] == "stake")
    assert (stakes["rests_on"], stakes["packs_low"], stakes["packs"], stakes["packs_high"]) == ("estimate", "1", "2", "2")


def test_the_plan_as_json_has_it_as_a_field() -> None:
    job, later = said(PHONE), surveyed()
    alone = json.loads(plan_text(walk(job), (), job))["estimate"]
    assert (alone["nothing_surveyed"], alone["figures"]["posts"]) == (True, {"low": 7, "likely": 7, "high": 8})
    beside = json.loads(plan_text(walk(later), (), later))["estimate"]
    assert (beside["nothing_surveyed"], beside["says"], beside["surveyed"]["posts"]) == (False, BESIDE, 8)
    assert "estimate" not in json.loads(plan_text(walk(Job()), (), Job()))
