"""Crew hours in words: by stage with what is not in them, the day they end, and a job's own hours."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from engine.ahead.crew_hours import crew_hours
from engine.ahead.estimate import estimate
from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import JobTimes
from engine.job.model.job import Job
from engine.paper.ahead.hours_tables import AtWork, hours_tables, own_hours
from tests.demo import demo, others

SLEEVE, LOOP, GATE = WorkKind("posts", "sleeve in clay"), WorkKind("cables", "cable loop"), WorkKind("gate", "gate")
WORK = AtWork(2, 8.0, date(2026, 12, 3))


def tables(to_do: dict[WorkKind, float], minutes: tuple[float, ...]) -> dict[str, tuple[tuple[str, ...], ...]]:
    """Tables out of jobs with six sleeves and two loops each, a loop at three times a sleeve's minutes."""
    times = {f"{n}": JobTimes({SLEEVE: (60 * each,) * 6, LOOP: (180 * each,) * 2}, {SLEEVE: 1}) for n, each in enumerate(minutes)}
    finished = FinishedJobs(Path("done"), times, 2, {"broken.toml": "line 2, column 1: it stops"})
    return {table.title: table.rows for table in hours_tables(crew_hours(to_do, finished), finished, WORK, 20.0)}


@pytest.mark.closed_form
def test_stages_low_likely_and_high_and_what_is_not_in_them() -> None:
    """Nine jobs at 10 to 90 minutes a sleeve: of 12 sleeves 2, 10 and 18 hours, of 4 loops as many."""
    found = tables({SLEEVE: 12, LOOP: 4, GATE: 2}, tuple(10.0 * n for n in range(1, 10)))
    assert found["Crew hours, left to do"] == (
        ("sleeves and posts", "2.0", "10.0", "18.0", ""),
        ("cable loops", "2.0", "10.0", "18.0", ""),
        ("gate", "no figure", "", "", "2 x gate"),
        ("all", "4.0", "20.0", "36.0", "what has no figure"),
    )
    assert found["The day it ends, without what has no figure: 2 people, 8 h a day, Monday to Friday, from Thu 12/3/2026"] == (
        ("low", "0.2", "Thu 12/3/2026"),
        ("likely", "1.2", "Fri 12/4/2026"),
        ("high", "2.2", "Mon 12/7/2026"),
    )
    assert found["A piece of work, crew minutes"] == (
        ("sleeve in clay", "12", "50", "20 to 80", "10 to 90", "54 on 9"),
        ("cable loop", "4", "150", "60 to 240", "30 to 270", "18 on 9"),
    )
    assert found["Left out"] == (
        ("gate", "0 pieces on 0 jobs tell its time; 5 on 3 are needed"),
        ("broken.toml", "line 2, column 1: it stops"),
        ("2 jobs", "not signed off"),
    )
    source = " ".join(row[0] for row in found["Where it comes from"])
    assert source.startswith("Out of 9 of 9 finished jobs in done. 8 of 10 jobs like these come between low and high.")
    assert "NOT IN IT: 2 x gate; too little is known of that. 9 of 81 pieces carry no time of their own and are left out." in source


def test_what_is_not_laid_out_or_only_said_is_told() -> None:
    times = {f"{n}": JobTimes({SLEEVE: (600.0,) * 6}, {}) for n in range(5)}
    finished = FinishedJobs(Path("done"), times)
    hours = replace(crew_hours({SLEEVE: 2}, finished), laid_out=False)
    titles = [table.title for table in hours_tables(hours, finished, WORK, 20.0)]
    assert titles[1].startswith("The day it ends, without what isn't laid out yet: ")
    rough = Job.model_validate({"rough": {"length_ft": 140}})
    said = hours_tables(replace(hours, laid_out=True, lengths=estimate(rough)), finished, WORK, 20.0)
    assert said[0].title == "Crew hours, an ESTIMATE"
    assert "ESTIMATE: of a fence of 140 ft (126 to 154) made up of what was said." in " ".join(row[0] for row in said[2].rows)


def test_no_history_no_figure() -> None:
    found = tables({SLEEVE: 12}, (10.0, 20.0))
    assert set(found) == {"Where it comes from", "Left out"}
    assert found["Where it comes from"][0] == ("No figure: 2 finished jobs in done. 5 pieces on 3 jobs that tell the time",)
    assert tables({}, (10.0,) * 5)["Where it comes from"] == (("No figure: nothing is left to do.",),)


@pytest.mark.closed_form
def test_a_signed_jobs_own_hours_by_stage() -> None:
    """Alder Row was ticked every four minutes by one of two people: 10 questions less the first are 9 x 4 x 2 minutes."""
    rows = {row[0]: row[1:] for row in own_hours(others()["alder_row"]).rows}
    assert rows["survey"] == ("1.2", "9", "1")
    assert rows["sleeves and posts"] == ("4.0", "30", "")
    assert rows["all"] == ("19.3", "145", "1")


def test_no_ticks_no_hours() -> None:
    assert (own_hours(Job()).rows, own_hours(demo()).empty) == ((), "no ticks")


def test_the_folder_one_stands_in_is_called_this_folder() -> None:
    here = FinishedJobs(Path(), {})
    source = hours_tables(crew_hours({SLEEVE: 12}, here), here, WORK, 20.0)[0]
    assert source.rows[0][0].startswith("No figure: 0 finished jobs in this folder. 5 pieces on 3 jobs")
