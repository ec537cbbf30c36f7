"""What a signed-off job prints is what was sealed, whatever a later version works out; and no reading where it wasn't taken."""

import csv
import io
import json
import random
from dataclasses import replace
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import measured
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Mark, Words
from engine.findings import TITLES
from engine.job.edit import edits
from engine.job.file.store import load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.signed_record import Record
from engine.paper.as_built import build_record
from engine.paper.built_tables import Table
from engine.paper.plan.plan_json import plan_text
from engine.paper.record_files import Reader, write_record
from engine.paper.record_office import CHANGED, OTHERWISE, office_tables, record_text
from engine.paper.record_page import record_html
from engine.paper.seal_check import touched
from engine.paper.sealed_facts import drawn_walk, facts_to_print
from engine.paper.tables.csv_tables import record_csv
from engine.walk import Walk, walk
from tests.demo import AT, BY, FOLDER, accepted, demo
from tests.test_done_means_done import LATER, all_ticked, changed, far_ft, places_of
from tui.cli import main

MARK_FT = 0.25 / 12


def tables_of(job: Job) -> dict[str, Table]:
    return {table.title: table for table in office_tables(job, walk(job))}


def signed_off(job: Job) -> Job:
    at = LATER + timedelta(days=1)
    return edits.sign(job, build_record(job, walk(job), at, BY, "the client", {}, "Mo"), at, BY, "the client")


def in_a_later_version(job: Job) -> Job:
    """The same file as a version with other defaults reads it: the record is what was sealed."""
    rules = job.rules
    other = rules.model_copy(
        update={
            "fabric": rules.fabric.model_copy(update={"ring_cable_ft": rules.fabric.ring_cable_ft / 2}),
            "cables": rules.cables.model_copy(update={"tension_lbf": rules.cables.tension_lbf + 15, "tail_in": rules.cables.tail_in + 6}),
        }
    )
    assert isinstance(other, Rules)
    return job.model_copy(update={"rules": other})


def cells_of(table: Table, column: str) -> dict[str, str]:
    at = table.columns.index(column)
    return {row[0]: row[at] for row in table.rows}


def assert_printed_as_sealed(tables: dict[str, Table], record: Record, units: dict[str, tuple[str, str]]) -> None:
    supports = tables["Supports"]
    assert cells_of(supports, "place") == {name: f"{format_ft_in(at.station_ft)} on {at.line}" for name, at in record.supports.items()}
    assert cells_of(supports, "tape") == {name: at.tie_a for name, at in record.supports.items()}
    assert cells_of(supports, "and tape") == {name: at.tie_b for name, at in record.supports.items()}
    stands_in = cells_of(supports, "stands in")
    driven = {name: f"driven {format_in(at.driven_in)}" for name, at in record.supports.items() if at.driven_in is not None}
    assert {name: stands_in[name] for name in driven} == driven
    assert (
        cells_of(tables["Plan against built"], "east ft").items()
        >= {n: f"{at.east_ft + 0.0:.2f}" for n, at in record.supports.items()}.items()
    )
    assert cells_of(tables["Bays"], "length") == {name: format_ft_in(length_ft) for name, length_ft in record.bays_ft.items()}
    assert cells_of(tables["Cable loops"], "cable") == {name: format_ft_in(loop.cable_ft) for name, loop in record.loops.items()}
    assert cells_of(tables["Cable loops"], "wire") == {name: format_ft_in(loop.wire_ft) for name, loop in record.loops.items()}
    assert cells_of(tables["Gates"], "diagonals read") == {
        name: ", ".join(map(format_ft_in, gate.diagonals_ft)) for name, gate in record.gates.items()
    }
    feet = sorted((one.support, format_ft_in(one.foot_ft)) for one in record.braces.values())
    assert sorted((row[0], row[3] or row[2]) for row in tables["Braces"].rows) == feet
    assert cells_of(tables["Materials"], "used") == {units[n][0]: measured(used, units[n][1]) for n, used in record.quantities.items()}
    assert list(cells_of(tables["Sleeves left in the ground"], "place")) == list(record.sleeves_left)


