"""The client's copy of the record as a page: what stands, how to live with it, what was accepted, what lies in the ground, whom to call.

Whatever a job holds it prints on three sheets at most: the plan takes what the first one has left, and lists share the other two.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from importlib.resources import files
from math import ceil
from typing import NamedTuple

from engine.calc.units import in_its_units
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Drawing
from engine.job.model.job import Job
from engine.paper.client.client_parts import ToldParts, after_plan, stops_words, told_parts, what_heading, with_points
from engine.paper.client.client_words import built_words, repair_told, state_of
from engine.paper.client.left_for_client import LeftForClient, left_for_client
from engine.paper.client.page_breaks import last_page
from engine.paper.client.paper_heights import FACT_WIDE_PT, LETTERS_PT, PAGE_HIGH_PT, TITLE_PT, high_pt
from engine.paper.client.shared_room import ENDS_CUT, cut_to, shared
from engine.paper.drawings.drawing_sheet import FOOT_PX, PX_PER_IN, PlanSheet, sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.firm.firm_head import firm_head, firm_style
from engine.paper.markup import element, escaped, whole_page
from engine.paper.record_page import style_of, title_of
from engine.paper.repair_work import mended_words
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
PAGES = 3
STEP_PT = 6
"""Steps in which the room is looked for that lists may share."""
FIRST = (0.26, 0.44, 0.14, 0.06, 0.06)
"""What stops, gates, sleeves left, what else is open and notes have of the room before they share the rest in that order."""


class ClientPages(NamedTuple):
    """The copy as it has room on its pages, markup: what stands above the plan, the plan's frame, and what follows it; and the share of the
    usual letters that all is in."""

    head: str
    sheet: PlanSheet
    after: str
    letters: float

    @property
    def after_from_pt(self) -> float:
        """How far down the first page the plan ends, at most."""
        return _plan_ends_pt(self.head, self.sheet, self.letters)


@in_its_units
def client_html(
    job: Job,
    walk: Walk,
    firm: FirmOnPage | None = None,
    seal_holds: bool | None = None,
    seal: Sequence[str] = (),
    unsaved: bool = False,
) -> str:
    """The copy as one page that prints on two or three sheets of US letter or A4, well-formed XML: what was sealed, all text escaped, the
    same bytes for the same file and firm. `unsaved` is whether the job holds more than its file."""
    plan = plan_shapes(job, drawn_walk(walk, facts_to_print(job, walk)))
    if seal:
        plan = replace(plan, says=("Changed since it was signed",))
    pages = client_pages(job, walk, plan, firm, seal_holds, seal, unsaved)
    own = files("engine.paper.client").joinpath("client.css").read_text(encoding="utf-8")
    style = style_of(job) + firm_style() + own.replace("LETTERS", f"{LETTERS_PT * pages.letters:g}")
    body = (pages.head, element("section", plan_svg(plan, pages.sheet), class_="sheet"), pages.after)
    return whole_page(f"{KIND}: {title_of(job)}", style, body, pictures=bool(firm and firm.logo))


@in_its_units
def client_pages(
    job: Job,
    walk: Walk,
    plan: Drawing,
    firm: FirmOnPage | None = None,
    seal_holds: bool | None = None,
    seal: Sequence[str] = (),
    unsaved: bool = False,
) -> ClientPages:
    """What there is room for: in the largest letters that leave nothing out and the plan large enough, else in the smallest."""
    facts, left = facts_to_print(job, walk), left_for_client(job, walk)
    head = _head(job, walk, facts, firm, _state(job, left, state_of(job, seal_holds, seal, unsaved)))
    told = told_parts(job, walk, firm, facts.record, left)
    for letters, brief in LETTERS:
        told = with_points(told, brief=True) if brief else told
        plan_in = (PAGE_HIGH_PT - ROUND_PLAN_PT - high_pt(head, letters)) / 72
        sheet = sheet_of(plan, high_in=min(MOST_PLAN_IN, plan_in))
        counts = _counts(told, _plan_ends_pt(head, sheet, letters), letters)
        whole = all(count == one.total for count, one in zip(counts, told.lists, strict=True))
        if whole and (plan_in >= LEAST_PLAN_IN or letters == LETTERS[-1][0]):
            break
    after = after_plan(told, counts, cut=False)
    return ClientPages(head, sheet, after_plan(told, counts, cut=True) if ENDS_CUT in head + after else after, letters)


def _plan_ends_pt(head: str, sheet: PlanSheet, letters: float) -> float:
    return high_pt(head, letters) + ROUND_PLAN_PT + (sheet.height_px + FOOT_PX) / PX_PER_IN * 72


def _counts(told: ToldParts, from_pt: float, letters: float) -> Sequence[int]:
    """How many rows of each list there is room for in such letters: all, or as many as share the most room that isn't too much."""
    heights = [[high * letters for high in one.heights_pt] for one in told.lists]

    def of(room_pt: float) -> tuple[int, ...]:
        return shared(heights, [share * room_pt for share in FIRST], room_pt)

    def too_much(room_pt: float) -> bool:
        return last_page(after_plan(told, of(room_pt), cut=True), from_pt, letters) > PAGES

    every_pt = sum(map(sum, heights)) + 1.0
    if not too_much(every_pt):
        return of(every_pt)
    rooms = range(0, min(ceil(every_pt), ceil(PAGES * PAGE_HIGH_PT)), STEP_PT)
    return of(rooms[max(0, bisect_left(rooms, True, key=too_much) - 1)])


def _head(job: Job, walk: Walk, facts: PrintedFacts, firm: FirmOnPage | None, state: str) -> str:
    """Above the plan: who for, how it stands, and the fence in a paragraph."""
    title = element("h1", escaped(cut_to(title_of(job), 2, letters_pt=TITLE_PT)))
    told = (("client", job.job.client), ("site", job.job.site), ("crew", ", ".join(job.job.crew)))
    named = [element("div", element("dt", name), element("dd", escaped(cut_to(words, 3, FACT_WIDE_PT)))) for name, words in told if words]
    built = " ".join(filter(None, (repair_told(job), mended_words(job, walk), built_words(job, walk, facts.record))))
    return "\n".join((
        firm_head(firm),
        element("header", element("p", KIND, class_="kind"), title),
        state,
        element("dl", *named, class_="facts") if named else "",
        element("p", escaped(cut_to(built, BUILT_LINES)), class_="built"),
    ))  # fmt: skip


def _state(job: Job, left: LeftForClient, state: tuple[str, str, str]) -> str:
    """How the job stands, and how much is open that stops it."""
    says, more, look = state
    stops = stops_words(job, left)
    told = [element("p", element("strong", stops), f' "{what_heading(job)}" tells.')] if stops else []
    return element("section", element("p", element("strong", escaped(says)), f" {escaped(more)}"), *told, class_=f"state {look}")
