"""Ticks of two copies joined: what both read is asked where they read different things, and no reading goes without a trace."""

from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import first_few
from engine.job.edit.edits import superseded_entry
from engine.job.errors import shown
from engine.job.merge.asked import Conflict, Keep, in_order
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry, live
from engine.job.model.tick_facts import NO_FACTS, TickFacts, as_far_as_known, as_said_by, known_alike, same_facts, same_places
from engine.job.model.words.key_words import item_words, said_words, stock_words
from engine.job.model.words.log_sentences import day_words

MOST_NAMED = 4
FORGOTTEN = "It isn't known what was ticked here."
"""The note of a tick that both began with, as far as can be told, whatever it said: so both have another one, or none."""


@dataclass(frozen=True)
class JoinedTicks:
    """Ticks of both, what became of those that were overruled, and what has to be asked."""

    checks: Mapping[ItemKey, Tick]
    superseded: tuple[SupersededEntry, ...]
    conflicts: tuple[Conflict, ...]


def joined_ticks(base: Job, ours: Job, theirs: Job, keep: Keep) -> JoinedTicks:
    """The tick that one side changed; of two that both made alike the first, with the other in the log; of two that differ the kept one.
    A photo that one side named since is kept with the tick, or in the log where none stands any more; one that a side took off is off."""
    past = _overruled(ours, theirs), _overruled(theirs, ours)
    checks: dict[ItemKey, Tick] = {}
    superseded, conflicts = [], []
    for key in in_order(base.checks, ours.checks, theirs.checks):
        start, one, other = _with_facts(base.checks.get(key), ours.checks.get(key), theirs.checks.get(key))
        if one == other or (other is not None and _as_superseded(key, other) in past[0]):
            kept = one
        elif one is not None and _as_superseded(key, one) in past[1]:
            kept = other
        elif start in (one, other):
            kept = one if other == start else other
        elif one is not None and other is not None and same_tick(one, other):
            kept, second = sorted((one, other), key=lambda tick: (tick.at, tick.by, tick.model_dump_json()))
            if (second.at, second.by) != (kept.at, kept.by):
                superseded.append(superseded_entry(key, second, second.at, second.by, alike=True))
        else:
            asked = _conflict(key, start, one, other)
            kept, lost = (one, other) if keep.of(asked) == "ours" else (other, one)
            conflicts.append(asked)
            if lost is not None:
                last = max((tick for tick in (kept, lost) if tick is not None), key=lambda tick: (tick.at, tick.by))
                superseded.append(superseded_entry(key, lost, last.at, kept.by if kept else lost.by, opened=kept is None))
            checks |= {key: kept} if kept is not None else {}
            continue
        fresh = _fresh_photos(start, kept, one, other)
        if kept is not None:
            off = {name for name in (start.photos if start else ()) for side in (one, other) if side and name not in side.photos}
            photos = tuple(name for name in (*kept.photos, *fresh) if name not in off)
            checks[key] = kept if photos == kept.photos else kept.model_copy(update={"photos": photos})
        elif fresh and (shown := other if one is None else one) is not None:
            superseded.append(superseded_entry(key, shown, shown.at, shown.by, opened=True))
    return JoinedTicks(checks, tuple(superseded), tuple(conflicts))


def _fresh_photos(start: Tick | None, kept: Tick | None, *sides: Tick | None) -> tuple[str, ...]:
    """Photos that a side named since the version before and that the kept tick lacks."""
    known = {*(start.photos if start else ()), *(kept.photos if kept else ())}
    return tuple(dict.fromkeys(name for side in sides if side for name in side.photos if name not in known))


def same_tick(one: Tick, other: Tick) -> bool:
    """Whether two ticks say the same of the same thing, whoever made them and when, as far as both knew it."""
    said = [(tick.state, tick.reading_ft, tick.reading_in, tick.note) for tick in (one, other)]
    if said[0] != said[1]:
        return False
    return any(same_facts(less.of, as_far_as_known(less.of, full.of)) for less, full in ((one, other), (other, one)))


