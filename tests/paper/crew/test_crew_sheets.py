"""The crew's page: whole, harmless whatever a name holds, each section under a head that says what it is of, the same bytes each time."""

import re
import xml.etree.ElementTree as ET
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import format_ft_in
from engine.findings import STAGES
from engine.guide import cautions
from engine.job.file.store import starter
from engine.job.model.job import Job
from engine.paper.crew.crew_sheets import NO_PLAN, crew_html
from engine.paper.crew.cut_lists import cut_lists
from engine.paper.load_list import load_list
from engine.paper.markup import markdown
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said
from tests.bench.big_job import big_job
from tests.demo import accepted, demo, others
from tests.paper.test_record_page import HOSTILE, HTML, hostile, words
from tests.paper.test_record_tables import worked
from tests.sheets.test_stage_sheets import two_leaves
from tests.stages.layout.test_layout_robust import odd_job

PLANNED = "as planned on 11/24/2026 from revision 12"
JOBS = {
    "empty": Job(), "new": starter("new"), "surveyed": demo(), "planned": accepted(), "worked": worked(), **others(), "pair": two_leaves(),
    "big": big_job(),
}  # fmt: skip
SHEETS = [
    "1 survey", "2 layout", "3 sleeves and posts", "4 bracing", "5 cable loops", "6 wire and mesh", "7 staking", "8 gate", "9 punch list",
]  # fmt: skip


@cache
def page(name: str) -> ET.Element:
    """The page of a job, as an XML reader sees it."""
    return ET.fromstring(crew_html(JOBS[name], walk(JOBS[name]), PLANNED))


def sections(name: str) -> dict[str, ET.Element]:
    """Every section by the title in its head."""
    found = [table for table in page(name).iter(f"{HTML}table") if table.get("class") == "page"]
    return {words(next(table.iter(f"{HTML}b"))): table for table in found}


@pytest.mark.parametrize("name", ["planned", "worked", "big", "pair"])
def test_sections_stand_in_the_order_of_the_work(name: str) -> None:
    assert list(sections(name)) == ["Before you start", "Load list", "Set-out", "Cut lists", *SHEETS, "Otherwise than planned"]


def test_a_job_that_is_only_begun_has_no_lists_but_a_field_book() -> None:
    assert list(sections("new")) == ["Before you start", "1 survey", "9 punch list", "Otherwise than planned"]


@pytest.mark.parametrize("name", JOBS)
def test_every_section_says_on_each_page_which_job_day_and_version_it_is_of(name: str) -> None:
    """A printer repeats the head of a table on every page that the table runs over."""
    job = JOBS[name]
    for table in sections(name).values():
        head, body = table
        assert (head.tag, body.tag) == (f"{HTML}thead", f"{HTML}tbody")
        said = words(head)
        assert PLANNED in said
        assert all(part in said for part in (job.job.number, job.job.title, *job.job.crew))
        assert (NO_PLAN in said) == (not walk(job).layout.accepted)
    if name == "surveyed":
        assert "The L-shaped house at the bend" in words(head)
        assert "for 4/14/2026" in words(head)


def test_the_first_page_tells_the_notice_what_stops_and_every_caution() -> None:
    said = words(sections("ridge_ring")["Before you start"])
    assert (
        "Utility notice: ticket invented-0520; called 5/12/2026; nothing is driven before 5/15/2026; marks expire 6/9/2026; marks seen."
        in said
    )
    assert 'These stop the job There is up to 8 1/4" under gate middle' in said
    for stage in STAGES:
        for part in markdown(cautions(stage)):
            assert words(ET.fromstring(part)) in said
    assert "no ticket; not called; MARKS NOT SEEN." in words(sections("empty")["Before you start"])


