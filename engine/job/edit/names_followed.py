"""Who names whom in a job: every field that holds a record's name, so that a new name is followed everywhere."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from engine.job.edit.facts_renamed import facts_renamed
from engine.job.edit.subjects import pairs_renamed, subject_renamed
from engine.job.model.base import Part
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import shot_points
from engine.job.model.fence import LAYOUT_TABLES, Alternative
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, NoteEntry, PhotoEntry, SupersededEntry
from engine.job.model.plan_before import LineRows, PlanBefore
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import TickFacts

FENCE_STOCK = ("cable", "post", "sleeve", "brace", "wire", "mesh", "gate_tube")
_MEETS = {"structures": "structure", "trees": "tree", "lines": "line"}
_CARRIES = {"structures": ("structure",), "trees": ("tree",), "surfaces": ("structure", "driven")}
"""What a post stands in or on whose `at` names a record of the table."""


class _Called(NamedTuple):
    """A record of a table under its new name; `alone` as said of `followed`, `pairs` subjects of two points of which it is one."""

    table: str
    old: str
    new: str
    alone: bool
    pairs: Mapping[str, str]

    def key(self, key: ItemKey) -> ItemKey:
        return subject_renamed(key, self.table, self.old, self.new, self.pairs)

    def facts(self, of: TickFacts, what: str) -> TickFacts:
        return facts_renamed(of, what, self.table, self.old, self.new)

    def ticks(self, checks: Mapping[ItemKey, Tick]) -> dict[ItemKey, Tick]:
        found = {}
        for key, tick in checks.items():
            of = self.facts(tick.of, key.what)
            found[self.key(key)] = tick if of is tick.of else tick.model_copy(update={"of": of})
        return found


def followed(job: Job, table: str, old: str, new: str, *, alone: bool) -> Job:
    """Job, in which a record of a table is called `new` already, with everything that still names it `old` changed. `alone` is whether no
    record of another table has the old name: only then notes that say it mean this record."""
    if table == "stock" and old in stock_of(job.stock):
        return job
    tables: dict[str, Any] = {}
    for name, fields in _fields(table).items():
        tables[name] = {key: with_names(row, fields(row), old, new) for key, row in getattr(job, name).items()}
    if table == "stock":
        tables["fence"] = with_names(job.fence, FENCE_STOCK, old, new)
    tables["alternatives"] = {name: _layout(layout, table, old, new) for name, layout in job.alternatives.items()}
    called = _Called(table, old, new, alone, pairs_renamed(job, old, new) if table == "points" else {})
    tables["log"] = tuple(_entry(entry, called) for entry in job.log)
    tables["checks"] = called.ticks(job.checks)
    return job.model_copy(update=tables)


def _fields(table: str) -> Mapping[str, Callable[[Any], tuple[str, ...]]]:
    """By table, the fields of one of its records that name a record of this one."""
    if table == "points":
        corners = dict.fromkeys(("structures", "obstacles", "utilities", "boundaries", "decks", "lines"), lambda _: ("points",))
        return {"shots": lambda shot: tuple(shot_points(shot)), "trees": lambda _: ("point",), **corners, "yards": lambda _: ("inside",)}
    found: dict[str, Callable[[Any], tuple[str, ...]]] = {}
    if table in _MEETS:
        found["lines"] = lambda line: tuple(f"{end}_at" for end in ("start", "end") if getattr(line, f"{end}_meets") == _MEETS[table])
    if table in _CARRIES:
        found["posts"] = lambda post: ("at",) if post.support in _CARRIES[table] else ()
    if table == "lines":
        found |= dict.fromkeys(("surfaces", "heights", "gates", "posts"), lambda _: ("line",))
        found["shots"] = lambda shot: ("line",) if shot.method == "level" else ()
    if table == "yards":
        found["dogs"] = lambda _: ("yard",)
    return found


def with_names(row: Any, fields: tuple[str, ...], old: str, new: str) -> Any:
    """A record with the name changed in these fields; the very same where none holds it."""
    changed: dict[str, object] = {}
    for field in fields:
        held = getattr(row, field)
        if isinstance(held, tuple) and old in held:
            changed[field] = tuple(new if name == old else name for name in held)
        elif held == old:
            changed[field] = new
    return row.model_copy(update=changed) if changed else row


def _layout(layout: Alternative, table: str, old: str, new: str) -> Alternative:
    """An alternative with the name changed in all that names it, and in its own record of that name where none is called so yet."""
    tables: dict[str, Any] = {"fence": with_names(layout.fence, FENCE_STOCK, old, new)} if table == "stock" else {}
    own = getattr(layout, table, {}) if table in LAYOUT_TABLES else {}
    if own and old in own and new in own:
        return layout
    for name in (*LAYOUT_TABLES[1:], "levels"):
        fields = _fields(table).get("shots" if name == "levels" else name)
        held = {key: with_names(row, fields(row), old, new) if fields else row for key, row in getattr(layout, name).items()}
        tables[name] = {new if name == table and key == old else key: row for key, row in held.items()}
    return layout.model_copy(update=tables)


_LOGGED = {"points": ("through", "old_points"), "lines": ("line",), "trees": ("tree",), "stock": ("stock",)}


def _entry(entry: LogEntry, called: _Called) -> Part:
    """An entry of the log, struck or not."""
    fields = tuple(field for field in _LOGGED.get(called.table, ()) if hasattr(entry, field))
    if called.alone and isinstance(entry, NoteEntry | PhotoEntry):
        fields = (*fields, "about")
    if isinstance(entry, SupersededEntry):
        item, of = called.key(entry.item), called.facts(entry.of, entry.item.what)
        return entry if item == entry.item and of is entry.of else entry.model_copy(update={"item": item, "of": of})
    changed: Part = with_names(entry, fields, called.old, called.new)
    kept = {field: rows for field in ("before", "after") if (rows := getattr(entry, field, None)) is not None}
    return changed.model_copy(update={field: _kept(rows, called) for field, rows in kept.items()}) if kept else changed


def _kept(rows: LineRows, called: _Called) -> Part:
    """Records kept with a plan or a new way, under their new name and naming each other by it."""
    table, old, new = called.table, called.old, called.new
    tables: dict[str, Any] = {}
    for name, held in rows:
        fields = _fields(table).get(name)
        if name == table or fields is not None:
            tables[name] = {
                new if name == table and key == old else key: with_names(row, fields(row), old, new) if fields else row
                for key, row in held.items()
            }
    if isinstance(rows, PlanBefore):
        tables["checks"] = called.ticks(rows.checks)
    return rows.model_copy(update=tables)
