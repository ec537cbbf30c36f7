"""The record as one page that an office files: drawings, tables, log, checklist and care notes; nothing is fetched, nothing runs."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.resources import files
from typing import NamedTuple

from engine import __version__
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.force_words import weight_words
from engine.calc.length_words import area_words, round_length_words, said_in_units
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted
from engine.calc.units import in_its_units
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Drawing
from engine.findings import TITLES, StageName
from engine.guide import care, cautions
from engine.job.errors import shown
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.paper.ahead.compared_layouts import CONSIDERED
from engine.paper.ahead.estimate_tables import MATERIALS
from engine.paper.ahead.estimate_tables import TITLE as ESTIMATED
from engine.paper.ahead.hours_tables import OWN_HOURS
from engine.paper.as_built import done_with_other, fence_built
from engine.paper.built_tables import NOTHING_NEW, TIMES, Table, stands
from engine.paper.drawings.drawing_sheet import PlanSheet, sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.drawings.profile_drawing import ProfileStrip, profile_strips
from engine.paper.drawings.shown_posts import plan_caption, strip_caption
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.firm.firm_head import SIGN_HERE, firm_head, firm_style, signatures
from engine.paper.gives_table import TITLE as GIVES
from engine.paper.markup import element, escaped, markdown, whole_page
from engine.paper.photos.named_photos import TITLE as PHOTOS
from engine.paper.photos.photos_on_page import PhotoOnPage, photo_parts, photo_style
from engine.paper.printed_sheets import PAGE_LETTERS, SIGNS, PrintedSheet, printed_sheets
from engine.paper.record_office import CHANGED, OTHERWISE, SEALED, printed_tables
from engine.paper.repair_work import TITLE as DONE_HERE
from engine.paper.sealed_facts import drawn_walk, facts_to_print
from engine.paper.written_files import NOT_SAVED, unsaved_words
from engine.sheets.sheet import OPEN, OUT_OF_RANGE
from engine.stages.survey.stage import YardArea
from engine.walk import Walk

CAUTIONS_OF: tuple[StageName, ...] = ("survey", "layout", "posts", "gate", "punch")
"""Stages whose cautions matter to whoever works near the fence later."""
FIRST = (
    CHANGED, ESTIMATED, f"{ESTIMATED} in figures", MATERIALS, "Left open", "Notes known at sign-off", DONE_HERE, "Changed from the plan",
    "Log",
)  # fmt: skip
THEN = (
    "Supports", "Known places", "Plan against built", "Sleeves left in the ground", "Bays", "Cable loops", "Braces", GIVES, CONSIDERED,
    "Gates", "Materials", "Times", OWN_HOURS, SEALED, OTHERWISE,
)  # fmt: skip
"""Tables before and after the drawings; the readings stand in the sheets."""
HEADINGS = {"Log": "What happened, in order"}
WORDS = {
    "Known places": "Where the tapes start: feet east and north of the survey's origin, and tapes between them to tell each by.",
    "Supports": "Tape from both known places to stand on a post again, or on a sleeve once the post is gone.",
    "Plan against built": "Feet east and north of the survey's origin, as planned and where they stand or are to stand.",
    "Sleeves left in the ground": "Where a post came out and its sleeve stayed: filled, and marked here for whoever digs.",
    "Cable loops": "Cable as it was read when it was cut, or else as worked out; wire and mesh are the lengths to cut.",
    GIVES: "A gust, without a factor, every bay of a loop blown alike; no ice unless the rules ask for it. Guidance; local code decides.",
    OWN_HOURS: "From one tick to the next, times the people on the crew. The first tick of a day and what follows a break aren't timed.",
    OTHERWISE: "The record prints what was sealed. This is what the program that wrote the page makes of the same file.",
    "Materials": "Used counts what the ticked work took.",
}
FOOT = f"Written by Linewalk {escaped(__version__)} from the job file."
SIDES = "Each line from its right side. All strips of a line are at one scale, along it and up."
CLOSE_FT_PER_IN = 30
"""A site drawn smaller than this gets a plan of each line as well."""
FOOT_LETTERS = 60
"""Of the job's name at the foot of a page: it doesn't run into the number of the page."""
SHORT = 22
"""Cells of up to so many letters stay on one line."""


@in_its_units
def record_html(
    job: Job,
    walk: Walk,
    seal_holds: bool | None = None,
    seal_says: str = "",
    seal: Sequence[str] = (),
    photos: Sequence[PhotoOnPage] = (),
    firm: FirmOnPage | None = None,
    unsaved: bool = False,
) -> str:
    """The whole record as one page; it prints on US letter and A4, and is well-formed XML, too. All text of the job is escaped; all times
    are the job's own, so that the same file gives the same page."""
    tables = {table.title: table for table in printed_tables(job, walk, seal)}
    parts = (
        *_sections(tables, FIRST),
        *_drawings(job, walk, seal),
        *((PagePart(PHOTOS, photo_parts(photos)),) if photos else ()),
        *_sections(tables, THEN),
        _stages(tables["Times"], printed_sheets(job, walk, PAGE_LETTERS)),
        *_for_the_client(),
    )
    head = _head(job, walk, tables, _state(job, walk, tables, seal_holds, seal_says, unsaved))
    sections = (_section(at, part) for at, part in enumerate(parts, 1))
    body = (firm_head(firm), *head, _contents(parts), *sections, signatures(*SIGN_HERE), element("footer", FOOT))
    style, pictures = style_of(job) + firm_style() + photo_style(photos), bool(photos or (firm and firm.logo))
    return whole_page(f"{_kind(job, walk)}: {title_of(job)}", style, body, pictures=pictures)