@given(seed=st.integers(0, 10_000))
@settings(max_examples=8, deadline=None)
def test_what_was_sealed_is_printed_whatever_a_later_version_works_out(seed: int) -> None:
    rng = random.Random(seed)
    job = all_ticked(accepted()) if rng.random() < 0.5 else accepted()
    for _ in range(rng.randrange(4)):
        job = changed(job, rng)
    signed = signed_off(job)
    assert signed.record is not None
    units = {row.stock: (row.name, row.unit) for row in walk(signed).takeoff.rows}
    assert_printed_as_sealed(tables_of(signed), signed.record, units)
    assert tables_of(signed)[OTHERWISE].rows == ()
    later = in_a_later_version(signed)
    assert_printed_as_sealed(tables_of(later), signed.record, units)
    told = tables_of(later)[OTHERWISE].rows
    assert "Materials" in {row[0] for row in told}
    fresh = walk(later)
    assert [row[4] for row in told if row[0] == "Materials" and row[2] == "planned" and "rings" in row[1]] == [
        measured(row.needed, row.unit) for row in fresh.takeoff.rows if row.stock == "ring"
    ]


@given(factor=st.floats(0.5, 3), east_ft=st.floats(-4, 4))
@settings(max_examples=10, deadline=None)
def test_figures_of_a_program_that_works_otherwise_are_printed_only_as_what_it_would_work_out(factor: float, east_ft: float) -> None:
    """The walk itself is another: bays, loops, take-off and places all differ, as if the arithmetic had changed."""
    signed = signed_off(all_ticked(accepted()))
    record = signed.record
    assert record is not None
    now = walk(signed)
    bays = {name: replace(bay, slope_ft=bay.slope_ft * factor) for name, bay in now.layout.bays.items()}
    supports = {name: replace(one, east_ft=one.east_ft + east_ft) for name, one in now.layout.supports.items()}
    rows = tuple(replace(row, used=row.used * factor, needed=row.needed * factor) for row in now.takeoff.rows)
    loops = {name: replace(loop, cut_ft=loop.cut_ft * factor) for name, loop in now.cables.loops.items()}
    other = replace(
        now,
        layout=replace(now.layout, bays=bays, supports=supports),
        cables=replace(now.cables, loops=loops),
        takeoff=replace(now.takeoff, rows=rows),
    )
    tables = {table.title: table for table in office_tables(signed, other)}
    units = {row.stock: (row.name, row.unit) for row in now.takeoff.rows}
    assert_printed_as_sealed(tables, record, units)
    told = {(row[0], row[1], row[2]): row[3:] for row in tables[OTHERWISE].rows}
    for name, length_ft in record.bays_ft.items():
        sealed, fresh = format_ft_in(length_ft), format_ft_in(round(bays[name].slope_ft, 4))
        assert told.get(("Bays", name, "length"), (sealed, sealed)) == (sealed, fresh)


def test_the_demo_that_is_signed_prints_the_rings_that_were_sealed() -> None:
    job = load(FOLDER / "alder_row.toml").job
    tables = tables_of(job)
    assert cells_of(tables["Materials"], "used")["hog rings"] == "141 rings"
    assert ("Materials", "hog rings", "used", "141 rings", "173 rings") in tables[OTHERWISE].rows
    besides = [table for title, table in tables.items() if title != OTHERWISE]
    assert not any("173 rings" in cell for table in besides for row in table.rows for cell in row)
    sealed = dict(tables["Sealed or worked out"].rows)
    assert sealed["Bays"].startswith("as sealed")
    assert sealed["Cable loops"].endswith("for the record was written without")
    assert cells_of(tables["Supports"], "stands in")["P3"] == 'driven 30"'


