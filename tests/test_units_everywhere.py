"""All that is printed of a job in metres holds no foot, pound or mile, and of a job in feet no metre: jobs of all kinds, every sheet, page,
finding, table, preview and form."""

import csv
import html
import io
import random
import re
from collections.abc import Callable, Iterator
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.ahead.side_by_side import side_by_side
from engine.calc.units import FEET_INCHES, METRES, Units, in_hand, in_units, metric
from engine.change.consequences import consequences
from engine.change.suggestions import suggestions
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Words
from engine.findings import STAGES
from engine.guide import care, guide
from engine.job.edit import edits
from engine.job.edit.first_talk import with_first_talk
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.stock_table import first_rows
from engine.job.model.words.log_sentences import sentence
from engine.paper.ahead.compared_layouts import compared, sentences
from engine.paper.client.client_page import client_html
from engine.paper.crew.crew_sheets import crew_html
from engine.paper.load_list import load_text, load_texts
from engine.paper.plan.plan_json import SENTENCES, plan
from engine.paper.plan.readable_plan import readable_plan
from engine.paper.record_office import printed_tables, record_text, sheet_tables, table_text
from engine.paper.record_page import record_html
from engine.paper.tables.csv_tables import record_csv, record_markdown
from engine.sheets.stage_sheets import sheet_of
from engine.stages.layout.stage import planned_posts
from engine.walk import Walk, walk
from tests.demo import AT, BY, demo, others
from tests.stages.flat_yards import ring
from tests.stages.layout.test_layout_robust import odd_job
from tests.stages.yards import build, half_surveyed, plain, sloping
from tests.test_remembering import edited
from tui.entry.form_values import first_texts, hint_of, placeholder_of, read_back_of, records, summary, texts_of
from tui.entry.forms import FORMS, Field, Form
from tui.stages import PURPOSES, figures, find
from tui.stages.cards import card_of

IMPERIAL = re.compile(
    r"(?<![A-Za-z\d])\d[\d./]*(?: ?\"|'(?!s\b))(?! of\b)"
    r"|\d (?:ft|feet|foot(?! [ab]:)|in|inch|inches|mph|lbf?|psi|psf|plf|yd|sq ft)\b(?! \d)|°F"
    r"|\b(?:inch(?:es)?|pounds?|few feet|several feet|feet of)\b"
    r"|\b(?:east|north) ft\b|_(?:ft|in|lbf?|mph|psi|F)\b|\((?:lbf?|mph|psi|psf|F|lb/ft)\)"
)
METRIC = re.compile(
    r"\d (?:m|cm|mm|km|kg|N|kN|km/h|MPa|sq m)\b|°C|\b(?:centi)?metres?\b|\bkilograms\b"
    r"|\b(?:east|north) m\b|_(?:m|cm|kg)\b|\((?:N|kg|km/h|MPa|kg/m)\)"
)
BEARING = re.compile(r"\d+°\d\d'\d\d\"")
WRONG = {METRES: IMPERIAL, FEET_INCHES: METRIC}


def in_its(job: Job, units: Units) -> Job:
    """The job in these units, with the stock that a new one in them has."""
    stock = {**first_rows(units), **({} if units == METRES else job.stock)}
    return job.model_copy(update={"job": job.job.model_copy(update={"units": units}), "stock": stock})


def surveyed(job: Job) -> Job:
    return job.model_copy(update={"posts": planned_posts(walk(job).layout)})


def at_work(job: Job, seed: int = 1, count: int = 12) -> Job:
    """The job with its plan accepted, some of its items ticked and read, posts moved and rocks found."""
    rng, job = random.Random(seed), surveyed(job)
    for _ in range(count if job.posts and job.trees else 0):
        job = edited(job, rng)
    return job


