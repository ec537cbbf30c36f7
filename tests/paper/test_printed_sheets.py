"""The sheets in the record: nothing that was ticked, read, said or changed since is lost, and a page has room for them."""

import random
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.checklist import ChecklistLine
from engine.findings import STAGES
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.paper.as_built import asked_when_signed
from engine.paper.built_tables import TIMES, was_words
from engine.paper.printed_sheets import LONG_LETTERS, PAGE_LETTERS, SIGNS, PrintedSheet, printed_sheets
from engine.paper.record_office import office_tables, printed_tables, record_text, sheet_tables
from engine.paper.record_page import record_html
from engine.sheets.sheet import answer_words
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo, others
from tests.paper.test_sealed_facts import signed_off
from tests.sheets.test_stage_sheets import JOBS, MADE, half_ticked
from tests.stages.yards import build
from tests.test_done_means_done import all_ticked, changed

LATER = AT + timedelta(days=300)


def by_stage(job: Job, room: int | None = None) -> dict[str, PrintedSheet]:
    return {sheet.stage: sheet for sheet in printed_sheets(job, walk(job), room)}


def all_words(sheet: PrintedSheet) -> str:
    return "\n".join([cell for table in sheet.tables for row in table.rows for cell in row] + list(sheet.says))


def when(words: str, day: str) -> tuple[datetime, datetime]:
    """From when to when a row was ticked, as it is printed: `2026-03-09 08:02 to 08:38`, without a date where the sheet has one day."""
    first, _, last = words.partition(" to ")
    first = first if "-" in first else f"{day} {first}"
    last = last or first
    last = last if "-" in last else f"{first.split()[0]} {last}"
    start, end = (datetime.strptime(one, TIMES) for one in (first, last))
    return start, end


def lost(job: Job) -> list[str]:
    """What of a job's items isn't in its printed sheets."""
    found = []
    sheets = by_stage(job)
    for stage in STAGES:
        lines = walk(job).checklists[stage].lines
        if lines and stage not in sheets:
            found.append(f"{stage} isn't printed")
            continue
        for line in lines:
            found += [f"{line.item.key}: {what}" for what in _lost(job, sheets[stage], line)]
    return found


def _lost(job: Job, sheet: PrintedSheet, line: ChecklistLine) -> list[str]:
    said, tick = all_words(sheet), line.tick
    if not asked_when_signed(job, line) and line.was is None:
        return [] if any("Not open when it was signed" in words and line.item.says in words for words in sheet.says) else ["that it is new"]
    answer = answer_words(line) if asked_when_signed(job, line) else answer_words(line).strip("()")
    found = [] if answer in said else ["its answer"]
    if line.was is not None and was_words(line) not in said:
        found.append("what it was")
    if tick is None:
        return found
    at = datetime.strptime(f"{tick.at:{TIMES}}", TIMES)
    day = next((words.split(" on ")[1].split(".")[0] for words in sheet.says if words.startswith("All ") and " on " in words), "")
    rows = [dict(zip(table.columns, row, strict=True)) for table in sheet.tables if "ticked" in table.columns for row in table.rows]
    seen = [row for row in rows if row["ticked"] and when(row["ticked"], day)[0] <= at <= when(row["ticked"], day)[1]]
    found += [] if seen else ["when"]
    found += [] if any(tick.by in row.get("by", "").split(", ") for row in seen) or f"by {tick.by}" in said else ["by whom"]
    found += [] if tick.note in said else ["its note"]
    found += (
        [] if tick.state == "done" or any(line.item.says in words and "Not needed" in words for words in sheet.says) else ["its reason"]
    )
    out = line.passes is False and line.item.reading is not None
    found += [f"out of range: {line.item.says}"] if out and not any(line.item.says in words for words in sheet.says) else []
    return found


@pytest.mark.parametrize("name", [name for name in MADE if name != "big"])
def test_nothing_that_was_ticked_read_or_said_is_lost(name: str) -> None:
    assert lost(MADE[name]()) == []


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10**6))
def test_nothing_is_lost_of_half_a_job_that_changed_since(name: str, seed: int) -> None:
    rng = random.Random(seed)
    job = half_ticked(JOBS[name](), rng)
    for _ in range(rng.randint(0, 2)):
        job = changed(job, rng)
    assert lost(job) == []