def test_a_support_that_this_version_puts_elsewhere_is_drawn_where_it_was_sealed() -> None:
    signed = signed_off(all_ticked(accepted()))
    assert signed.record is not None
    moved = {**signed.record.supports, "P4": signed.record.supports["P4"].model_copy(update={"east_ft": 12.0, "north_ft": -3.0})}
    record = signed.record.model_copy(update={"supports": moved, "bays_ft": {**signed.record.bays_ft, "P4-P5": 19.0}})
    job = signed.model_copy(update={"record": record})
    plan = plan_shapes(job, drawn_walk(walk(job), facts_to_print(job, walk(job))))
    assert next(mark.pos for mark in plan.of(Mark, "post") if mark.id == "P4") == (12.0, -3.0)
    assert next(words.text for words in plan.of(Words, "bay length") if words.id == "P4-P5") == "19' 0\""


def test_an_item_that_a_later_version_asks_was_not_open_at_sign_off() -> None:
    signed = signed_off(all_ticked(accepted()))
    assert signed.record is not None
    assert signed.record.items_open == {}
    line = next(line for line in walk(signed).checklists["staking"].lines)
    without = signed.model_copy(update={"checks": {key: tick for key, tick in signed.checks.items() if key != line.item.key}})
    row = next(row for row in tables_of(without)["Checklist"].rows if row[1] == line.item.says)
    assert row[2] == "not open when signed"
    assert {row[3].split(" of ")[0] == row[3].split(" of ")[1] for row in tables_of(without)["Times"].rows} == {True}


def printed_readings(walked: Walk, job: Job) -> list[tuple[str, str]]:
    return [row[:2] for row in next(t for t in office_tables(job, walked) if t.title == "Readings").rows]  # type: ignore[misc]  # two cells


@given(seed=st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_a_reading_is_never_printed_at_a_place_where_it_was_not_taken(seed: int) -> None:
    rng = random.Random(seed)
    job = all_ticked(accepted())
    before = walk(job)
    taken = {line.item.key: places_of(before, line.item.key) for lines in before.checklists.values() for line in lines.lines}
    for _ in range(1 + rng.randrange(4)):
        job = changed(job, rng)
    now = walk(job)
    by_words = {(TITLES[stage], line.item.says): line.item.key for stage, lines in now.checklists.items() for line in lines.lines}
    rows = printed_readings(now, job)
    assert rows
    for row in rows:
        then, there = taken.get(by_words[row]), places_of(now, by_words[row])
        if then is not None and there is not None:
            assert far_ft(then, there) <= MARK_FT
    driven = {name: words for name, words in cells_of(tables_of(job)["Supports"], "stands in").items() if words.startswith("driven ")}
    for name in driven:
        key = item_key(f"posts.{name}.driven_depth")
        then, there = taken[key], places_of(now, key)
        assert then is not None
        assert there is not None
        assert far_ft(then, there) <= MARK_FT


def test_what_was_read_at_the_old_place_is_history() -> None:
    job = edits.tick(
        accepted(),
        item_key("posts.P4.driven_depth"),
        AT,
        BY,
        reading_in=30,
        of=walk(accepted()).checklists["posts"].by_key[item_key("posts.P4.driven_depth")].item.of,
    )
    job = edits.move_post(job, "P4", LATER, BY, along_ft=2)
    tables = tables_of(job)
    assert cells_of(tables["Supports"], "stands in")["P4"] == 'not driven; 30" was read at its old place, 2026-04-14 09:30 by Mo Teal'
    row = next(row for row in tables["Checklist"].rows if row[1] == "P4: sleeve driven, depth")
    assert row[2:] == ("open", "", '15" to 30"', "", "", "", '30" was read at its old place, 2026-04-14 09:30 by Mo Teal')
    assert tables["Readings"].rows == ()


def test_two_people_s_readings_stay_theirs() -> None:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, "Mo", reading_in=30)
    job = edits.tick(job, item_key("posts.P5.driven_depth"), AT, "Teal", reading_in=28)
    assert [(row[2], row[-1]) for row in tables_of(job)["Readings"].rows] == [('30"', "Mo"), ('28"', "Teal")]


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    return tmp_path / "linewalk"


