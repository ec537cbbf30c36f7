"""The client's copy: every gate and every sleeve left on it, what was sealed and nothing else, and none of the crew's figures."""

import random
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from datetime import timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.length_words import tape_words
from engine.calc.lengths import format_ft_in
from engine.calc.units import in_units
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Mark
from engine.job.edit import edits
from engine.job.file.store import starter
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.people import Who
from engine.job.model.signed_record import LeftAsFound
from engine.paper.as_built import build_record
from engine.paper.client.client_page import client_html, client_pages
from engine.paper.client.page_breaks import last_page
from engine.paper.record_office import office_tables
from engine.paper.seal_check import UNKNOWN
from engine.paper.sealed_facts import drawn_walk, facts_to_print
from engine.walk import Walk, walk
from tests.bench.big_job import big_job
from tests.demo import AT, BY, accepted, demo, others
from tests.paper.test_record_page import HOSTILE, HTML, hostile, words
from tests.paper.test_record_tables import signed, worked
from tests.paper.test_sealed_facts import in_a_later_version, signed_off
from tests.repair.test_what_stands import fresh
from tests.stages.layout.test_layout_robust import odd_job
from tests.test_done_means_done import LATER, all_ticked, changed

FORCES = re.compile(r"\d\s*(lb|lbf|psf|psi|mph|plf|N|kN|kg|km/h|MPa)\b")
"""A pull, a load, a wind: none of them is for the client."""
CREW_TABLES = ("Cable loops", "Braces", "What gives first in wind", "Hours by stage", "Times", "Readings")
COUNTED = ("posts", "braces")
"""What the client may count."""


def in_metres(job: Job) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update={"units": "metres"})})


@cache
def jobs() -> dict[str, Job]:
    """Jobs of every state."""
    return {
        "empty": Job(),
        "new": starter("new"),
        "surveyed": demo(),
        "planned": accepted(),
        "worked": worked(),
        "signed": signed(),
        "done": signed_off(all_ticked(accepted())),
        "metres": signed_off(all_ticked(in_metres(accepted()))),
        "repair": fresh("willow_bend"),
        "big": big_job(4),
        **others(),
    }


@cache
def walked(name: str) -> Walk:
    return walk(jobs()[name])


@cache
def page(name: str) -> str:
    return client_html(jobs()[name], walked(name))


def said(text: str) -> str:
    """What a page says to its reader, its style aside."""
    return words(next(iter(ET.fromstring(text).iter(f"{HTML}body"))))


def rows_of(text: str) -> dict[str, list[str]]:
    """The rows of a page's tables by their first cells."""
    rows = ([words(cell) for cell in row.iter(f"{HTML}td")] for row in ET.fromstring(text).iter(f"{HTML}tr"))
    return {row[0]: row for row in rows if row}


def crew_figures(job: Job, worked_out: Walk) -> Iterator[str]:
    """Lengths and forces that only the crew works by, and what goes onto the truck."""
    for table in office_tables(job, worked_out):
        if table.title in CREW_TABLES:
            yield from (cell for row in table.rows for cell in row[table.keys :] if re.search(r"\d.*[^\d.]", cell))
        elif table.title == "Materials":
            cells = (cell for row in table.rows for cell in row[1:3] if cell)
            yield from (cell for cell in cells if not cell.endswith((*COUNTED, *(one[:-1] for one in COUNTED))))


def own_words(job: Job, worked_out: Walk) -> set[str]:
    """Lengths the client is told: of gates, of sleeves, of the fence as a whole, and those the plan names."""
    record = facts_to_print(job, worked_out).record
    lengths = [*record.bays_ft.values(), sum(record.bays_ft.values()), *(gate.opening_ft or 0.0 for gate in record.gates.values())]
    return {format_ft_in(length_ft) for length_ft in lengths}


def holds(text: str, cell: str) -> bool:
    """Whether a page holds a figure as a whole."""
    return re.search(rf"(?<![\w.,/' -]){re.escape(cell)}(?![\w/])", text) is not None


@pytest.mark.parametrize("name", jobs())
def test_a_copy_holds_every_gate_and_every_sleeve_left_and_no_figure_of_the_crew(name: str) -> None:
    job, text = jobs()[name], said(page(name))
    record = facts_to_print(job, walked(name)).record
    assert FORCES.findall(text) == []
    assert [cell for cell in {*crew_figures(job, walked(name))} - own_words(job, walked(name)) if holds(text, cell)] == []
    assert {*job.gates, *record.sleeves_left} - {*rows_of(page(name))} == set()
    assert "..." not in text