def jumping() -> Job:
    """Two leaves, a jumping dog, weak cable pulled too hard in a hard wind: findings of many codes."""
    changed = {
        "fence": {"height_ft": 7},
        "gates": {"G1": {"line": "fence", "station_ft": 75, "leaf_width_ft": 5, "leaves": 2}},
        "dogs": {"rex": {"count": 2, "weight_lb": 120, "shoulder_in": 28, "body_in": 36, "jumps": True, "digs": True}},
        "rules": {
            "cables": {"tension_lbf": 300, "wind_mph": 140, "ice_in": 0.5, "pull_read": "hung weight", "set_F": 10, "cold_F": 20},
            "layout": {"bay_max_ft": 40, "bay_min_ft": 30},
        },
    }
    return build(**changed)


def told_on_the_phone() -> Job:
    return with_first_talk(Job(), {"length": "140 ft", "gates": "5 ft, 14 ft", "ends": "house, tree"})


JOBS: dict[str, Callable[[], Job]] = {
    "demo": demo, "at work": lambda: at_work(demo()), "plain": plain, "sloping": lambda: at_work(sloping()),
    "ring": lambda: surveyed(ring()), "half surveyed": half_surveyed, "on the phone": told_on_the_phone,
    "jumping": lambda: surveyed(jumping()), "empty": Job,
    **{name: (lambda name=name: others()[name]) for name in others()},
}  # fmt: skip


def own_words(job: Job) -> list[str]:
    """What people wrote into the file with lengths in it, and sentences that were sealed in the words of their day."""
    found: set[str] = set()

    def gather(value: object) -> None:
        if isinstance(value, dict | list | tuple):
            for inner in value.values() if isinstance(value, dict) else value:
                gather(inner)
        elif isinstance(value, str) and WRONG[job.job.units].search(value):
            found.add(value)

    gather(job.model_dump(mode="json", exclude_none=True))
    return sorted(found, key=len, reverse=True)


def printed(job: Job) -> Iterator[tuple[str, str]]:
    """All that is printed of a job, with what printed it."""
    worked = walk(job)
    yield "findings", "\n".join(f"{one.says} {one.do} {' '.join(words for _, words in one.each)}" for one in worked.findings)
    yield "plan", readable_plan(job, worked)
    yield "record", record_text(job, worked)
    yield "record page", record_html(job, worked)
    yield "client's page", client_html(job, worked)
    yield "record in Markdown", record_markdown(job, worked)
    yield "crew sheets", crew_html(job, worked, "as planned")
    yield "load list", load_text(job, worked.takeoff)
    for name, text in {**record_csv(job, worked), **load_texts(job, worked.takeoff)}.items():
        yield f"{name}.csv", "\n".join(" | ".join(row) for row in csv.reader(io.StringIO(text, newline="")))
    yield "tables on the screen", "\n".join(map(table_text, (*printed_tables(job, worked), *sheet_tables(job, worked))))
    yield "sentences of the JSON", "\n".join(_sentences(plan(worked, (), job)))
    with in_units(job.job.units):
        yield from _on_screen(job, worked)


def _sentences(told: object) -> Iterator[str]:
    if isinstance(told, dict):
        for key, inner in told.items():
            if isinstance(inner, str) and key in SENTENCES:
                yield inner
            yield from _sentences(inner)
    elif isinstance(told, list):
        for inner in told:
            yield from _sentences(inner)


