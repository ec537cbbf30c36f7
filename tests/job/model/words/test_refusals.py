"""Every kind of slip in a job file, in the words a crew reads, with its line."""

from pathlib import Path

import pytest

from engine.job.errors import BadContent
from engine.job.file.from_bytes import read_job
from engine.job.model.words.refusals import as_a_tape_reads
from tests.job.small import HAND_WRITTEN

JOB = Path("yard.toml")

SLIPS = [
    ("count: float_type", "weight_lb = 50", "weight_lb = [1]", "[dogs.rex] weight_lb", "a list is given where a number is wanted."),
    ("text for a number", "weight_lb = 50", 'weight_lb = "heavy"', "[dogs.rex] weight_lb", '"heavy" is given where a number is wanted.'),
    ("true for a number", "weight_lb = 50", "weight_lb = true", "[dogs.rex] weight_lb", "true or false is given where a number is wanted."),
    ("nan", "weight_lb = 50", "weight_lb = nan", "[dogs.rex] weight_lb", "nan is given where a number that can be measured is wanted."),
    ("too small", "weight_lb = 50", "weight_lb = 0", "[dogs.rex] weight_lb", "0 is out of range: it must be over 0."),
    ("too large", "weight_lb = 50", "weight_lb = 401", "[dogs.rex] weight_lb", "401 is out of range: it must be at most 400."),
    ("half a dog", "weight_lb = 50", "weight_lb = 50\ncount = 2.5", "[dogs.rex] count", "2.5 is given where a whole number is wanted."),
    (
        "not a flag",
        "weight_lb = 50",
        "weight_lb = 50\ndigs = 7",
        "[dogs.rex] digs",
        "7 is given where true or false is wanted, without quotes.",
    ),
    ("number as title", 'title = "Back yard"', "title = 12", "[job] title", "12 is given where text is wanted. Put it in quotes."),
    ("not a list", '["Ana", "Bo"]', '"Ana"', "[job] crew", '"Ana" is given where a list in square brackets is wanted.'),
    (
        "not a date",
        'title = "Back yard"',
        'planned_for = "soon"',
        "[job] planned_for",
        "soon is not a date: write it like 11/24/2026 or 2026-11-24.",
    ),
    ("not a word", 'title = "Back yard"', 'units = "yards"', "[job] units", '"yards" isn\'t one of: "feet-inches" or "metres".'),
    ("long text", "Back yard", "x" * 201, "[job] title", "the text is longer than 200 characters. Shorten it."),
    (
        "misspelt key",
        "station_ft = 0",
        "statoin_ft = 0\nstation_ft = 0",
        "[posts.P1] statoin_ft",
        'there is no statoin_ft here. Did you mean "station_ft"?',
    ),
    (
        "unknown key",
        "station_ft = 0",
        "mood = 0\nstation_ft = 0",
        "[posts.P1] mood",
        "there is no mood here. This table may hold: at, kind, line, meant_ft, offset_ft",
    ),
    ("misspelt table", "[lines.fence]", "[line.fence]", "[line]", 'there is no line here. Did you mean "lines"?'),
    (
        "unknown shot key",
        'side = "left"',
        'side = "left"\ntape_c_ft = 3',
        "[shots.S1] tape_c_ft",
        'there is no tape_c_ft here. Did you mean "tape_b_ft"?',
    ),
    ("missing", "station_ft = 0", "", "[posts.P1] station_ft", "station_ft is missing. Write it in this table."),
    ("missing in a shot", 'side = "left"', "", "[shots.S1] side", "side is missing. Write it in this table."),
    ("no method", 'method = "tie"', "", "[shots.S1]", 'method is missing. Write one of: "tie", "tape", "offset", "leg", "paces", "level".'),
    (
        "unknown method",
        'method = "tie"',
        'method = "laser"',
        "[shots.S1] method",
        '"laser" isn\'t one of: "tie", "tape", "offset", "leg", "paces", "level".',
    ),
    ("bad length", '"22 in"', '"22 furlongs"', "[dogs.rex] shoulder_in", "22 furlongs"),
    ("bad name", "[posts.P1]", '[posts."P 1"]', '[posts."P 1"]', '"P 1" can\'t be a name here. Names are up to 40 letters'),
    (
        "bad item key",
        '"posts.P1.driven_depth"',
        "depth",
        "[checks.depth]",
        '"depth" isn\'t the key of a checklist item, such as posts.P7.plumb.',
    ),
    (
        "no offset",
        "2026-11-25T09:00:00-06:00",
        "2026-11-25T09:00:00",
        '[checks."posts.P1.driven_depth"] at',
        "doesn't say its offset: write the date",
    ),
    (
        "text for a time",
        "2026-11-25T09:00:00-06:00",
        '"now"',
        '[checks."posts.P1.driven_depth"] at',
        '"now" is given where a time is wanted',
    ),
    (
        "two readings",
        "reading_in = 20.5",
        "reading_in = 20.5\nreading_ft = 1",
        '[checks."posts.P1.driven_depth"]',
        "a tick has one reading: reading_ft or reading_in.",
    ),
    ("one point", '["A", "T1"]', '["A"]', "[lines.fence] points", "the list has 1 in it and must have at least 2."),
    (
        "not a table",
        '[lines.fence]\npoints = ["A", "T1"]',
        "[lines]\nfence = 3",
        "[lines] fence",
        "3 is given where a table of key = value lines is wanted.",
    ),
    ("empty note", "Gate side is soft.", "", "[log] entry 1, text", "the text is empty. Write something, or take the line out."),
    (
        "photo elsewhere",
        'kind = "note"\n',
        'kind = "photo"\nfile = "../gate.jpg"\n',
        "[log] entry 1, file",
        '"../gate.jpg" isn\'t a file beside the job. Write its name, such as gate.jpg, or photos/gate.jpg in a folder.',
    ),
    ("unknown log kind", 'kind = "note"', 'kind = "song"', "[log] entry 1, kind", '"song" isn\'t one of: "obstacle", "move"'),
    ("hidden marks", 'title = "Back yard"', 'units = "a\u202eb"', "[job] units", '"a\\u202eb" isn\'t one of'),
]


