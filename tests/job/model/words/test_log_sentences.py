"""The log in words: one sentence for every kind of entry."""

from datetime import UTC, datetime, timedelta
from typing import Any, get_args

import pytest
from pydantic import TypeAdapter

from engine.job.model.log_entries import LogEntry
from engine.job.model.words.log_sentences import move_words, sentence

AT = datetime(2026, 4, 14, 9, 30, tzinfo=UTC)
ENTRY: TypeAdapter[Any] = TypeAdapter(LogEntry)


REROUTE: dict[str, Any] = {
    "line": "back", "from_post": "P4", "to_post": "P7", "old_points": ["T1", "T2"], "from_ft": 42, "to_ft": 104, "shift_ft": 3.5,
    "out": ["P5", "P6"], "out_stations_ft": [63, 83], "out_offsets_ft": [0, 0],
}  # fmt: skip


def said(kind: str, **fields: Any) -> str:
    return sentence(ENTRY.validate_python({"id": "e1", "at": AT, "by": "Mo", "kind": kind, **fields}))


CASES = [
    (
        said("obstacle", what="rock", line="back", station_ft=83, text="ledge at 8 in."),
        "Rock found on back at 83' 0\", kept clear 1' 0\" all round: ledge at 8 in.",
    ),
    (
        said("obstacle", what="slab", line="back", station_ft=12.5, offset_ft=-0.75, radius_ft=2),
        'Slab found on back at 12\' 6", 9" left of it, kept clear 2\' 0" all round.',
    ),
    (
        said("obstacle", what="rock", line="back", station_ft=83, long_ft=6, wide_ft=2.5),
        "Rock, 6' 0\" along the line and 2' 6\" across it, found on back at 83' 0\", kept clear 1' 0\" all round.",
    ),
    (said("move", post="P6", along_ft=2, why="rock"), "P6 moved 2' 0\" forward along the line: rock."),
    (said("move", post="P6", along_ft=-1.25, out_ft=0.5), 'P6 moved 1\' 3" back along the line and 6" to the right.'),
    (said("swap", post="P6", tree="oak", why=" roots. "), "P6 swapped for tree oak: roots."),
    (
        said("add", post="P17", line="back", station_ft=200, offset_ft=1, why="long"),
        "P17 added on back at 200' 0\", 1' 0\" right of it: long.",
    ),
    (said("add", post="P17", line="back", station_ft=200), "P17 added on back at 200' 0\"."),
    (said("drop", post="P6"), "P6 left out."),
    (said("drop", post="P6", why="tree carries it"), "P6 left out: tree carries it."),
    (said("planned", supports=16), "Plan accepted: 16 supports."),
    (said("planned", supports=15, gone=["P4", "P9"]), "Plan accepted: 15 supports. Gone: P4 and P9."),
    (said("reroute", **REROUTE), "back takes a new way from P4 to P7 straight. P5 and P6 came out."),
    (
        said("reroute", **REROUTE, through=["N1", "N2"], left=["P5"], loops=["L2"], why="new bed"),
        "back takes a new way from P4 to P7 through N1 and N2: new bed. P5 and P6 came out. The sleeve of P5 stays in the ground. Cut: L2.",
    ),
    (said("delivery", stock="stake", packs=1), "1 pack of apron stakes 12 in came."),
    (
        said("delivery", stock="wire-48", packs=2, loose=60.5, brought_by="the yard van", text="one roll bent"),
        "2 packs and 60.5 loose of welded wire 14 ga 2x4, 48 in came, brought by the yard van: one roll bent.",
    ),
    (
        said("superseded", item="posts.P6.driven_depth", done_at=AT, done_by="Mo", reading_in=30, text="clay"),
        'P6 driven depth: 30" no longer stands, ticked on Apr 14 by Mo: clay.',
    ),
    (
        said("superseded", item="posts.P6.plumb", done_at=AT - timedelta(days=730), done_by="Mo"),
        "P6 plumb: done no longer stands, ticked on Apr 14, 2024 by Mo.",
    ),
    (
        said("superseded", item="punch.job.care_notes", done_at=AT, done_by="Mo", state="not needed"),
        "care notes: not needed no longer stands, ticked on Apr 14 by Mo.",
    ),
    (
        said("sleeve_left", post="P6", east_ft=4, north_ft=5, why="two weeks old"),
        "A sleeve of P6 was cut off and stays in the ground: two weeks old.",
    ),
    (said("note", text="Gate side is soft."), "Gate side is soft."),
    (said("note", about="P6", text="leans"), "P6: leans"),
    (
        said("superseded", item="posts.P6.plumb", done_at=AT, done_by="Mo", photos=["a.jpg", "b.jpg"]),
        "P6 plumb: done no longer stands, ticked on Apr 14 by Mo, 2 photos: a.jpg and b.jpg.",
    ),
    (said("photo", file="gate.jpg"), "Photo gate.jpg."),
    (said("photo", file="gate.jpg", about="side", caption="latch side"), "Photo gate.jpg of side: latch side."),
    (said("photo", file="p/rock.jpg", line="back", station_ft=12.5, caption="ledge."), "Photo p/rock.jpg at 12' 6\" on back: ledge."),
    (said("photo", file="1.png", about="P6", line="back", station_ft=83), "Photo 1.png of P6, at 83' 0\" on back."),
    (said("signed", accepted_by="the client"), "Signed off, accepted by the client."),
    (said("signed", accepted_by="the client", text="two stakes to come"), "Signed off, accepted by the client: two stakes to come."),
    (said("reopened", why="one more gate"), "Reopened: one more gate."),
    (said("drop", post="P6", struck_at=AT, struck_by="Teal"), "P6 left out. (struck 09:30 by Teal)"),
    (said("note", text="soft", struck_at=AT), "soft (struck 09:30)"),
]


@pytest.mark.parametrize(("words", "wanted"), CASES, ids=[wanted for _, wanted in CASES])
def test_every_kind_is_said_in_one_sentence(words: str, wanted: str) -> None:
    assert words == wanted


def test_no_kind_of_entry_is_left_without_a_sentence() -> None:
    kinds = {get_args(entry.model_fields["kind"].annotation)[0] for entry in get_args(get_args(LogEntry)[0])}
    told = {"obstacle", "move", "swap", "add", "drop", "planned", "reroute", "delivery", "note", "signed", "reopened"} | {
        "superseded",
        "sleeve_left",
        "photo",
    }
    assert kinds == told


@pytest.mark.parametrize(
    ("along_ft", "out_ft", "wanted"),
    [
        (2.0, 0.0, "2' 0\" forward along the line"),
        (-2.0, 0.0, "2' 0\" back along the line"),
        (0.0, 0.25, '3" to the right'),
        (0.0, -0.25, '3" to the left'),
        (0.125, -3.5, '1 1/2" forward along the line and 3\' 6" to the left'),
        (0.0, 0.0, "nowhere"),
    ],
)
def test_a_move_in_words(along_ft: float, out_ft: float, wanted: str) -> None:
    assert move_words(along_ft, out_ft) == wanted
