"""The crew's sheets as one page to print: what to mind, what to load, the set-out, nine sheets to tick, cut lists; nothing is fetched."""

from collections.abc import Iterator, Sequence
from importlib.resources import files
from itertools import groupby

from engine.calc.dates import format_date
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import plural
from engine.drawing.plan_shapes import plan_shapes
from engine.findings import STAGES
from engine.guide import cautions
from engine.job.errors import shown
from engine.job.model.job import Job
from engine.paper.crew.cut_lists import ORDER, CutList, CutPiece, cut_lists
from engine.paper.crew.set_out_sheet import ALONG, TAPES, plan_parts, set_out_tables
from engine.paper.crew.tick_sheets import tick_sheets, title_of_stage
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.load_list import RULE, load_list
from engine.paper.markup import element, escaped, markdown, whole_page
from engine.paper.pack_words import load_words, on_truck_words
from engine.paper.record_page import figures_of, style_of, table_markup, title_of
from engine.walk import Walk

NO_PLAN = "No plan is accepted: what is drawn and listed here is a proposal."
STALE = "Ask whether a later one was printed before you drive by this one."
SITE_LETTERS = 60
"""So much of a site's description stands at the head of every page; all of it on the first."""
TOLD_ABOVE = ("planned for", "utility notice")
LOG_ROWS = 16
BOX_CELL = element("td", element("span", "", class_="box"), class_="box-cell")
"""A box of a list, which no item of the job stands behind."""
LOAD_HEADS = ("", "first in", "what", "load", "on the truck already")
LOG_HEADS = ("when", "by", "post or place", "what: rock, moved, added, left out, tree, cut off", "how far, which way", "entered")
CUT_HEADS = ("", "cut", "piece", "for", "length", "left on it")
CUT_KINDS = (None, None, None, None, "right long", "right")
GROUND = "What the ground did to the plan changes bays, loops, braces and cuts: have it entered, and print anew before the next stage."


def crew_html(job: Job, walk: Walk, planned: str) -> str:
    """All sheets as one page that prints on US letter and A4, well-formed XML. `planned` says which version of the job they are of."""
    sections = (
        ("Before you start", "\n".join(_first(job, walk))),
        ("Load list", "\n".join(_load(job, walk))),
        ("Set-out", "\n".join(_set_out(job, walk))),
        ("Cut lists", "\n".join(_cuts(job, walk))),
        *((title_of_stage(stage), inside) for stage, inside in tick_sheets(job, walk)),
        ("Otherwise than planned", _otherwise()),
    )
    style = style_of(job) + files("engine.paper.crew").joinpath("crew_sheets.css").read_text(encoding="utf-8")
    body = (_page(job, walk, planned, title, inside) for title, inside in sections if inside)
    return whole_page(f"Crew sheets: {title_of(job)}", style, body)


def _page(job: Job, walk: Walk, planned: str, title: str, inside: str) -> str:
    """One section on pages of its own: a table whose head a printer repeats on each."""
    site = shown(" ".join(job.job.site.split()), SITE_LETTERS)
    day = f"for {format_date(job.job.planned_for)}" if job.job.planned_for else ""
    facts = " · ".join(filter(None, (site, ", ".join(job.job.crew), day)))
    proposed = "" if walk.layout.accepted else element("p", NO_PLAN, class_="proposal")
    head = (
        element("p", element("strong", escaped(title_of(job))), element("b", escaped(title))),
        element("p", element("span", escaped(facts)), element("span", escaped(planned))),
        proposed,
    )
    return element(
        "table",
        element("thead", element("tr", element("th", element("div", *head), scope="col"))),
        element("tbody", element("tr", element("td", "\n", inside))),
        class_="page",
    )


def _first(job: Job, walk: Walk) -> Iterator[str]:
    """What the job is, what stops it, and all cautions."""
    facts = [
        ("client", job.job.client), ("site", job.job.site), *(fact for fact in figures_of(job, walk) if fact[0] not in TOLD_ABOVE),
        ("these sheets", STALE),
    ]  # fmt: skip
    yield element(
        "dl", *(element("div", element("dt", name), element("dd", escaped(says))) for name, says in facts if says), class_="facts"
    )
    yield from _notice(job)
    stops = [finding for finding in walk.findings if finding.level == "stop"]
    if stops:
        yield element("h3", f"{plural(len(stops), 'This stops', 'These stop')} the job")
        yield element("ul", *(element("li", element("strong", escaped(one.says)), " ", escaped(one.do)) for one in stops), class_="stops")
    yield element("h3", "Cautions")
    minded = ((stage, cautions(stage)) for stage in STAGES)
    parts = (element("section", element("h4", title_of_stage(stage)), *markdown(words)) for stage, words in minded if words)
    yield element("div", *parts, class_="care cautions")


