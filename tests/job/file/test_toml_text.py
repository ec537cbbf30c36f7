"""Tables to text: order, headings, and back again."""

import tomllib
from datetime import UTC, date, datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.file.toml_text import write_text

DATA = {
    "posts": {"P1": {"line": "fence", "station_ft": 25.0, "at": None}, "P2": {"line": "fence", "station_ft": 50.5}},
    "checks": {"posts.P1.plumb": {"state": "done", "at": datetime(2026, 11, 25, 14, 5, tzinfo=UTC)}},
    "log": [{"id": "a", "kind": "note", "text": "two\nlines"}, {"id": "b", "kind": "note", "text": "x" * 120}],
    "rules": {"layout": {"bay_max_ft": 24.0}},
    "job": {"title": 'The "long" run', "planned_for": date(2026, 12, 1)},
    "revision": 3,
    "format": 1,
}

TEXT = """\
revision = 3
format = 1

[job]
title = "The \\"long\\" run"
planned_for = 2026-12-01

[rules.layout]
bay_max_ft = 24.0

[posts.P1]
line = "fence"
station_ft = 25.0

[posts.P2]
line = "fence"
station_ft = 50.5

[[log]]
id = "a"
kind = "note"
text = "two\\nlines"

[[log]]
id = "b"
kind = "note"
text = "XX"

[checks."posts.P1.plumb"]
state = "done"
at = 2026-11-25 14:05:00+00:00

[end]
complete = true
""".replace("XX", "x" * 120)


def test_tables_stand_in_the_order_of_the_trade_a_record_a_heading():
    assert write_text(DATA) == TEXT


def test_an_empty_job_is_its_end_mark():
    assert write_text({}) == "[end]\ncomplete = true\n"


flat = st.dictionaries(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=6),
    st.one_of(
        st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
        st.integers(-(2**60), 2**60),
        st.floats(allow_nan=False, allow_infinity=False),
        st.booleans(),
        st.lists(st.text("abc\"'\\\n", max_size=4), max_size=3),
    ),
    max_size=4,
)


@given(
    job=flat,
    posts=st.dictionaries(st.text(st.characters(exclude_categories=["Cs"]), max_size=6), flat, max_size=4),
    log=st.lists(flat, min_size=1, max_size=3),
)
@settings(max_examples=100, deadline=None)
def test_what_is_written_is_what_is_read(job, posts, log):
    data = {"format": 1, "job": job, "posts": posts, "log": log}
    read = tomllib.loads(write_text(data))
    assert read == {**data, "end": {"complete": True}}
