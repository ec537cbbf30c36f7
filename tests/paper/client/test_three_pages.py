"""Three pages at most whatever a job holds: its parts share the room, what stops a job is counted always, what is cut is said."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.plan_shapes import plan_shapes
from engine.job.model.job import Job
from engine.job.model.signed_record import LeftSleeve
from engine.paper.client.client_page import ClientPages, client_html, client_pages
from engine.paper.client.page_breaks import last_page
from engine.paper.client.paper_heights import CELL_PT, LETTERS_PT, LINE, PAGE_HIGH_PT, SMALL_LINE, SMALL_PT, line_count
from engine.paper.client.shared_room import cut_to, shared
from engine.paper.drawings.drawing_sheet import PX_PER_IN
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.markup import element
from engine.walk import walk
from tests.demo import AT
from tests.paper.client.test_client_page import jobs, rows_of
from tests.paper.client.worst_jobs import GATES, NOTES, SAID, SLEEVES, STOPS, firm, worst
from tests.paper.test_record_page import HTML, words

LINES_A_PAGE = 62
"""Of the smallest letters, 8 1/2 pt on 11 1/2: 9.86 in between the margins of letter."""
LETTERS_A_LINE = 100
"""Of the smallest letters, as wide as they usually are, on A4."""

BESIDES = {"p": 0.25, "li": 0.0, "tr": 0.35, "h2": 1.5, "h3": 0.6, "footer": 1.0}
"""Lines that an element takes besides those of its words."""


WORST = ("all", "metres", "warranty by the line", "no firm")


@cache
def worst_pages(name: str) -> ClientPages:
    match name:
        case "all":
            return pages_of(worst(), firm())
        case "metres":
            return pages_of(worst("metres"), firm(lines=5))
        case "warranty by the line":
            return pages_of(worst(says=150, reasons=80), firm(60, lines=100))
        case _:
            return pages_of(worst(reasons=0), None)


@pytest.mark.parametrize("name", WORST)
def test_nothing_that_a_file_allows_makes_a_fourth_page(name: str) -> None:
    pages = worst_pages(name)
    assert pages.letters == 0.9
    assert pages.after_from_pt < PAGE_HIGH_PT
    assert pages.sheet.height_px > 1.8 * PX_PER_IN
    assert last_page(pages.after, pages.after_from_pt, pages.letters) == 3
    assert lines_of(pages.after) < (2 + 1 - pages.after_from_pt / PAGE_HIGH_PT) * LINES_A_PAGE


def pages_of(job: Job, who: FirmOnPage | None = None) -> ClientPages:
    worked_out = walk(job)
    return client_pages(job, worked_out, plan_shapes(job, worked_out), who)


def lines_of(markup: str) -> float:
    """Lines by letters alone; care notes stand in two columns, in smaller letters."""
    body = ET.fromstring(f"<body>{markup}</body>")
    care = {id(part) for div in body.iter("div") if div.get("class") == "care" for part in div.iter()}
    lines = 0.0
    for part in (part for part in body.iter() if part.tag in BESIDES):
        letters = LETTERS_A_LINE / 2 if id(part) in care else LETTERS_A_LINE
        high = ceil(len("".join(part.itertext())) / letters) + BESIDES[part.tag]
        lines += 0.46 * high if id(part) in care else high
    return lines


@pytest.mark.parametrize("name", WORST)
def test_what_is_left_out_is_counted_and_what_stops_a_job_is_said_on_the_first_page(name: str) -> None:
    pages = worst_pages(name)
    after = ET.fromstring(f"<body>{pages.after}</body>")
    told = words(after)
    for markup in pages.head, pages.after:
        assert f"{STOPS} things that stop the job were open when it was accepted." in markup
    first = ["".join(row[0].itertext()) for row in after.iter("tr")]
    gates, sleeves = (sum(cell.startswith(start) for cell in first) for start in ("gate", "S"))
    gates -= 1  # the head of the column
    assert gates > 1
    assert sleeves > 0
    left = GATES + 1 - gates
    assert f"And {left} more {'gate' if left == 1 else 'gates'}: the office's record lists {'it' if left == 1 else 'them'}." in told
    assert f"And {SLEEVES - sleeves} more sleeves: the office's record has the tapes to them." in told
    points = [int(found) for found in re.findall(r"(\d+)\. Between P4 and P5", told)]
    assert points[0] == 1
    stops = sum(point <= STOPS for point in points)
    assert stops > 2
    assert f"And {STOPS - stops} more of them: the office's record lists them." in told
    assert re.search(rf"(And \d\d more|{NOTES}) notes: the office's record lists them\.", told)
    assert "and in full what ends in ... here" in told
    assert ("The reasons that were given for leaving these open stand in the office's record." in told) is (name != "no firm")


def test_letters_get_smaller_before_anything_is_left_out() -> None:
    job = jobs()["done"]
    assert job.record is not None
    letters = []
    for count in (0, 25, 34, 49):
        there = {f"S{n}": LeftSleeve(what="post moved", at=AT, tie_a=f"{n}' 0\" from A", tie_b="9' 0\" from B") for n in range(count)}
        more = job.model_copy(update={"record": job.record.model_copy(update={"sleeves_left": there})})
        pages = pages_of(more)
        letters.append(pages.letters)
        assert ("..." in pages.after) is (count == 49)
        assert ("more sleeves" in pages.after) is (count == 49)
    assert letters == [1.0, 0.95, 0.9, 0.9]


def test_the_sleeves_nearest_to_a_gate_or_a_wall_come_first_and_those_of_unknown_place_last() -> None:
    job = jobs()["done"]
    assert job.record is not None
    gate = job.record.supports[next(iter(job.record.gates.values())).hinge_post]
    east, north = gate.east_ft, gate.north_ft
    away = {"lost": None, "far": 40.0, "near": 1.0, "next": 4.0}
    there = {
        name: LeftSleeve(what="post moved", at=AT, east_ft=None if ft is None else east - ft, north_ft=None if ft is None else north)
        for name, ft in away.items()
    }
    left = job.model_copy(update={"record": job.record.model_copy(update={"sleeves_left": there})})
    assert [row for row in rows_of(client_html(left, walk(left))) if row in away] == ["near", "next", "far", "lost"]


def test_the_page_is_in_the_letters_its_heights_are_worked_out_by() -> None:
    css = files("engine.paper.client").joinpath("client.css").read_text(encoding="utf-8")
    assert f"body {{ font-size: LETTERSpt; line-height: {LINE}; }}" in css
    (cell,) = re.findall(r"table \{ table-layout: fixed; font-size: ([.\d]+)em; line-height: 1.3; \}", css)
    assert float(cell) * LETTERS_PT <= CELL_PT
    for kind in ("care", "warranty p"):
        (small, line) = re.findall(rf"^\.{kind} {{.* font-size: ([.\d]+)em; line-height: ([.\d]+);", css, re.MULTILINE)[0]
        assert float(small) * LETTERS_PT <= SMALL_PT
        assert float(line) == SMALL_LINE
    assert re.findall(r"\d(px|pt)", css) == []
    root = ET.fromstring(client_html(jobs()["done"], walk(jobs()["done"])))
    (style,) = (one.text or "" for one in root.iter(f"{HTML}style"))
    assert "body { font-size: 9.5pt" in style


HEIGHTS = st.lists(st.lists(st.floats(1, 90), max_size=12), min_size=1, max_size=5)


@given(lists=HEIGHTS, room_pt=st.floats(0, 900))
def test_lists_that_share_never_take_more_than_there_is_and_are_whole_where_all_fit(
    lists: Sequence[Sequence[float]], room_pt: float
) -> None:
    counts = shared(lists, [room_pt / len(lists)] * len(lists), room_pt)
    taken = sum(sum(heights[:count]) for heights, count in zip(lists, counts, strict=True))
    assert taken <= room_pt + 1e-6
    if sum(map(sum, lists)) < room_pt - 1e-6:
        assert counts == tuple(map(len, lists))
    for heights, count in zip(lists, counts, strict=True):
        assert count == len(heights) or taken + heights[count] > room_pt - 1e-6


@given(text=st.text(max_size=300), lines=st.integers(1, 4), wide_pt=st.floats(60, 500))
def test_cut_words_take_no_more_lines_than_they_may(text: str, lines: int, wide_pt: float) -> None:
    cut = cut_to(text, lines, wide_pt)
    assert line_count(cut, wide_pt) <= lines
    assert cut_to(cut, lines, wide_pt) == cut
    assert len(cut) == 0 or cut.endswith("...") or line_count(cut_to(text, 900, wide_pt), wide_pt) <= lines


def test_pieces_go_onto_the_next_page_with_what_they_stay_with() -> None:
    words = element("p", "one line")
    assert last_page(words, PAGE_HIGH_PT - 16.0) == 1
    assert last_page(words, PAGE_HIGH_PT - 15.0) == 2
    under_heading = element("section", element("h2", "Gates"), words)
    assert [last_page(under_heading, PAGE_HIGH_PT - left) for left in (48.0, 47.0)] == [1, 2]
    heads = element("thead", element("tr", element("th", "gate", style="width:100%")))
    rows = [element("tr", element("td", f"{n}")) for n in range(40)]
    table = element("table", heads, element("tbody", *rows))
    assert [last_page(table, PAGE_HIGH_PT - left) for left in (41 * 15.8 + 0.1, 41 * 15.8 - 0.1)] == [1, 2]


@given(more=st.integers(0, 30), from_pt=st.floats(0, PAGE_HIGH_PT), letters=st.sampled_from((1.0, 0.95, 0.9)))
def test_more_to_tell_never_ends_on_an_earlier_page(more: int, from_pt: float, letters: float) -> None:
    few = "".join(element("p", SAID) for _ in range(20))
    more_told = few + element("ul", *(element("li", SAID * 2) for _ in range(more)))
    assert last_page(few, from_pt, letters) <= last_page(more_told, from_pt, letters)
    assert last_page(more_told, from_pt, 0.9) <= last_page(more_told, from_pt, 1.0)
