"""Cables as strings of short elastic links through eyes, in space and without small angles: the referee of a whole line.

Every link takes its own length, warmth and stretch; weight and whoever leans hang on the joints between links. What is sought are the pull
at the start of every bay, a vector, the cable lying in it, and how far every eye gives; what must hold are closed bays, one pull on both
sides of an eye that the cable runs through, the cable there is, and posts bent as beams fixed at the ground. Newton's method, its slopes
by the complex step. Nothing of the program is used.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

LINKS = 40
"""In a bay: an even number, so that a joint is in the middle. A polygon of so many has a slack of 1/1600 less than the curve."""
ALPHA_PER_F = 6.5e-6
UP = np.array([0.0, 0.0, 1.0])
NOTHING = (0.0, 0.0, 0.0)

Vector = tuple[float, float, float]
Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Eye:
    """An eye at rest, ft, on a post, so high over its ground."""

    post: str
    at: Vector
    height_ft: float


@dataclass(frozen=True)
class Stretch:
    """Cable from eye to eye: its weight and what blows on it, lb/ft of cable, and what leans on its middle, lb."""

    first: Eye
    last: Eye
    weight_plf: float
    lean_lbf: Vector = NOTHING
    blown_plf: Vector = NOTHING


@dataclass(frozen=True)
class Run:
    """One cable through eyes in order, which it runs through freely, or which grip it; all round where the last eye is the first.

    Either so hard it is `pulled_lbf` at its first eye, or what cable there is: one length for all of it, or one each where the eyes grip.
    """

    stretches: tuple[Stretch, ...]
    pulled_lbf: float | None = None
    lengths_ft: tuple[float, ...] = ()
    grips: bool = False


@dataclass(frozen=True)
class Post:
    """A post as a beam fixed at the ground, lb ft^2, and the strut that holds it: how high, how stiff, lb/ft, which way in plan."""

    ei_lbf_ft2: float
    strut_ft: float = 0.0
    strut_lbf_per_ft: float = 0.0
    strut_way: tuple[float, float] = (1.0, 0.0)

    def gives(self, at_ft: float, pulled_ft: float) -> Numbers:
        """How far it gives, ft east and north, at one height, by a pound east or north at another: shape (2, 2)."""
        free = self._bends(at_ft, pulled_ft) * np.eye(2)
        if not self.strut_lbf_per_ft:
            return free
        way = np.array(self.strut_way)
        soft = self._bends(self.strut_ft, self.strut_ft) + 1 / self.strut_lbf_per_ft
        return free - np.outer(way, way) * self._bends(at_ft, self.strut_ft) * self._bends(self.strut_ft, pulled_ft) / soft

    def _bends(self, at_ft: float, pulled_ft: float) -> float:
        near, far = sorted((at_ft, pulled_ft))
        return near * near * (3 * far - near) / (6 * self.ei_lbf_ft2)


@dataclass(frozen=True)
class Hung:
    """Cables at rest: of every stretch the pull in the middle, the cable lying in it, and how far its middle is off the line of its eyes at
    rest, ft; what every eye is pulled with, lb."""

    tension_lbf: tuple[float, ...]
    lengths_ft: tuple[float, ...]
    middle_ft: tuple[Vector, ...]
    on_eyes: Mapping[Eye, Vector] = field(repr=False)


def hang(runs: Sequence[Run], ea_lbf: float, warming_F: float = 0.0, posts: Mapping[str, Post] | None = None) -> Hung:
    """Runs of cable at rest; posts that aren't given stand still."""
    return _Rest(runs, ea_lbf, warming_F, posts or {}).found()


