"""Jobs of every kind to draw, and what every drawing of them is asked."""

from typing import Any

from engine.drawing.shapes import Drawing
from engine.job.file.store import starter
from engine.job.model.job import Job
from tests.demo import demo, others
from tests.stages.flat_yards import ring
from tests.stages.yards import build, half_surveyed, plain, sloping

TWO_LEAVES = {"line": "fence", "station_ft": 75, "leaf_width_ft": 5, "leaves": 2}


def two_leaves(**fields: Any) -> Job:
    """The plain yard with a gate of two leaves."""
    return build(gates={"G1": {**TWO_LEAVES, **fields}})


JOBS = {
    **{"empty": Job(), "starter": starter("new"), "demo": demo(), "plain": plain(), "sloping": sloping()},
    **{"half surveyed": half_surveyed(), "two leaves": two_leaves(), "ring": ring()},
    **others(),
    **{f"demo without {table}": demo().model_copy(update={table: {}}) for table in ("points", "shots", "lines", "gates", "trees", "yards")},
}


def numbers(value: object) -> list[float]:
    """Every number in a drawing."""
    if isinstance(value, tuple):
        return [number for inner in value for number in numbers(inner)]
    if hasattr(value, "__dataclass_fields__"):
        return [number for name in value.__dataclass_fields__ for number in numbers(getattr(value, name))]
    return [float(value)] if isinstance(value, int | float) else []


def there(drawing: Drawing | None) -> Drawing:
    """The drawing, which is there."""
    assert drawing is not None
    return drawing
