"""Ticks of a sleeve that its post comes back to: it was driven there, and stands there still."""

from collections.abc import Mapping, Sequence

from engine.checklist import Item, Stood, counts
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.log_entries import LogEntry, SupersededEntry, live
from engine.job.model.tick_facts import TickFacts, same_facts

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
    tick = checks.get(key)
    if tick is None or counts(tick, of, stood):
        return tick
    there = [entry for entry in before.get(key, ()) if entry.of.places and same_facts(entry.of, of)] if tick.of.places else []
    last = max((entry.tick for entry in there), key=lambda was: was.at, default=None)
    return None if any(entry.opened and entry.tick == last for entry in there) else last


def with_sleeves_back(
    checks: Mapping[ItemKey, Tick], items: Sequence[Item], log: tuple[LogEntry, ...], stood: Stood
) -> Mapping[ItemKey, Tick]:
    """A stage's ticks, with those of sleeves that stand where their post came back to in the place of the later ones."""
    before = sleeves_before(log)
    if not before:
        return checks
    back = {item.key: sleeve_tick(checks, item.key, item.of, stood, before) for item in items if item.key in before}
    return {**checks, **{key: tick for key, tick in back.items() if tick is not None}}
