"""Ticks of a sleeve that a post comes back to, or to one of an earlier job: it was driven there, and stands there still."""

from collections.abc import Mapping, Sequence

from engine.calc.geometry.plane import distance_ft
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.checklist import Item, Stood, counts, standing_tick
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.log_entries import LogEntry, SupersededEntry, live
from engine.job.model.signed_record import RepairOf
from engine.job.model.tick_facts import TickFacts, as_said_by, same_facts
from engine.stages.layout.sleeves_in_ground import sleeve_at
from engine.stages.posts.sleeves.emptied import SLEEVE

SleevesBefore = Mapping[ItemKey, Sequence[SupersededEntry]]
"""By item of a sleeve, what it was ticked with before."""

_OF_THE_SLEEVE = ("driven_depth", "solid")
"""What stays true of a sleeve whatever its post does meanwhile; plumb and eyes are of the post that is set into it again."""


def sleeves_before(log: tuple[LogEntry, ...]) -> SleevesBefore:
    """What the log holds of sleeves whose items were ticked anew or opened again."""
    found: dict[ItemKey, list[SupersededEntry]] = {}
    for entry in live(log):
        if isinstance(entry, SupersededEntry) and entry.item.stage == "posts" and entry.item.what in _OF_THE_SLEEVE:
            found.setdefault(entry.item, []).append(entry)
    return found


def sleeve_tick(checks: Mapping[ItemKey, Tick], key: ItemKey, of: TickFacts, stood: Stood, before: SleevesBefore) -> Tick | None:
    """The tick that counts for a sleeve: its item's own, or that of before where the very sleeve it was made for stands there again."""
    return counting_tick(checks.get(key), of, stood, before.get(key, ()))


def counting_tick(tick: Tick | None, of: TickFacts, stood: Stood, past: Sequence[SupersededEntry]) -> Tick | None:
    """The same of one item, with its tick and what the log holds of it."""
    if tick is None or counts(tick, of, stood):
        return tick
    if _so_near(tick.of, of):
        return None
    there = [entry for entry in past if tick.of.places and entry.of.places and same_facts(entry.of, as_said_by(entry.of, of))]
    last = max((entry.tick for entry in there), key=lambda was: was.at, default=None)
    return None if any(entry.opened and entry.tick == last for entry in there) else last


def _so_near(then: TickFacts, of: TickFacts) -> bool:
    """Whether a later tick is of the same sleeve, read a little off: no second one fits beside it."""
    if not then.places or not of.places or then.words != of.words:
        return False
    return distance_ft(then.places[0].xy, of.places[0].xy) <= ONE_SUPPORT_FT


def old_sleeve_tick(repair_of: RepairOf | None, what: str, of: TickFacts) -> Tick | None:
    """What answers for a post that stands in a sleeve which an earlier job drove and left in the ground; nothing where that isn't kept, or
    where it is of another stock row than the fence is."""
    if repair_of is None or what not in _OF_THE_SLEEVE or not of.places or of.words != (SLEEVE,):
        return None
    sleeve = sleeve_at(repair_of, of.places[0].xy)
    if sleeve is None or (sleeve.row and sleeve.row not in of.stock):
        return None
    if sleeve.driven_at is None or (what == "driven_depth" and sleeve.driven_in is None):
        return None
    read_in = sleeve.driven_in if what == "driven_depth" else None
    note = f"in the old sleeve of {sleeve.post}"
    return Tick.model_construct(at=sleeve.driven_at, by=sleeve.driven_by, reading_in=read_in, note=note, of=of)


def with_sleeves_back(
    checks: Mapping[ItemKey, Tick], items: Sequence[Item], log: tuple[LogEntry, ...], stood: Stood, repair_of: RepairOf | None = None
) -> Mapping[ItemKey, Tick]:
    """A stage's ticks, with those of sleeves that stand where their post came back to in the place of the later ones, and of old sleeves
    that a post was put into."""
    before = sleeves_before(log)
    back = {item.key: sleeve_tick(checks, item.key, item.of, stood, before) for item in items if item.key in before} if before else {}
    for item in items if repair_of is not None and repair_of.sleeves else ():
        if standing_tick(checks, item.key, item.of, stood) is None and back.get(item.key) is None:
            back[item.key] = old_sleeve_tick(repair_of, item.key.what, item.of)
    return {**checks, **{key: tick for key, tick in back.items() if tick is not None}} if back else checks
