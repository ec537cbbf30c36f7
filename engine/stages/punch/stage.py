"""Stage 9, punch list: what is unfinished or out of rule, every way out for a dog, and the plan against what was built.

Limits: ways out are geometry: gaps, aprons, gates, yards that don't close, and what a dog that jumps can stand on. A dog's will, and
chewing, are not figures. Whether a closing piece is on the truck is counted in length, not off-cut by off-cut.
"""

from collections.abc import Iterator, Mapping, Sequence

from engine.calc.frozen import dataclass
from engine.calc.geometry.many_places import stations_offsets
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, first_few, listed, plural
from engine.calc.remember import remembered_each, remembered_rows, remembered_same
from engine.calc.tolerances import AT_YARD_FT, SAME_SPOT_FT
from engine.checklist import NOTHING_ASKED, Checklist, Item, TicksOf
from engine.findings import STAGES, Finding, FindingOf, Level, StageName
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import PlannedEntry, RerouteEntry, live, posts_since
from engine.job.model.tick_facts import NO_FACTS, At, Size, TickFacts
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.stage import Gates
from engine.stages.layout.stage import Layout, Support
from engine.stages.made_of import carried_by, fabric_on, leaf_of
from engine.stages.posts.stage import Posts
from engine.stages.punch.openings import gaps_at_walls, house_ends
from engine.stages.punch.ways_out import WayOut, ways_out
from engine.stages.survey.stage import Survey
from engine.stages.takeoff import Takeoff

_finding = FindingOf("punch")

__all__ = ["READS", "BuiltOtherwise", "Punch", "Unfinished", "WayOut", "punch"]

READS = (
    "rules", "dogs", "fence", "stock", "surfaces", "structures", "trees", "boundaries", "decks", "lines", "gates", "yards", "posts", "log",
    "record", TicksOf("house_closed"),
)  # fmt: skip

WAYS_OUT = "punch_ways_out"
"""Code of the finding that tells all ways out."""
MATERIALS_SHORT = "punch_materials_short"
"""Code of the one that tells what the truck lacks."""


@dataclass(frozen=True)
class BuiltOtherwise:
    """One support whose built place differs from the plan, or that was added, swapped or dropped. `moved_ft` is from the planned place to
    today's; 0 where there is only one of them."""

    support: str
    what: str
    moved_ft: float


@dataclass(frozen=True)
class Unfinished:
    """Open items of one stage."""

    stage: StageName
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Punch:
    """The closing list."""

    unfinished: tuple[Unfinished, ...]
    open_findings: tuple[Finding, ...]
    ways_out: tuple[WayOut, ...]
    changes: tuple[BuiltOtherwise, ...]
    takeoff: Takeoff
    signed: bool
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def punch(
    job: Job,
    survey: Survey,
    layout: Layout,
    posts: Posts,
    fabric: Fabric,
    gates: Gates,
    checklists: Mapping[StageName, Checklist],
    findings: tuple[Finding, ...],
    takeoff: Takeoff,
) -> Punch:
    """The closing list: open items, open findings, ways out, changes from the plan, and what the closing walk asks."""
    unfinished = tuple(_unfinished(checklists))
    closed = house_ends(job, layout, [item.of.places for item in fabric.items if item.key.what == "wire_hung"])
    ways = ways_out(job, survey, layout, posts, fabric, gates, checklists.get("gate", NOTHING_ASKED), takeoff, closed)
    return Punch(
        unfinished=unfinished,
        open_findings=tuple(finding for finding in findings if finding.level != "note"),
        ways_out=ways,
        changes=tuple(_changes(job, layout)),
        takeoff=takeoff,
        signed=job.record is not None,
        findings=tuple(_findings(unfinished, ways, takeoff)) if layout.supports else (),
        items=tuple(_items(job, survey, layout, posts, gates, closed)) if layout.supports else (),
    )


def _unfinished(checklists: Mapping[StageName, Checklist]) -> Iterator[Unfinished]:
    for stage in STAGES[:-1]:
        if items := checklists.get(stage, NOTHING_ASKED).open_items:
            yield Unfinished(stage, items)


def _changes(job: Job, layout: Layout) -> Iterator[BuiltOtherwise]:
    """Supports that a later plan or a new way did without; since then: supports that stand, in layout order, then those left out."""
    for entry in live(job.log):
        if isinstance(entry, RerouteEntry):
            yield from (BuiltOtherwise(name, f"came out, {entry.line} takes a new way", 0.0) for name in entry.out)
        elif isinstance(entry, PlannedEntry):
            yield from (BuiltOtherwise(name, "not in the later plan", 0.0) for name in entry.gone)
    since = posts_since(job.posts, job.log)
    for name, support in layout.supports.items():
        if name in since.added or name in since.swapped or support.xy != support.planned:
            what = _what(support, name in since.added, since.swapped.get(name))
            if what:
                yield BuiltOtherwise(name, what, support.moved_ft)
    yield from (BuiltOtherwise(name, "left out", 0.0) for name in since.dropped)


def _what(support: Support, added: bool, tree: str | None) -> str:
    words = ["added"] if added else []
    if tree is not None and support.at == tree:
        words.append(f"swapped for tree {tree}")
    elif support.moved_ft > SAME_SPOT_FT:
        words.append("moved")
    return listed(words) if words else ""


