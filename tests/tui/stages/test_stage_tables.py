"""Figures of all nine stages: whole rows, ids that can be chosen, plain words, and the numbers that the walk holds."""

import re

import pytest

from engine.findings import STAGES, StageName
from engine.job.edit import edits
from engine.job.file.store import starter
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.sheets.stage_sheets import sheet_of
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted, demo, others
from tests.stages.flat_yards import ring
from tests.stages.yards import build, half_surveyed, plain, sloping
from tui.stages import PURPOSES, figures, find
from tui.stages.figure_tables import table
from tui.widgets.figures import FigureColumn, FigureRow, Figures

NO_WORDS = re.compile(r"\b(nan|inf|None|True|False)\b|<|Decimal|e[-+]\d")


def two_leaves() -> Job:
    return build(gates={"G1": {"line": "fence", "station_ft": 75, "leaf_width_ft": 5, "leaves": 2}})


def worked() -> Job:
    job = edits.move_post(accepted(), "P6", AT, BY, along_ft=2, out_ft=1, why="rock")
    return edits.tick(job, item_key("posts.P4.driven_depth"), AT, BY, reading_in=14)


JOBS = {
    **{"empty": Job(), "starter": starter("new"), "demo": demo(), "worked": worked(), "plain": plain()},
    **{"two leaves": two_leaves(), "sloping": sloping(), "half surveyed": half_surveyed(), "ring": ring()},
    **others(),
}


def shown(job: Job, stage: StageName) -> dict[str, Figures]:
    return {found.title: found for found in figures(stage, job, walk(job))}


def cells(job: Job, stage: StageName, title: str, thing: str) -> tuple[str, ...]:
    return next(row.cells for row in shown(job, stage)[title].rows if row.id == thing)


def in_sheet(job: Job, stage: StageName, thing: str) -> tuple[str, ...]:
    """The words of a thing's first row in the sheet, which holds what is worked by."""
    return tuple(cell.words for cell in next(row for row in sheet_of(stage, job, walk(job)).rows() if row.subject == thing).cells)


def built_by(job: Job) -> dict[str, str]:
    """The sizes to build the first gate by, as its sheet has them."""
    return {row.cells[0].words: row.cells[1].words for row in sheet_of("gate", job, walk(job)).rows()}


def things(job: Job, walked: Walk) -> set[str]:
    """Every id that the walk knows."""
    found = {*walked.layout.supports, *walked.layout.bays, *walked.cables.loops, *walked.gate.gates, *walked.survey.points, *job.shots}
    found |= {*walked.survey.lines, *walked.survey.yards, *(row.stock for row in walked.takeoff.rows), "job"}
    return found | {leg.id for pull in walked.bracing.pulls.values() for leg in pull.legs}


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", JOBS)
def test_rows_are_as_wide_as_their_columns_and_hold_plain_words(name: str, stage: StageName) -> None:
    for found in figures(stage, JOBS[name], walk(JOBS[name])):
        assert found.title
        assert {len(row.cells) for row in found.rows} <= {len(found.columns)}
        words = [found.title, found.note, *(column.name for column in found.columns), *(cell for row in found.rows for cell in row.cells)]
        assert [text for text in words if NO_WORDS.search(text)] == []


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", JOBS)
def test_what_can_be_chosen_is_in_the_walk(name: str, stage: StageName) -> None:
    job, walked = JOBS[name], walk(JOBS[name])
    chosen = {row.id for found in figures(stage, job, walked) for row in found.rows} - {""}
    assert chosen <= things(job, walked)


def test_every_stage_has_a_purpose_in_one_sentence_and_the_demo_has_figures_in_each() -> None:
    assert tuple(PURPOSES) == STAGES
    assert all(purpose.endswith(".") and purpose.count(".") == 1 for purpose in PURPOSES.values())
    assert [stage for stage in STAGES if not figures(stage, demo(), walk(demo()))] == []


def test_a_table_with_nothing_in_it_is_not_shown() -> None:
    assert all(found.rows or found.note for stage in STAGES for found in figures(stage, starter("new"), walk(starter("new"))))
    assert "Legs that close" not in shown(demo(), "survey")


def test_a_table_from_words() -> None:
    found = table("Bays", "<bay|length|<", [("P1-P2", "P1-P2", "16' 0\"", "ok")], "Limit 25'.")
    columns = (FigureColumn("bay", "left"), FigureColumn("length", "right"), FigureColumn("", "left"))
    assert found == Figures("Bays", columns, (FigureRow("P1-P2", ("P1-P2", "16' 0\"", "ok")),), "Limit 25'.")


def test_the_survey_of_the_demo() -> None:
    assert cells(demo(), "survey", "Lines", "back")[2] == "12"
    assert cells(demo(), "survey", "Lines", "back")[3] == "5' 7 1/4\""
    assert cells(demo(), "survey", "Yards", "back")[:2] == ("back yard", "yes")
    assert cells(demo(), "survey", "Points", "H") == ("H", "90' 0\"", '0"', "known", "known")
    assert cells(demo(), "survey", "Paced against measured", "B")[2] == "125' 0\""


