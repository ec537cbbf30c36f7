"""What follows the plan on the client's copy: gates, what stays in the ground, what was accepted, care, whom to call, warranty, names."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engine import __version__
from engine.calc.phrases import counted, listed, plural
from engine.guide import care
from engine.job.model.job import Job
from engine.job.model.signed_record import LeftSleeve, Record
from engine.paper.client.client_gates import COLUMNS as GATE_COLUMNS
from engine.paper.client.client_gates import NO_GATES, gates_for_client, shut_words
from engine.paper.client.client_lists import ToldList, list_of, more_of, points_of, rows_of, table_of
from engine.paper.client.client_sleeves import BESIDES, NOT_IN_GROUND, sleeves_for_client, sleeves_told, tapes_start
from engine.paper.client.client_sleeves import COLUMNS as SLEEVE_COLUMNS
from engine.paper.client.left_for_client import LeftForClient, notes_for_client
from engine.paper.client.paper_heights import high_pt
from engine.paper.client.shared_room import cut_to, short
from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.firm.firm_head import SIGN_HERE, signatures, warranty_words, whom_to_call
from engine.paper.known_places import KnownPlace, known_places
from engine.paper.markup import element, escaped, markdown
from engine.walk import Walk

WARRANTY = "Warranty"
SHORT_PT = 90.0
"""A part that isn't higher than this isn't broken."""
REASONS = "The reasons that were given for leaving these open stand in the office's record."
FOOT = f"Written by Linewalk {__version__} from the job file. The office's record holds every figure"
FOOT_CUT = ", and in full what ends in ... here"


class ToldParts(NamedTuple):
    """All there is to tell after the plan, before it is cut to what there is room for. `tables` are gates and sleeves left; `lists` are
    what stops the job, those two, what else is open, and notes. `brief`: reasons aren't told."""

    job: Job
    firm: FirmOnPage | None
    record: Record
    sleeves: Sequence[tuple[str, LeftSleeve]]
    places: tuple[KnownPlace, ...]
    left: LeftForClient
    notes: Sequence[tuple[str, str]]
    other_notes: int
    tables: tuple[ToldList, ToldList]
    lists: tuple[ToldList, ...] = ()
    brief: bool = False


def told_parts(job: Job, walk: Walk, firm: FirmOnPage | None, record: Record, left: LeftForClient) -> ToldParts:
    """All of it in its usual length."""
    gates, (notes, other_notes), places = gates_for_client(job, walk, record), notes_for_client(job, walk), known_places(job, walk)
    sleeves = sleeves_for_client(job, walk, record)
    tables = rows_of(GATE_COLUMNS, gates, len(gates)), sleeves_told(sleeves, places)
    told = ToldParts(job, firm, record, sleeves, places, left, [(says, "") for says in notes], other_notes, tables)
    return with_points(told, brief=False)


def with_points(told: ToldParts, *, brief: bool) -> ToldParts:
    """The same with what is open and noted in its usual length, or in brief."""
    stops, others, notes = (points_of(said, brief=brief) for said in (told.left.stops, told.left.others, told.notes))
    return told._replace(lists=(stops, *told.tables, others, notes), brief=brief)


def what_heading(job: Job) -> str:
    """Over what is open or was accepted so."""
    return "What was accepted" if job.record else "What is open today"


def stops_words(job: Job, left: LeftForClient) -> str:
    """How much is open that stops the job; empty where nothing is."""
    count = len(left.stops)
    are = plural(count, "was", "were") if job.record else plural(count, "is", "are")
    then = " when it was accepted" if job.record else ""
    return f"{counted(count, 'thing')} that {plural(count, 'stops', 'stop')} the job {are} open{then}." if count else ""


