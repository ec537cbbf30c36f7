"""Ticks of older files, which don't say all that they were made for: the first edit writes into them what they count for until then."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from operator import is_
from typing import NamedTuple

from engine.checklist import Stood, standing_then
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.model.checks import Tick
from engine.job.model.fence import SupportKind
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SupersededEntry
from engine.job.model.stock_table import fabric_ids
from engine.job.model.tick_facts import (
    DEEP,
    NO_FACTS,
    PLATE,
    SAID_LATER,
    At,
    Size,
    TickFacts,
    at_place,
    lacks,
    said_in_full,
    same_facts,
    same_place,
)
from engine.stages.made_of import Carrier, Rows, carried_by, fabric_on, hung_on, leaf_of, mesh_on, stock_rows, wire_on
from engine.walk import Walk

_LOOP_ITEMS = frozenset(
    ("cut_length", "closed", "sag", "tail", "wire_hung", "apron_turned", "slits_lapped", "mesh_hung", "seam_ringed", "corners_tied")
)
_OF_NO_STOCK = frozenset(("flag", "taped", "string", "dips_filled", "old_sleeve", "diameter"))
"""Items whose ticks say all that they are about without any: none of the many is looked at twice."""
_OF_SOME = {PLATE, DEEP}
"""Of the sizes that older programs didn't write those that not every item of a kind has."""
_SIZED_LATER = ("bracing", "fabric", "staking")
"""Stages whose ticks hold sizes that programs which wrote the stock didn't write yet: where feet were read, what is short or open, how far
apart rings are, where stakes stand."""
_SAID_IN_FULL_LATER = ("plate", "old_sleeve", "hung", "house_closed", "round_again")
"""Items besides whose ticks don't say all in programs that wrote the stock: where a post is cut, what became of a sleeve, what a gate's
leaves took, where the loops run that end at a wall, how many were read again."""
NO_LOOP = TickFacts(words=("of a loop that isn't strung so any more",))
"""Of a tick that answers nothing on the day of the first edit: loops are numbered anew, and another of that number isn't its loop."""
OTHER_PLACE = TickFacts(words=("of what stood there then",))
"""Of one whose support or bay was another at its time: a later plan, which holds the moves until then, would take it for today's."""


def with_facts(job: Job, walk: Walk) -> Job:
    """The job, with the facts of its walk in every tick that counts and doesn't say what it was made for, and the stock of that day in
    those that may come to count again, of its log too; a sealed one stays as it is."""
    if job.record is not None:
        return job
    given, made_of = dict(_given(job, walk)), _MadeOf(job, walk)
    checks = made_of.said_in({**job.checks, **given} if given else job.checks)
    log = tuple(map(made_of.said_in_entry, job.log))
    if checks is job.checks and all(map(is_, log, job.log)):
        return job
    return job.model_copy(update={"checks": checks, "log": log})


class _Driven(NamedTuple):
    support: SupportKind = "driven"
    at: str | None = None


_DRIVEN = _Driven()