def test_the_load_list_says_pieces_and_packs() -> None:
    rows = [[words(cell) for cell in row] for row in sections("planned")["Load list"].iter(f"{HTML}tr")]
    assert ["", "18", "one-way cable lock", "25 locks in 1 pack of 25; 6 needed", "1 pack loaded"] in rows
    listed = load_list(accepted(), walk(accepted()).takeoff).rows
    assert [row[1] for row in rows if len(row) == 5 and row[1].isdigit()] == [f"{one.place}" for one in listed]


@pytest.mark.parametrize("name", ["planned", "worked", "pair", "big"])
def test_every_piece_to_cut_is_listed(name: str) -> None:
    job = JOBS[name]
    rows = [tuple(words(cell) for cell in row) for row in sections(name)["Cut lists"].iter(f"{HTML}tr")]
    pieces = [(one.name, one.use, format_ft_in(one.length_ft)) for of in cut_lists(job, walk(job)) for one in of.pieces]
    assert [row[2:5] for row in rows if len(row) == 6 and row[4] != "length"] == pieces


def test_plans_state_their_scale() -> None:
    captions = [words(one) for one in sections("big")["Set-out"].iter(f"{HTML}figcaption")]
    assert captions[0] == "Plan, 1 in = 100 ft: The site"
    assert {one.partition(":")[0] for one in captions[1:]} == {"Plan, 1 in = 25 ft", "Plan, 1 in = 30 ft"}
    assert [words(one) for one in sections("planned")["Set-out"].iter(f"{HTML}figcaption")] == ["Plan, 1 in = 25 ft: The site"]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_is_fetched_and_nothing_runs(name: str) -> None:
    text = crew_html(JOBS[name], walk(JOBS[name]), PLANNED)
    bare = text.replace('xmlns="http://www.w3.org/1999/xhtml"', "").replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert re.findall(r"https?://|//[a-z]|@import|url\((?!#)", bare) == []
    tags = {child.tag.rpartition("}")[2] for child in page(name).iter()}
    assert tags & {"script", "link", "img", "iframe", "object", "use", "a", "form", "input"} == set()
    assert [key for child in page(name).iter() for key in child.attrib if key.startswith("on") or key in ("href", "src", "style")] == []
    assert {"None", "nan", "inf"} & set(words(page(name)).split()) == set()


def test_markup_in_names_and_notes_is_shown_as_text() -> None:
    job = hostile()
    text = crew_html(job, walk(job), PLANNED)
    assert "<script" not in text
    assert "<img" not in text
    assert text.count("</style>") == 1
    assert "\u202e" not in text
    assert HOSTILE.replace("\u202e", "\\u202e") in words(ET.fromstring(text))


@pytest.mark.parametrize("name", JOBS)
def test_no_table_has_a_row_of_another_width(name: str) -> None:
    for table in page(name).iter(f"{HTML}table"):
        rows = [row for part in table for row in part if row.get("class") != "group"]
        assert len({len(row) for row in rows}) == 1


def test_the_same_job_gives_the_same_bytes() -> None:
    assert crew_html(worked(), walk(worked()), PLANNED) == crew_html(worked(), walk(worked()), PLANNED)


def test_an_estimate_says_so_on_every_page_and_loads_by_what_was_said() -> None:
    job = said(PHONE)
    found = ET.fromstring(crew_html(job, walk(job), PLANNED))
    heads = [words(one) for one in found.iter(f"{HTML}thead") if one.find(f".//{HTML}b") is not None]
    assert heads
    assert all("An estimate by what was said: nothing is surveyed yet." in head for head in heads)
    text = words(found)
    assert "140 ft (126 to 154) of fence, 5' 0\" high, both ends at the house, 1 corner, a 5 ft gate." in text
    assert "7 to 8 posts" in text
    assert '0" along the ground' not in text


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6))
def test_no_job_is_too_odd(seed: int) -> None:
    job = odd_job(seed)
    said = words(ET.fromstring(crew_html(job, walk(job), PLANNED)))
    assert {"None", "nan", "inf"} & set(said.split()) == set()