def ticked(job: Job, key: str, by: str, minutes: int, **more: object) -> Job:
    item = walk(job).checklists[item_key(key).stage].by_key[item_key(key)].item  # type: ignore[index]  # a stage's name
    return edits.tick(job, item.key, AT + timedelta(minutes=minutes), by, of=item.of, **more)  # type: ignore[arg-type]  # readings, notes


def test_what_is_the_same_for_all_is_said_once_below() -> None:
    job = ticked(ticked(accepted(), "posts.P4.driven_depth", "Mo", 0, reading_in=30.0), "posts.P4.solid", "Mo", 7)
    sheet = by_stage(job)["posts"]
    assert sheet.tables[0].columns[-1] == "ticked"
    assert {row[0]: row[-1] for row in sheet.tables[0].rows if row[-1]} == {"P4": "09:30 to 09:37"}
    assert sheet.says == ('All by Mo on 2026-04-14. In range: driven 15" to 30".',)


def test_two_people_and_two_days_are_told_row_by_row() -> None:
    job = ticked(ticked(accepted(), "posts.P4.solid", "Mo", 0), "posts.P4.plumb", "Teal", 7)
    job = ticked(job, "posts.P5.solid", "Teal", 24 * 60)
    sheet = by_stage(job)["posts"]
    assert sheet.tables[0].columns[-2:] == ("ticked", "by")
    told = {row[0]: row[-2:] for row in sheet.tables[0].rows if row[-1]}
    assert told == {"P4": ("2026-04-14 09:30 to 09:37", "Mo, Teal"), "P5": ("2026-04-15 09:30", "Teal")}
    assert not any(words.startswith("All") for words in sheet.says)


def test_reasons_notes_and_what_was_before_stand_below_the_sheet() -> None:
    job = ticked(accepted(), "posts.P4.driven_depth", BY, 0, reading_in=30.0)
    job = ticked(job, "posts.P5.driven_depth", BY, 1, reading_in=14.0, note="rock")
    job = ticked(job, "posts.P5.solid", BY, 2, note="leans on the rock")
    job = ticked(job, "posts.P8.plumb", BY, 3, needed=False, note="client's own post")
    job = ticked(job, "posts.P9.plumb", BY, 4, needed=False, note="client's own post")
    job = edits.move_post(job, "P4", LATER, BY, along_ft=2)
    assert by_stage(job)["posts"].says[1:] == (
        "Not needed (client's own post): P8: post plumb both ways; P9: post plumb both ways.",
        'P4: sleeve driven, depth: 30" was read at its old place, 2026-04-14 09:30 by Mo Teal.',
        'P5: sleeve driven, depth: 14" was read, 15" to 30" is wanted: rock',
        "P5: sleeve solid: leans on the rock",
    )


def test_what_passes_is_said_where_no_column_says_it() -> None:
    said = {stage: sheet.says[0] for stage, sheet in by_stage(others()["ridge_ring"]).items() if sheet.says}
    assert said["bracing"].endswith("In range: foot out 4' 6\" to 5' 6\".")
    assert said["cables"] == "In range: cut what is wanted, or up to 1' 0\" more."
    assert 'opening within 1/2" of what is wanted; first diagonal within 1/4" of what is wanted' in said["gate"]
    assert said["gate"].endswith('bottom gap 0" to 3".')


def test_a_signed_job_prints_the_ticks_it_was_signed_with() -> None:
    """A later version asks for another height of eyes: the ticks stand as they were sealed, and a line says that they weren't open then."""
    signed = signed_off(all_ticked(accepted()))
    higher = signed.model_copy(update={"fence": signed.fence.model_copy(update={"height_ft": 5.0})})
    eyes = item_key("posts.P2.eyes")
    assert walk(higher).checklists["posts"].by_key[eyes].was is not None
    sheet = by_stage(higher)["posts"]
    row = dict(zip(sheet.tables[0].columns, next(row for row in sheet.tables[0].rows if row[0] == "P2"), strict=True))
    assert (row["eyes"], row["solid"]) == ("✓", "✓")
    later = next(words for words in sheet.says if words.startswith("Not open when it was signed: "))
    assert walk(higher).checklists["posts"].by_key[eyes].item.says in later
    assert "(✓)" not in all_words(sheet)


def test_an_item_that_nobody_asked_at_sign_off_is_blank() -> None:
    signed = signed_off(all_ticked(accepted()))
    key = ItemKey("posts", "P2", "plumb")
    without = signed.model_copy(update={"checks": {one: tick for one, tick in signed.checks.items() if one != key}})
    sheet = by_stage(without)["posts"]
    row = dict(zip(sheet.tables[0].columns, next(row for row in sheet.tables[0].rows if row[0] == "P2"), strict=True))
    assert (row["plumb"], row["eyes"]) == ("", "✓")
    assert "Not open when it was signed: P2: post plumb both ways." in sheet.says