def _findings(unfinished: tuple[Unfinished, ...], ways: tuple[WayOut, ...], takeoff: Takeoff) -> Iterator[Finding]:
    if ways:
        largest = "the largest " if len(ways) > 1 else ""
        says = f"A dog has {counted(len(ways), 'way')} out, {largest}{format_ft_in(ways[0].opening_in / 12)}: {ways[0].where}."
        subjects = tuple(dict.fromkeys(way.subject for way in ways))
        level: Level = "fix" if all(way.kind == "over" for way in ways) else "stop"
        yield _finding(WAYS_OUT, level, subjects, says, f"Close it with {ways[0].closes_with}.")
    if unfinished:
        count = sum(len(group.items) for group in unfinished)
        says = f"{counted(count, 'item')} {plural(count, 'is', 'are')} open in {counted(len(unfinished), 'earlier stage')}."
        yield _finding("punch_unfinished", "note", ("job",), says, "Tick what is done, or say why it isn't needed.")
        yield from _short(takeoff)


def _short(takeoff: Takeoff) -> Iterator[Finding]:
    """What the truck lacks while work is left; only a note as long as nothing was loaded at all."""
    short = [f"{row.short} of {row.name}" for row in takeoff.rows if row.short > 0]
    if short:
        level: Level = "fix" if any(row.loaded for row in takeoff.rows) else "note"
        says = f"The truck is short: {first_few(short)}."
        yield _finding(MATERIALS_SHORT, level, ("job",), says, "Load them before the crew leaves, in packs as counted.")


def _items(job: Job, survey: Survey, layout: Layout, posts: Posts, gates: Gates, closed: TickFacts) -> Iterator[Item]:
    leaves = [leaf for work in gates.gates.values() for leaf in work.leaves]
    swings = tuple(size for leaf in leaves for size in (Size("leaf wide", leaf.width_ft), Size("leaf high", leaf.height_ft)))
    spans = [((bay := layout.bays[name]).from_id, bay.to_id, hang.height_ft) for name, hang in posts.hangs.items()]
    whole = _as_high(job, layout, spans, layout.places(*layout.supports))
    for name, yard in job.yards.items():
        fence = _as_high(job, layout, spans, _round_yard(survey.yards[name].ring if name in survey.yards else (), whole.places))
        yield _item("walked", f"Yard {yard.name or name}: walked from inside at a dog's eye height", name, fence)
    walls = any("structure" in (line.start_meets, line.end_meets) for line in job.lines.values())
    if walls or (closed.places and any(gaps_at_walls(job, survey, layout))):
        yield _item("house_closed", f"Closed against the {'house and other walls' if walls else 'trees that its lines end at'}", of=closed)
    if job.decks:
        yield _item(
            "decks_protected", "Decks and other special spots protected", of=TickFacts((), tuple(_lie(job, survey)), tuple(job.decks))
        )
    if gates.gates:
        hung = (post for work in gates.gates.values() for post in (work.hinge_post, work.latch_post))
        posts_of = dict.fromkeys(hung)
        stock = (*carried_by(job, (layout.supports[post] for post in posts_of)), *leaf_of(job))
        worked = TickFacts(layout.places(*posts_of), swings, stock=stock)
        yield _item("gates_worked_by_client", "Gates opened, shut and latched by the client", of=worked)
    yield _item("offcuts_picked_up", "Offcuts and rings picked up, ground swept with a magnet")
    yield _item("care_notes", "Care notes given")
    tube = (job.fence.gate_tube,) if gates.gates else ()
    accepted = whole._replace(sizes=(*whole.sizes, *swings), stock=(*whole.stock, *tube))
    yield _item("client_accepts", "Client accepts the fence", of=accepted)


def _as_high(job: Job, layout: Layout, spans: Sequence[tuple[str, str, float]], places: tuple[At, ...]) -> TickFacts:
    """Supports at their places, every height of the fence between them, and what it is made of; `spans` are both ends of each bay and how
    high it hangs."""
    names = {at.support for at in places}
    between = dict.fromkeys([height_ft for start, end, height_ft in spans if start in names and end in names])
    stock = fabric_on(job, (layout.supports[name] for name in names))
    return TickFacts(places, tuple(Size("fence high", height_ft) for height_ft in between), stock=stock)


def _lie(job: Job, survey: Survey) -> Iterator[Size]:
    """Where each deck lies: the middle of its corners, as far as all of them are known."""
    for name, deck in job.decks.items():
        if all(point in survey.points for point in deck.points):
            spots = [survey.points[point].xy for point in deck.points]
            for way, along in zip(("east", "north"), zip(*spots, strict=True), strict=True):
                yield Size(f"{name} lies {way}", sum(along) / len(along))


def _round_yard(ring: tuple[Point, ...], places: tuple[At, ...]) -> tuple[At, ...]:
    """The supports that stand round a yard; all there are where it doesn't close."""
    if len(ring) < 3:
        return places
    (low_e, low_n), (high_e, high_n) = _box(ring)
    return _at_ring(ring, tuple([at for at in places if low_e <= at.east_ft <= high_e and low_n <= at.north_ft <= high_n]))


@remembered_rows
def _at_ring(ring: tuple[Point, ...], places: tuple[At, ...]) -> tuple[At, ...]:
    return tuple(at for at, near in zip(places, _near(places, ring), strict=True) if near)


@remembered_same
def _box(ring: tuple[Point, ...]) -> tuple[Point, Point]:
    """The lowest and the highest that what stands round a yard may lie east and north, generously."""
    easts, norths = zip(*ring, strict=True)
    off_ft = 2 * AT_YARD_FT
    return (min(easts) - off_ft, min(norths) - off_ft), (max(easts) + off_ft, max(norths) + off_ft)


@remembered_each
def _near(places: Sequence[At], ring: tuple[Point, ...]) -> list[bool]:
    _, off_ft = stations_offsets((*ring, ring[0]), [(at.east_ft, at.north_ft) for at in places])
    near: list[bool] = (abs(off_ft) <= AT_YARD_FT).tolist()
    return near


def _item(what: str, says: str, subject: str = "job", of: TickFacts = NO_FACTS) -> Item:
    return Item(ItemKey("punch", subject, what), says, of=of)
