"""Facts in which two versions of a signed-off job differ, a sentence each, as a crew says them."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from engine.calc.length_words import tape_parts
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import measured
from engine.calc.tolerances import MARK_IN, ROUNDING_IN, SAME_SPOT_FT
from engine.findings import TITLES
from engine.job.errors import LONGEST_SHOWN, PathInFile, shown
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import TickFacts, tick_facts
from engine.job.model.words.field_words import field_words, value_text
from engine.job.model.words.key_words import CHECKS, LOG, RECORD, Named, fact_words, said_words, ticked_words
from engine.job.model.words.log_sentences import called, day_words, happened
from engine.job.model.words.part_words import ORDER
from engine.stages.takeoff import unit_of

UNSAID = ("digest", "text")
"""Values that nobody reads: seal numbers, and the lines of the file of the job before."""
LENGTHS = ("_ft", "_in", "_deg")
AMOUNTS = ("planned", "quantities")
MOST_NAMED, MOST_GONE = 60, 160
NOTHING = "nothing"
LEAD = 20
"""So many letters of a long text stand before the first one that differs."""
ROW = len((RECORD, "supports", "P4"))
SENTENCES = ("text", "why", "note", "caption", "says", "reason", "left_open", "notes", "items_open")
"""Fields, and tables, of what somebody wrote in words of their own."""


class SideWords(NamedTuple):
    """How it is said on which side a fact stands."""

    was: str = "when it was signed"
    now: str = "now"


def changed_facts(signed: Job, now: Job, says: Named) -> tuple[str, ...]:
    """What two versions of a job don't say alike, with what each of them says; of findings what `says` tells, where the record doesn't."""
    was, there = _facts(signed), _facts(now)
    again = dict(_other_ids(was[LOG], there[LOG]))
    for old, new in again.items():
        there[LOG][old] = was[LOG][old]
        del there[LOG][new]
    entries = {entry.id: entry for entry in signed.log}
    renamed = (f"The id of {_small(called(entries[old]))} was changed." for old in again)
    told = HowTold({**says, **named_in(now), **named_in(signed)}, {**_gone(now), **_gone(signed)}, stock_units(now, signed))
    ids = [[entry.id for entry in job.log] for job in (signed, now)]
    order = [ORDER] if ids[0] != ids[1] and sorted(ids[0]) == sorted(ids[1]) else []
    return (*renamed, *told.differences(was, there, ()), *order)


def record_facts(was: Mapping[str, Any], now: Mapping[str, Any], job: Job, says: Named, sides: SideWords) -> tuple[str, ...]:
    """What two records say otherwise, as far as a tape or what is printed tells them apart."""
    told = HowTold({**says, **named_in(job)}, {}, stock_units(job), sides, exact=False)
    return tuple(told.differences(was, now, (RECORD,)))


def named_in(job: Job) -> dict[tuple[str, str], str]:
    """What the rows are called that go by keys: entries of the log, findings, stock and stages."""
    named = {(LOG, entry.id): called(entry) for entry in job.log}
    named |= {(table, name): row.name for name, row in stock_of(job.stock).items() if row.name for table in AMOUNTS}
    named |= {("stages", stage): title for stage, title in TITLES.items()}
    if job.record is not None:
        named |= quoted({key: found.says for key, found in job.record.found_open.items()}, ("left_open", "found_open"))
        named |= quoted(job.record.notes, ("notes",))
    if job.repair_of is not None:
        named |= quoted({key: found.says for key, found in job.repair_of.found.items()}, ("found",))
    return named


def quoted(says: Mapping[str, str], tables: Iterable[str] = ("left_open",)) -> dict[tuple[str, str], str]:
    """Findings by their words, as rows of some tables of a record."""
    tables = tuple(tables)
    return {(table, key): f'"{shown(_one_line(words), MOST_NAMED)}"' for key, words in says.items() for table in tables}


def stock_units(*jobs: Job) -> dict[str, str]:
    """What every row of the stock is counted in."""
    return {name: unit_of(row) for job in jobs for name, row in stock_of(job.stock).items()}


class HowTold(NamedTuple):
    """What differences are told with: what rows are called, what those said that are gone, and what stock is counted in. Unless they are
    `exact`, what a tape doesn't tell apart, or what reads the same, is none."""

    named: Named
    gone: Named
    units: Mapping[str, str]
    sides: SideWords = SideWords()
    exact: bool = True

    def differences(self, was: Any, now: Any, path: tuple[str, ...]) -> Iterator[str]:
        """A sentence for every fact that isn't the same, in the order in which they stand; unless they are `exact` for every row."""
        if isinstance(was, Mapping) and isinstance(now, Mapping):
            if len(path) == ROW and not self.exact:
                yield from self._of_row(was, now, path)
                return
            for key in dict.fromkeys((*was, *now)):
                yield from self.differences(was.get(key), now.get(key), (*path, str(key)))
        elif was != now:
            yield from self._difference(was, now, path)

    def _difference(self, was: Any, now: Any, path: tuple[str, ...]) -> Iterator[str]:
        where = shown(fact_words(path, self.named), 2 * MOST_NAMED)
        if isinstance(was, Mapping) or isinstance(now, Mapping):
            yield self._there(was, now, path, where)
        elif (path[-1] in UNSAID and path[0] != LOG) or path[:-1] == (RECORD, "photos"):
            yield f"{where} was changed."
        elif differ := self._values(was, now, path):
            yield f"{where}: {differ[0]} {self.sides.was}, {differ[1]} {self.sides.now}."
        elif self.exact:
            yield f"{where} was changed by less than is printed of it."

    def _there(self, was: Any, now: Any, path: tuple[str, ...], where: str) -> str:
        """That a row is there on one side only."""
        if not self.exact:
            there, not_there = ("there", "not there") if now is None else ("not there", "there")
            return f"{where}: {there} {self.sides.was}, {not_there} {self.sides.now}."
        said = self.gone.get((path[0], path[-1]), "") if len(path) == len((CHECKS, "key")) else ""
        ticked = "The tick of " if said and path[0] == CHECKS else ""
        return f"{ticked}{where} was {'put in' if was is None else 'taken out'}{f': {said}' if said else ''}."

    def _of_row(self, was: Mapping[str, Any], now: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[str]:
        """A row with all that differs in it."""
        fields = [field for field in dict.fromkeys((*was, *now)) if was.get(field) != now.get(field)]
        differ = {field: self._values(was.get(field), now.get(field), (*path, field)) for field in fields}
        told = [(_small(field_words(path[-2], field)), *values) for field, values in differ.items() if values]
        if told:
            then, today = (", ".join(f"no {said[0]}" if said[n] == NOTHING else f"{said[0]} {said[n]}" for said in told) for n in (1, 2))
            yield f"{shown(fact_words(path, self.named), 2 * MOST_NAMED)}: {then} {self.sides.was}; {today} {self.sides.now}."

    def _values(self, was: Any, now: Any, path: tuple[str, ...]) -> tuple[str, str] | None:
        """What two values read, where they read otherwise and, unless they are `exact`, a tape tells them apart."""
        one, other = _apart(self._words(was, path), self._words(now, path))
        if one == other or not (self.exact or _told_apart(path, was, now)):
            return None
        return (f'"{one}"', f'"{other}"') if path[-1] in SENTENCES or path[-2] in SENTENCES else (one, other)

    def _words(self, value: Any, path: PathInFile) -> str:
        """A value as it is told: lengths as on a tape, stock in its unit, an item by what is asked."""
        table, field = (str(part) for part in path[-2:])
        if value in (None, "", (), {}):
            return NOTHING
        if table == "bays_ft":
            return value_text(table, value)
        if table in AMOUNTS and isinstance(value, float):
            return measured(value, self.units.get(field, "pieces"))
        if field == "of":
            return _ticked_for(tick_facts(value), self.named)
        if field == "item" and path[0] == LOG:
            return ticked_words(value)
        if isinstance(value, float) and abs(value) >= 1 and not field.endswith(LENGTHS):
            value = round(value, 2)
        return _one_line(value_text(field, value)) or "blanks"


def _facts(job: Job) -> dict[str, Any]:
    """Everything a job says, its log by the ids of its entries."""
    said = job.model_dump(exclude={"format": True, "record": {"parts", "parts_digest"}})
    said[LOG] = {entry["id"]: {key: value for key, value in entry.items() if key != "id"} for entry in said[LOG]}
    return said


def _other_ids(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Entries of the log that go by another id and say what they said."""
    left = {new: entry for new, entry in now.items() if new not in was}
    for old, entry in was.items():
        new = next((new for new, other in left.items() if other == entry), None) if old not in now else None
        if new is not None:
            del left[new]
            yield old, new


def _gone(job: Job) -> dict[tuple[str, str], str]:
    """What the ticks and the entries of a log say, for when they are gone."""
    ticks = {
        (CHECKS, str(key)): f"{said_words(tick)}, ticked on {day_words(tick.at)} at {tick.at:%H:%M} by {tick.by}"
        for key, tick in job.checks.items()
    }
    return ticks | {(LOG, entry.id): shown(_one_line(happened(entry)), MOST_GONE) for entry in job.log}


def _ticked_for(facts: TickFacts, named: Named) -> str:
    """What a tick was made for: `P4 at 24' 0" E 3' 6" N, sleeve`."""
    places = [f"{at.support} at {format_ft_in(at.east_ft)} E {format_ft_in(at.north_ft)} N" for at in facts.places]
    sizes = [f"{size.name} {format_ft_in(size.value) if size.unit == 'ft' else f'{size.value:.0f}°'}" for size in facts.sizes]
    return ", ".join([*places, *sizes, *facts.words, *(named.get(("quantities", row), row) for row in facts.stock)])


def _told_apart(path: tuple[str, ...], was: Any, now: Any) -> bool:
    """Whether two lengths, or two tapes in words, are further apart than a tape tells; any other two are. None of a stock is no fact."""
    if path[-2] in AMOUNTS:
        return round(was or 0.0) != round(now or 0.0)
    if isinstance(was, float) and isinstance(now, float):
        return abs(was - now) / (12 if path[-1].endswith("_in") else 1) >= SAME_SPOT_FT
    one, other = tape_parts(str(was)), tape_parts(str(now))
    return one is None or other is None or one[1] != other[1] or abs(one[0] - other[0]) * 12 > MARK_IN + ROUNDING_IN


def _apart(one: str, other: str) -> tuple[str, str]:
    """Two texts that can be shown; long ones from shortly before where they part."""
    if max(len(one), len(other)) <= LONGEST_SHOWN:
        return shown(one), shown(other)
    alike = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    start = max(0, alike - LEAD)
    lead = "..." if start else ""
    return shown(f"{lead}{one[start:]}"), shown(f"{lead}{other[start:]}")


def _one_line(text: str) -> str:
    return " ".join(text.split()).rstrip(".")


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"