def test_the_record_says_of_the_sheets_what_is_sealed_and_what_is_worked_out() -> None:
    job = others()["alder_row"]
    sealed = next(table for table in printed_tables(job, walk(job)) if table.title == "Sealed or worked out")
    assert dict(sealed.rows)["Checklist"].startswith("as ticked; lengths in the names of items, and what passes, worked out")
    assert "Readings" not in dict(sealed.rows)


def test_programs_read_a_row_an_item_and_people_the_sheets() -> None:
    job = others()["ridge_ring"]
    walked = walk(job)
    items = sum(len(checklist.lines) for checklist in walked.checklists.values())
    programs = {table.title: table for table in office_tables(job, walked)}
    assert len(programs["Checklist"].rows) == items
    assert {"Readings", "Checklist"} & {table.title for table in printed_tables(job, walked)} == set()
    ticks = sum(len(table.rows) for sheet in printed_sheets(job, walked) for table in sheet.tables if "shot" not in table.columns)
    assert ticks < 0.7 * items


def test_the_text_has_the_sheets_under_their_stages_and_explains_the_signs_once() -> None:
    lines = record_text(accepted(), walk(accepted())).splitlines()
    assert lines.count(SIGNS) == 1
    at = lines.index("Checklist: bracing")
    assert lines[at + 2].split()[:5] == ["brace", "toward", "wanted", "foot", "out"]
    assert lines[at + 3].split()[:2] == ["P2", "P1"]
    assert not any(line.endswith(" ") for line in lines)
    empty = record_text(Job(), walk(Job())).splitlines()
    assert "Checklist: survey" in empty
    assert "Checklist: posts" not in empty


def test_a_brace_is_named_whole_on_paper() -> None:
    assert [row[0] for row in by_stage(demo())["bracing"].tables[0].rows] == ["P2", "P3", "P9 a", "P9 b", "P12"]


def test_the_screen_shows_the_same_as_tables_with_titles() -> None:
    job, walked = accepted(), walk(accepted())
    titles = [table.title for table in (*printed_tables(job, walked), *sheet_tables(job, walked))]
    assert titles[-3:] == ["Gate: to build", "Gate: notes", "Punch list: closing walk"]
    assert len(titles) == len(set(titles))


def wide(row: tuple[str, ...], long: int) -> int:
    """Letters of a row with two a column between, of long words only so many."""
    return sum(min(len(cell), long) + 2 for cell in row)


def test_what_gives_way_does_so_on_a_page_and_gates_that_are_too_many_stand_below_each_other() -> None:
    gates = {f"gate{n}": {"line": "fence", "station_ft": 8 + 6 * n, "leaf_width_ft": 3} for n in range(16)}
    job = build(gates=gates, points={**{f"far{n}": {"east_ft": 500, "north_ft": n} for n in range(2)}, **_house()})
    whole, paged = by_stage(job), by_stage(job, PAGE_LETTERS)
    assert len(whole["gate"].tables) == 2
    asked = [table for table in paged["gate"].tables if table.columns[0] == "check"]
    assert len(asked) > 1
    assert [head for table in asked for head in table.columns[1:]] == list(whole["gate"].tables[0].columns[1:])
    assert {tuple(row[0] for row in table.rows) for table in asked} == {tuple(row[0] for row in whole["gate"].tables[0].rows)}
    for sheet in paged.values():
        for table in sheet.tables:
            assert max(wide(row, LONG_LETTERS + 40) for row in table.rows) <= PAGE_LETTERS + 30
    heads = paged["layout"].tables[0].columns
    assert {"post", "flag", "taped"} <= set(heads)


def _house() -> dict[str, dict[str, float]]:
    return {
        name: {"east_ft": east, "north_ft": north}
        for name, (east, north) in (("A", (0, 0)), ("B", (40, 0)), ("C", (40, -30)), ("D", (0, -30)))
    }


def test_the_page_has_one_line_of_signs_and_every_sheet() -> None:
    job = others()["ridge_ring"]
    page = record_html(job, walk(job))
    assert page.count(SIGNS) == 1
    assert page.count('<table class="ticks">') == sum(len(sheet.tables) for sheet in printed_sheets(job, walk(job), PAGE_LETTERS))
