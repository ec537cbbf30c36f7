"""The part of a line that a new way gives up: what stands in it, what is cut, and which sleeves have stood too long to pull."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from math import inf

from engine.calc.frozen import dataclass
from engine.calc.tolerances import TOUCHING_FT
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.walk import Walk

LAID = ("surfaces", "heights")
"""Tables of what lies along a line from a station to a station."""


@dataclass(frozen=True)
class NewWay:
    """What is asked: from one support of a line to another, through these points, or straight where there are none."""

    from_post: str
    to_post: str
    through: tuple[str, ...] = ()


@dataclass(frozen=True)
class GivenUp:
    """The part of a line that is given up: its supports and their stations, the supports and bays strictly between, the loops cut.

    `out` are driven posts, trees and structures alike; `stays` those of them whose sleeves stay in the ground. `gone` are hard
    stretches and changes of height that lie inside.
    """

    line: str
    way: NewWay
    from_ft: float
    to_ft: float
    out: tuple[str, ...]
    bays: tuple[str, ...]
    loops: tuple[str, ...]
    stays: tuple[str, ...]
    gone: tuple[str, ...]
    age_days: Mapping[str, float]

    @property
    def wraps(self) -> bool:
        """Whether it runs over the first point of a closed line."""
        return self.to_ft < self.from_ft

    def holds(self, station_ft: float) -> bool:
        """Whether a station of the line lies strictly inside."""
        if self.wraps:
            return not self.to_ft - TOUCHING_FT <= station_ft <= self.from_ft + TOUCHING_FT
        return self.from_ft + TOUCHING_FT < station_ft < self.to_ft - TOUCHING_FT

    def outside(self, from_ft: float, to_ft: float) -> list[tuple[float, float]]:
        """Parts of a piece of the line that lie outside."""
        pieces = [(self.to_ft, self.from_ft)] if self.wraps else [(0.0, self.from_ft), (self.to_ft, inf)]
        cut = [(max(low, from_ft), min(high, to_ft)) for low, high in pieces]
        return [(low, high) for low, high in cut if high - low > TOUCHING_FT]


def given_up(job: Job, before: Walk, way: NewWay, at: datetime) -> GivenUp:
    """What a new way gives up, before anything is changed.

    On an open line the two supports may be named either way round; on a closed one the stretch runs the way the line does. A sleeve stays
    in the ground where it was driven as long ago as the rules say, or longer.
    Source: common practice, no source: a sleeve less than about a week old pulls out, later it stays.
    """
    if not job.posts:
        raise EditRefused("There is no accepted plan to change. Accept the layout first.")
    for name in (way.from_post, way.to_post):
        if name not in before.layout.supports:
            field = "from_post" if name == way.from_post else "to_post"
            raise EditRefused(f"{name} is not in the accepted plan. Name two supports that are.", field)
    both = (row for row in before.layout.lines.values() if way.from_post in row.supports and way.to_post in row.supports)
    line = next(both, None)
    if line is None or way.from_post == way.to_post:
        raise EditRefused(
            f"{way.from_post} and {way.to_post} aren't two supports of one line. Name where the new way leaves a line and joins it.",
            "to_post",
        )
    row, closed = list(line.supports), job.lines[line.line].closed
    first, last = row.index(way.from_post), row.index(way.to_post)
    if first > last and not closed:
        way, first, last = NewWay(way.to_post, way.from_post, way.through[::-1]), last, first
    out = tuple(row[first + 1 : last] if first < last else [*row[first + 1 :], *row[:last]])
    bays = tuple(name for pair in pairwise((way.from_post, *out, way.to_post)) if (name := "-".join(pair)) in before.layout.bays)
    _refuse_what_stands_in_it(before, line.line, out, bays)
    if not out and not way.through:
        raise EditRefused(
            f"{way.from_post} and {way.to_post} stand next to each other: name a point that the fence is to go through.", "through"
        )
    path = before.survey.lines[line.line].path
    from_ft, to_ft = (_station_ft(before, line.line, path, name) for name in (way.from_post, way.to_post))
    driven = (name for name in out if before.layout.supports[name].support == "driven")
    ages = {name: (at - before.in_sleeves[name]) / timedelta(days=1) for name in driven if name in before.in_sleeves}
    cut = set(bays)
    found = GivenUp(
        line.line, way, from_ft, to_ft, out, bays,
        tuple(loop.id for loop in before.cables.loops.values() if not cut.isdisjoint(loop.bays)),
        tuple(name for name, age in ages.items() if age >= job.rules.posts.pull_days),
        (),
        ages,
    )  # fmt: skip
    rows = [(name, row) for table in LAID for name, row in getattr(job, table).items() if row.line == line.line]
    return replace(found, gone=tuple(name for name, row in rows if not found.outside(row.from_ft, row.to_ft)))


def _refuse_what_stands_in_it(before: Walk, line: str, out: tuple[str, ...], bays: tuple[str, ...]) -> None:
    for name in bays:
        if gate := before.layout.bays[name].gate:
            raise EditRefused(
                f"Gate {gate} stands in that stretch. End the new way at the gate's posts, or take the gate out first.", "to_post"
            )
    for other in before.layout.lines.values():
        ends = [name for name in out if name in other.supports]
        if other.line != line and ends:
            raise EditRefused(
                f"Line {other.line} ends on {ends[0]}, in that stretch. End the new way there, or put that line's end elsewhere first.",
                "to_post",
            )


def _station_ft(before: Walk, line: str, path: Sequence[tuple[float, float]], name: str) -> float:
    return max(before.layout.supports[name].on_line(line, path)[0], 0.0)
