"""Supports and bays as far as the work at them hangs on: what stands where, and how far apart. How a support came there, and at which
station of its line that is, changes with a plan or a line that is laid anew, and nothing here with it."""

from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered, remembered_columns, remembered_of
from engine.job.model.fence import PostKind, SupportKind
from engine.job.model.tick_facts import At
from engine.stages.layout.stage import Bay, Layout, Support


class Stand(NamedTuple):
    """A support where it stands today, as `engine.stages.layout.stage.Support` has it."""

    id: str
    kind: PostKind
    support: SupportKind
    at: str | None
    xy: Point
    there: At
    level_ft: float
    lift_ft: float

    @property
    def driven(self) -> bool:
        """Whether it is a post in a sleeve."""
        return self.support == "driven"


class Span(NamedTuple):
    """A bay or a gate's opening, as `engine.stages.layout.stage.Bay` has it."""

    id: str
    line: str
    from_id: str
    to_id: str
    plan_ft: float
    slope_ft: float
    rise_ft: float
    gate: str | None


@remembered_of
def stands_of(layout: Layout) -> dict[str, Stand]:
    """Every support, the very same one from walk to walk where it stands as it stood."""
    return dict(zip(layout.supports, _stands(layout.supports.values()), strict=True))


@remembered_of
def spans_of(layout: Layout) -> dict[str, Span]:
    """Every bay, the very same one from walk to walk."""
    return dict(zip(layout.bays, _spans(layout.bays.values()), strict=True))


@remembered_columns
def _stands(one: Support) -> Stand:
    return _stand(one.id, one.kind, one.support, one.at, one.xy, one.there, one.level_ft, one.lift_ft)


@remembered_columns
def _spans(bay: Bay) -> Span:
    return _span(bay.id, bay.line, bay.from_id, bay.to_id, bay.plan_ft, bay.slope_ft, bay.rise_ft, bay.gate)


_stand = remembered(Stand)
_span = remembered(Span)
