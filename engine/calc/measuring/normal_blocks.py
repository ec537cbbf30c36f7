"""The normal equations of a plane network in the parts that no shot joins: work then grows with the network, not with its cube.

A survey by tapes from house corners falls into as many parts as it has points; parts of one size are solved together.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import Floats, Indices, np


@dataclass(frozen=True)
class Blocks:
    """Where every term of the normal matrix stands.

    A touch is one shot's hold on one point, its slopes an (east, north) pair. `coordinates` has an array a size of part, shape (parts,
    coordinates): east of point n is coordinate 2n, north 2n + 1. All matrices in a row make one flat array; `first` and `second` are the
    touches of one shot that meet in a term, `terms` the 2 by 2 places of it there, `own` those of each point with itself.
    """

    coordinates: tuple[Indices, ...]
    first: Indices
    second: Indices
    terms: Indices
    own: Indices

    def matrices(self, slopes: Floats) -> list[Floats]:
        """Normal matrices, a stack for each size of part.

        slopes: of the touches, in standard errors a foot, shape (touches, 2).
        Returns stacks of shape (parts, coordinates, coordinates).
        Source: derived: sum of the outer products of each shot's slopes.
        Valid for: slopes in the order of the touches the blocks were made of.
        """
        products = slopes[self.first][:, :, None] * slopes[self.second][:, None, :]
        length = sum(each.size * each.shape[1] for each in self.coordinates)
        flat: Floats = np.bincount(self.terms.ravel(), products.ravel(), length).astype(np.float64)
        stacks = []
        for each in self.coordinates:
            own, flat = np.split(flat, [each.size * each.shape[1]])
            stacks.append(own.reshape(len(each), each.shape[1], each.shape[1]))
        return stacks


def blocks_of(shots: Sequence[int], points: Sequence[int], count: int) -> Blocks:
    """The parts a network falls into.

    shots, points: of each touch the numbers of its shot and its point, shots rising; three touches a shot at most. count: of points.
    Returns Blocks, parts of one size together.
    Source: derived: points that one shot touches are in one part.
    Valid for: any network.
    """
    by_size = defaultdict(list)
    for part in _parts(shots, points, count):
        by_size[len(part)].append(part)
    start, within, size = (np.zeros(count, dtype=np.intp) for _ in range(3))
    offset = 0
    for length, parts in by_size.items():
        for part in parts:
            start[part], within[part], size[part] = offset, range(length), length
            offset += (2 * length) ** 2
    coordinates = tuple(np.array([[2 * n + way for n in part for way in (0, 1)] for part in parts]) for parts in by_size.values())
    rows, at = np.asarray(shots, dtype=np.intp), np.asarray(points, dtype=np.intp)
    padded = np.pad(rows, 2, constant_values=-1)
    first, way = np.nonzero(np.stack([padded[n : n + len(rows)] for n in range(5)], axis=1) == rows[:, None])
    second = first + way - 2
    every = np.arange(count)
    return Blocks(coordinates, first, second, _terms(at[first], at[second], start, within, size), _terms(every, every, start, within, size))


def _terms(one: Indices, other: Indices, start: Indices, within: Indices, size: Indices) -> Indices:
    """Places of the 2 by 2 terms of pairs of points in the flat array, shape (pairs, 2, 2)."""
    ways = np.arange(2)
    down = (2 * within[one][:, None] + ways)[:, :, None]
    along = (2 * within[other][:, None] + ways)[:, None, :]
    places: Indices = start[one][:, None, None] + down * (2 * size[one])[:, None, None] + along
    return places


def _parts(shots: Iterable[int], points: Iterable[int], count: int) -> list[list[int]]:
    """Points of each part, rising, in the order of their first points."""
    leader = list(range(count))

    def led(point: int) -> int:
        while leader[point] != point:
            leader[point] = point = leader[leader[point]]
        return point

    held: dict[int, int] = {}
    for shot, point in zip(shots, points, strict=True):
        one, other = led(held.setdefault(shot, point)), led(point)
        leader[max(one, other)] = min(one, other)
    parts = defaultdict(list)
    for point in range(count):
        parts[led(point)].append(point)
    return list(parts.values())