def test_the_layout_of_the_demo() -> None:
    rows = sheet_of("layout", accepted(), walk(accepted())).parts[0].rows
    assert [row.subject for row in rows] == [f"P{number}" for number in range(1, 17)]
    assert (in_sheet(accepted(), "layout", "P7")[1], in_sheet(accepted(), "layout", "P9")[1]) == ("oak", "corner")
    assert in_sheet(accepted(), "layout", "P2")[1:3] == ("gate", "16' 0\"")
    assert in_sheet(accepted(), "layout", "P6")[4:7] == ("82' 5 1/2\" A", "101' 10 3/4\" B", "16' 10 7/8\" M")
    assert cells(demo(), "layout", "Bays", "P2-P3") == ("P2-P3", "5' 2\"", "5' 2\"", '-7/8"', "gate side")
    assert cells(demo(), "layout", "Bays", "P1-P2")[4] == ""


def test_a_bay_over_the_limit_says_by_how_much() -> None:
    long = edits.drop_post(accepted(), "P14", AT, BY)
    assert cells(long, "layout", "Bays", "P13-P15")[4] == "9' 4\" over"


def test_posts_bracing_and_loops_of_the_demo() -> None:
    assert in_sheet(worked(), "posts", "P4")[:4] == ("P4", "sleeve", '15 to 30"', '14" !')
    assert in_sheet(demo(), "posts", "P7")[1:5] == ("oak", 'at least 6"', "·", "")
    assert in_sheet(demo(), "posts", "P7")[9] == ""
    assert "12 driven, 2 on trees, 2 on structures, 0 on plates." in shown(demo(), "posts")["What they stand in"].note
    assert cells(demo(), "bracing", "Pull on supports", "P12")[4:7] == ("coldest day, wire hung", "up 9 lb", "up 15 lb")
    assert cells(demo(), "bracing", "Gate posts under their leaf", "P2")[1:7] == ("side", "27 lb", "18 lb", "205 %", "229 %", "23 %")
    assert [row.id for row in shown(demo(), "bracing")["Braces"].rows] == ["P2", "P3", "P9", "P9"]
    assert cells(demo(), "cables", "Loops", "L1")[:5] == ("L1", "P1", "P2", "16' 0\"", "39' 5 1/2\"")
    assert [row.cells[1] for row in shown(demo(), "cables")["Spools"].rows] == ["L4 L3 L6 L2 L1", "L5"]
    assert shown(demo(), "cables")["Spools"].note == "No plan needs fewer."


def test_why_a_sleeve_is_not_to_be_driven() -> None:
    data = demo().model_dump(exclude_none=True)
    unseen = Job.model_validate({**data, "utility_notice": {**data["utility_notice"], "marks_seen": False}})
    why = walk(unseen).posts.work["P4"].why_not
    assert "marks" in why
    assert in_sheet(unseen, "posts", "P4")[-1] == why


def test_fabric_stakes_and_gate_of_the_demo() -> None:
    assert cells(demo(), "fabric", "Apron along each bay", "P11-P12")[4] == "short"
    assert [row.cells[0] for row in shown(demo(), "fabric")["Wire rolls"].rows] == ["1", "2", "3"]
    stakes = in_sheet(demo(), "staking", "P1-P2")
    assert (stakes[1], len(stakes[-1].split(", ")), stakes[-1].split(", ")[0]) == ("7", 7, '0"')
    assert shown(demo(), "staking")["Stakes"].note == f"{walk(demo()).staking.total} stakes and {walk(demo()).staking.spare} spare."
    gate = built_by(demo())
    assert (gate["opening wanted"], gate["uprights"], gate["rails"]) == ("5' 2\"", "2 of 5' 6 5/8\"", "2 of 4' 8 5/8\"")
    assert (gate["both diagonals"], gate["screws"], gate["clear width"]) == ("7' 8 3/16\"", "16", '59 5/8"')
    hung = {row.cells[0]: row.cells[1] for row in shown(demo(), "gate")["Gate side: hang and swing"].rows}
    assert (hung["swing left"], hung["largest bottom gap"]) == ('2"', '2 7/8"')


def test_two_leaves_are_told_apart() -> None:
    whats = [row.cells[0] for row in shown(two_leaves(), "gate")["Gate G1: hang and swing"].rows]
    assert ("swing left, leaf 1" in whats, "swing left, leaf 2" in whats, "swing left" in whats) == (True, True, False)
    assert built_by(two_leaves())["rails"].startswith("4 of ")


def test_the_closing_walk_of_the_demo() -> None:
    assert shown(demo(), "punch")["Ways out, yard by yard"].note == "Nowhere that the figures show. Walk it all the same."
    assert cells(worked(), "punch", "Changed from the plan", "P6") == ("P6", "moved", "2' 2 7/8\"")


def test_finding_things_by_id_and_by_words() -> None:
    job = edits.note(accepted(), "Soft ground by the gate.", AT, BY)
    hits = find(job, walk(job), "p7")
    assert (hits[0].stage, hits[0].subject, hits[0].key) == ("layout", "P7", None)
    assert {hit.subject for hit in find(job, walk(job), "OAK")} >= {"P7"}
    assert ("posts", "P7", item_key("posts.P7.diameter")) in {(hit.stage, hit.subject, hit.key) for hit in hits}
    assert [hit.words for hit in find(job, walk(job), "soft ground")] == ["log: Soft ground by the gate."]
    assert find(job, walk(job), "no such thing") == []
    assert find(Job(), walk(Job()), "p7") == []


def test_at_most_two_hundred_things_are_found_and_each_leads_somewhere() -> None:
    job, walked = accepted(), walk(accepted())
    hits = find(job, walked, "")
    assert len(hits) == 200
    keys = {line.item.key for checklist in walked.checklists.values() for line in checklist.lines}
    assert {hit.key for hit in hits} - {None} <= keys
