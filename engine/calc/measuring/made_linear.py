"""The shots of a network made linear where its points stand: tapes, of which most surveys are, all at once, and the others one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import Floats, Indices, NDArray, np
from engine.calc.measuring.normal_blocks import Blocks, blocks_of
from engine.calc.measuring.observations import Distance, Observation, misfit_and_slopes, sigma_of


@dataclass(frozen=True)
class Linear:
    """The shots made linear: the slopes of each touch and the misfit of each shot, both in standard errors. A touch is one shot's hold on
    one point."""

    blocks: Blocks
    rows: Indices
    points: Indices
    slopes: Floats
    misfits: Floats

    @property
    def pull(self) -> Floats:
        """Right side of the normal equations, an entry a coordinate."""
        pull = np.zeros((len(self.blocks.own), 2))
        np.add.at(pull, self.points, self.slopes * self.misfits[self.rows, None])
        return pull.ravel()


@dataclass(frozen=True)
class Network:
    """The task in numbers, moved so that its middle is the origin (small coordinates keep their digits), and which touch is whose.

    `rows` and `points` are the shot and the point of every touch. `tapes` are the shots that are one, `ends` their two points, free ones
    before known ones, and `sides` the end that a touch of theirs holds, -1 or 1; 0 where the shot is no tape.
    """

    names: tuple[str, ...]
    known: dict[str, Point]
    start: Floats
    origin: Floats
    observations: Sequence[Observation]
    sigmas: Floats
    rows: Indices
    points: Indices
    blocks: Blocks
    tapes: Indices
    ends: Indices
    lengths_ft: Floats
    sides: NDArray[np.int8]

    @cached_property
    def others(self) -> list[int]:
        """The shots that are no tapes."""
        return [row for row, one in enumerate(self.observations) if not isinstance(one, Distance)]

    @cached_property
    def _held(self) -> Floats:
        return np.array(list(self.known.values())).reshape(-1, 2)

    def linear_at(self, places: Floats) -> Linear:
        """Slopes and misfits with the free points at these places, from the origin.

        places: east and north of each point in turn, ft.
        Returns Linear.
        Raises AdjustError where points coincide that a shot needs apart.
        Source: derived: `observations.misfit_and_slopes`, for an array of tapes.
        Valid for: places that are finite.
        """
        free = places.reshape(-1, 2)
        spots = np.concatenate([free, self._held])
        along = spots[self.ends[:, 1]] - spots[self.ends[:, 0]]
        lengths = np.hypot(along[:, 0], along[:, 1])
        at: Mapping[str, Point] = {}
        if self.others or not lengths.all():
            at = self.known | {name: (east, north) for name, (east, north) in zip(self.names, free.tolist(), strict=True)}
        misfits, ways = np.zeros(len(self.observations)), np.zeros((len(self.observations), 2))
        for row in self.tapes[lengths == 0].tolist():
            misfit_and_slopes(self.observations[row], at)
        misfits[self.tapes], ways[self.tapes] = self.lengths_ft - lengths, along / lengths[:, None]
        slopes = ways[self.rows] * self.sides[:, None]
        for row in self.others:
            misfits[row], found = misfit_and_slopes(self.observations[row], at)
            slopes[self.rows == row] = np.reshape([(east, north) for name, east, north in found if name not in self.known], (-1, 2))
        return Linear(self.blocks, self.rows, self.points, slopes / self.sigmas[self.rows, None], misfits / self.sigmas)


def laid_out(known: Mapping[str, Point], approximate: Mapping[str, Point], observations: Sequence[Observation]) -> Network:
    """A network in numbers.

    known, approximate: points by name, ft, no name in both. observations: that name no other points.
    Returns Network.
    Raises AdjustError for other names, readings that are not finite, and points that coincide where a shot needs them apart; OutOfRange
    for a sigma that is not over 0.
    Source: derived.
    Valid for: any network.
    """
    origin = np.mean([*known.values(), *approximate.values()], axis=0)
    number = {name: place for place, name in enumerate([*approximate, *known])}
    places = {**known, **approximate}
    held = [(row, name) for row, one in enumerate(observations) for name, _, _ in misfit_and_slopes(one, places)[1] if name in approximate]
    rows, points = [row for row, _ in held], [number[name] for _, name in held]
    tapes = [(row, one) for row, one in enumerate(observations) if isinstance(one, Distance)]
    tape_rows = {row: one.b for row, one in tapes}
    return Network(
        names=tuple(approximate),
        known={name: (e - float(origin[0]), n - float(origin[1])) for name, (e, n) in known.items()},
        start=(np.array(list(approximate.values())).reshape(-1, 2) - origin).ravel(),
        origin=origin,
        observations=observations,
        sigmas=np.array([sigma_of(observation) for observation in observations]),
        rows=np.array(rows, dtype=np.intp),
        points=np.array(points, dtype=np.intp),
        blocks=blocks_of(rows, points, len(approximate)),
        tapes=np.array([row for row, _ in tapes], dtype=np.intp),
        ends=np.array([(number[one.a], number[one.b]) for _, one in tapes], dtype=np.intp).reshape(-1, 2),
        lengths_ft=np.array([one.length_ft for _, one in tapes], dtype=np.float64),
        sides=np.array([(1 if tape_rows[row] == name else -1) if row in tape_rows else 0 for row, name in held], dtype=np.int8),
    )