def only_lacks_facts(less: Tick | None, full: Tick | None) -> bool:
    """Whether two are one and the same tick, and the first, of an older file, doesn't say what it was made for."""
    if less is None or full is None or less.at != full.at or less.of == full.of:
        return False
    unsaid = less.of in (NO_FACTS, as_said_by(less.of, full.of)) or bool(full.of.places and not less.of.places and not less.of.sizes)
    return unsaid and less.model_copy(update={"of": full.of}) == full


def _with_facts(start: Tick | None, one: Tick | None, other: Tick | None) -> tuple[Tick | None, Tick | None, Tick | None]:
    """A tick before and on both sides, each with the facts that another version of it says; before only what both sides allow. One and the
    same tick, of which each side knows something else since, says nothing of that: what was read otherwise is asked by itself. What only
    one side knows otherwise, or calls otherwise, is as that side says."""
    if start == one == other:
        return start, one, other
    here, there = (next((full for full in (other, one, start) if only_lacks_facts(tick, full)), tick) for tick in (one, other))
    changed = here is not None and there is not None and here != there and start not in (here, there)
    if changed and here is not None and there is not None and here.model_copy(update={"of": there.of}) == there:
        of = known_alike(here.of, there.of, start.of if start else NO_FACTS)
        here, there = (here, there) if of is None else (here.model_copy(update={"of": of}),) * 2
    full = [tick for tick in (here, there) if only_lacks_facts(start, tick)]
    return (full[0] if full and full[0] == full[-1] else start), here, there


def tick_words(tick: Tick | None, none: str = "it was opened again") -> str:
    """What a tick says, why, by whom and when: `30" (rock), by Mo on May 4 at 14:05`; or what is said where there is none."""
    if tick is None:
        return none
    why = f" ({shown(tick.note)})" if tick.note else ""
    return f"{said_words(tick)}{why}, by {tick.by} on {day_words(tick.at)} at {tick.at:%H:%M}"


def _as_superseded(key: ItemKey, tick: Tick) -> tuple[object, ...]:
    return (key, tick.state, tick.at, tick.by, tick.reading_ft, tick.reading_in)


def _overruled(job: Job, other: Job) -> set[tuple[object, ...]]:
    """Ticks that a copy doesn't hold to any more, and the other doesn't know of that: what that holds though it does, it took up again."""
    known = {entry.id for entry in other.log}
    past = (entry for entry in live(job.log) if isinstance(entry, SupersededEntry) and entry.id not in known)
    return {_as_superseded(entry.item, entry.tick) for entry in past}


def _made_for(of: TickFacts, other: TickFacts) -> str:
    """What a tick was made for and the other one wasn't: `for P4 at 24' 0" E 3' 6" N, without P5`."""
    there, names = {at.support: at for at in other.places}, {at.support for at in of.places}
    apart = [at for at in of.places if at.support not in there or not same_places(TickFacts((at,)), TickFacts((there[at.support],)))]
    said = [f"{at.support} at {format_ft_in(at.east_ft)} E {format_ft_in(at.north_ft)} N" for at in apart]
    sizes = [size for size in of.sizes if not any(same_facts(TickFacts(sizes=(size,)), TickFacts(sizes=(one,))) for one in other.sizes)]
    said += [f"{size.name} {format_ft_in(size.value) if size.unit == 'ft' else f'{size.value:.0f}°'}" for size in sizes]
    said += [word for word in of.words if word not in other.words]
    said += [stock_words(row) for row in of.stock if row not in other.stock]
    without = [name for name in there if name not in names]
    parts = [f"for {first_few(said, MOST_NAMED)}"] if said else []
    return ", ".join([*parts, f"without {first_few(without, MOST_NAMED)}"] if without else parts) or "for nothing besides"


def _conflict(key: ItemKey, start: Tick | None, one: Tick | None, other: Tick | None) -> Conflict:
    none = "it isn't ticked" if start is not None and start.note == FORGOTTEN else "it was opened again"
    what, here, there = item_words(key), tick_words(one, none), tick_words(other, none)
    if one is not None and other is not None and same_tick(one.model_copy(update={"of": other.of}), other):
        here, there = f"{here}, {_made_for(one.of, other.of)}", f"{there}, {_made_for(other.of, one.of)}"
    return Conflict(("checks", str(key)), what, here, there)