class PagePart(NamedTuple):
    """A part of the page: its heading, that the list of contents leads to, and what stands under it, markup already."""

    heading: str
    inside: tuple[str, ...]
    class_: str | None = None


def _contents(parts: Sequence[PagePart]) -> str:
    links = (element("li", element("a", escaped(part.heading), href=f"#part-{at}")) for at, part in enumerate(parts, 1))
    return element("nav", element("p", "On this page", class_="kind"), element("ol", *links), class_="contents")


def _section(at: int, part: PagePart) -> str:
    return element("section", element("h2", escaped(part.heading), id=f"part-{at}"), *part.inside, class_=part.class_)


def title_of(job: Job) -> str:
    """What a job is called on its pages."""
    return " ".join(part for part in (job.job.number, job.job.title) if part) or "a job without a name"


def _kind(job: Job, walk: Walk) -> str:
    return "Estimate of a fence, nothing surveyed yet" if rests_on_it(job, walk) else "Fence record"


def style_of(job: Job) -> str:
    """The style sheet, with the job's name at the foot of every printed page, spelled in a way that no name can leave."""
    sheet = files("engine.paper").joinpath("record.css").read_text(encoding="utf-8")
    name = "".join(
        letter if letter.isascii() and letter.isalnum() else f"\\{ord(letter):x} " for letter in shown(title_of(job), FOOT_LETTERS)
    )
    return sheet.replace("JOB-NAME", name)


def _head(job: Job, walk: Walk, tables: dict[str, Table], state: str) -> Iterator[str]:
    yield element("header", element("p", _kind(job, walk), class_="kind"), element("h1", escaped(title_of(job))))
    yield state
    facts = [row for row in tables["What was built"].rows if row[0] not in ("job", "state", "seal")]
    named = (*facts, *figures_of(job, walk))
    parts = (element("div", element("dt", escaped(name)), element("dd", escaped(says))) for name, says in named)
    yield element("dl", *parts, class_="facts")