def _notice(job: Job) -> Iterator[str]:
    """The utility notice by its days."""
    notice = job.utility_notice
    says = [
        f"ticket {notice.ticket}" if notice.ticket else "no ticket",
        f"called {format_date(notice.called)}" if notice.called else "not called",
        f"nothing is driven before {format_date(notice.earliest_start)}" if notice.earliest_start else "",
        f"marks expire {format_date(notice.expires)}" if notice.expires else "",
        "marks seen" if notice.marks_seen else "MARKS NOT SEEN",
    ]
    words = "; ".join(filter(None, says))
    yield element("p", element("strong", "Utility notice: "), escaped(f"{words}."), class_="state")


def _load(job: Job, walk: Walk) -> Iterator[str]:
    """Group by group in truck order, pieces and packs."""
    listed = load_list(job, walk.takeoff).rows
    if not listed:
        return
    yield element("p", RULE, class_="says")
    rows, group = [], ""
    for one in listed:
        if one.group != group:
            group = one.group
            rows.append(_group(group, len(LOAD_HEADS)))
        cells = (f"{one.place}", one.row.name, load_words(one.row, one.kind), on_truck_words(one.row, one.kind))
        rows.append(element("tr", BOX_CELL, *(element("td", escaped(says)) for says in cells)))
    yield _ticks(LOAD_HEADS, [None] * len(LOAD_HEADS), ["\n".join(rows)])


def _set_out(job: Job, walk: Walk) -> Iterator[str]:
    if not walk.layout.supports:
        return
    yield element("p", f"{TAPES} {ALONG}", class_="says")
    for table in set_out_tables(job, walk):
        yield element("h3", escaped(table.title)) + table_markup(table, class_="ticks")
    drawing = plan_shapes(job, walk)
    for part in plan_parts(drawing, walk.layout):
        says = f"Plan, 1 in = {part.sheet.ft_per_in:g} ft: {part.says}"
        yield element("figure", element("figcaption", escaped(says)), plan_svg(drawing, part.sheet))


def _otherwise() -> str:
    """Where a rock or a moved post is written down, in the words that the log asks for."""
    row = element("tr", *(element("td", "") for _ in LOG_HEADS[1:]), BOX_CELL, class_="write")
    return element("p", GROUND, class_="says") + _ticks(LOG_HEADS, [None] * len(LOG_HEADS), ["\n".join([row] * LOG_ROWS)], "ticks book log")


def _cuts(job: Job, walk: Walk) -> Iterator[str]:
    lists = cut_lists(job, walk)
    if lists:
        yield element("p", ORDER, class_="says")
    for one in lists:
        yield element("h3", escaped(f"{one.title}: {one.stock}"))
        yield element("p", escaped(one.says), class_="says")
        yield _cut_table(one)


def _cut_table(cuts: CutList) -> str:
    """Roll after roll, each under its own head and not torn apart; what no roll is long enough for comes last."""
    bodies = []
    for roll, pieces in groupby(cuts.pieces, key=lambda piece: piece.roll):
        says = f"{cuts.held_in} {roll} of {cuts.rolls}" if roll else f"no {cuts.held_in} is long enough"
        bodies.append("\n".join((_group(says, len(CUT_HEADS)), *map(_cut, pieces))))
    return _ticks(CUT_HEADS, CUT_KINDS, bodies, "ticks rolls")


def _cut(piece: CutPiece) -> str:
    """Its box, or how far it is already."""
    left = format_ft_in(piece.left_ft) if piece.roll else ""
    cells = (f"{piece.cut or ''}", piece.name, piece.use, format_ft_in(piece.length_ft), left)
    box = element("td", escaped(piece.done), class_="box-cell done") if piece.done else BOX_CELL
    return element("tr", box, *(element("td", escaped(says), class_=kind) for says, kind in zip(cells, CUT_KINDS[1:], strict=True)))


def _group(says: str, columns: int) -> str:
    return element("tr", element("th", escaped(says), colspan=columns, scope="colgroup"), class_="group")


def _ticks(heads: Sequence[str], kinds: Sequence[str | None], bodies: Sequence[str], class_: str = "ticks") -> str:
    """A table of rows that are markup already; rows of one body stay together where a page holds them."""
    cells = (element("th", escaped(says), scope="col", class_=kind) for says, kind in zip(heads, kinds, strict=True))
    return element("table", element("thead", element("tr", *cells)), *(element("tbody", body) for body in bodies), class_=class_)
