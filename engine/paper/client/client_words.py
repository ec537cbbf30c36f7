"""What a client is told in whole sentences: how the job stands, what was built, what it repairs."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from engine.ahead.rests_on_it import rests_on_it
from engine.calc.length_words import area_words
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, first_few, listed
from engine.job.errors import JobError
from engine.job.model.fence import HeightChange
from engine.job.model.job import Job
from engine.job.model.signed_record import Record
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.paper.as_built import done_with_other, fence_built
from engine.paper.before_repair import changed_before
from engine.paper.built_tables import TIMES
from engine.paper.client.done_so_far import FenceSoFar, fence_so_far
from engine.paper.client.shared_room import cut_to, short
from engine.paper.record_tables import signed_before
from engine.paper.seal_check import in_short
from engine.paper.written_files import NOT_SAVED, unsaved_words
from engine.walk import Walk

NOT_SIGNED = "Not signed yet."
AS_IT_STANDS = "This copy shows the job as it stands in its file today. It may still change, and nobody has accepted it as it is."
CHANGED = "The file was changed after it was signed."
OF_RECORD = "Posts, lengths, gates and sleeves are printed here as its record has them, the rest as the file says now."
OF_RECORD_AND_STOCK = OF_RECORD.replace("Posts", "Stock, posts")
GONE = "This job was signed once, and its record is gone from the file."
ASK_LATER = "Ask us for a later copy before you rely on this one."
ASK = "Ask us for the copy that was signed before you rely on this one."
HOLDS = "Nothing in the file has changed since."
UNCHECKED = "The file wasn't checked against what was signed."
NAMED_LINES = 2
"""What was changed in a signed file is named in so many lines."""
MOST_NAMED = 6
"""So many yards, dogs and stretches of another height are told one by one."""


def state_of(job: Job, seal_holds: bool | None, seal: Sequence[str], unsaved: bool = False) -> tuple[str, str, str]:
    """How the job stands: what is said first, what else, and the name of its look."""
    signed = job.record
    who = _signature(signed.signed_at, signed.signed_by, signed.accepted_by) if signed else ""
    if unsaved:
        return NOT_SAVED, " ".join(filter(None, (who, unsaved_words(job), ASK_LATER))), "broken"
    if signed is None:
        return (GONE, ASK, "broken") if seal else (_not_signed(job), AS_IT_STANDS, "open")
    if seal or seal_holds is False:
        named = cut_to(in_short(seal), NAMED_LINES)
        kept = OF_RECORD if signed.fence is None else OF_RECORD_AND_STOCK
        return who, " ".join(filter(None, (CHANGED, named, kept, ASK))), "broken"
    return (who, UNCHECKED, "unknown") if seal_holds is None else (who, HOLDS, "holds")


def _signature(at: datetime, by: str, accepted_by: str) -> str:
    return f"Signed {at:{TIMES}} by {short(by)}, accepted by {short(accepted_by)}."


def _not_signed(job: Job) -> str:
    """Of a job without a record: that it was never signed, or who signed it last and when that was taken back."""
    before = signed_before(job)
    if before is None:
        return NOT_SIGNED
    signature = _signature(before.entry.at, before.entry.by, before.entry.accepted_by)
    return f"{signature} {before.how.capitalize()} {before.at:{TIMES}}, and not signed again."


def repair_told(job: Job) -> str:
    """Which job this one repairs; empty where it repairs none."""
    before = job.repair_of
    if before is None:
        return ""
    who = f"signed {before.signed_at:{TIMES}} and accepted by {short(before.accepted_by)}"
    says = f"This is a repair of {short(before.called)}, {who}."
    try:
        changed = changed_before(before)
    except JobError:
        changed = ("It can't be read.",)
    named = cut_to(in_short(changed), NAMED_LINES)
    told = (says, "The older record that is kept with it isn't what was signed any more.", named, ASK)
    return " ".join(filter(None, told)) if changed else says


def built_words(job: Job, walk: Walk, record: Record) -> str:
    """The fence in a paragraph."""
    if not record.supports:
        return "Nothing is surveyed yet." if rests_on_it(job, walk) else "Nothing is laid out yet."
    return " ".join(_built(job, walk, record))


def _built(job: Job, walk: Walk, record: Record) -> Iterator[str]:
    far, fence, others = fence_so_far(job, walk, record), fence_built(job), done_with_other(job, walk)
    heights = _few([f"{format_ft_in(fence.height_ft)} high", *map(_stretch, job.heights.values())])
    yield f"{format_ft_in(sum(record.bays_ft.values()))} of fence along the ground, gates included, {heights}."
    cable, post, wire, mesh = (_called(stock_of(job.stock), one) for one in (fence.cable, fence.post, *fabric_ids(fence)))
    yield _stands_on(record, far, post)
    yield from _strung(far, cable, wire, mesh)
    yield from (f"What was done with {' and '.join(map(short, others))} wasn't done again.",) if others else ()
    yards = [
        f"{short(job.yards[name].name or name)}, {area_words(area.area_ft2)}"
        for name, area in walk.survey.yards.items()
        if area.closed and name in job.yards
    ]
    yield from (f"It {'closes' if far.closes else 'is to close'} {first_few(yards, MOST_NAMED)}.",) if yards else ()
    dogs = [f"{f'{dog.count} x ' if dog.count > 1 else ''}{name}{_habits(job, name)}" for name, dog in job.dogs.items()]
    yield from (f"It was laid out for the dogs we were told of: {_few(dogs)}.",) if dogs else ()


def _stands_on(record: Record, far: FenceSoFar, post: str) -> str:
    carried = len(record.supports) - far.posts.total
    held = [f"{counted(far.posts.total, 'post')} ({post})"] * bool(far.posts.total)
    held += [counted(carried, "tree or wall", "trees or walls")] * bool(carried)
    braces = f", with {counted(len(record.braces), 'brace')}" if record.braces else ""
    yet = [*filter(None, (far.posts.standing("post"), far.braces.standing("brace")))]
    return f"It {'is to stand' if yet else 'stands'} on {'; '.join((f'{listed(held)}{braces}', *yet))}."


def _strung(far: FenceSoFar, cable: str, wire: str, mesh: str) -> Iterator[str]:
    """Cables, and what hangs from them."""
    yield far.cables.strung(
        f"Two cables ({cable}) run through the posts",
        f"Two cables ({cable}) are to run through the posts",
        "they are strung",
        "none is strung yet",
    )
    apron = (
        ", whose lower edge lies on the ground as an apron and is staked to it"
        if far.apron
        else "; its lower edge is to lie on the ground as an apron and be staked to it, which isn't done everywhere yet"
    )
    yield far.wire.strung(
        f"From the lower one hangs wire ({wire}){apron}",
        f"From the lower one wire ({wire}) is to hang, its lower edge on the ground as an apron and staked to it",
        "it hangs",
        "none hangs yet",
    )
    yield far.mesh.strung(
        f"From the upper one hangs mesh ({mesh}), over the wire",
        f"From the upper one mesh ({mesh}) is to hang, over the wire",
        "it hangs",
        "none hangs yet",
    )


def _called(stock: Mapping[str, StockRow], name: str) -> str:
    return short((stock[name].name if name in stock else None) or name)


def _few(said: Sequence[str]) -> str:
    """The first few parted by semicolons, and how many more there are."""
    return "; ".join(said if len(said) <= MOST_NAMED + 1 else [*said[:MOST_NAMED], f"and {len(said) - MOST_NAMED} more"])


def _stretch(other: HeightChange) -> str:
    return f"{format_ft_in(other.height_ft)} from {format_ft_in(other.from_ft)} to {format_ft_in(other.to_ft)} of {other.line}"


def _habits(job: Job, dog: str) -> str:
    habits = ", ".join(habit for habit in ("jumps", "climbs", "digs", "chews") if getattr(job.dogs[dog], habit))
    return f" ({habits})" if habits else ""
