"""The places that tapes start from: what each is, where it is, and how far it is to the others, so that they can be found again."""

from collections.abc import Iterator

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import listed
from engine.calc.units import bare_unit
from engine.drawing.plan_shapes import known_marks
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.tables.told_cells import ToldCell, told_place
from engine.walk import Walk

MOST_TAPES = 5
"""Where there are more places than that, the nearest so many are told of each."""
BETWEEN = "tapes between them"
KINDS = {"house": "house corner", "shed": "shed corner", "wall": "end or corner of a wall", "deck post": "deck post"}


@dataclass(frozen=True)
class KnownPlace:
    """One place that tapes start from."""

    name: str
    what: str
    east_ft: float
    north_ft: float
    how: str
    others: tuple[tuple[str, float], ...]


def known_places(job: Job, walk: Walk, *, checks: bool = False) -> tuple[KnownPlace, ...]:
    """The places that tapes start from, check tapes too where they are told, in the order of the survey, with the tapes to the others."""
    marks = known_marks(job, walk, checks=checks)
    found = []
    for mark in marks:
        tapes = sorted(((other.name, distance_ft(mark.xy, other.xy)) for other in marks if other is not mark), key=lambda tape: tape[1])
        what = job.points[mark.name].note if mark.name in job.points else ""
        found.append(
            KnownPlace(
                mark.name, what or listed([*_parts(job, mark.name)] or ["known point"]), *mark.xy, mark.how, tuple(tapes[:MOST_TAPES])
            )
        )
    return tuple(found)


def _parts(job: Job, point: str) -> Iterator[str]:
    """What a point is a corner of: walls first, then boundaries, decks and the fence's own lines."""
    for name, structure in job.structures.items():
        if point in structure.points:
            yield f"{KINDS.get(structure.kind, 'corner')} ({name})"
    yield from (f"point of boundary {name}" for name, one in job.boundaries.items() if point in one.points)
    yield from (f"corner of deck {name}" for name, deck in job.decks.items() if point in deck.points)
    yield from (f"surveyed point of line {name}" for name, line in job.lines.items() if point in line.points)


def known_table(job: Job, walk: Walk) -> Table:
    """The places as the record lists them, feet east and north of the survey's origin."""
    rows = tuple(
        (
            place.name, place.what, told_place(place.east_ft), told_place(place.north_ft), place.how,
            ToldCell(
                ", ".join(f"{format_ft_in(length_ft)} to {name}" for name, length_ft in place.others),
                *(figure for name, length_ft in place.others for figure in (length_ft, name)),
            ),
        )
        for place in known_places(job, walk)
    )  # fmt: skip
    columns = ("place", "what it is", f"east {bare_unit('ft')}", f"north {bare_unit('ft')}", "how it is known", BETWEEN)
    heads = tuple(head for number in range(1, MOST_TAPES + 1) for head in (f"tape_{number}_ft", f"tape_{number}_to"))
    return Table("Known places", columns, rows, figures=((BETWEEN, heads),))