@pytest.mark.parametrize(("before", "after", "place", "words"), [slip[1:] for slip in SLIPS], ids=[slip[0] for slip in SLIPS])
def test_a_slip_is_told_with_its_place(before, after, place, words):
    assert before in HAND_WRITTEN
    with pytest.raises(BadContent) as caught:
        read_job(JOB, HAND_WRITTEN.replace(before, after, 1).encode())
    told = [str(problem) for problem in caught.value.problems]
    hits = [line for line in told if f": {words}" in line or words in line]
    assert hits, told
    assert place in hits[0]
    assert not any(word in "\n".join(told).lower() for word in ("pydantic", "value error", "input should", "validation", "none"))


def test_the_line_is_the_slips_own():
    with pytest.raises(BadContent) as caught:
        read_job(JOB, HAND_WRITTEN.replace("weight_lb = 50", "weight_lb = -1").encode())
    assert str(caught.value).splitlines() == [
        "yard.toml: can't be opened, one thing needs putting right:",
        "  line 8, column 1, [dogs.rex] weight_lb: -1 is out of range: it must be over 0.",
        "Nothing was changed in it. Put it right in a text editor and open it again.",
    ]


def test_many_slips_come_in_file_order_and_the_rest_is_counted():
    text = HAND_WRITTEN.replace("[points.A]", "\n".join(f"[points.X{n}]\neast_ft = 1" for n in range(12)) + "\n[points.A]")
    with pytest.raises(BadContent) as caught:
        read_job(JOB, text.encode())
    assert len(caught.value.problems) == 12
    assert "  and 4 more" in str(caught.value)
    assert [problem.line for problem in caught.value.problems] == list(range(12, 36, 2))


@pytest.mark.parametrize(
    ("says", "field", "told"),
    [
        ("-5.0 is out of range: it must be at least 0.", "station_ft", "-5' 0\" is out of range: it must be at least 0'."),
        ("30000 is out of range: it must be at most 20,000.", "along_ft", "30000' 0\" is out of range: it must be at most 20000'."),
        ("0.5 is out of range: it must be over 1.", "depth_in", '1/2" is out of range: it must be over 1".'),
        ('"-5" is out of range: it must be at least 0.', "station_ft", '"-5" is out of range: it must be at least 0\'.'),
        ("-1 is out of range: it must be over 0.", "weight_lb", "-1 is out of range: it must be over 0."),
        ("The text is empty.", "station_ft", "The text is empty."),
    ],
)
def test_a_length_past_its_limit_is_told_as_a_box_takes_it(says: str, field: str, told: str) -> None:
    assert as_a_tape_reads(says, field) == told
