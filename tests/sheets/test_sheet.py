"""What stands in a cell, what a row is told, and what the sheet of each stage puts where."""

from datetime import UTC, datetime
from typing import Any

import pytest

from engine.answers import answer
from engine.checklist import Item, WantedReading
from engine.findings import Finding, StageName
from engine.job.edit import edits
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, PacesShot, Shot, TapeShot, TieShot
from engine.job.model.tick_facts import At, TickFacts
from engine.sheets.sheet import Asked, Cell, Column, Row, SheetPart, answer_words, figures, filled, left_over, worst_by_subject
from engine.sheets.stage_sheets import sheet_of
from engine.sheets.survey import off_words, shot_words
from engine.stages.punch.closing_list import Jump
from engine.stages.survey.survey_facts import ShotFit
from engine.walk import walk
from tests.demo import AT, BY, accepted, others
from tests.sheets.test_stage_sheets import sheets, two_leaves

KEY = ItemKey("posts", "P1", "driven_depth")
HERE, THERE = TickFacts((At("P1", 0.0, 0.0),)), TickFacts((At("P1", 9.0, 0.0),))
DEPTH = WantedReading("in", 30.0, 15.0)


def words_of(tick: dict[str, Any] | None, reading: WantedReading | None = None) -> str:
    """What stands in the cell of an item about a post at `HERE`."""
    ticks = {} if tick is None else {KEY: Tick.model_validate({"at": AT, "by": BY, "of": HERE, **tick})}
    (line,) = answer([Item(KEY, "P1: sleeve driven, depth", reading, HERE)], ticks, {}).lines
    return answer_words(line)


def test_an_item_is_open_done_not_needed_read_out_of_range_or_what_it_was() -> None:
    assert words_of(None) == "·"
    assert words_of({}) == "✓"
    assert words_of({"state": "not needed"}) == "–"
    assert words_of({"reading_in": 30}, DEPTH) == '30"'
    assert words_of({"reading_in": 8.5}, DEPTH) == '8 1/2" !'
    assert words_of({"reading_ft": 22.5}, WantedReading("ft", 20.0, high=25.0)) == "22' 6\""
    assert words_of({"of": THERE}) == "(✓)"
    assert words_of({"of": THERE, "state": "not needed"}) == "(–)"
    assert words_of({"of": THERE, "reading_in": 30}, DEPTH) == '(30")'


def test_a_cell_that_nobody_answers_says_its_figure_and_a_blank_one_nothing() -> None:
    assert [cell.words for cell in figures("P1", "")] == ["P1", ""]
    assert Cell().words == ""


def test_what_no_column_asks_stands_below_in_words() -> None:
    items = [Item(ItemKey("posts", "P1", what), f"P1: {what}") for what in ("solid", "plumb")]
    asked = Asked(answer(items, {}, {}))
    assert asked.cell("posts", "P1", "solid").words == "·"
    assert asked.cell("posts", "P2", "solid") == Cell()
    part = left_over(asked, "posts", "besides", {})
    assert [[cell.words for cell in row.cells] for row in part.rows] == [["P1: plumb", "·"]]


def test_a_column_in_which_nothing_stands_is_left_out() -> None:
    part = SheetPart((Column("a"), Column("b"), Column("c")), (Row("", tuple(figures("", "", "x"))), Row("", tuple(figures("", "", "y")))))
    assert [column.head for column in filled(part).columns] == ["a", "c"]
    assert [row.cells[1].words for row in filled(part).rows] == ["x", "y"]


def test_the_worst_finding_of_a_thing_is_told() -> None:
    note, stop = (Finding(code, level, "posts", ("P1", "P2"), "", "") for code, level in (("a", "note"), ("b", "stop")))  # type: ignore[arg-type]  # levels
    assert worst_by_subject([note, stop]) == {"P1": stop, "P2": stop}


@pytest.mark.parametrize(
    ("shot", "words"),
    [
        (
            TieShot(method="tie", point="T1", from_a="A", from_b="B", tape_a_ft=22.5, tape_b_ft=30.0, side="left"),
            ("tie", "T1", "A", "22' 6\"", "B", "30' 0\"", "left"),
        ),
        (TapeShot(method="tape", from_point="A", to_point="T1", length_ft=10.25), ("tape", "T1", "A", "10' 3\"", "", "", "")),
        (
            OffsetShot(method="offset", point="T1", base_from="A", base_to="B", along_ft=12.0, offset_ft=3.5, side="right"),
            ("offset", "T1", "A", "12' 0\"", "B", "3' 6\"", "right"),
        ),
        (
            LegShot(method="leg", from_point="A", to_point="T1", azimuth_deg=45.0, length_ft=20.0),
            ("leg", "T1", "A", "20' 0\"", "", "N 45°00'00\" E", ""),
        ),
        (PacesShot(method="paces", from_point="A", to_point="T1", paces=40), ("paces", "T1", "A", "40 steps", "", "", "")),
        (
            LevelShot(method="level", line="back", station_ft=30.0, offset_ft=-2.0, rod_ft=4.5, instrument_ft=104.0),
            ("level", "back", "start", "30' 0\"", "", "99' 6\"", "2' 0\" left"),
        ),
    ],
)
def test_a_shot_stands_in_the_book_as_it_was_called_out(shot: Shot, words: tuple[str, ...]) -> None:
    assert shot_words(shot) == words


