"""An item ticked with what was read: the reading in the unit that the item asks for, and made for what it is about today."""

from datetime import datetime

from engine.checklist import Item
from engine.job.edit import edits
from engine.job.model.job import Job


def ticked(job: Job, item: Item, at: datetime, by: str, value: float | None = None, reason: str = "") -> Job:
    """Job with an item done, and its reading where it asks for one, with the reason where that is out of range.

    Raises: EditRefused on a sealed job or a reading that no tape gives.
    """
    if value is None or item.reading is None:
        return edits.tick(job, item.key, at, by, of=item.of)
    feet, inches = (value, None) if item.reading.unit == "ft" else (None, value)
    return edits.tick(job, item.key, at, by, reading_ft=feet, reading_in=inches, note=reason, of=item.of)
