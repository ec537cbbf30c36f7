"""Items and records of a file in a few words."""

from engine.job.model.cross_checks import NOUNS
from engine.job.model.item_key import ItemKey

_MORE_NOUNS = {
    "job": "The job's", "fence": "The fence's", "rules": "The rules for", "utility_notice": "The utility notice's", "points": "Point",
    "stock": "Stock row",
}  # fmt: skip


def item_words(key: ItemKey) -> str:
    """An item by what it is about and what is asked: `P7 driven depth`."""
    subject = "" if key.subject == "job" else f"{key.subject} "
    return f"{subject}{key.what.replace('_', ' ')}".strip()


def record_words(table: str, name: str) -> str:
    """A record by its kind and name, or a field of a table that has no records: `Post P7`, `The fence's height`."""
    noun = {**NOUNS, **_MORE_NOUNS}.get(table, table)
    if table not in ("job", "fence", "rules", "utility_notice"):
        return f"{noun} {name}"
    stem, _, unit = name.rpartition("_")
    return f"{noun} {(stem if unit in ('ft', 'in') else name).replace('_', ' ')}"
