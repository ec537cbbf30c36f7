"""Ticks: one row an item done, with its reading; in a repair those too that say what the job before left open, or never asked."""

from typing import Literal

from pydantic import AwareDatetime, model_validator

from engine.job.model.base import Feet, Inches, Part, PhotoFiles, ShortText, Text
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import NO_FACTS, FactsInFile

TickState = Literal["done", "not needed", "left open", "not asked"]
CLOSES_YARD = frozenset({("cables", "closed"), ("fabric", "wire_hung"), ("fabric", "mesh_hung"), ("gate", "hung")})
"""Stage and question of what leaves the yard open until it is done, whatever anybody says."""


class Tick(Part):
    """One checklist item done or not needed; a reading is kept in feet or in inches, as its item asks. `of` is what it was made for: the
    supports at their places and the sizes of that day. Where the walk finds others, it is open. `photos` show it. In a repair: `left open`
    by the job before, with the reason, and open still; or `not asked` by the older program that the job before was signed with."""

    state: TickState = "done"
    at: AwareDatetime
    by: ShortText
    reading_ft: Feet | None = None
    reading_in: Inches | None = None
    note: Text = ""
    of: FactsInFile = NO_FACTS
    photos: PhotoFiles = ()

    @model_validator(mode="after")
    def _one_reading(self) -> "Tick":
        if self.reading_ft is not None and self.reading_in is not None:
            raise ValueError("a tick has one reading: reading_ft or reading_in")
        return self

    def answers(self, key: ItemKey) -> bool:
        """Whether it says something of this item that can be said: what closes the yard is done, or it is open."""
        return self.state != "not needed" or (key.stage, key.what) not in CLOSES_YARD

    @property
    def reading(self) -> float | None:
        """The reading in the unit it was kept in."""
        return self.reading_in if self.reading_in is not None else self.reading_ft
