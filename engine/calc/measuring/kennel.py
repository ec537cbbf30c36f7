"""Floor space for licensed kennels, and the fence height that suits a dog."""

from engine.calc.frozen import dataclass
from engine.calc.limits import require_within

_HEIGHTS_FT = (4.0, 5.0, 6.0)


@dataclass(frozen=True)
class SuitedHeight:
    """Guidance: a height of 4, 5 or 6 ft, and whether it may not be enough."""

    height_ft: float
    may_not_hold: bool


def floor_space_ft2(body_length_in: float) -> float:
    """Least floor space for one dog in a licensed kennel: (length + 6)^2/144.

    A reference minimum of the rule, not a recommendation.
    body_length_in: tip of the nose to base of the tail, in, 4 to 84.
    Returns: ft^2.
    Raises: OutOfRange.
    Source: 9 CFR 3.6; worked in USDA APHIS, Minimum Space Requirements for Dogs.
    Valid for: one dog without nursing puppies; look up today's text.
    Example: 36 in: 12.25 ft^2.
    """
    require_within(4, 84, "no dog is shorter or longer", body_length_in=body_length_in)
    return (body_length_in + 6) ** 2 / 144


def suited_height_ft(shoulder_in: float, jumps: bool, climbs: bool) -> SuitedHeight:
    """Fence height that suits a dog, as judgement: by size, one step higher if it jumps, one more if it climbs.

    Under 15 in at the shoulder 4 ft, under 22 in 5 ft, else 6 ft. A 6 ft fence isn't an absolute barrier: working-trials dogs scale
    a 6 ft wall (Frontiers in Veterinary Science 2022, 10.3389/fvets.2021.742068), and mesh can be climbed.
    shoulder_in: height at the withers, in, 3 to 44.  jumps, climbs: what the owner has seen.
    Returns: SuitedHeight, ft; `may_not_hold` when the dog asks for more than 6 ft, or climbs.
    Raises: OutOfRange.
    Source: common practice, no source; no open study maps dogs to fence heights.
    Valid for: guidance only; local law may set a height.
    """
    require_within(3, 44, "no dog is lower or taller", shoulder_in=shoulder_in)
    steps = (shoulder_in >= 15) + (shoulder_in >= 22) + jumps + climbs
    height_ft = _HEIGHTS_FT[steps] if steps < len(_HEIGHTS_FT) else _HEIGHTS_FT[-1]
    return SuitedHeight(height_ft, steps >= len(_HEIGHTS_FT) or climbs)
