"""One stock row: what the truck carries of one thing. A row of a known id changes only the fields it names."""

from typing import Annotated, Literal

from pydantic import Field

from engine.job.model.base import AT_ONCE, Count, LongFeet, LongInches, Number, Part, ShortText

StockKind = Literal[
    "base plate", "foot plate", "anchor",
    "cable", "lock", "eye", "tree eye", "post", "cap", "sleeve", "brace", "band", "wire", "mesh", "ring", "tie", "stake",
    "gate tube", "gate corner", "screw", "hinge", "latch", "turnbuckle", "brace wire",
    "drop rod", "ground sleeve", "gate hook", "other",
]  # fmt: skip


class StockRow(Part):
    """Sizes, pack, count loaded and price of one thing; which sizes matter depends on its kind."""

    model_config = AT_ONCE

    kind: StockKind | None = None
    name: ShortText | None = None
    length_ft: LongFeet | None = None
    width_in: LongInches | None = None
    diameter_in: Annotated[LongInches, Field(le=24)] | None = None
    wall_in: Annotated[LongInches, Field(le=2)] | None = None
    yield_psi: Annotated[Number, Field(gt=0, le=300_000)] | None = None
    strength_lbf: Annotated[Number, Field(gt=0, le=100_000)] | None = None
    weight_plf: Annotated[Number, Field(gt=0, le=100)] | None = None
    weight_lb: Annotated[Number, Field(gt=0, le=1000)] | None = None
    modulus_psi: Annotated[Number, Field(gt=0, le=5e7)] | None = None
    construction: Literal["3x7", "7x7", "7x19"] | None = None
    wire_in: Annotated[LongInches, Field(le=1)] | None = None
    pitch_in: LongInches | None = None
    pitch2_in: LongInches | None = None
    per_pack: Annotated[int, Field(ge=1, le=1_000_000)] | None = None
    loaded: Count | None = None
    price: Annotated[Number, Field(ge=0, le=1_000_000)] | None = None
    source: ShortText | None = None
