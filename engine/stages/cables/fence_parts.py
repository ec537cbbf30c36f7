"""Parts of a fence that hang together: lines that meet at a support. What is done to one changes nothing in the others, so that cables and
wind are worked out part by part."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from typing import TypeVar

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered
from engine.calc.statics.blown_fence import Push
from engine.stages.bracing.stage import Bracing, SupportPull
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.layout.stage import Layout
from engine.stages.posts.arms import Arm
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Span, Stand, spans_of, stands_of

T = TypeVar("T")


@dataclass(frozen=True)
class FencePart:
    """One part: supports with arms, pull, work, the wind on it alone and whether its feet are on plates, by their names; bays and gates
    with their heights; loops, how hard each of their bays is leaned on, lb, and with which weight their pull is read, lb."""

    supports: Mapping[str, Stand]
    arms: Mapping[str, tuple[Arm, ...]]
    pulls: Mapping[str, SupportPull]
    work: Mapping[str, PostWork]
    winds: Mapping[str, Push | None]
    on_plate: Mapping[str, bool]
    bays: Mapping[str, Span]
    hangs: Mapping[str, BayHeight]
    strung: Mapping[str, StrungLoop]
    leans_lbf: Mapping[str, float]
    read_with_lb: Mapping[str, float | None]

    def __iter__(self) -> Iterator[object]:
        """All that tells it from another."""
        return chain.from_iterable(map(dict.values, vars(self).values()))


def fence_parts(
    layout: Layout, posts: Posts, bracing: Bracing, leans_lbf: Mapping[str, float], read_with_lb: Mapping[str, float | None]
) -> list[FencePart]:
    """A fence by its parts, each in layout order."""
    parts, stands, spans = [], stands_of(layout), spans_of(layout)
    for lines in lines_that_meet(layout):
        names = dict.fromkeys(name for line in lines for name in layout.lines[line].supports)
        bays = [name for line in lines for name in layout.lines[line].bays]
        loops = {name: loop for name, loop in bracing.strung.items() if loop.bays[0].line in lines}
        part = FencePart(
            supports={name: stands[name] for name in names},
            arms={name: posts.arms[name] for name in names},
            pulls={name: bracing.pulls[name] for name in names},
            work={name: posts.work[name] for name in names},
            winds={name: posts.winds.get(name) for name in names},
            on_plate={name: name not in bracing.loose for name in names},
            bays={name: spans[name] for name in bays},
            hangs={name: posts.hangs[name] for name in bays},
            strung=loops,
            leans_lbf={name: leans_lbf[name] for name in bays if name in leans_lbf},
            read_with_lb={name: read_with_lb[name] for name in loops},
        )
        parts.append(part)
    return parts


def in_order(names: Iterable[str], parts: Iterable[Mapping[str, T]]) -> dict[str, T]:
    """What all parts have, as the names stand."""
    found: dict[str, T] = {}
    for part in parts:
        found.update(part)
    return {name: found[name] for name in names if name in found}


@remembered
def floors_of(names: tuple[str, ...]) -> tuple[str, ...]:
    """Names of floors, the very same where they are alike: a new way makes their table anew."""
    return names


def lines_that_meet(layout: Layout) -> list[list[str]]:
    """Lines that share a support, straight or by others between them, in layout order."""
    groups: list[tuple[set[str], set[str]]] = []
    for name, line in layout.lines.items():
        supports, lines = set(line.supports), {name}
        for group in [group for group in groups if not supports.isdisjoint(group[0])]:
            groups.remove(group)
            supports, lines = supports | group[0], lines | group[1]
        groups.append((supports, lines))
    return [[name for name in layout.lines if name in lines] for _, lines in groups]
