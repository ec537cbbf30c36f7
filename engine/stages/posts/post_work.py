"""The work at one support, as the posts stage gives it."""

from functools import cached_property

from engine.calc.frozen import dataclass
from engine.checklist import WantedReading


@dataclass(frozen=True)
class PostWork:
    """What to do at one support. Heights are above the ground at the support; depths and lengths of tree and structure eyes are None.

    `drivable` is whether a sleeve may be driven there now, else `why_not` says why. `depth_half_in` is the practice rule,
    `depth_load_in` the soil-and-load depth (guidance; None where it passes its limit), `depth_wanted_in` the depth asked for, `driven_in`
    the crew's reading, `sleeve_in` the sleeve's length, the deepest it goes. `sleeve_cut_in` is what to cut off a sleeve that is
    solid part way. `post_cut_ft` is the length to cut the stock post to for an even top line, `top_level_ft` that top's level,
    `post_off_in` what comes off (negative: the stock post is that much
    too short), `in_sleeve_in` how much of it stands in the sleeve. `plate_on` names the hard ground that a post on a base plate stands
    on; it has no sleeve, and its `post_cut_ft` is all above that floor. `braced` is whether it is an end, corner or tee that a brace holds.
    Where fences of several heights meet, the eyes are the highest's.
    """

    support: str
    drivable: bool
    why_not: str
    depth_half_in: float | None
    depth_load_in: float | None
    depth_wanted_in: float | None
    driven_in: float | None
    sleeve_in: float | None
    sleeve_cut_in: float | None
    eye_low_ft: float
    eye_high_ft: float
    top_level_ft: float
    post_cut_ft: float | None
    post_off_in: float | None
    in_sleeve_in: float | None = None
    plate_on: str = ""
    braced: bool = False

    @cached_property
    def stopped_short(self) -> bool:
        """Whether the sleeve went in less than the practice rule asks, as a tape reads both."""
        return self.driven_in is not None and not WantedReading("in", low=self.depth_half_in).passes(self.driven_in)
