"""The crew's sheets as one page to print: what to mind, what to load, the set-out, nine sheets to tick, cut lists; nothing is fetched."""

from collections.abc import Iterator
from importlib.resources import files

from engine.ahead.estimate_words import in_words
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.dates import format_date
from engine.calc.phrases import plural
from engine.calc.units import in_its_units
from engine.drawing.plan_shapes import plan_shapes
from engine.findings import STAGES
from engine.guide import cautions
from engine.job.errors import shown
from engine.job.model.job import Job
from engine.paper.crew.crew_lists import cuts_markup, load_markup, log_markup
from engine.paper.crew.set_out_sheet import ALONG, TAPES, plan_parts, set_out_tables
from engine.paper.crew.tick_sheets import tick_sheets, title_of_stage
from engine.paper.drawings.drawing_sheet import scale_words
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.markup import element, escaped, markdown, whole_page
from engine.paper.record_page import figures_of, style_of, table_markup, title_of
from engine.walk import Walk

NO_PLAN = "No plan is accepted: what is drawn and listed here is a proposal."
ESTIMATE = "An estimate by what was said: nothing is surveyed yet."
STALE = "Ask whether a later one was printed before you drive by this one."
SITE_LETTERS = 60
"""So much of a site's description stands at the head of every page; all of it on the first."""
TOLD_ABOVE = ("planned for", "utility notice")


@in_its_units
def crew_html(job: Job, walk: Walk, planned: str) -> str:
    """All sheets as one page that prints on US letter and A4, well-formed XML. `planned` says which version of the job they are of."""
    sections = (
        ("Before you start", "\n".join(_first(job, walk))),
        ("Load list", "\n".join(load_markup(job, walk))),
        ("Set-out", "\n".join(_set_out(job, walk))),
        ("Cut lists", "\n".join(cuts_markup(job, walk))),
        *((title_of_stage(stage), inside) for stage, inside in tick_sheets(job, walk)),
        ("Otherwise than planned", log_markup()),
    )
    style = style_of(job) + files("engine.paper.crew").joinpath("crew_sheets.css").read_text(encoding="utf-8")
    body = (_page(job, walk, planned, title, inside) for title, inside in sections if inside)
    return whole_page(f"Crew sheets: {title_of(job)}", style, body)


def _page(job: Job, walk: Walk, planned: str, title: str, inside: str) -> str:
    """One section on pages of its own: a table whose head a printer repeats on each."""
    site = shown(" ".join(job.job.site.split()), SITE_LETTERS)
    day = f"for {format_date(job.job.planned_for)}" if job.job.planned_for else ""
    facts = " · ".join(filter(None, (site, ", ".join(job.job.crew), day)))
    rests = ESTIMATE if rests_on_it(job, walk) else "" if walk.layout.accepted else NO_PLAN
    proposed = element("p", rests, class_="proposal") if rests else ""
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
    said = in_words(job, walk)
    left_out = (*TOLD_ABOVE, "fence", "length", "supports") if said and said.alone else TOLD_ABOVE
    facts = [("client", job.job.client), ("site", job.job.site), *(fact for fact in figures_of(job, walk) if fact[0] not in left_out)]
    facts += [*([("estimate", said.line), *said.more] if said else []), ("these sheets", STALE)]
    told = (element("div", element("dt", name), element("dd", escaped(says))) for name, says in facts if says)
    yield element("dl", *told, class_="facts")
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


def _set_out(job: Job, walk: Walk) -> Iterator[str]:
    if not walk.layout.supports:
        return
    yield element("p", f"{TAPES} {ALONG}", class_="says")
    for table in set_out_tables(job, walk):
        yield element("h3", escaped(table.title)) + table_markup(table, class_="ticks")
    drawing = plan_shapes(job, walk)
    for part in plan_parts(drawing, walk.layout):
        says = f"Plan, {scale_words(part.sheet).replace(' on paper is', ' =')}: {part.says}"
        yield element("figure", element("figcaption", escaped(says)), plan_svg(drawing, part.sheet))
