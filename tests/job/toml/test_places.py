"""Where a path stands in a text."""

import pytest

from engine.job.errors import Problem
from engine.job.toml.places import key_text, locate

TEXT = """\
format = 1  # first
[job]
title = "a # [no] heading"
crew = [
    "Ana",  # lead
    "Bo",
]

[posts.P1]
line = "fence"
kind = 'line'
[posts."P 2"]
line = "fence"
[[log]]
id = "a"
[[log]]
  id = "b"
text = '''
[posts.P9]
'''
[checks]
"posts.P1.plumb" = { state = "done", by.name = "Ana", seen = [[1, 2], [3, {x = 4}]] }
rules.layout.bay_max_ft = 25
[end]
complete = true
"""


@pytest.mark.parametrize(
    ("path", "place"),
    [
        (("format",), (1, 1)),
        (("job",), (2, 1)),
        (("job", "title"), (3, 1)),
        (("job", "crew", 1), (6, 5)),
        (("job", "client"), (2, 1)),
        (("posts",), (9, 1)),
        (("posts", "P1", "kind"), (11, 1)),
        (("posts", "P1", "station_ft"), (9, 1)),
        (("posts", "P 2", "line"), (13, 1)),
        (("posts", "P9"), (9, 1)),
        (("log", 0, "id"), (15, 1)),
        (("log", 1), (16, 1)),
        (("log", 1, "id"), (17, 3)),
        (("log", 1, "text"), (18, 1)),
        (("checks", "posts.P1.plumb"), (22, 1)),
        (("checks", "posts.P1.plumb", "state"), (22, 22)),
        (("checks", "posts.P1.plumb", "by", "name"), (22, 38)),
        (("checks", "posts.P1.plumb", "seen", 1, 1, "x"), (22, 76)),
        (("checks", "rules", "layout", "bay_max_ft"), (23, 1)),
        (("end", "complete"), (25, 1)),
        (("nowhere",), (1, 1)),
        ((), (1, 1)),
    ],
)
def test_a_path_leads_to_its_line_and_column(path, place):
    (found,) = locate(TEXT, {}, [Problem(path, "")])
    assert (found.line, found.column) == place


def test_problems_come_in_file_order_with_table_and_field():
    data = {"job": {"crew": ["Ana"]}, "log": [{"id": "a"}, {"id": "b"}], "posts": {"P 2": {"line": "x"}}}
    problems = [
        Problem(("log", 1, "id"), "four"),
        Problem(("log", 0), "three"),
        Problem(("posts", "P 2", "kind"), "two"),
        Problem(("job", "crew", 0), "one"),
        Problem(("oops",), "nought"),
    ]
    found = [(place.message, place.table, place.field) for place in locate(TEXT, data, problems)]
    assert found == [
        ("nought", "", "oops"),
        ("one", "job", "crew, item 1"),
        ("two", 'posts."P 2"', "kind"),
        ("three", "log", "entry 1"),
        ("four", "log", "entry 2, id"),
    ]


def test_keys_are_quoted_only_where_they_must_be():
    assert [key_text(key) for key in ("P-1_a", "posts.P7", 'a"b', "", "a\n")] == ["P-1_a", '"posts.P7"', '"a\\"b"', '""', '"a\\u000a"']