class _MadeOf:
    """Of which stock ticks were made that answer nothing today, of a post left out or a loop cut: of the rows of the fence that day."""

    def __init__(self, job: Job, walk: Walk) -> None:
        self._job, self._supports, self._checklists = job, walk.layout.supports, walk.checklists

    def said_in(self, checks: Mapping[ItemKey, Tick]) -> Mapping[ItemKey, Tick]:
        """Ticks with the stock that they don't say."""
        said = {key: tick.model_copy(update={"of": of}) for key, tick in checks.items() if (of := self._of(key, tick.of)) is not tick.of}
        return {**checks, **said} if said else checks

    def said_in_entry(self, entry: LogEntry) -> LogEntry:
        """An entry of the log that keeps ticks, with the stock that they don't say."""
        if isinstance(entry, SupersededEntry):
            of = self._of(entry.item, entry.of)
            return entry if of is entry.of else entry.model_copy(update={"of": of})
        if not isinstance(entry, NewPlan) or entry.before is None:
            return entry
        checks = self.said_in(entry.before.checks)
        kept = entry.before.model_copy(update={"checks": checks})
        return entry if checks is entry.before.checks else entry.model_copy(update={"before": kept})

    def _of(self, key: ItemKey, of: TickFacts) -> TickFacts:
        if of.stock or key.what in _OF_NO_STOCK or of in (NO_FACTS, NO_LOOP, OTHER_PLACE) or not (rows := self._rows(key, of)):
            return of
        named = {size.name for size in of.sizes}
        later = (size for size in self._sizes.get((key.stage, key.what), ()) if size.name not in named)
        return of._replace(sizes=(*of.sizes, *later), stock=stock_rows(*rows))

    def _rows(self, key: ItemKey, of: TickFacts) -> Rows:
        """The rows of such an item, in their order."""
        job, on = self._job, [self._carrier(at) for at in of.places]
        match key:
            case ("posts", _, "driven_depth" | "solid"):
                return carried_by(job, on)[:1]
            case ("posts", _, _) | ("bracing", _, "pinned") | ("gate", _, "opening" | "hinge_plumb"):
                return carried_by(job, on)
            case ("bracing", _, _):
                return (*carried_by(job, on), job.fence.brace)
            case ("cables", _, _):
                return hung_on(job, on)
            case ("fabric", _, "under_closed"):
                return fabric_ids(job.fence)[:1]
            case ("fabric", _, "mesh_hung" | "corners_tied"):
                return mesh_on(job, on)
            case ("fabric", _, "seam_ringed") | ("punch", _, "walked" | "house_closed"):
                return fabric_on(job, on)
            case ("fabric" | "staking", _, _):
                return wire_on(job, on)
            case ("gate", _, what) if what.startswith("diagonal"):
                return (job.fence.gate_tube,)
            case ("gate", _, _) | ("punch", _, "gates_worked_by_client"):
                return (*carried_by(job, on), *leaf_of(job))
            case ("punch", _, "client_accepts"):
                gates = any(size.name.startswith("leaf") for size in of.sizes)
                return (*fabric_on(job, on), *((job.fence.gate_tube,) if gates else ()))
            case _:
                return ()

    @cached_property
    def _sizes(self) -> Mapping[tuple[str, str], Sequence[Size]]:
        """Of every item that is asked today the sizes that all of its kind have and older programs didn't write."""
        lines = [line for checklist in self._checklists.values() for line in reversed(checklist.lines)]
        said = {(line.item.key.stage, line.item.key.what): line.item.of.sizes for line in lines}
        return {kind: [size for size in sizes if size.name in SAID_LATER - _OF_SOME] for kind, sizes in said.items()}

    def _carrier(self, at: At) -> Carrier:
        """What stands there today, else as the plan has it; a post that neither knows was driven."""
        now = self._supports.get(at.support)
        return now if now is not None and same_place(now.there, at) else self._job.posts.get(at.support, _DRIVEN)


def _given(job: Job, walk: Walk) -> Iterator[tuple[ItemKey, Tick]]:
    lines = {stage: checklist.by_key for stage, checklist in walk.checklists.items()}
    for key, tick in job.checks.items():
        said = tick.of.places or tick.of.sizes
        if key.stage not in _SIZED_LATER and key.what not in _SAID_IN_FULL_LATER and (tick.of.stock or (said and key.what in _OF_NO_STOCK)):
            continue
        line = lines.get(key.stage, {}).get(key)  # type: ignore[call-overload]  # a file may name a stage that there isn't
        if (tick.of.stock and (line is None or line.tick is None)) or (line is not None and tick.of == line.item.of):
            continue
        if said or (line is not None and tick.of.words == line.item.of.words != ()):
            if line is not None and lacks(tick.of, line.item.of) and (line.tick is not None or _alike(tick.of, line.item.of)):
                full = said_in_full(tick.of, line.item.of)
                yield key, tick.model_copy(update={"of": full if line.tick is not None else full._replace(stock=())})
        elif line is not None and line.tick is not None:
            if line.item.of != NO_FACTS and (tick.of == NO_FACTS or line.item.of.places):
                yield key, tick.model_copy(update={"of": line.item.of})
        elif line is not None and tick.of == NO_FACTS and line.item.of.places:
            yield key, tick.model_copy(update={"of": _facts_then(line.item.of, tick, walk.layout.stood)})
        elif tick.of == NO_FACTS and key.stage in ("cables", "fabric") and key.what in _LOOP_ITEMS:
            yield key, tick.model_copy(update={"of": NO_LOOP})


def _alike(then: TickFacts, of: TickFacts) -> bool:
    """Whether one that counts no more is of the same kind of thing elsewhere, and may come to count again."""
    return then.words == of.words and [size.name for size in then.sizes] == [size.name for size in of.sizes]


def _facts_then(today: TickFacts, tick: Tick, stood: Stood) -> TickFacts:
    """What a tick was made for: supports where the plan and the log had them at its time, as far as that is known."""
    spots = [(at, standing_then(stood, at.support, tick.at) if at.support in stood else at.xy) for at in today.places]
    places = tuple(at_place(at.support, there, at.sleeve) for at, there in spots if there is not None)
    then = today._replace(places=places)
    return OTHER_PLACE if len(places) < len(spots) or same_facts(then, today) else then
