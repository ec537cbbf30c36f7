"""The client's copy of the record as a page: what stands, how to live with it, what was accepted, what lies in the ground, whom to call."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.resources import files

from engine import __version__
from engine.calc.phrases import counted, listed, plural
from engine.calc.units import in_its_units
from engine.drawing.plan_shapes import plan_shapes
from engine.guide import care
from engine.job.model.job import Job
from engine.paper.client.client_gates import EVERY_GATE, gates_for_client
from engine.paper.client.client_words import BESIDES, built_words, repair_told, sleeves_for_client, state_of, tapes_start
from engine.paper.client.left_for_client import left_for_client, notes_for_client
from engine.paper.drawings.drawing_sheet import sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.firm.firm_head import SIGN_HERE, firm_head, firm_style, signatures, warranty_words, whom_to_call
from engine.paper.markup import element, escaped, markdown, whole_page
from engine.paper.record_page import style_of, table_markup, title_of
from engine.paper.sealed_facts import PrintedFacts, drawn_walk, facts_to_print
from engine.walk import Walk

PLAN_HIGH_IN = 5.6
"""Leaves room on the first page for what stands above the plan."""
KIND = "The client's copy of the fence record"


@in_its_units
def client_html(job: Job, walk: Walk, firm: FirmOnPage | None = None, seal_holds: bool | None = None, seal: Sequence[str] = ()) -> str:
    """The copy as one page that prints on two or three sheets of US letter or A4, well-formed XML: what was sealed, all text escaped, the
    same bytes for the same file and firm."""
    facts = facts_to_print(job, walk)
    parts = (
        ("Gates", _gates(job, walk, facts)),
        ("What stays in the ground", _ground(job, walk, facts)),
        ("What was accepted" if job.record else "What is open today", _accepted(job, walk)),
        ("Care and cautions", (element("div", *markdown(care()), class_="care"),)),
    )
    last = (("Whom to call", tuple(whom_to_call(firm))), ("Warranty", tuple(warranty_words(firm))))
    signed = signatures(*SIGN_HERE)
    style = style_of(job) + firm_style() + files("engine.paper.client").joinpath("client.css").read_text(encoding="utf-8")
    foot = element("footer", f"Written by Linewalk {escaped(__version__)} from the job file. The office's record holds every figure.")
    told = (
        *_first(job, walk, facts, firm, seal_holds, seal),
        *_sections(parts),
        element("div", *_sections(last), signed, foot, class_="last"),
    )
    return whole_page(f"{KIND}: {title_of(job)}", style, told, pictures=bool(firm and firm.logo))


def _sections(parts: Sequence[tuple[str, tuple[str, ...]]]) -> Iterator[str]:
    yield from (element("section", element("h2", heading), *inside) for heading, inside in parts if inside)


def _first(
    job: Job, walk: Walk, facts: PrintedFacts, firm: FirmOnPage | None, seal_holds: bool | None, seal: Sequence[str]
) -> Iterator[str]:
    """The first page: who for, how it stands, the fence in a paragraph, and the plan."""
    yield firm_head(firm)
    yield element("header", element("p", KIND, class_="kind"), element("h1", escaped(title_of(job))))
    says, more, look = state_of(job, seal_holds, seal)
    yield element("section", element("p", element("strong", escaped(says)), f" {escaped(more)}"), class_=f"state {look}")
    told = (("client", job.job.client), ("site", job.job.site), ("crew", ", ".join(job.job.crew)))
    named = (element("div", element("dt", name), element("dd", escaped(words))) for name, words in told if words)
    yield element("dl", *named, class_="facts") if any(words for _, words in told) else ""
    repair = repair_told(job)
    yield element("p", escaped(" ".join(filter(None, (repair, built_words(job, walk, facts.record))))), class_="built")
    plan = plan_shapes(job, drawn_walk(walk, facts))
    if seal:
        plan = replace(plan, says=("Changed since it was signed",))
    yield element("section", plan_svg(plan, sheet_of(plan, high_in=PLAN_HIGH_IN)), class_="sheet")


def _gates(job: Job, walk: Walk, facts: PrintedFacts) -> tuple[str, ...]:
    table = gates_for_client(job, walk, facts.record)
    return table_markup(table), *((element("p", EVERY_GATE),) if table.rows else ())


def _ground(job: Job, walk: Walk, facts: PrintedFacts) -> tuple[str, ...]:
    starts = tapes_start(job, walk, facts.record)
    return table_markup(sleeves_for_client(facts.record)), *((element("p", escaped(starts)),) if starts else ()), element("p", BESIDES)


def _accepted(job: Job, walk: Walk) -> tuple[str, ...]:
    return tuple(_left(job, walk))


def _left(job: Job, walk: Walk) -> Iterator[str]:
    signed, left = job.record, left_for_client(job, walk)
    then = "open when it was accepted" if signed else "open"
    be, are = ("was", "were") if signed else ("is", "are")
    if signed:
        yield element("p", escaped(f"Accepted by {signed.accepted_by}, {signed.signed_at:%Y-%m-%d}."))
    notes, more_notes = notes_for_client(job, walk)
    if notes:
        by = f"; who told the client: {signed.told_by}" if signed and signed.told_by else ""
        yield element("p", escaped(f"Known when it was signed{by}."))
        yield _list(notes)
    if more_notes:
        noted = counted(more_notes, "more note" if notes else "note", "more notes" if notes else "notes")
        yield element("p", f"{'And ' if notes else ''}{noted} on the work itself: the office's record tells.")
    if left.told:
        yield element("p", f"This {be} {then}:")
        yield _list(tuple(f"{says}{f' Reason given: {reason}' if reason else ''}" for says, reason in left.told))
    if left.unticked:
        reason = f" Reason given: {left.unticked_reason}" if left.unticked_reason else ""
        yield element("p", escaped(f"Not everything {be} ticked as done in {listed(left.unticked)}.{reason}"))
    if left.more:
        more = counted(left.more, "thing of the work itself", "things of the work itself")
        yield element("p", f"{more} {plural(left.more, be, are)} {then}: the office's record tells.")
    if not (left.told or left.unticked or left.more):
        yield element("p", f"Nothing {be} {then}.")


def _list(lines: Sequence[str]) -> str:
    return element("ul", *(element("li", escaped(line)) for line in lines))