def fit(residual: float, standardised: float | None, *, fits: bool = True, part: str = "tape", redundancy: float = 0.5) -> ShotFit:
    return ShotFit("s1", "tape", part, residual, redundancy, standardised, fits, "")


@pytest.mark.closed_form
def test_how_far_a_shot_is_off_is_said_as_a_crew_says_it() -> None:
    assert off_words((fit(0.0, 0.1),)) == 'fits to 1/8"'
    assert off_words((fit(-0.03, -1.0),)) == 'fits to 3/8"'
    assert off_words((fit(1.02, 9.0, fits=False),)) == "1' 0\" long"
    assert off_words((fit(-0.99, -9.0, fits=False),)) == "1' 0\" short"
    assert off_words((fit(0.3, 1.0, part="bearing"),)) == "fits to 0.3°"
    assert off_words((fit(-2.0, -9.0, fits=False, part="bearing"),)) == "2.0° left"
    assert off_words((fit(0.0, 0.1), fit(-0.99, -9.0, fits=False))) == "1' 0\" short"
    assert off_words((fit(0.0, None, redundancy=0.0),)) == ""


def rows_of(job: str, stage: StageName, part: int = 0) -> dict[str, tuple[str, ...]]:
    """Rows of a part by their names, the first of a name."""
    _, made = sheets(job)
    found: dict[str, tuple[str, ...]] = {}
    for row in made[stage].parts[part].rows:
        found.setdefault(row.name, tuple(cell.words for cell in row.cells[1:]))
    return found


def heads_of(job: str, stage: StageName, part: int = 0) -> list[str]:
    _, made = sheets(job)
    return [column.head for column in made[stage].parts[part].columns]


def test_a_support_that_begins_two_bays_has_two_rows_and_one_flag() -> None:
    """The partition of the ring begins at P5."""
    _, made = sheets("ridge_ring")
    part = made["layout"].parts[0]
    flag, to = heads_of("ridge_ring", "layout").index("flag"), heads_of("ridge_ring", "layout").index("bay to")
    rows = [row for row in part.rows if row.name == "P5"]
    assert [(row.cells[flag].words, row.cells[to].words) for row in rows] == [("✓", "P6"), ("", "P21")]
    assert [heads_of("ridge_ring", "layout", n)[0] for n in (1, 2)] == ["line", "gate"]
    assert rows_of("ridge_ring", "layout", 2)["upper"] == ("P2 and P3", "4' 2\"", "✓")


def test_each_brace_names_its_post_which_is_asked_once_what_is_its_own() -> None:
    heads = heads_of("ridge_ring", "bracing")
    assert heads == ["brace", "toward", "wanted", "foot out", "solid", "band", "held", "plumb", "length", "push", "uplift", "pinned"]
    _, made = sheets("ridge_ring")
    rows = {row.name: row for row in made["bracing"].parts[0].rows if row.subject == "P11"}
    assert list(rows) == ["P11 a", "P11 b"]
    assert [[rows[name].cells[heads.index(head)].words for head in ("held", "plumb", "pinned")] for name in rows] == [
        ["·", "✓", "·"],
        [""] * 3,
    ]


def test_a_post_that_is_only_pinned_has_a_row() -> None:
    assert rows_of("willow_bend", "bracing")["P12"] == (*[""] * 10, "·")


def test_a_tree_says_how_thick_and_a_wall_asks_for_its_eyes_alone() -> None:
    assert heads_of("ridge_ring", "posts")[:8] == ["post", "stands in", "wanted", "driven", "solid", "plumb", "eyes", "pinned"]
    rows = rows_of("ridge_ring", "posts")
    assert rows["P9"][:7] == ("ash", 'at least 6"', '6"', "", "", "✓", "")
    assert rows["P1"][:7] == ("sleeve", '30"', '30"', "✓", "✓", "✓", "·")
    assert rows_of("willow_bend", "posts")["P1"][:6] == ("house", "", "", "", "", "·")


def test_an_old_sleeve_says_what_becomes_of_it() -> None:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=30)
    job = edits.move_post(job, "P4", datetime(2026, 4, 15, 9, 0, tzinfo=UTC), BY, along_ft=2)
    part = sheet_of("posts", job, walk(job)).parts[1]
    assert [column.head for column in part.columns] == ["old sleeve", "why", "where", "what becomes of it", "done"]
    (row,) = part.rows
    assert [cell.words for cell in row.cells] == ["P4", "post moved", "at 43' 9\" of back", "comes out, its hole filled", "·"]


def test_a_loop_says_from_where_to_where_and_in_which_bay_its_sag_is_read() -> None:
    assert heads_of("alder_row", "cables") == ["loop", "from", "to", "cut to", "cut", "closed", "sag in", "sag wanted", "sag", "tail"]
    row = rows_of("alder_row", "cables")["L2"]
    assert (row[0], row[1], row[4], row[5], row[8]) == ("P3", "P5", "✓", "P4-P5", "✓")


