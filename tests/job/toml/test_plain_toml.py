"""What the quick reader makes of a text is what a reader of all TOML makes of it, or nothing."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.file.store import new
from engine.job.toml.plain_toml import plain_tables
from tests.bench.big_job import NOON, big_job
from tests.source import ROOT

WRITTEN = sorted([*(ROOT / "demo_jobs").glob("*.toml"), *(ROOT / "tests/job/file/formats").glob("*.toml")])
LINES = (
    'a = 1', "a = 1.5", "a = -0.0", "a = 007", "a = 1_0", "a = 1e5", "a = 1.0e-5", "a = nan", "a = true", "a = yes",
    'a = "b"', 'a = ""', 'a = "b\\"c\\n"', 'a = "\\u0041"', 'a = "b', "a = 'b'", 'a = """b"""', "a.b = 1", '"a" = 2', '"a b" = 3',
    "a = []", "a = [", '    "x",', "    1,", "    1.0,", "    true,", "]", "a = [1, 2]", "a = {b = 1}", "a = 99999999999999999999",
    "a = 2026-05-04", "a = 2026-13-04", "a = 2026-05-04 12:00:00+00:00", "a = 2026-05-04 12:00:00-05:30", "a = 2026-05-04 25:00:00+00:00",
    "a = 2026-05-04T12:00:00Z", "a = 12:00:00", "b = 1", "# said", "a = 1 # said", "", " ", "[a]", "[b]", "[a.b]", '[a."b"]', '["a".b]',
    "[a.b.c]", "[[a]]", "[[b]]", "[[a.b]]", "[]", "[a", "a.b.c.d.e.f.g.h.i = 1", "[a.b.c.d.e.f.g.h.i]", "\ta = 1", "a =1", "a = 1\r",
)  # fmt: skip


def _same(text: str) -> None:
    """Read the same, with the same kinds of values in the same order, or left to the other reader."""
    plain = plain_tables(text)
    if plain is not None:
        assert repr(plain) == repr(tomllib.loads(text))


@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: path.stem)
def test_what_this_program_wrote_is_read_quickly(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert repr(plain_tables(text)) == repr(tomllib.loads(text))


def test_a_job_at_work_is_read_quickly(tmp_path: Path) -> None:
    text = new(tmp_path / "big.toml", big_job(1), NOON).path.read_text(encoding="utf-8")
    assert repr(plain_tables(text)) == repr(tomllib.loads(text))


def test_tables_within_rows_are_read_quickly() -> None:
    text = "[[a]]\nc = 1\n[a.b]\n[a.b.c]\nd = 2\n[[a]]\n[a.b]\n"
    assert plain_tables(text) == tomllib.loads(text) == {"a": [{"c": 1, "b": {"c": {"d": 2}}}, {"b": {}}]}


@settings(max_examples=100)
@given(st.lists(st.sampled_from(LINES), max_size=12))
def test_lines_of_any_kind_are_read_as_toml_has_them_or_left(lines: list[str]) -> None:
    _same("".join(f"{line}\n" for line in lines))


@settings(max_examples=100)
@given(st.data())
def test_a_file_changed_in_one_place_is_read_as_toml_has_it_or_left(data: st.DataObject) -> None:
    text = WRITTEN[0].read_text(encoding="utf-8")
    at = data.draw(st.integers(0, len(text)))
    until = min(len(text), at + data.draw(st.integers(0, 4)))
    _same(text[:at] + data.draw(st.text('a1"\\\n[]=.,# -\t', max_size=4)) + text[until:])


@pytest.mark.parametrize(
    "text",
    [
        "a = 1\na = 2\n", "[a]\n[a]\n", '[a.b]\n[a."b"]\n', "[a]\n[[a]]\n", "[[a]]\n[a]\n", "a = []\n[[a]]\n",
        "a = 1\n[a]\n", "[a.b]\n[a]\nb = 1\n", "[[a]]\n[a.b]\n[a.b]\n", "[[a]]\nb = 1\n[a.b]\n",
        "a = 2026-02-30\n", "a = 99999999999999999999\n", "a = 1", "# said\n", "a = 'b'\n",
    ],
)  # fmt: skip
def test_what_is_wrong_or_written_otherwise_is_left_to_the_full_reader(text: str) -> None:
    assert plain_tables(text) is None


def test_it_gives_up_at_the_first_line_that_is_written_otherwise() -> None:
    assert plain_tables("a" * 2_000_000) is None
