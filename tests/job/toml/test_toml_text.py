"""Tables to text: order, headings, and back again."""

import tomllib
from datetime import UTC, date, datetime
from itertools import chain

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.toml.places import key_text
from engine.job.toml.toml_text import blocks, whole_text

FIRST = {"revision": 3, "format": 1}
JOB = {"title": 'The "long" run', "planned_for": date(2026, 12, 1)}
RULES = {"layout": {"bay_max_ft": 24.0}}
POST = {"line": "fence", "station_ft": 25.0, "at": None}
LOG = [{"id": "a", "kind": "note", "text": "two\nlines"}, {"id": "b", "kind": "note", "text": "x" * 120}]
PLUMB = {"state": "done", "at": datetime(2026, 11, 25, 14, 5, tzinfo=UTC)}

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


def test_single_values_stand_first_then_a_record_a_heading_and_the_end_mark_last():
    parts = [("job", JOB), ("rules", RULES), ("posts.P1", POST), ("log", LOG), ('checks."posts.P1.plumb"', PLUMB)]
    assert whole_text(FIRST, chain.from_iterable(blocks(heading, table) for heading, table in parts)) == TEXT


def test_nothing_is_the_end_mark():
    assert whole_text({}, []) == "[end]\ncomplete = true\n"


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
    each = (blocks(f"posts.{key_text(key)}", post) for key, post in posts.items())
    read = tomllib.loads(whole_text({"format": 1}, [*blocks("job", job), *chain.from_iterable(each), *blocks("log", log)]))
    assert {"posts": {}, **read} == {"format": 1, "job": job, "posts": posts, "log": log, "end": {"complete": True}}