def _state(job: Job, walk: Walk, tables: dict[str, Table], seal_holds: bool | None, seal_says: str, unsaved: bool) -> str:
    signed = job.record
    not_saved = element("p", element("strong", NOT_SAVED), f" {unsaved_words(job)}") if unsaved else ""
    if signed is None:
        plan = "" if walk.layout.accepted else " No plan is accepted: what is drawn and listed is a proposal."
        plan = " Nothing is surveyed yet: what is listed is an estimate by what was said." if rests_on_it(job, walk) else plan
        shows = "" if unsaved else " This page shows the job as it stands in its file."
        words = element("p", element("strong", "Not signed off."), f"{shows}{plan}")
        return element("section", not_saved, words, class_=f"state {'broken' if unsaved else 'open'}")
    who = f"Signed off {signed.signed_at:{TIMES}} by {signed.signed_by}, accepted by {signed.accepted_by}."
    kept = "broken" if unsaved else "unknown" if seal_holds is None else "holds" if seal_holds else "broken"
    lines = [not_saved, element("p", element("strong", escaped(who)))]
    lines += [] if unsaved else [element("p", escaped(seal_says or "The file wasn't checked against what was signed."))]
    if otherwise := len(tables[OTHERWISE].rows):
        figures = counted(otherwise, "figure")
        broken = seal_holds is False
        printed = "Printed as the file's record has it." if broken else "Printed as sealed."
        by = " by the file as it is now" if broken else ""
        lines.append(element("p", f"{printed} Linewalk {escaped(__version__)} would work out {figures} otherwise{by}: listed below."))
    if signed.digest:
        lines.append(element("p", "Seal ", element("code", escaped(signed.digest)), class_="seal"))
    return element("section", *lines, class_=f"state {kept}")


def figures_of(job: Job, walk: Walk) -> Iterator[tuple[str, str]]:
    """What the job comes to, each with its name."""
    record = facts_to_print(job, walk).record
    posts = {name: built for name, built in record.supports.items() if built.support == "driven"}
    standing = sum(stands(walk, name, built) for name, built in posts.items())
    post_words = counted(len(posts), "post") + ("" if standing == len(posts) else f", {standing} standing")
    stock, fence, others = stock_of(job.stock), fence_built(job), done_with_other(job, walk)
    cable = stock[fence.cable].name if fence.cable in stock else fence.cable
    again = f"; what was done with {' and '.join(others)} wasn't done again" if others else ""
    if job.repair_of is not None:
        yield "repair of", f"{job.repair_of.called}, signed off {job.repair_of.signed_at:{TIMES}}"
    if job.job.planned_for:
        yield "planned for", f"{job.job.planned_for:%Y-%m-%d}"
    yield "fence", f"{format_ft_in(fence.height_ft)} high, on {cable}{again}"
    if not rests_on_it(job, walk):
        yield "length", f"{format_ft_in(sum(record.bays_ft.values()))} along the ground, gates included"
        yield "supports", f"{post_words}, {len(record.supports) - len(posts)} on trees or walls, {counted(len(record.braces), 'brace')}"
    if walk.survey.yards:
        yield "yards", "; ".join(f"{job.yards[name].name or name}: {_area(area)}" for name, area in walk.survey.yards.items())
    if job.dogs:
        yield "dogs", "; ".join(_dog(name, job) for name in job.dogs)
    if job.utility_notice.ticket:
        yield "utility notice", f"{job.utility_notice.ticket}, marks {'seen' if job.utility_notice.marks_seen else 'not seen'}"


def _area(area: YardArea) -> str:
    return f"{area_words(area.area_ft2)}, {round_length_words(area.perimeter_ft)} round" if area.closed else "doesn't close"


def _dog(name: str, job: Job) -> str:
    dog = job.dogs[name]
    habits = ", ".join(habit for habit in ("jumps", "climbs", "digs", "chews") if getattr(dog, habit))
    return f"{dog.count} x {name}, {weight_words(dog.weight_lb)}{', ' + habits if habits else ''}"


