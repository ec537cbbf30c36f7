"""What to load for a week: all jobs together and each beside it, metric stock apart, what is left out and why; the CSV file."""

import csv
from collections import defaultdict
from dataclasses import replace
from datetime import date
from itertools import combinations
from pathlib import Path

import pytest

from engine.calc.units import METRES
from engine.folder.listing_memory import ListedFacts
from engine.folder.planned_week import PlannedJob, PlannedWeek
from engine.folder.same_job import JobFile, LeftCopy
from engine.job.errors import NotWritten
from engine.job.file.from_bytes import Document
from engine.job.file.heading import Heading
from engine.job.file.store import load
from engine.job.model.job import Job
from engine.job.model.stock_table import first_rows, stock_of
from engine.paper.load_list import load_csv, load_list
from engine.paper.many_jobs.week_load import WeekLoad, week_load
from engine.paper.many_jobs.week_load_words import free_week_name, week_load_text, week_load_texts, write_week_load
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said
from tests.demo import AT, FOLDER, accepted, demo, others
from tests.paper.test_record_files import A_NUMBER, UNITS, headed

MONDAY = date(2026, 11, 30)
JOBS = {"willow": accepted(), "proposed": demo(), "ridge": others()["ridge_ring"], "alder": others()["alder_row"]}


def planned(file: str, job: Job, number: str | None = None, *, signed: bool = False) -> PlannedJob:
    who = job.job.model_copy(update={"planned_for": date(2026, 12, 2), **({} if number is None else {"number": number})})
    job = job.model_copy(update={"job": who})
    document = Document(job, Heading(), commented=False, seal_holds=True if signed else None)
    return PlannedJob(f"{file}.toml", document, None if signed else walk(job))


def week_of(*jobs: PlannedJob, unreadable: dict[str, str] | None = None, unplanned: dict[str, ListedFacts] | None = None) -> WeekLoad:
    return week_load(PlannedWeek(MONDAY, jobs, unreadable or {}, unplanned or {}))


def metric() -> Job:
    """The demo with the stock that a new job in metres says."""
    job = accepted()
    return job.model_copy(update={"job": job.job.model_copy(update={"units": METRES}), "stock": dict(first_rows(METRES))})


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.independent
@pytest.mark.parametrize("names", [names for size in (1, 2, 3, 4) for names in combinations(JOBS, size)])
def test_pieces_are_those_of_all_lists_and_packs_are_enough_and_no_more_than_one_by_one(names: tuple[str, ...]) -> None:
    """Against every job's own load list, added up by hand."""
    load = week_of(*(planned(name, JOBS[name], name) for name in names))
    pieces, packs, per_pack = defaultdict(float), defaultdict(int), {}
    for name in names:
        for one in load_list(JOBS[name], walk(JOBS[name]).takeoff).rows:
            thing = (one.row.name, one.row.per_pack)
            pieces[thing] += one.row.needed + one.row.spare
            packs[thing] += one.row.packs
            per_pack[thing] = one.row.per_pack
    found = {(row.load.row.name, row.load.row.per_pack): row for row in load.rows}
    assert {thing: row.load.row.needed + row.load.row.spare for thing, row in found.items()} == pytest.approx(dict(pieces))
    for thing, row in found.items():
        assert row.load.row.packs <= packs[thing]
        assert row.load.row.packs * per_pack[thing] >= pieces[thing] - 1e-6
        assert sum(one.needed + one.spare for one in row.of_jobs.values()) == pytest.approx(pieces[thing])
        assert 0 <= row.to_load <= row.load.row.packs
    if len(names) == 1:
        own = load_list(JOBS[names[0]], walk(JOBS[names[0]]).takeoff).rows
        assert [(row.load.place, row.load.group, row.load.row.stock, row.load.row.packs) for row in load.rows] == [
            (one.place, one.group, one.row.stock, one.row.packs) for one in own
        ]


def test_two_of_one_job_share_a_spool_and_a_box_but_not_a_post() -> None:
    """Each needs 6 locks of a pack of 25, 12 posts, and 558 ft of cable from 2 spools of 500 ft, loops uncut."""
    load = week_of(planned("a", JOBS["willow"], "2701"), planned("b", JOBS["willow"], "2702"))
    found = {row.load.row.stock: row for row in load.rows}
    assert [job.called for job in load.jobs] == ["2701", "2702"]
    assert (found["lock"].load.row.needed, found["lock"].load.row.packs) == (12.0, 1)
    assert (found["post-8"].load.row.packs, found["post-8"].load.row.loaded, found["post-8"].to_load) == (24, 32, 0)
    own = {one.row.stock: one.row for one in load_list(JOBS["willow"], walk(JOBS["willow"]).takeoff).rows}
    assert (own["cable-3-32"].packs, found["cable-3-32"].load.row.packs) == (2, 3)


