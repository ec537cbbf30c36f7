"""Stock: the rows the truck carries by default, and a job's rows laid over them field by field."""

from typing import Any, get_args

import pytest

from engine.job.model.fence import Fence
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import default_rows, fabric_ids, first_of, stock_of

FIELDS = [name for name in StockRow.model_fields if name not in ("kind", "name", "source")]


def row(**fields: Any) -> StockRow:
    return StockRow.model_validate(fields)


def test_every_default_row_names_its_source_name_and_kind() -> None:
    assert len(default_rows()) == 34
    assert [name for name, found in default_rows().items() if not (found.source and found.name and found.kind)] == []


def test_every_kind_but_the_rest_is_on_the_truck() -> None:
    assert {found.kind for found in default_rows().values()} == set(get_args(StockKind)) - {"other"}


def test_nothing_is_counted_or_priced_before_a_job_says_so() -> None:
    assert {(found.loaded, found.price) for found in default_rows().values()} == {(None, None)}


def test_a_job_without_rows_has_the_default_ones() -> None:
    assert stock_of({}) == dict(default_rows())


@pytest.mark.parametrize("field", [*FIELDS, "name", "source"])
def test_a_row_changes_the_one_field_it_names(field: str) -> None:
    given: dict[str, Any] = {"construction": "7x19", "name": "ours", "source": "the maker's sheet", "loaded": 3, "per_pack": 7}
    value = given.get(field, 0.5)
    before = default_rows()["cable-3-32"]
    after = stock_of({"cable-3-32": row(**{field: value})})["cable-3-32"]
    assert getattr(after, field) == value
    others = set(StockRow.model_fields) - {field}
    assert {name: getattr(after, name) for name in others} == {name: getattr(before, name) for name in others}


def test_other_rows_and_the_default_rows_stay_as_they_were() -> None:
    before = dict(default_rows())
    merged = stock_of({"post-8": row(loaded=16)})
    assert {name: found for name, found in merged.items() if name != "post-8"} == {
        name: found for name, found in before.items() if name != "post-8"
    }
    assert dict(default_rows()) == before
    assert before["post-8"].loaded is None


def test_a_row_that_went_through_a_merge_still_changes_only_what_it_names() -> None:
    """There and back through plain data a row says None of every field that its file doesn't have."""
    again = StockRow.model_validate(row(loaded=2).model_dump())
    assert stock_of({"cable-3-32": again}) == stock_of({"cable-3-32": row(loaded=2)})
    assert stock_of({"cable-3-32": again})["cable-3-32"].kind == "cable"


def test_a_jobs_own_row_comes_before_the_defaults_of_its_kind() -> None:
    ours = row(kind="lock", name="heavy lock", strength_lbf=900)
    merged = stock_of({"lock-heavy": ours})
    assert merged["lock-heavy"] is ours
    assert first_of(merged, "lock") == "lock-heavy"
    assert first_of(stock_of({}), "lock") == "lock"


@pytest.mark.parametrize(
    ("height_ft", "wire", "mesh"),
    [(3, "wire-36", "mesh-36"), (4, "wire-36", "mesh-36"), (5, "wire-36", "mesh-48"), (6, "wire-48", "mesh-48"), (8, "wire-48", "mesh-48")],
)
def test_wire_and_mesh_suit_the_height(height_ft: float, wire: str, mesh: str) -> None:
    assert fabric_ids(Fence(height_ft=height_ft)) == (wire, mesh)


def test_the_fence_s_own_wire_and_mesh_are_taken() -> None:
    assert fabric_ids(Fence(height_ft=6, wire="wire-36")) == ("wire-36", "mesh-48")
    assert fabric_ids(Fence(height_ft=4, mesh="mesh-48")) == ("wire-36", "mesh-48")


def test_the_first_row_of_a_kind() -> None:
    assert first_of(stock_of({}), "cable") == "cable-3-32"
    assert first_of({"a": row(kind="ring"), "b": row(kind="tie"), "c": row(kind="tie")}, "tie") == "b"
    assert first_of({}, "tie") is None