def _drawings(job: Job, walk: Walk, seal: Sequence[str]) -> Iterator[PagePart]:
    plan = plan_shapes(job, drawn_walk(walk, facts_to_print(job, walk)))
    if seal:
        plan = replace(plan, says=("Changed since it was signed",))
    yield PagePart("Plan", _plan(plan, sheet_of(plan)), "sheet")
    if sheet_of(plan).ft_per_in > CLOSE_FT_PER_IN and len(walk.layout.lines) > 1:
        for line in walk.layout.lines:
            yield PagePart(f"Plan of line {line}", _plan(plan, sheet_of(plan, line)), "sheet")
    sides = {line: side for line in walk.layout.lines if (side := profile_shapes(walk, line)) is not None}
    figures = tuple(figure for line, side in sides.items() for figure in _strips(line, profile_strips(side)))
    if figures:
        yield PagePart("Profiles", (element("p", SIDES, class_="says"), *figures))


def _plan(plan: Drawing, sheet: PlanSheet) -> tuple[str, ...]:
    return element("p", escaped(f"{plan_caption(plan, sheet)}."), class_="says"), plan_svg(plan, sheet)


def _strips(line: str, strips: Sequence[ProfileStrip]) -> Iterator[str]:
    for number, strip in enumerate(strips, 1):
        caption = f"Line {line}, {strip_caption(strip.posts, number, len(strips))}"
        yield element("figure", element("figcaption", escaped(caption)), strip.svg)


def _sections(tables: dict[str, Table], titles: Sequence[str]) -> Iterator[PagePart]:
    for title in (title for title in titles if title in tables):
        said = element("p", said_in_units(WORDS[title]), class_="says") if title in WORDS else ""
        yield PagePart(HEADINGS.get(title, title), (said, table_markup(tables[title])))


def table_markup(table: Table, class_: str | None = None) -> str:
    """A table without the columns that have nothing in them."""
    if not table.rows:
        return element("p", escaped(f"{table.empty[:1].upper()}{table.empty[1:]}."))
    kept = [n for n in range(len(table.columns)) if any(row[n] for row in table.rows)]
    heads = element("tr", *(element("th", escaped(table.columns[n]), scope="col") for n in kept))
    rows = "\n".join(element("tr", *(element("td", escaped(row[n]), class_=_class_of(row[n])) for n in kept)) for row in table.rows)
    return element("table", element("thead", heads) if any(table.columns) else "", element("tbody", rows), class_=class_)


def _class_of(cell: str) -> str | None:
    """Short cells, lengths and times among them, stay on one line."""
    if cell == "stop":
        return "short bad"
    return "short open" if cell == OPEN or cell.endswith(f'" {OUT_OF_RANGE}') else "short" if 0 < len(cell) <= SHORT else None


def _stages(times: Table, sheets: Sequence[PrintedSheet]) -> PagePart:
    """The checklist, one sheet a stage, with when it was begun and done."""
    parts = [element("p", SIGNS, class_="says")] if sheets else []
    worked = {stage: (started, finished, done) for stage, started, finished, done in times.rows}
    for sheet in sheets:
        started, finished, done = worked[TITLES[sheet.stage]]
        begun = f"begun {started}, " if started else ""
        small = element("small", f"{begun}done {finished}" if finished else f"{begun}{done}{'' if done == NOTHING_NEW else ' done'}")
        parts.append(element("h3", escaped(TITLES[sheet.stage].capitalize()), " ", small))
        parts.append(element("div", *(table_markup(table, class_="ticks") for table in sheet.tables), class_="parts"))
        parts += [element("p", escaped(words), class_="says") for words in sheet.says]
    return PagePart("Checklist", tuple(parts))


def _for_the_client() -> Iterator[PagePart]:
    yield PagePart("Care of this fence", tuple(markdown(care())), "starts care")
    parts = []
    for stage in CAUTIONS_OF:
        if told := cautions(stage):
            parts += [element("h3", TITLES[stage].capitalize()), *markdown(told)]
    yield PagePart("Cautions for later work", tuple(parts), "care")