class _Rest:
    """Cables at rest, as the root of a set of equations."""

    def __init__(self, runs: Sequence[Run], ea_lbf: float, warming_F: float, posts: Mapping[str, Post]) -> None:
        self.runs, self.ea_lbf, self.grown = runs, ea_lbf, 1 + ALPHA_PER_F * warming_F
        self.all = [stretch for run in runs for stretch in run.stretches]
        self.posts = posts
        self.eyes = list(dict.fromkeys(eye for stretch in self.all for eye in (stretch.first, stretch.last)))
        self.first = np.array([self.eyes.index(stretch.first) for stretch in self.all])
        self.last = np.array([self.eyes.index(stretch.last) for stretch in self.all])
        self.rest = np.array([eye.at for eye in self.eyes])
        self.chord = self.rest[self.last] - self.rest[self.first]
        self.load = np.array([stretch.weight_plf * UP - np.array(stretch.blown_plf) for stretch in self.all])
        self.lean = np.array([stretch.lean_lbf for stretch in self.all])
        self.soft = [number for number, eye in enumerate(self.eyes) if eye.post in posts]
        self.by_a_pound = self._by_a_pound()

    def found(self) -> Hung:
        """That root, read as pulls and places."""
        sought, wanted = self._straight(), self.lean
        for share in (0.02, 0.1, 0.3, 0.6, 1.0) if wanted.any() else (1.0,):  # somebody leans on it harder and harder
            self.lean = share * wanted
            sought = self._root(sought, 1e-9 if share == 1 else 1e-3)
        return self._read(sought)

    def _root(self, sought: Numbers, near: float) -> Numbers:
        step = 1e-30
        turned = sought + 1j * step * np.eye(len(sought))
        for _ in range(60):
            slopes = self._missing(turned).imag.T / step
            missing = self._missing(sought[None] + 0j).real[0]
            change = np.linalg.solve(slopes, -missing)
            share = 1.0
            while share > 1e-3 and np.linalg.norm(self._missing((sought + share * change)[None] + 0j).real) > np.linalg.norm(missing) * 1.5:
                share /= 2
            sought = sought + share * change
            if np.abs(change).max() < near * np.abs(sought).max():
                return sought
            turned = sought + 1j * step * np.eye(len(sought))
        raise ArithmeticError("no rest found")

    def _straight(self) -> Numbers:
        """Every bay as a straight string, pulled somehow."""
        chord_ft = np.linalg.norm(self.chord, axis=1)
        tension = np.array([run.pulled_lbf or 60.0 for run in self.runs for _ in run.stretches])
        lengths = chord_ft / (1 + tension / self.ea_lbf) / self.grown
        start = self.chord / chord_ft[:, None] * tension[:, None] - self.load * chord_ft[:, None] / 2
        return np.concatenate([start.ravel(), lengths, np.zeros(2 * len(self.soft))])

    def _shares(self) -> list[slice]:
        ends = np.cumsum([0, *(len(run.stretches) for run in self.runs)])
        return [slice(int(a), int(b)) for a, b in pairwise(ends)]

    def _laid(self, sought: NDArray[np.complex128]) -> tuple[NDArray[np.complex128], ...]:
        """Pulls in all links (batch, bay, link, 3), their steps, pulls at both eyes, cable in every bay, and how far eyes give."""
        bays, batch = len(self.all), len(sought)
        start = sought[:, : 3 * bays].reshape(batch, bays, 3)
        lengths = sought[:, 3 * bays : 4 * bays]
        gives = np.zeros((batch, len(self.eyes), 3), complex)
        gives[:, self.soft, :2] = sought[:, 4 * bays :].reshape(batch, len(self.soft), 2)
        each = (self.load * lengths[:, :, None] / LINKS)[:, :, None, :]
        number = np.arange(LINKS)[None, None, :, None]
        pulls = start[:, :, None, :] + (number + 0.5) * each - (number >= LINKS // 2) * self.lean[None, :, None, :]
        tension = np.sqrt((pulls * pulls).sum(-1, keepdims=True))
        steps = (lengths / LINKS)[:, :, None, None] * self.grown * (1 / tension + 1 / self.ea_lbf) * pulls
        end = start + LINKS * each[:, :, 0] - self.lean
        return pulls, steps, start, end, lengths, gives

    def _missing(self, sought: NDArray[np.complex128]) -> NDArray[np.complex128]:
        """What doesn't hold yet: ft, lb and ft of the eyes."""
        _, steps, start, end, lengths, gives = self._laid(sought)
        batch = len(sought)
        open_ft = steps.sum(2) - self.chord - gives[:, self.last] + gives[:, self.first]
        parts = [open_ft.reshape(batch, -1)]
        first, last = (np.sqrt((pull * pull).sum(-1)) for pull in (start, end))
        for run, mine in zip(self.runs, self._shares(), strict=True):
            if run.grips and run.lengths_ft:
                parts.append(lengths[:, mine] - np.array(run.lengths_ft))
                continue
            parts.append((last[:, mine][:, :-1] - first[:, mine][:, 1:]) / 100)
            if run.pulled_lbf is not None:
                parts.append((first[:, mine][:, :1] - run.pulled_lbf) / 100)
            else:
                parts.append(lengths[:, mine].sum(1, keepdims=True) - sum(run.lengths_ft))
        if self.soft:
            on = self._on_eyes(start, end)
            parts.append((gives[:, self.soft, :2] - np.einsum("abij,nbj->nai", self.by_a_pound, on[:, :, :2])).reshape(batch, -1))
        return np.concatenate(parts, axis=1)

    def _on_eyes(self, start: NDArray[np.complex128], end: NDArray[np.complex128]) -> NDArray[np.complex128]:
        on = np.zeros((len(start), len(self.eyes), 3), complex)
        for bay, (a, b) in enumerate(zip(self.first, self.last, strict=True)):
            on[:, a] += start[:, bay]
            on[:, b] -= end[:, bay]
        return on

    def _by_a_pound(self) -> Numbers:
        """How far each eye of a post that gives is moved by a pound on any eye: shape (soft, eyes, 2, 2)."""
        table = np.zeros((len(self.soft), len(self.eyes), 2, 2))
        for row, number in enumerate(self.soft):
            for other, eye in enumerate(self.eyes):
                if eye.post == self.eyes[number].post:
                    table[row, other] = self.posts[eye.post].gives(self.eyes[number].height_ft, eye.height_ft)
        return table

    def _read(self, sought: Numbers) -> Hung:
        pulls, steps, start, end, lengths, gives = (part[0].real for part in self._laid(sought[None] + 0j))
        tension = np.sqrt((pulls * pulls).sum(-1))
        half = steps[:, : LINKS // 2].sum(1) + gives[self.first] - self.chord / 2
        on = self._on_eyes(start[None] + 0j, end[None] + 0j)[0].real
        return Hung(
            tension_lbf=tuple(float(lbf) for lbf in tension[:, LINKS // 2]),
            lengths_ft=tuple(float(ft) for ft in lengths),
            middle_ft=tuple((float(e), float(n), float(u)) for e, n, u in half),
            on_eyes={eye: (float(e), float(n), float(u)) for eye, (e, n, u) in zip(self.eyes, on, strict=True)},
        )
