"""The load list: order, cost, and the CSV that is never written over anything."""

import csv
from pathlib import Path
from typing import Any, get_args

import pytest

from engine.job.edit import edits
from engine.job.errors import NotWritten
from engine.job.model.job import Job
from engine.job.model.stock_row import StockKind
from engine.paper.load_list import ORDER, free_name, load_csv, load_list, load_text, load_texts, offcut_words, write_load
from engine.walk import walk
from tests.demo import AT, BY, demo


def stocked(**changed: dict[str, Any]) -> Job:
    """The demo with fields of stock rows changed, by the row's id with _ for -."""
    data = demo().model_dump(exclude_none=True)
    for name, fields in changed.items():
        data["stock"][name.replace("_", "-")] = {**data["stock"].get(name.replace("_", "-"), {}), **fields}
    return Job.model_validate(data)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines()))


def test_every_kind_of_stock_has_one_place() -> None:
    placed = [kind for kinds in ORDER.values() for kind in kinds]
    assert sorted(placed) == sorted(get_args(StockKind))


def test_long_goes_in_first_and_in_each_group_what_is_needed_last() -> None:
    listed = load_list(demo(), walk(demo()).takeoff)
    assert [row.row.stock for row in listed.rows[:8]] == [
        "gate-tube", "brace-8", "post-8", "stake", "mesh-48", "wire-48", "cable-3-32", "foot-plate",
    ]  # fmt: skip
    assert [row.place for row in listed.rows] == list(range(1, len(listed.rows) + 1))
    assert (listed.total, listed.unpriced) == (None, len(listed.rows))


@pytest.mark.closed_form
def test_the_cost_is_packs_times_their_price() -> None:
    """12 posts at 21.50 and 12 sleeves at 0: 258."""
    job = stocked(post_8={"price": 21.5}, sleeve_30={"price": 0.0})
    listed = load_list(job, walk(job).takeoff)
    assert (listed.total, listed.unpriced) == (258.0, len(listed.rows) - 2)
    assert "258.00 for all packs; 20 rows without a price." in load_text(job, walk(job).takeoff)


@pytest.mark.independent
def test_the_csv_says_what_the_take_off_says_also_of_what_came_and_isn_t_needed() -> None:
    job = edits.delivery(stocked(stake={"loaded": 0}), "stake", AT, BY, packs=1, loose=7.5)
    job = edits.delivery(job, "cable-1-16", AT, BY, packs=2, loose=None)
    takeoff = walk(job).takeoff
    found = {row["stock"]: row for row in rows_of(load_csv(job, takeoff))}
    assert {name: float(row["needed_units"]) for name, row in found.items()} == pytest.approx(
        {row.stock: row.needed for row in takeoff.rows}, abs=0.006
    )
    assert (found["stake"]["delivered_packs"], found["stake"]["loose_units"], found["stake"]["left_units"]) == ("1", "7.5", "57.5")
    assert (found["cable-1-16"]["place"], found["cable-1-16"]["delivered_packs"]) == ("", "2")
    offcuts = {(row.stock, f"{number}"): length for row in takeoff.rows for number, length in enumerate(row.offcuts, 1)}
    cut = rows_of(load_texts(job, takeoff)["offcuts"])
    assert {(row["stock"], row["number"]): float(row["length_ft"]) for row in cut} == pytest.approx(offcuts, abs=0.0001)
    assert {row["job"] for row in cut} == {"2611"}


def test_a_stock_name_is_no_formula_in_a_spreadsheet() -> None:
    job = stocked(cap={"name": "=1+1"})
    assert next(row for row in rows_of(load_csv(job, walk(job).takeoff)) if row["stock"] == "cap")["what"] == "'=1+1"


def test_nothing_is_written_over(tmp_path: Path) -> None:
    takeoff = walk(demo()).takeoff
    out, offcuts = write_load(demo(), takeoff, tmp_path / "load.csv")
    out.write_text("mine")
    offcuts.unlink()
    with pytest.raises(NotWritten, match="is there already"):
        write_load(demo(), takeoff, out)
    assert not offcuts.exists()
    with pytest.raises(NotWritten, match=r"ends in \.csv"):
        write_load(demo(), takeoff, tmp_path / "yard.toml")
    with pytest.raises(NotWritten, match="couldn't be written"):
        write_load(demo(), takeoff, tmp_path / "no" / "load.csv")
    assert out.read_text() == "mine"
    write_load(demo(), takeoff, out, replacing=True)
    assert out.read_text(encoding="utf-8") != "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["load-offcuts.csv", "load.csv"]


def test_a_free_name_stands_beside_the_job(tmp_path: Path) -> None:
    job_file = tmp_path / "yard.toml"
    first = free_name(job_file)
    first.write_text("")
    (tmp_path / "yard-load-2-offcuts.csv").write_text("")
    assert [first.name, free_name(job_file).name] == ["yard-load.csv", "yard-load-3.csv"]


def test_a_job_without_a_fence_needs_nothing() -> None:
    assert load_text(Job(), walk(Job()).takeoff) == "Nothing is needed yet: the layout comes first.\n"


def test_offcuts_in_words() -> None:
    row = next(row for row in walk(demo()).takeoff.rows if row.stock == "wire-48")
    assert offcut_words(row, 1).endswith(f"and {len(row.offcuts) - 1} more") == (len(row.offcuts) > 1)
    assert offcut_words(row, 99).count('"') == len(row.offcuts)


def test_a_pack_is_told_in_pieces_too() -> None:
    """One pack of locks is no single lock."""
    text = load_text(demo(), walk(demo()).takeoff)
    assert "[ ] 18  one-way cable lock: 25 locks in 1 pack of 25; 6 needed  (1 pack loaded)\n" in text
    assert "[ ]  3  round steel post 1 5/8 in, 8 ft: 12 posts  (16 loaded)\n" in text
