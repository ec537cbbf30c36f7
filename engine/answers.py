"""A stage's items joined with the ticks that answer them; what is as it was a moment ago is taken over."""

from collections.abc import Iterable, Mapping, Sequence
from operator import is_
from typing import NamedTuple, cast

from engine.checklist import IN_PER_FT, NOTHING_ASKED, Checklist, ChecklistLine, Item, Stood, Tally, WantedReading, counts
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


def answer(items: Sequence[Item], checks: Mapping[ItemKey, Tick], stood: Stood) -> Checklist:
    """Checklist of a stage: each item joined with its tick, whose reading is in the unit the item asks for."""
    return answered_again(items, checks, stood, NOT_ANSWERED).checklist


def answered_again(items: Sequence[Item], checks: Mapping[ItemKey, Tick], stood: Stood, before: Answered) -> Answered:
    """The same, with what it was answered before: a line of such an item and the very same tick is used again, and a checklist of such
    lines."""
    old = before.checklist.lines
    lines = _of_before(items, before)
    if checks is not before.checks:
        lines = [line if line is not None and _given(line) is checks.get(line.item.key) else None for line in lines]
    if before.by_log and stood is not before.stood:
        lines = [line if line is not None and line.item.key not in before.by_log else None for line in lines]
    looked_at = [n for n, line in enumerate(lines) if line is None]
    gone = {line.item.key: line for line in _gone(old, lines, looked_at)}
    fresh, by_log = [], []
    for n in looked_at:
        item = items[n]
        given, was = checks.get(item.key), gone.get(item.key)
        hangs_on_log = given is not None and not given.of.places and item.of.places
        if was is not None and not hangs_on_log and given is _given(was) and was.item == item:
            lines[n] = gone.pop(item.key)
            continue
        lines[n] = line = _line(item, given, stood)
        fresh.append(line)
        if hangs_on_log:
            by_log.append(item.key)
    made = tuple(cast("list[ChecklistLine]", lines))
    if not fresh and len(made) == len(old) and all(map(is_, made, old)):
        return Answered(before.checklist, items, checks, stood, before.by_log)
    tally = _tallied(before.checklist.tally, gone.values(), fresh)
    return Answered(Checklist(made, tally), items, checks, stood, before.by_log.union(by_log))


def _of_before(items: Sequence[Item], before: Answered) -> list[ChecklistLine | None]:
    """Of every item the line of before; where there are as many, it is looked for in its place only."""
    lines = before.checklist.lines
    if len(items) == len(lines):
        return [line if item is was else None for item, was, line in zip(items, before.items, lines, strict=True)]
    return [*map(dict(zip(map(id, before.items), lines, strict=True)).get, map(id, items))]


def _gone(old: Sequence[ChecklistLine], lines: Sequence[ChecklistLine | None], looked_at: Sequence[int]) -> list[ChecklistLine]:
    """Lines of before that aren't used again."""
    if len(old) == len(lines):
        return [old[n] for n in looked_at]
    kept = set(map(id, lines))
    return [line for line in old if id(line) not in kept]


def _given(line: ChecklistLine) -> Tick | None:
    """The tick that a line was made of, where it is read in the unit it was kept in."""
    return line.tick or line.was


def _tallied(before: Tally, gone: Iterable[ChecklistLine], fresh: Iterable[ChecklistLine]) -> Tally:
    """What lines come to, of what they came to with others instead of the fresh ones."""
    others: dict[str, dict[str, Tick]] = {}
    left_open = before.left_open
    for lines, more in ((gone, -1), (fresh, 1)):
        for item, tick, _, _ in lines:
            if tick is not None and tick.state == "done":
                _, subject, what = item.key
                if (done := others.get(what)) is None:
                    done = others[what] = {**before.done.get(what, {})}
                if more > 0:
                    done[subject] = tick
                else:
                    done.pop(subject, None)
            elif tick is not None and tick.state == "left open":
                left_open += more
    return Tally({**before.done, **others}, left_open)


def _line(item: Item, given: Tick | None, stood: Stood) -> ChecklistLine:
    if given is None:
        return ChecklistLine(item, None)
    wanted = item.reading
    tick = given if wanted is None else _in_unit(given, wanted)
    if not counts(given, item.of, stood):
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
