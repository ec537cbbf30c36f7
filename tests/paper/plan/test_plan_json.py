"""The plan as JSON: nine stages, findings, take-off, no number that JSON doesn't know, and the same bytes everywhere."""

import json
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from engine import __version__
from engine.findings import STAGES
from engine.job.file.store import new
from engine.job.model.job import Job
from engine.paper.plan.plan_json import plan, plan_text
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import accepted, demo, others
from tests.repair.test_old_sleeves_again import moved_away
from tests.source import ROOT
from tests.stages.yards import empty, half_surveyed, plain, sloping

IDS = ("cable-3-32", "wire-48", "mesh-48")
HEAD = ["format", "format_number", "program", "program_version", "job"]


def planned(job: Job) -> Job:
    """The job with its proposed layout accepted."""
    return job.model_copy(update={"posts": planned_posts(walk(job).layout)})


def numbers(value: object) -> list[float]:
    if isinstance(value, dict | list):
        return [number for inner in (value.values() if isinstance(value, dict) else value) for number in numbers(inner)]
    return [value] if isinstance(value, float) else []


def read(job: Job) -> dict[str, Any]:
    """The plan, there and back through text."""

    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no number")

    back: dict[str, Any] = json.loads(plan_text(walk(job)), parse_constant=refuse)
    return back


@pytest.mark.parametrize("job", [empty(), half_surveyed(), plain(), sloping()], ids=["empty", "half surveyed", "plain", "sloping"])
def test_nine_stages_findings_and_take_off_of_any_job(job: Job) -> None:
    told = read(job)
    assert list(told) == [*HEAD, "stages", "findings", "takeoff"]
    assert tuple(told["stages"]) == STAGES
    assert all({"findings", "checklist"} <= stage.keys() and "items" not in stage for stage in told["stages"].values())
    assert [finding for name in STAGES for finding in told["stages"][name]["findings"]] == told["findings"]


def test_the_plain_yard_in_numbers() -> None:
    told = read(planned(plain()))
    assert told["stages"]["layout"]["accepted"] is True
    assert told["stages"]["layout"]["lines"]["fence"]["length_ft"] == pytest.approx(160, abs=2e-4)
    assert told["stages"]["survey"]["points"]["T1"]["north_ft"] == pytest.approx(60, abs=1e-4)
    assert {"stock", "needed_units", "packs", "short_packs"} <= told["takeoff"][0].keys()
    assert told["stages"]["layout"]["supports"]["P1"]["planned"] == {"east_ft": 0.0, "north_ft": 0.0}


@pytest.mark.parametrize("job", [demo(), moved_away()], ids=["new", "repair"])
def test_rolls_are_of_stock_rows_by_their_ids(job: Job) -> None:
    stages = read(job)["stages"]
    plans = (stages["cables"]["spools"], stages["fabric"]["wire_rolls"], stages["fabric"]["mesh_rolls"])
    assert [{roll["stock_id"] for roll in one["rolls"]} - {stock} for one, stock in zip(plans, IDS, strict=True)] == [set(), set(), set()]


def test_an_item_says_its_state_and_reading() -> None:
    job = planned(plain())
    key = next(line.item.key for line in walk(job).checklists["layout"].lines if line.item.reading)
    ticked = Job.model_validate(
        {**job.model_dump(exclude_none=True), "checks": {key: {"at": datetime(2026, 3, 6, tzinfo=UTC), "by": "Mo", "reading_ft": 20}}}
    )
    row = next(row for row in read(ticked)["stages"]["layout"]["checklist"] if row["key"] == str(key))
    assert (row["state"], row["passes"], row["tick"]["reading_ft"], row["tick"]["by"]) == ("done", True, 20.0, "Mo")
    assert (row["reading"]["unit"], row["reading"]["wanted_ft"]) == ("ft", 20.0)
    assert "wanted" not in row["reading"]


def test_the_head_names_format_program_and_job() -> None:
    head = {key: value for key, value in plan(walk(demo()), (), demo()).items() if key in HEAD}
    assert head == {
        "format": "linewalk plan",
        "format_number": 1,
        "program": "linewalk",
        "program_version": __version__,
        "job": {"number": "2611", "title": "Willow Bend back yard", "signed_off": False},
    }
    signed = others()["alder_row"]
    assert json.loads(plan_text(walk(signed), (), signed))["job"]["signed_off"] is True


def test_a_bearing_is_off_by_degrees_and_a_tape_by_feet() -> None:
    fits = read(others()["ridge_ring"])["stages"]["survey"]["fits"]
    assert {next(key for key in fit if key.startswith("residual")) for fit in fits if fit["part"] == "bearing"} == {"residual_deg"}
    assert {next(key for key in fit if key.startswith("residual")) for fit in fits if fit["part"] != "bearing"} == {"residual_ft"}


def test_numbers_are_rounded_to_four_places_and_no_zero_is_negative() -> None:
    found = numbers(plan(walk(planned(sloping()))))
    assert len(found) > 500
    assert all(round(number, 4) == number and f"{number}" != "-0.0" for number in found)


def test_the_same_bytes_from_two_processes(tmp_path: Path) -> None:
    file = new(tmp_path / "yard.toml", planned(sloping()), datetime(2026, 3, 6, tzinfo=UTC), state=tmp_path / "state").path

    def printed(seed: str) -> bytes:
        command = [sys.executable, "-m", "tui.cli", "plan", "--json", str(file)]
        return subprocess.run(command, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True).stdout

    one, other = printed("1"), printed("4242")
    assert one == other
    assert one == plan_text(walk(planned(sloping())), (), planned(sloping())).encode()


def test_figures_of_a_job_in_metres_stay_in_the_units_of_their_keys_and_sentences_are_in_metres() -> None:
    job = accepted().model_copy(update={"job": accepted().job.model_copy(update={"units": "metres"})})
    told, feet = plan(walk(job), (), job), plan(walk(accepted()), (), accepted())
    assert numbers(told) == numbers(feet)
    assert "15.2 cm" in str(told["findings"])
    assert re.search(r"\d' |\d\"", str(told["findings"])) is None
