"""What a client said before anybody surveyed: the first talk, by phone or paced along the fence. Nothing here is worked out."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from engine.calc.phrases import counted
from engine.job.model.base import AgainstItself, LongFeet, Number, Part, Text
from engine.job.model.fence import WIDEST_LEAF_FT

SaidEnd = Literal["house", "tree", "free"]
MOST_CORNERS = 20
MOST_RING_CORNERS = 8
"""A ring of more turns its corners by less than 45°, and such a turn needs no corner post."""

SHORTEST_FT, LONGEST_FT = 10.0, 5_000.0
"""Of what is estimated: a shorter one is a gate, a longer one no yard's fence."""

SHORTEST_STRETCH_FT = 1.0
"""Between two corners: closer together they are one post. Judgement, no source."""

Steps = Annotated[Number, Field(gt=0, le=100_000)]


class Rough(Part):
    """Length as said, or paces in single steps, one count a straight stretch; how many of the same steps a taped length took.

    `spread_pct` is how far the length may be off, either way; left out, it is judged by how the length is known. An end or a height that
    nobody named is left out, too. Corners are turns of about a right angle; a ring of none named has four. A gate wider than a leaf may be
    has two.
    """

    length_ft: LongFeet | None = None
    spread_pct: Annotated[Number, Field(gt=0, le=50)] | None = None
    paces: Annotated[tuple[Steps, ...], Field(max_length=MOST_CORNERS + 1)] = ()
    step_over_ft: LongFeet | None = None
    step_counts: Annotated[tuple[Steps, ...], Field(max_length=50)] = ()
    ring: bool = False
    start_meets: SaidEnd | None = None
    end_meets: SaidEnd | None = None
    corners: Annotated[int, Field(ge=0, le=MOST_CORNERS)] = 0
    gates_ft: Annotated[tuple[Annotated[LongFeet, Field(ge=2, le=2 * WIDEST_LEAF_FT)], ...], Field(max_length=10)] = ()
    height_ft: Annotated[LongFeet, Field(ge=3, le=8)] | None = None
    dogs: Text = ""
    note: Text = ""

    @model_validator(mode="after")
    def _fits_together(self) -> "Rough":
        if (self.length_ft is None) == (not self.paces):
            raise AgainstItself("length_ft", "give length_ft as it was said, or paces along the fence: one of the two")
        if (self.step_over_ft is None) != (not self.step_counts):
            raise AgainstItself("step_over_ft", "a step is calibrated by step_over_ft, the taped length, together with step_counts over it")
        if self.step_counts and not self.paces:
            raise AgainstItself("step_counts", "step_counts calibrate the steps of paces, and there are none")
        if self.ring and (self.start_meets or self.end_meets):
            raise AgainstItself(
                "start_meets" if self.start_meets else "end_meets", "a ring has no ends, so start_meets and end_meets are left out"
            )
        if self.ring and not (self.corners == 0 or 3 <= self.corners <= MOST_RING_CORNERS):
            raise AgainstItself("corners", f"a ring has 3 to {MOST_RING_CORNERS} corners; a wider turn needs no corner post")
        if len(self.paces) > 1 and not self.ring and self.corners not in (0, len(self.paces) - 1):
            raise AgainstItself("corners", f"{len(self.paces)} paced stretches meet in {counted(len(self.paces) - 1, 'corner')}")
        return self

    @property
    def turns(self) -> int:
        """Corners of the fence; between paced stretches there is one each."""
        return self.corners or (4 if self.ring else max(len(self.paces) - 1, 0))

    @property
    def stretches(self) -> tuple[float, ...]:
        """Straight stretches of the fence as shares of its length: as they were paced, else all alike."""
        if len(self.paces) > 1 and not self.ring:
            return tuple(count / sum(self.paces) for count in self.paces)
        count = self.turns + (not self.ring)
        return (1 / count,) * count

    @property
    def gates_on(self) -> tuple[tuple[float, ...], ...]:
        """Gate widths by stretch: nobody said where the gates go, so each is put where most room is left."""
        held: list[list[float]] = [[] for _ in self.stretches]
        for width_ft in self.gates_ft:
            max(zip(self.stretches, held, strict=True), key=lambda row: row[0] / (len(row[1]) + 1))[1].append(width_ft)
        return tuple(map(tuple, held))

    @staticmethod
    def leaves(width_ft: float) -> int:
        """How many leaves a gate of this width has."""
        return 2 if width_ft > WIDEST_LEAF_FT else 1

    def likely_ft(self, step_ft: float) -> float:
        """Length as it was said; of paces by their calibration, or by steps of `step_ft` where there is none."""
        if self.length_ft is not None:
            return self.length_ft
        calibrated = self.step_over_ft * len(self.step_counts) / sum(self.step_counts) if self.step_over_ft is not None else step_ft
        return sum(self.paces) * calibrated

    def shortest_ft(self, gap_in: float) -> float:
        """Length at which the gates with a foot of fence on either side just fill their stretch, and one without is a foot."""
        rows = zip(self.stretches, self.gates_on, strict=True)
        return max((sum(width_ft + gap_in / 12 + 1 for width_ft in widths) + SHORTEST_STRETCH_FT) / share for share, widths in rows)