def test_infill_stands_below_the_loops_with_its_bay_ticked_once() -> None:
    assert heads_of("willow_bend", "fabric")[:5] == ["loop", "wire to cut", "hung", "apron", "slits"]
    (row,) = rows_of("willow_bend", "fabric", 1).items()
    assert (row[0], row[1][0], row[1][-2:]) == ("P11-P12", "I1", ("strip 1", "·"))


def test_a_check_is_blank_at_the_gate_that_is_not_asked_it() -> None:
    assert heads_of("two_leaves", "gate") == ["check", "G1", "G2"]
    rows = rows_of("two_leaves", "gate")
    assert list(rows) == [
        "opening", "first diagonal", "other diagonal", "leaf 1, first diagonal", "leaf 1, other diagonal", "leaf 2, first diagonal",
        "leaf 2, other diagonal", "two people to hang it", "hinge side plumb", "hung and adjusted", "swings clear", "latch holds",
        "drop rod's sleeve flush", "drop rod holds", "hooks hold it open", "bottom gap",
    ]  # fmt: skip
    assert (rows["first diagonal"], rows["leaf 2, first diagonal"], rows["opening"]) == (("", "·"), ("·", ""), ("·", "·"))
    assert (rows_of("two_leaves", "gate", 1)["uprights"][0][:5], rows_of("two_leaves", "gate", 1)["uprights"][1][:5]) == ("4 of ", "2 of ")
    assert walk(two_leaves()).gate.gates["G1"].leaves[0].stile_ft == walk(two_leaves()).gate.gates["G1"].leaves[1].stile_ft


def test_a_finding_of_a_gate_stands_at_the_check_that_settles_it() -> None:
    _, made = sheets("ridge_ring")
    told = {row.name: row.finding.code for row in made["gate"].parts[0].rows if row.finding}
    assert told == {"hung and adjusted": "gate_on_slope", "bottom gap": "gate_gap_lets_dog_out"}


def test_a_question_is_told_the_notice_s_finding() -> None:
    job = Job()
    told = {row.subject: row.finding for row in sheet_of("survey", job, walk(job)).rows() if row.finding}
    assert {finding.code for finding in told.values()} <= {"notice_not_called", "no_dogs"}
    by_name = {row.name: row.finding.code for row in sheet_of("survey", job, walk(job)).rows() if row.finding}
    assert by_name["Utility marks called for"] == "notice_not_called"


def test_ways_out_stand_on_top_then_what_is_left_then_the_closing_walk() -> None:
    _, made = sheets("ridge_ring")
    ways, left, closing = made["punch"].parts
    heads = ["way out", "how big", "what closes it", "on the truck?", "place, with two tapes", "smallest dog"]
    assert [column.head for column in ways.columns] == heads
    assert [(row.name, row.jump) for row in ways.rows] == [("under gate middle", Jump("gate", "middle"))]
    assert [row.finding.level for row in left.rows if row.finding] == ["stop", "fix", "fix", "fix"]
    lift = next(row for row in left.rows if row.finding and row.finding.code == "post_lifted")
    assert lift.jump is not None
    assert (lift.jump.stage, lift.jump.subject, lift.jump.finding) == ("bracing", "P18", lift.finding.key if lift.finding else None)
    assert [row.cells[1].words for row in closing.rows] == ["·"] * 6


def test_open_items_of_one_thing_and_of_one_kind_are_one_row() -> None:
    _, made = sheets("willow_bend")
    rows = {row.cells[1].words: row for row in made["punch"].parts[0].rows}
    assert rows["P2: flag set, and 11 more"].jump == Jump("layout", "P2", item_key("layout.P2.flag"))
    assert rows["P2: sleeve driven, depth, and 3 more"].jump == Jump("posts", "P2", item_key("posts.P2.driven_depth"))


def test_every_stage_with_open_items_is_left_and_a_loop_asks_four_things_and_all_once_more() -> None:
    """25 of the loops: cut, closed, sag and tail of each of six, then round again."""
    _, made = sheets("willow_bend")
    rows = [row for row in made["punch"].parts[0].rows if row.finding is None]
    stages = ["survey", "layout", "sleeves and posts", "bracing", "cable loops", "wire and mesh", "staking", "gate"]
    assert list(dict.fromkeys(row.cells[0].words for row in rows)) == stages
    loops = [row.cells[1].words.partition(", and ")[2].partition(" more")[0] for row in rows if row.cells[0].words == "cable loops"]
    assert sum(1 + int(more or 0) for more in loops) == 25


def test_a_signed_job_with_nothing_left_has_the_closing_walk_alone() -> None:
    """Signed before posts were pinned, feet held and loops read again: with all done since, nothing is left."""
    job = edits.reopen(others()["alder_row"], "posts pinned, feet held, loops read again", AT, BY)
    for item in (*walk(job).bracing.items, *walk(job).cables.items):
        if item.key.what in ("pinned", "footed", "round_again"):
            job = edits.tick(job, item.key, AT, BY)
    assert [[column.head for column in part.columns] for part in sheet_of("punch", job, walk(job)).parts] == [["closing walk", "done"]]