def _on_screen(job: Job, worked: Walk) -> Iterator[tuple[str, str]]:
    for stage in STAGES:
        rows = sheet_of(stage, job, worked)
        yield f"sheet of {stage}", "\n".join(" | ".join(cell.words for cell in row.cells) for row in rows.rows())
        yield f"heads of {stage}", " | ".join(column.head for part in rows.parts for column in part.columns)
        for line in worked.checklists[stage].lines:
            reading, tells = line.item.reading, line.item.tells
            means = " ".join(f"{tells.words(value)} {tells.short(value)}" for value in (0.1, 1, 4, 30, 900)) if tells else ""
            yield f"item of {stage}", f"{line.item.says} {reading.range_words if reading else ''} {means}"
        for table in figures(stage, job, worked):
            cells = (" | ".join(row.cells) for row in table.rows)
            yield f"figures of {stage}", "\n".join((table.title, table.note, *(column.name for column in table.columns), *cells))
        yield f"guide of {stage}", guide(stage)
        yield f"purpose of {stage}", PURPOSES[stage]
    yield "care", care()
    yield "found", "\n".join(hit.words for hit in find(job, worked, ""))
    yield "log", "\n".join(map(sentence, job.log))
    for name in (*worked.layout.supports, *worked.layout.bays, *worked.cables.loops, *worked.gate.gates):
        card = card_of(job, worked, name)
        yield f"card of {name}", "" if card is None else f"{card.title} {card.cautions} {card.lines}"
    for drawing in (plan_shapes(job, worked), *(profile_shapes(worked, line) for line in worked.layout.lines)):
        if drawing is not None:
            yield "drawing", "\n".join((*drawing.says, *(shape.text for shape in drawing.shapes if isinstance(shape, Words))))
    if worked.layout.supports:
        found = side_by_side(job)
        yield "layouts side by side", "\n".join((table_text(compared(found)), *sentences(found)))
    yield from _forms(job)
    yield from _previews(job, worked)


def _forms(job: Job) -> Iterator[tuple[str, str]]:
    for form in FORMS:
        told = {"": first_texts(form, job), **{name: texts_of(form, name, row) for name, row in records(form, job).items()}}
        boxes = [texts[field.key] or placeholder_of(form, field, name) for name, texts in told.items() for field in form.fields]
        lines = (*(_field(form, field) for field in form.fields), *(summary(form, row) for row in records(form, job).values()), *boxes)
        yield f"form {form.kind}", "\n".join((form.hint, *lines)).replace("feet-inches", "")


def _field(form: Form, field: Field) -> str:
    """What is said of a field; that metres are read too where feet are in force is no slip."""
    back, hint = read_back_of(form, field, date(2026, 5, 4)), hint_of(form, field)
    hint = hint if metric() else re.sub(r"Like [^;]*; a bare", "A bare", hint)
    return f"{field.label} {hint} {back('12') if back else ''} {back('') if back else ''}"


def _previews(job: Job, worked: Walk) -> Iterator[tuple[str, str]]:
    for post in list(job.posts)[:6]:
        try:
            after = edits.move_post(job, post, AT, BY, along_ft=1.5, out_ft=0.5)
        except EditRefused as error:
            yield "refused", error.says
            continue
        told = consequences(worked, walk(after))
        lines = [f"{one.what} {one.before} {one.after}" for one in told.changes]
        findings = [*told.appear, *told.go, *(one for both in told.changed for one in both[:2])]
        yield f"moving {post}", "\n".join((*lines, *(f"{one.says} {one.do}" for one in findings)))
        yield f"suggestions for {post}", "\n".join(one.reason for one in suggestions(job, worked, post, AT))


def wrong(job: Job) -> list[str]:
    own, found = own_words(job), []
    in_hand(job.job.units)
    for name, text in printed(job):
        body = html.unescape(re.sub(r"<style>.*?</style>|<[^>]*>", " ", text, flags=re.S)) if name.endswith(("page", "sheets")) else text
        body = BEARING.sub("", body)
        for words in own:
            body = body.replace(words, "~")
        for hit in WRONG[job.job.units].finditer(body):
            found.append(f"{name}: ...{body[max(0, hit.start() - 70) : hit.end() + 30]}".replace("\n", " "))
    return list(dict.fromkeys(found))


@pytest.mark.parametrize("units", [METRES, FEET_INCHES])
@pytest.mark.parametrize("name", JOBS)
def test_nothing_that_is_printed_is_in_other_units_than_the_job(name: str, units: Units) -> None:
    assert wrong(in_its(JOBS[name](), units)) == []


@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**6), units=st.sampled_from([METRES, FEET_INCHES]))
def test_nothing_that_is_printed_of_a_job_with_something_of_everything_is(seed: int, units: Units) -> None:
    assert wrong(in_its(odd_job(seed), units)) == []


@settings(max_examples=4, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_nothing_that_is_printed_after_any_edits_is(seed: int) -> None:
    assert wrong(in_its(at_work(demo(), seed), METRES)) == []
