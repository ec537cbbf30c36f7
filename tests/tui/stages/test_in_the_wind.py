"""What a lead reads of wind and ice: on the card of a post, in the strip's figure, below the cables, in the record."""

from engine.job.model.job import Job
from engine.paper.gives_table import gives_table
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.stages.flat_yards import posts, straight
from tui.stages import figures
from tui.stages.in_the_wind import loop_wind_lines, support_wind


def fence(**cables: float) -> Job:
    return straight(60.0, posts=posts("n", 0, 25, 45, 60), rules={"cables": cables})


def lines(job: Job, name: str) -> list[tuple[str, str, str]]:
    return [(line.label, line.says, line.role) for line in support_wind(job, walk(job), name)]


def test_a_card_says_what_gives_first_at_what_wind_and_what_next() -> None:
    first, then = lines(fence(wind_mph=100), "P2")
    assert first == ("wind", "post bends at 68 mph (one bay alone 90); 100 is the rule", "fix")
    assert then == ("then", "sleeve lies over at 125 mph", "")
    assert lines(fence(), "P1")[0] == ("wind", "brace foot gives without wind", "fix")
    assert lines(fence(wind_mph=30), "P2") == [("wind", "holds to 45 mph", "")]
    assert lines(fence(wind_mph=0), "P2") == []


def test_the_sheet_of_posts_and_the_record_say_the_same() -> None:
    job = fence()
    walked = walk(job)
    part = sheet_of("posts", job, walked).parts[0]
    at = [column.head for column in part.columns].index("first in wind")
    assert [row.cells[at].words for row in part.rows[:2]] == ["brace foot, without wind", "post, 68 mph"]
    rows = {row[0]: row for row in gives_table(job, walked).rows}
    assert rows["P2"] == ("P2", "post bends at 68 mph (one bay alone 90)", "90 mph, not held", "sleeve lies over at 125 mph")


def test_loops_are_told_between_both_ways_that_a_gust_may_come() -> None:
    walked = walk(fence())
    (loop,) = walked.cables.loops
    all_bays, alone, out = (line.says for line in loop_wind_lines(walked, loop, 90.0))
    assert all_bays.startswith("90 mph, all bays blown: top 1")
    assert alone.startswith("90 mph, P1-P2 alone: top 1")
    assert out.endswith(" in P1-P2")


def test_ice_has_a_table_where_the_rules_give_some_and_its_lack_is_said() -> None:
    bare, iced = (fence(ice_in=ice_in) for ice_in in (0.0, 0.25))
    titles = [found.title for found in figures("cables", iced, walk(iced))]
    assert 'Iced, 1/4" by the map' in titles
    assert not [found for found in figures("cables", bare, walk(bare)) if found.title.startswith("Iced")]
    (note,) = (found.note for found in figures("cables", bare, walk(bare)) if found.title == "What gives first in wind")
    assert note.startswith("No ice is counted, for the rules give none.")
