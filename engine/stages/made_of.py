"""Of which stock rows things are made, as a tick says it: another row in the fence's place, and they are to be made anew."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import NamedTuple, Protocol, TypeVar

from engine.calc.remember import remembered
from engine.job.model.fence import Fence, SupportKind
from engine.job.model.stock_table import fabric_ids

T = TypeVar("T")
Rows = tuple[str, ...]
"""Ids of stock rows."""


class Carrier(Protocol):
    """What carries eyes: a support where it stands, or a post of a plan."""

    @property
    def support(self) -> SupportKind:
        """What it is."""
        ...

    @property
    def at(self) -> str | None:
        """The tree or structure, or the surface under its base plate."""
        ...


class Fenced(Protocol):
    """As much of a job as is asked here."""

    @property
    def fence(self) -> Fence:
        """What the fence is made of."""
        ...

    @property
    def surfaces(self) -> Collection[str]:
        """Names of floors."""
        ...


class OfFence(NamedTuple):
    """That much by itself, for what is remembered by it."""

    fence: Fence
    surfaces: Collection[str]


@remembered
def stock_rows(*names: str) -> Rows:
    """These rows, the very same object from walk to walk."""
    return names


def carried_at(fence: Fence, support: SupportKind, on_plate: bool) -> Rows:
    """What carries eyes at one support."""
    return stock_rows(fence.sleeve, fence.post) if support == "driven" else stock_rows(fence.post) if on_plate else ()


def carried_by(job: Fenced, supports: Iterable[Carrier]) -> Rows:
    """What carries eyes there: sleeve and post where any is driven, the post on base plates, nothing where all are trees or walls."""
    found: Rows = ()
    for support in supports:
        rows = carried_at(job.fence, support.support, support.at in job.surfaces)
        if support.support == "driven":
            return rows
        found = rows or found
    return found


def hung_on(job: Fenced, supports: Iterable[Carrier]) -> Rows:
    """The cable, and what carries it: what wire and mesh hang on."""
    return stock_rows(*carried_by(job, supports), job.fence.cable)


def wire_on(job: Fenced, supports: Iterable[Carrier]) -> Rows:
    """Wire, and what it hangs on."""
    return stock_rows(*hung_on(job, supports), fabric_ids(job.fence)[0])


def mesh_on(job: Fenced, supports: Iterable[Carrier]) -> Rows:
    """Mesh, and what it hangs on."""
    return stock_rows(*hung_on(job, supports), fabric_ids(job.fence)[1])


def fabric_on(job: Fenced, supports: Iterable[Carrier]) -> Rows:
    """A whole fence along supports, but for its braces and gates."""
    return stock_rows(*hung_on(job, supports), *fabric_ids(job.fence))


def made_along(
    job: Fenced, made: Callable[[Fenced, Iterable[Carrier]], T], supports: Mapping[str, Carrier], rows: Iterable[Sequence[str]]
) -> list[T]:
    """Of what is made what runs along each of many rows of supports: alike wherever one of them is driven."""
    driven = {name for name, one in supports.items() if one.support == "driven"}
    alike = made(job, [supports[name] for name in list(driven)[:1]])
    return [made(job, [supports[name] for name in row]) if driven.isdisjoint(row) else alike for row in rows]


def leaf_of(job: Fenced) -> Rows:
    """A gate's leaf, covered."""
    return stock_rows(job.fence.gate_tube, *fabric_ids(job.fence))
