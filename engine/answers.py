"""A stage's items joined with the ticks that answer them; what is as it was a moment ago is taken over."""

from collections.abc import Iterable, Mapping, Sequence, Set
from itertools import compress, count, filterfalse, repeat
from operator import attrgetter, is_, is_not
from typing import NamedTuple, cast

from engine.checklist import IN_PER_FT, NOTHING_ASKED, Checklist, ChecklistLine, Item, Stood, Tally, WantedReading, alike_ends, counts
from engine.job.model.base import FEET_PLACES, INCH_PLACES
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey


class Answered(NamedTuple):
    """A checklist and what it was answered with; `by_log` are items whose answer goes by where the log says that supports stood."""

    checklist: Checklist = NOTHING_ASKED
    items: Sequence[Item] = ()
    checks: Mapping[ItemKey, Tick] = {}
    stood: Stood = {}
    by_log: frozenset[ItemKey] = frozenset()


NOT_ANSWERED = Answered()
_KEY = attrgetter("key")


def answer(items: Sequence[Item], checks: Mapping[ItemKey, Tick], stood: Stood) -> Checklist:
    """Checklist of a stage: each item joined with its tick, whose reading is in the unit the item asks for."""
    return answered_again(items, checks, stood, NOT_ANSWERED).checklist


def answered_again(items: Sequence[Item], checks: Mapping[ItemKey, Tick], stood: Stood, before: Answered) -> Answered:
    """The same, with what it was answered before: a line of such an item and the very same tick is used again, and a checklist of such
    lines."""
    old = before.checklist.lines
    lines, left = _of_before(items, before)
    ticked = _ticked_otherwise(checks, before.checks)
    again = ticked | before.by_log if stood is not before.stood else ticked
    otherwise = [*compress(count(), map(again.__contains__, map(_KEY, items)))] if again else []
    gone = {line.item.key: line for line in (*left, *map(lines.__getitem__, otherwise)) if line is not None}
    for n in otherwise:
        lines[n] = None
    looked_at = [*compress(count(), map(is_, lines, repeat(None)))]
    fresh, by_log = [], []
    for n in looked_at:
        item = items[n]
        given, was = checks.get(item.key), gone.get(item.key)
        hangs_on_log = given is not None and not given.of.places and item.of.places
        if was is not None and not hangs_on_log and given is was.given and was.item == item:
            lines[n] = gone.pop(item.key)
            continue
        lines[n] = line = _line(item, given, stood)
        fresh.append(line)
        if hangs_on_log:
            by_log.append(item.key)
    made = tuple(cast("list[ChecklistLine]", lines))
    asked, past_before = {items[n].key for n in looked_at}, before.checklist.past
    past = _past(checks, {*ticked, *gone, *(key for key, _ in past_before)} - asked)
    if not fresh and len(made) == len(old) and all(map(is_, made, old)) and past == past_before:
        return Answered(before.checklist, items, checks, stood, before.by_log)
    tally = _tallied(before.checklist.tally, gone.values(), fresh)
    return Answered(Checklist(made, tally, past), items, checks, stood, before.by_log.union(by_log))


def _ticked_otherwise(checks: Mapping[ItemKey, Tick], before: Mapping[ItemKey, Tick]) -> set[ItemKey]:
    """What has another tick than before, or one of the two only."""
    if checks is before:
        return set()
    return {*compress(checks, map(is_not, map(before.get, checks), checks.values())), *filterfalse(checks.__contains__, before)}


def _past(checks: Mapping[ItemKey, Tick], gone: Set[ItemKey]) -> tuple[tuple[ItemKey, Tick], ...]:
    """Ticks of what isn't asked any more, mostly none."""
    past = checks.keys() & gone
    return tuple([(key, checks[key]) for key in checks if key in past]) if past else ()


def _of_before(items: Sequence[Item], before: Answered) -> tuple[list[ChecklistLine | None], list[ChecklistLine]]:
    """Of every item the line of before, and the lines of those that aren't there any more; where there are as many, it is looked for in
    its place only."""
    lines = before.checklist.lines
    if len(items) == len(lines):
        others = [*compress(count(), map(is_not, items, before.items))]
        found: list[ChecklistLine | None] = [*lines]
        for n in others:
            found[n] = None
        return found, [lines[n] for n in others]
    first, last = alike_ends(items, before.items)
    until = len(lines) - last
    between = dict(zip(map(id, before.items[first:until]), lines[first:until], strict=True))
    kept = [between.pop(id(item), None) for item in items[first : len(items) - last]]
    return [*lines[:first], *kept, *lines[until:]], [*between.values()]


def _tallied(before: Tally, gone: Iterable[ChecklistLine], fresh: Iterable[ChecklistLine]) -> Tally:
    """What lines come to, of what they came to with others instead of the fresh ones."""
    others: dict[str, dict[str, Tick]] = {}
    for lines, more in ((gone, -1), (fresh, 1)):
        for item, tick, *_ in lines:
            if tick is not None and tick.state == "done":
                _, subject, what = item.key
                if (done := others.get(what)) is None:
                    done = others[what] = {**before.done.get(what, {})}
                if more > 0:
                    done[subject] = tick
                else:
                    done.pop(subject, None)
    return Tally({**before.done, **others})


def _line(item: Item, given: Tick | None, stood: Stood) -> ChecklistLine:
    if given is None:
        return ChecklistLine(item, None)
    if given.state == "left open":
        return ChecklistLine(item, None, left=given)
    wanted = item.reading
    tick = given if wanted is None else _in_unit(given, wanted)
    if not given.answers(item.key) or not counts(given, item.of, stood):
        return ChecklistLine(item, None, None, tick)
    value = None if wanted is None else tick.reading
    return ChecklistLine(item, tick, None if wanted is None or value is None else wanted.passes(value))


def _in_unit(tick: Tick, reading: WantedReading) -> Tick:
    """A tick as its item reads it: a file written by hand may give feet where inches are asked for, or inches for feet."""
    if reading.unit == "in" and tick.reading_ft is not None:
        return tick.model_copy(update={"reading_ft": None, "reading_in": round(tick.reading_ft * IN_PER_FT, INCH_PLACES)})
    if reading.unit == "ft" and tick.reading_in is not None:
        return tick.model_copy(update={"reading_ft": round(tick.reading_in / IN_PER_FT, FEET_PLACES), "reading_in": None})
    return tick