@given(seed=st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_so_it_is_whatever_happened_on_the_job(seed: int) -> None:
    rng = random.Random(seed)
    odd = rng.random() < 0.3
    job = odd_job(seed) if odd else all_ticked(accepted()) if rng.random() < 0.5 else accepted()
    for _ in range(0 if odd else rng.randrange(4)):
        job = changed(job, rng)
    job = in_metres(job) if rng.random() < 0.3 else job
    job = signed_off(job) if rng.random() < 0.7 else job
    worked_out = walk(job)
    text = client_html(job, worked_out)
    pages = client_pages(job, worked_out, plan_shapes(job, worked_out))
    assert last_page(pages.after, pages.after_from_pt, pages.letters) <= 3
    assert FORCES.findall(said(text)) == []
    with in_units(job.job.units):
        kept = facts_to_print(job, worked_out).record
        tapes = [tape_words(tape) for left in kept.sleeves_left.values() for tape in (left.tie_a, left.tie_b) if tape]
    assert {*job.gates, *kept.sleeves_left} - {*rows_of(text)} == set()
    assert [tape for tape in tapes if tape not in said(text)] == []


@pytest.mark.parametrize("name", jobs())
def test_it_is_well_formed_fetches_nothing_and_is_the_same_each_time(name: str) -> None:
    text = page(name)
    assert client_html(jobs()[name], walked(name)) == text
    found = ET.fromstring(text)
    bare = text.replace('xmlns="http://www.w3.org/1999/xhtml"', "").replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert re.findall(r"https?://|//[a-z]|@import|url\((?!#)", bare) == []
    assert {one.tag.rpartition("}")[2] for one in found.iter()} & {"script", "link", "img", "iframe", "object", "use"} == set()
    assert {"None", "nan", "inf"} & set(said(text).split()) == set()
    headings = [words(heading) for heading in found.iter(f"{HTML}h2")]
    assert headings[:2] == ["Gates", "What stays in the ground"]
    assert headings[3:] == ["Care and cautions", "Whom to call", "Warranty"]


def test_markup_in_names_and_reasons_is_shown_as_text() -> None:
    job = hostile()
    job = edits.sign(job, build_record(job, walk(job), AT, HOSTILE, HOSTILE, {"punch_unfinished:job": HOSTILE}), AT, HOSTILE, HOSTILE)
    text = client_html(job, walk(job))
    ET.fromstring(text)
    assert "<script" not in text
    assert "<img" not in text
    assert "\u202e" not in text
    assert text.count("</style>") == 1
    assert said(text).count(HOSTILE.replace("\u202e", "\\u202e")) >= 6


# How it stands


def state(text: str) -> str:
    return next(words(one) for one in ET.fromstring(text).iter(f"{HTML}section") if "state" in one.attrib.get("class", ""))


def test_a_job_that_is_not_signed_says_so_plainly() -> None:
    assert state(page("worked")).startswith("Not signed yet. This copy shows the job as it stands in its file today.")
    assert "What is open today" in said(page("worked"))


def test_a_signed_job_says_who_signed_and_accepted_and_whether_the_file_is_that_still() -> None:
    job = signed()
    whole = state(client_html(job, walk(job), seal_holds=True))
    says = "Signed 2026-04-15 16:05 by Mo Teal, accepted by the client. Nothing in the file has changed since."
    assert whole == f'{says}1 thing that stops the job was open when it was accepted. "What was accepted" tells.', "nothing is hung yet"
    broken = state(client_html(job, walk(job), seal_holds=False, seal=('P4 driven depth: 22 1/2" when it was signed, 30" now.',)))
    assert 'The file was changed after it was signed. P4 driven depth: 22 1/2" when it was signed, 30" now. Stock, posts' in broken
    unknown = state(client_html(job, walk(job), seal_holds=False, seal=(UNKNOWN, "The record, supports P4, station: 4' in the record.")))
    assert "The file was changed after it was signed. Stock, posts, lengths, gates and sleeves are printed here as its record" in unknown
    assert "Ask us for the copy that was signed" in broken
    cut_out = state(client_html(worked(), walk(worked()), seal=("This job was signed off, and its record is gone.",)))
    assert cut_out.startswith("This job was signed once, and its record is gone from the file.")


def test_what_was_sealed_is_printed_whatever_a_later_version_works_out() -> None:
    job = jobs()["done"]
    assert job.record is not None
    gate = next(iter(job.record.gates))
    read = job.record.gates[gate].model_copy(update={"opening_ft": 5.25})
    sealed = job.model_copy(update={"record": job.record.model_copy(update={"gates": {**job.record.gates, gate: read}})})
    later = in_a_later_version(sealed)
    text = client_html(later, walk(later))
    assert rows_of(text)[gate][3] == "5' 3\", one leaf"
    assert f"{format_ft_in(sum(job.record.bays_ft.values()))} of fence along the ground" in said(text)
    drawn = plan_shapes(later, drawn_walk(walk(later), facts_to_print(later, walk(later)))).of(Mark, "post")
    assert {mark.id for mark in drawn} == set(re.findall(r'data-post="([^"]+)"', text))


# What was accepted


def test_reasons_stand_by_what_they_are_for_and_the_work_itself_is_counted() -> None:
    job = others()["ridge_ring"]
    record = build_record(job, walk(job), LATER, BY, "the client", {
        "gate_gap_lets_dog_out:middle": "a strip comes on Monday", "punch_unfinished:job": "rain",
    })  # fmt: skip
    done = edits.sign(job, record, LATER, BY, "the client")
    text = said(client_html(done, walk(done)))
    assert f"Accepted by the client, {LATER:%Y-%m-%d}." in text
    assert "(judgement). Reason given: a strip comes on Monday" in text
    assert "Reason given: rain" in text
    assert "things of the work itself were open when it was accepted: the office's record tells." in text
    assert "stands loose" not in text


def test_what_stops_a_job_is_told_by_its_place_where_its_sentence_is_the_crew_s() -> None:
    job = signed()
    assert job.record is not None
    found = {"lean_too_hard:P4-P5:P5-P6": LeftAsFound(level="stop", says="A 300 lb lean pulls 900 lb.")}
    record = job.record.model_copy(update={"found_open": found, "left_open": {"lean_too_hard:P4-P5:P5-P6": "a post comes"}})
    text = said(client_html(job.model_copy(update={"record": record}), walk(job)))
    assert "Something that stops a job is open at P4-P5 and P5-P6: ask us what it is" in text
    assert "Reason given: a post comes" in text
    assert FORCES.findall(text) == []


def test_notes_are_told_by_whoever_told_the_client_without_the_crew_s_part() -> None:
    text = said(page("done"))
    assert "Known when it was signed; who told the client: Mo." in text
    assert "biscuit may get over even a 6' 0\" fence (judgement)." in text
    assert "Tell the client" not in text
    assert "And 5 more notes on the work itself: the office's record tells." in text


# Repairs, metres


def test_a_repair_names_the_job_before_it_and_says_where_its_record_is_not_what_was_signed() -> None:
    job = fresh("willow_bend")
    assert job.repair_of is not None
    text = said(client_html(job, walk(job)))
    assert f"This is a repair of {job.repair_of.called}, signed" in text
    assert "isn't what was signed any more" not in text
    lines = tuple(line.replace("accepted_by", "accepted_bye") for line in job.repair_of.text)
    other = job.model_copy(update={"repair_of": job.repair_of.model_copy(update={"text": lines})})
    assert "isn't what was signed any more" in said(client_html(other, walk(other)))


def test_a_job_in_metres_is_told_in_metres() -> None:
    text = said(page("metres"))
    assert "79.753 m of fence along the ground, gates included, 1.829 m high." in text
    assert "1:500 when printed at 100 %" in text
    assert re.findall(r"\d' |\d\"", text) == []


def test_a_job_without_anything_surveyed_prints_a_copy_all_the_same() -> None:
    text = said(page("new"))
    assert "Nothing is laid out yet." in text
    assert "No gate in this fence." in text


def test_a_gate_that_stands_on_no_yard_opens_to_a_side() -> None:
    job = accepted()
    without = job.model_copy(update={"yards": {}, "dogs": {}, "job": Who(title="no yard")})
    (row,) = rows_of(client_html(without, walk(without))).values()
    assert re.fullmatch(r"to the (left|right), walking from P\d+ to P\d+, not hung yet", row[4])


def test_a_gate_is_as_wide_as_it_was_read_or_as_its_posts_stand_and_never_as_it_was_wanted() -> None:
    job = edits.move_post(accepted(), "P2", AT, BY, along_ft=-1, why="roots")
    assert rows_of(client_html(job, walk(job)))["side"][3] == "6' 2\", one leaf"
    read = edits.tick(job, item_key("gate.side.opening"), AT + timedelta(hours=1), BY, reading_ft=6.0, note="roots")
    assert rows_of(client_html(read, walk(read)))["side"][3] == "6' 0\", one leaf"


def test_two_leaves_are_told_which_shuts_first() -> None:
    job = accepted()
    one = client_html(job, walk(job))
    assert rows_of(one)["side"][1:3] == ["P2 to P3", "16' 0\" along back"]
    assert (
        "Hinges are at the first post: swing the leaf to the second until the latch falls in. Pull on a gate after every latching"
        in said(one)
    )
    gates = {name: gate.model_copy(update={"leaves": 2, "leaf_width_ft": 2.5}) for name, gate in job.gates.items()}
    pair = said(client_html(two := job.model_copy(update={"gates": gates}), walk(two)))
    assert "Two leaves: first the one at the second post, drop its rod into the sleeve in the ground; then the one at the first" in pair
    assert "Hinges" not in pair


def test_a_sleeve_left_is_told_by_two_tapes_and_by_where_they_start() -> None:
    job = edits.move_post(all_ticked(accepted()), "P6", LATER, BY, along_ft=4, why="roots")
    done = signed_off(job)
    assert done.record is not None
    assert list(done.record.sleeves_left) == ["P6"]
    row = rows_of(client_html(done, walk(done)))["P6"]
    assert row[1:3] == ["82' 5 1/2\" from A and 101' 10 3/4\" from B", "83' 0\" of back"]
    assert "Hold the tapes at the places the plan names: A is the north-west house corner; B is the south end of the wing." in said(
        client_html(done, walk(done))
    )


def test_the_day_and_the_people_are_the_job_s_own() -> None:
    job = signed_off(all_ticked(accepted()))
    assert f"Signed {LATER + timedelta(days=1):%Y-%m-%d %H:%M} by {BY}" in state(client_html(job, walk(job)))