def test_metric_stock_stays_a_row_of_its_own_though_its_id_is_the_same() -> None:
    load = week_of(planned("feet", JOBS["willow"], "2701"), planned("metres", metric(), "2702"))
    cables = [row for row in load.rows if row.load.row.stock == "cable-3-32"]
    assert [(row.load.row.name, list(row.of_jobs), row.units) for row in cables] == [
        ("galvanized cable 3/32 in 7x7", ["2701"], "feet-inches"),
        ("galvanized cable 2.5 mm 7x7", ["2702"], "metres"),
    ]
    (lock,) = (row for row in load.rows if row.load.row.stock == "lock")
    assert list(lock.of_jobs) == ["2701", "2702"]
    text = week_load_text(load)
    assert "galvanized cable 2.5 mm 7x7: 300.0 m in 2 spools of 150.00 m; 170.0 m needed" in text
    assert "galvanized cable 3/32 in 7x7: 1,000 ft in 2 spools of 500 ft; 558 ft needed" in text
    found = [row for row in rows_of(week_load_texts(load)["jobs"]) if row["stock"] == "cable-3-32"]
    assert [(row["job"], row["packs"], row["unit"]) for row in found] == [("2701", "2", "ft"), ("2702", "2", "ft")]


def test_where_all_jobs_are_in_metres_the_file_is_too() -> None:
    texts = week_load_texts(week_of(planned("a", metric(), "2701"), planned("b", metric(), "2702")))
    (cable,), own, cut = ([row for row in rows_of(texts[part]) if row["stock"] == "cable-3-32"] for part in ("", "jobs", "offcuts"))
    assert (cable["unit"], cable["pack_holds_units"], cable["packs"], own[0]["packs"]) == ("m", "150", "3", "2")
    assert float(cable["needed_units"]) == pytest.approx(sum(float(row["needed_units"]) for row in own), abs=0.002)
    assert sum(float(row["length_m"]) for row in cut) == pytest.approx(450 - float(cable["needed_units"]), abs=0.01)


def test_packs_of_another_size_are_another_thing() -> None:
    job = JOBS["willow"]
    lock = stock_of(job.stock)["lock"].model_copy(update={"per_pack": 10, "loaded": 3})
    load = week_of(planned("a", job, "1"), planned("b", job.model_copy(update={"stock": {**job.stock, "lock": lock}}), "2"))
    assert [(row.load.row.per_pack, list(row.of_jobs)) for row in load.rows if row.load.row.stock == "lock"] == [
        (25.0, ["1"]),
        (10.0, ["2"]),
    ]


def test_what_is_left_out_says_why_and_a_proposed_layout_that_it_may_change() -> None:
    load = week_of(
        planned("a", demo(), "2701"), planned("s", JOBS["alder"], "2702", signed=True), planned("e", said(PHONE), "2703"),
        planned("n", Job(), "2704"), unreadable={"x.toml": "line 2: no end.", "y.toml": "y.toml: is a folder."},
        unplanned={"u.toml": ListedFacts("2705", "Undated"), "v.toml": ListedFacts("", "Elm")},
    )  # fmt: skip
    assert [(job.called, job.says) for job in load.jobs] == [("2701", "its layout isn't accepted yet, so what it needs may change")]
    assert load.left_out == (
        ("x.toml", "can't be read, and may be of this week: line 2: no end."),
        ("y.toml", "can't be read, and may be of this week: is a folder."),
        ("2702", "is signed off: nothing is to be loaded."),
        ("2703", "is an estimate by what was said: see its own load list."),
        ("2704", "Nothing is needed yet: the layout comes first."),
        ("2705 and Elm", "no day is planned."),
    )
    assert "NOT IN THIS LIST: 2705 and Elm: no day is planned.\n" in week_load_text(load)
    notes = [row["what"] for row in rows_of(week_load_texts(load)[""]) if not row["stock"]]
    assert notes[-3:-1] == [
        "NOT IN THIS LIST: 2705 and Elm: no day is planned.",
        "2701: its layout isn't accepted yet, so what it needs may change",
    ]
    assert notes[-1].startswith("For one truck that goes from job to job.")


def test_jobs_of_one_number_are_told_apart_by_their_files() -> None:
    load = week_of(planned("a", JOBS["willow"], "2701"), planned("b", JOBS["willow"], "2701"), planned("c", JOBS["ridge"], ""))
    assert [job.called for job in load.jobs] == ["2701 a.toml", "2701 b.toml", "Ridge ring with a partition"]
    assert list(dict.fromkeys(row["job"] for row in rows_of(week_load_texts(load)["jobs"]))) == [job.called for job in load.jobs]


def test_to_read_it_has_a_box_a_thing_and_what_each_job_takes() -> None:
    load = week_of(planned("a", JOBS["willow"], "2701"), planned("r", JOBS["ridge"], "2702"))
    text = week_load_text(load)
    assert text.startswith(
        "Week of Mon 11/30/2026 to Sun 12/6/2026\n"
        "2701, Willow Bend back yard, Wed 12/2/2026\n"
        "2702, Ridge ring with a partition, Wed 12/2/2026: what is loaded for it isn't counted\n\nLong things first"
    )
    assert "[ ]  3  round steel post 1 5/8 in, 8 ft: 35 posts  (16 loaded, 11 posts built in, 8 left to load)\n" in text
    assert "        2701: 12 posts; 2702: 23 posts\n" in text
    assert week_load_text(week_of()).endswith("Nothing is to be loaded: no job with something to load is planned in this week.\n")