@pytest.mark.parametrize(
    ("machine", "says"),
    [("linewalk", 'P4 driven depth: 22 1/2" when it was signed, 30" now.'), ("other", "The reading of P4 driven depth was changed.")],
)
def test_a_file_changed_after_it_was_signed_says_so_in_every_output(
    tmp_path: Path, state: Path, capsys: pytest.CaptureFixture[str], machine: str, says: str
) -> None:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22.5)
    signed_in = tmp_path / machine
    loaded = save(new(tmp_path / "yard.toml", job, AT, state=signed_in), signed_off(job), LATER, state=signed_in)
    loaded.path.write_text(loaded.path.read_text(encoding="utf-8").replace("reading_in = 22.5", "reading_in = 30.0"), encoding="utf-8")
    broken = load(loaded.path)
    assert touched(broken, walk(broken.job), state=state) == (says,)
    readers: dict[str, Reader] = {"record.html": "office", "record.md": "office", "record.txt": "office", "client.html": "client"}
    for name, reader in readers.items():
        (path,) = write_record(broken, tmp_path / name, reader=reader)
        assert says in unescape(path.read_text(encoding="utf-8"))
    page = (tmp_path / "record.html").read_text(encoding="utf-8")
    drawn = page[page.index(">Plan</h2>") : page.index(">Profiles</h2>")]
    assert f"{CHANGED}</text>" in drawn
    for path in write_record(broken, tmp_path / "tables", as_folder=True):
        head, *rows = csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline=""))
        if path.name == "changed-since-it-was-signed.csv":
            assert [broken.job.job.number or broken.job.job.title, says] in rows
        else:
            assert head[-1] == "seal"
            assert {row[-1] for row in rows} <= {"broken"}
    for words in (["check"], ["record"], ["plan"], ["plan", "--json"], ["load"]):
        capsys.readouterr()
        main([*words, str(broken.path)])
        told = capsys.readouterr().out
        assert says in (json.loads(told)["changed_since_signed"] if "--json" in words else told)
    worked = walk(broken.job)
    assert record_text(broken.job, worked, (says,)).splitlines()[:4] == ["Changed since it was signed", "-" * 27, "what was changed", says]
    assert "changed_since_signed" not in plan_text(worked)


def test_an_open_job_has_nothing_of_a_seal() -> None:
    job = demo()
    assert not {"Sealed or worked out", OTHERWISE, CHANGED} & set(tables_of(job))
    assert {row["seal"] for text in record_csv(job, walk(job)).values() for row in csv.DictReader(io.StringIO(text, newline=""))} == {""}
    assert "as sealed" not in record_html(job, walk(job))


def test_a_record_of_other_supports_than_this_version_knows_is_printed_and_drawn() -> None:
    signed = signed_off(all_ticked(accepted()))
    assert signed.record is not None
    supports = {name: one for name, one in signed.record.supports.items() if name not in ("P3", "P9")}
    supports["P99"] = signed.record.supports["P4"].model_copy(update={"east_ft": 20.0, "north_ft": -20.0, "driven_in": 28.0})
    loops = {**signed.record.loops, "L99": next(iter(signed.record.loops.values())).model_copy(update={"supports": ()})}
    record = signed.record.model_copy(update={"supports": supports, "loops": loops})
    job = signed.model_copy(update={"record": record})
    tables = tables_of(job)
    assert cells_of(tables["Supports"], "stands in")["P99"] == 'driven 28"'
    assert cells_of(tables["Cable loops"], "from")["L99"] == ""
    told = {row[:3]: row[3:] for row in tables[OTHERWISE].rows}
    assert told["Supports", "P9", "the row"] == ("not there", "there")
    assert told["Supports", "P99", "the row"] == ("there", "not there")
    page = record_html(job, walk(job))
    assert 'data-post="P99"' in page
    assert 'data-post="P9"' not in page


def test_what_was_wanted_of_a_brace_foot_that_was_read_is_told_of_a_signed_job_too() -> None:
    job = edits.tick(accepted(), item_key("bracing.P9.foot_b"), AT, BY, reading_ft=4.75)
    feet = [tables_of(one)["Braces"].rows for one in (job, signed_off(job))]
    assert feet[0] == feet[1]
    assert [row[2:] for row in feet[1] if row[3]] == [("5' 0\"", "4' 9\"")]