def after_plan(told: ToldParts, counts: Sequence[int], *, cut: bool) -> str:
    """What follows on the plan with so many rows of each list. `cut`: words are cut on the copy."""
    stops, gates, sleeves, others, notes = counts
    parts = (
        ("Gates", "".join(_gates(told, gates))),
        ("What stays in the ground", "".join(_ground(told, sleeves))),
        (what_heading(told.job), "".join(_left(told, stops, others, notes))),
        ("Care and cautions", element("div", *markdown(care()), class_="care")),
    )
    last = [_section(name, "".join(inside)) for name, inside in _firm(told.firm)]
    end = element("footer", escaped(f"{FOOT}{FOOT_CUT if cut else ''}."))
    return "\n".join((
        *(_section(heading, inside) for heading, inside in parts),
        element("div", *last, signatures(*SIGN_HERE), end, class_="last"),
    ))  # fmt: skip


def _firm(firm: FirmOnPage | None) -> Iterator[tuple[str, Sequence[str]]]:
    yield "Whom to call", tuple(whom_to_call(firm))
    if warranty := tuple(warranty_words(firm)):
        yield WARRANTY, warranty


def _section(heading: str, inside: str) -> str:
    """A short one isn't broken."""
    class_ = "warranty" if heading == WARRANTY else "short" if high_pt(inside) <= SHORT_PT else None
    return element("section", element("h2", heading), inside, class_=class_)


def _gates(told: ToldParts, shown: int) -> Iterator[str]:
    gates = told.lists[1]
    if not gates.total:
        yield element("p", NO_GATES)
        return
    yield table_of(GATE_COLUMNS, gates.rows[:shown])
    yield from more_of(gates, shown, "gate", "gates", "the office's record lists")
    yield element("p", shut_words(told.record))


def _ground(told: ToldParts, shown: int) -> Iterator[str]:
    left = told.lists[2]
    if not left.total:
        yield element("p", NOT_IN_GROUND)
    else:
        yield table_of(SLEEVE_COLUMNS, left.rows[:shown])
        yield from more_of(left, shown, "sleeve", "sleeves", "the office's record has the tapes to")
        starts = tapes_start(told.sleeves[:shown], told.places)
        yield from (element("p", escaped(starts)),) if starts else ()
    yield element("p", BESIDES)


def _left(told: ToldParts, stops: int, others: int, notes: int) -> Iterator[str]:
    signed, left = told.job.record, told.left
    then = "open when it was accepted" if signed else "open"
    be, are = ("was", "were") if signed else ("is", "are")
    if signed:
        yield element("p", escaped(f"Accepted by {short(signed.accepted_by)}, {signed.signed_at:%Y-%m-%d}."))
    if left.stops:
        yield element("p", element("strong", stops_words(told.job, left)))
        yield from list_of(told.lists[0], stops, "of them", "of them")
    if left.others:
        yield element("p", f"This {be} {then}{' too' if left.stops else ''}:")
        yield from list_of(told.lists[3], others, "thing", "things")
    if left.unticked:
        reason = f" {left.unticked_why}" if left.unticked_why and not told.brief else ""
        yield element("p", escaped(cut_to(f"Not everything {be} ticked as done in {listed(left.unticked)}.{reason}", 3)))
    if told.brief and any((left.unticked_why, *(reason for _, reason in (*left.stops, *left.others)))):
        yield element("p", REASONS)
    if left.more:
        more = counted(left.more, "thing of the work itself", "things of the work itself")
        yield element("p", f"{more} {plural(left.more, be, are)} {then}: the office's record tells.")
    if not (left.stops or left.others or left.unticked or left.more):
        yield element("p", f"Nothing {be} {then}.")
    yield from _notes(told, notes)


def _notes(told: ToldParts, shown: int) -> Iterator[str]:
    signed, notes = told.job.record, told.lists[4]
    if notes.total:
        by = f"; who told the client: {short(signed.told_by)}" if signed and signed.told_by else ""
        yield element("p", escaped(f"Known when it was signed{by}."))
        yield from list_of(notes, shown, "note", "notes")
    if told.other_notes:
        noted = counted(told.other_notes, "more note" if notes.total else "note", "more notes" if notes.total else "notes")
        yield element("p", f"{'And ' if notes.total else ''}{noted} on the work itself: the office's record tells.")