def test_the_file_says_the_same_and_is_never_written_over(tmp_path: Path) -> None:
    load = week_of(planned("a", JOBS["willow"], "2701"), planned("r", JOBS["ridge"], "2702"))
    out, own, cut = write_week_load(load, free_week_name(tmp_path, load))
    assert [path.name for path in (out, own, cut)] == [f"week-2026-11-30-load{part}.csv" for part in ("", "-jobs", "-offcuts")]
    assert free_week_name(tmp_path, load).name == "week-2026-11-30-load-2.csv"
    found = {row["stock"]: row for row in rows_of(out.read_text(encoding="utf-8-sig"))}
    post = found["post-8"]
    assert [post[head] for head in ("week", "place", "needed_units", "packs", "loaded_packs", "used_units", "to_load_packs")] == [
        *("2026-11-30", "3", "35", "35", "16", "11", "8"),
    ]
    assert (post["jobs"], post["each_job_takes"]) == ("2701; 2702", "2701: 12 posts; 2702: 23 posts")
    told = [headed(path) for path in (out, own, cut)]
    assert [heads for heads, _ in told] == [text.splitlines()[0].split(",") for text in week_load_texts(week_of()).values()]
    figures = [said for _, rows in told for row in rows for head, said in row.items() if head.endswith(UNITS) and said]
    assert (len(figures) > 400, [said for said in figures if not A_NUMBER.fullmatch(said)]) == (True, [])
    stacked = [row for row in rows_of(own.read_text(encoding="utf-8-sig")) if row["job"] == "2702"]
    alone = rows_of(load_csv(JOBS["ridge"], walk(JOBS["ridge"]).takeoff))
    assert stacked == [{"week": "2026-11-30", **row, "job": "2702"} for row in alone]
    with pytest.raises(NotWritten, match="is there already"):
        write_week_load(load, out)
    with pytest.raises(NotWritten, match=r"ends in \.csv"):
        write_week_load(load, tmp_path / "a.txt")


def test_a_signed_file_that_was_changed_is_said_so() -> None:
    one = planned("s", load(FOLDER / "alder_row.toml").job, "2702", signed=True)
    changed = PlannedJob(one.file, Document(one.document.job, Heading(), commented=False, seal_holds=False), None)
    assert week_of(changed).left_out == (("2702", "is signed off, and was changed since: open it."),)


def test_a_copy_of_a_job_is_named_with_the_file_that_counts_and_what_to_do() -> None:
    copies = (
        left_copy("old", "new"),
        left_copy("old", "same", digest="of new", hour=9),
        left_copy("old", "put off", planned_for=date(2026, 12, 8)),
        left_copy("old", "no day", planned_for=None),
        left_copy("old", "signed", seal=True),
    )
    same = LeftCopy(copies[0].of, copies[0].of)
    load = week_load(PlannedWeek(MONDAY, (planned("new", JOBS["willow"]),), {}, {}, (*copies, same)))
    joins, look = "linewalk merge joins the two.", "look at both before one is taken away."
    assert load.left_out == (
        ("old.toml", f"is a copy of new.toml, which was saved later and counts alone: {joins}"),
        ("old.toml", f"is a copy of same.toml, which counts alone: {joins}"),
        ("old.toml", f"is a copy of put off.toml, which was saved later, is planned for Tue 12/8/2026 and counts alone: {joins}"),
        ("old.toml", f"is a copy of no day.toml, which was saved later, has no day planned and counts alone: {joins}"),
        ("old.toml", f"is a copy of signed.toml, which is signed off and counts alone: {look}"),
        ("new.toml", "is new.toml once more: take one of the two away."),
    )
    assert "NOT IN THIS LIST: old.toml: is a copy of new.toml, which was saved later and counts alone: " in week_load_text(load)
    assert any(row["what"] == f"NOT IN THIS LIST: old.toml: {load.left_out[0][1]}" for row in rows_of(week_load_texts(load)[""]))


def left_copy(left: str, of: str, *, digest: str = "", hour: int = 10, seal: bool | None = None, **who: object) -> LeftCopy:
    """Of a job saved at nine, one saved at that hour counts."""
    old, job = planned(left, JOBS["willow"]).document, planned(of, JOBS["willow"]).document.job
    job = job.model_copy(update={"job": job.job.model_copy(update=who)})
    files = (
        JobFile(f"{left}.toml", f"of {left}", replace(old, heading=Heading(saved_at=AT.replace(hour=9)))),
        JobFile(
            f"{of}.toml", digest or f"of {of}", replace(old, job=job, seal_holds=seal, heading=Heading(saved_at=AT.replace(hour=hour)))
        ),
    )
    return LeftCopy(*files)
