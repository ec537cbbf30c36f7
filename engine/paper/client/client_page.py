"""The client's copy of the record as a page: what stands, how to live with it, what was accepted, what lies in the ground, whom to call.

Whatever a job holds it prints on three sheets at most: the plan takes what the first one has left, and lists share the other two.
"""

from collections.abc import Sequence
from dataclasses import replace
from importlib.resources import files
from typing import NamedTuple

from engine.calc.units import in_its_units
from engine.drawing.plan_shapes import plan_shapes
from engine.job.model.job import Job
from engine.paper.client.client_parts import ToldParts, after_plan, stops_words, told_parts, what_heading, with_points
from engine.paper.client.client_words import built_words, repair_told, state_of
from engine.paper.client.left_for_client import LeftForClient, left_for_client
from engine.paper.client.paper_heights import FACT_WIDE_PT, LETTERS_PT, PAGE_HIGH_PT, TITLE_PT, high_pt
from engine.paper.client.shared_room import ENDS_CUT, cut_to, shared
from engine.paper.drawings.drawing_sheet import sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.firm.firm_head import firm_head, firm_style
from engine.paper.markup import element, escaped, whole_page
from engine.paper.record_page import style_of, title_of
from engine.paper.sealed_facts import PrintedFacts, drawn_walk, facts_to_print
from engine.walk import Walk

BUILT_LINES = 12
KIND = "The client's copy of the fence record"
MOST_PLAN_IN = 5.6
ROUND_PLAN_PT = 12.0
LEAST_PLAN_IN = 4.4
"""Before the plan is smaller, all letters are."""
LETTERS = ((1.0, False), (0.95, False), (0.9, False), (0.9, True))
"""Shares of the usual letters, and whether what is open is told in brief: where there is much to tell letters are smaller first, then it is
told in brief, and only then are rows left out."""
BROKEN_PT, HEADS_PT = 115.0, 85.0
"""What a page may lose where it breaks: a heading goes with what follows it, a point stays whole; with a row of a table go its heads, and
stand there again."""
FIRST = (0.3, 0.22, 0.32, 0.08, 0.08)
"""What stops, gates, sleeves left, what else is open and notes have of the room before they share the rest in that order."""


class ClientPages(NamedTuple):
    """What stands on the first page above the plan, how high the plan may be, what follows on the two other pages: markup; and the share of
    the usual letters that all is in."""

    head: str
    plan_in: float
    after: str
    letters: float


@in_its_units
def client_html(job: Job, walk: Walk, firm: FirmOnPage | None = None, seal_holds: bool | None = None, seal: Sequence[str] = ()) -> str:
    """The copy as one page that prints on two or three sheets of US letter or A4, well-formed XML: what was sealed, all text escaped, the
    same bytes for the same file and firm."""
    pages = client_pages(job, walk, firm, seal_holds, seal)
    plan = plan_shapes(job, drawn_walk(walk, facts_to_print(job, walk)))
    if seal:
        plan = replace(plan, says=("Changed since it was signed",))
    sheet = element("section", plan_svg(plan, sheet_of(plan, high_in=min(MOST_PLAN_IN, pages.plan_in))), class_="sheet")
    own = files("engine.paper.client").joinpath("client.css").read_text(encoding="utf-8")
    style = style_of(job) + firm_style() + own.replace("LETTERS", f"{LETTERS_PT * pages.letters:g}")
    body = (pages.head, sheet, pages.after)
    return whole_page(f"{KIND}: {title_of(job)}", style, body, pictures=bool(firm and firm.logo))


@in_its_units
def client_pages(
    job: Job, walk: Walk, firm: FirmOnPage | None = None, seal_holds: bool | None = None, seal: Sequence[str] = ()
) -> ClientPages:
    """What there is room for: in the largest letters that leave nothing out and the plan large enough, else in the smallest."""
    facts, left = facts_to_print(job, walk), left_for_client(job, walk)
    head = _head(job, walk, facts, firm, _state(job, left, seal_holds, seal))
    told = told_parts(job, walk, firm, facts.record, left)
    for letters, brief in LETTERS:
        told = with_points(told, brief=True) if brief else told
        fixed = after_plan(told, (0, 0, 0, 0, 0), cut=True)
        plan_in = (PAGE_HIGH_PT - ROUND_PLAN_PT - high_pt(head, letters)) / 72
        counts = _counts(told, high_pt(fixed, letters), letters)
        whole = all(count == one.total for count, one in zip(counts, told.lists, strict=True))
        if whole and (plan_in >= LEAST_PLAN_IN or letters == LETTERS[-1][0]):
            break
    after = after_plan(told, counts, cut=False)
    return ClientPages(head, plan_in, after_plan(told, counts, cut=True) if ENDS_CUT in head + after else after, letters)


def _counts(told: ToldParts, fixed_pt: float, letters: float) -> tuple[int, ...]:
    """How many rows of each list there is room for in such letters."""
    rows_pt = [high for table in told.tables for high in table.heights_pt]
    lost_pt = max(BROKEN_PT, HEADS_PT + max(rows_pt, default=0.0)) * letters
    room_pt = max(0.0, 2 * PAGE_HIGH_PT - lost_pt - fixed_pt)
    heights = [[high * letters for high in one.heights_pt] for one in told.lists]
    return shared(heights, [share * room_pt for share in FIRST], room_pt)


def _head(job: Job, walk: Walk, facts: PrintedFacts, firm: FirmOnPage | None, state: str) -> str:
    """Above the plan: who for, how it stands, and the fence in a paragraph."""
    title = element("h1", escaped(cut_to(title_of(job), 2, letters_pt=TITLE_PT)))
    told = (("client", job.job.client), ("site", job.job.site), ("crew", ", ".join(job.job.crew)))
    named = [element("div", element("dt", name), element("dd", escaped(cut_to(words, 3, FACT_WIDE_PT)))) for name, words in told if words]
    built = " ".join(filter(None, (repair_told(job), built_words(job, walk, facts.record))))
    return "\n".join((
        firm_head(firm),
        element("header", element("p", KIND, class_="kind"), title),
        state,
        element("dl", *named, class_="facts") if named else "",
        element("p", escaped(cut_to(built, BUILT_LINES)), class_="built"),
    ))  # fmt: skip


def _state(job: Job, left: LeftForClient, seal_holds: bool | None, seal: Sequence[str]) -> str:
    """How the job stands, and how much is open that stops it."""
    says, more, look = state_of(job, seal_holds, seal)
    stops = stops_words(job, left)
    told = [element("p", element("strong", stops), f' "{what_heading(job)}" tells.')] if stops else []
    return element("section", element("p", element("strong", escaped(says)), f" {escaped(more)}"), *told, class_=f"state {look}")
