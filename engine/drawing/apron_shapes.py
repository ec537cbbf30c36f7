"""The apron along one bay from the side: ground, bottom cable, lower edge of the wire, and the figures of every foot under it."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from engine.calc.tolerances import ROUNDING_IN
from engine.calc.units import unit_ft
from engine.drawing.shapes import Drawing, Mark, Shape, Stroke, Words
from engine.job.model.job import Job
from engine.stages.fabric.aprons import BayApron
from engine.stages.survey.floors import RISER_FT
from engine.walk import Walk

IN_PER_FT = 12.0


def apron_shapes(job: Job, walk: Walk, bay: str) -> Drawing | None:
    """One bay with the apron of every foot, its infill pieces and its stakes; None where it has no wire. All bays are stepped through."""
    found = walk.fabric.bays.get(bay)
    if found is None:
        return None
    hung = (*_hung(walk, found), *_feet(job, found), *_below(walk, found))
    drawing = Drawing(hung, id=bay, steps=tuple(walk.fabric.bays))
    posts = ((words.id, (words.pos,)) for words in drawing.of(Words, "post"))
    return replace(drawing, picks=(*posts, *((bay, cable.points) for cable in drawing.of(Stroke, "cable"))))


def _hung(walk: Walk, apron: BayApron) -> Iterator[Shape]:
    """Ground, cable, the wire down from it at every spot, and the posts at both ends."""
    ground = tuple(zip(apron.stations_ft, apron.ground_ft, strict=True))
    cable = tuple((station, level + high / IN_PER_FT) for (station, level), high in zip(ground, apron.height_in, strict=True))
    hem = tuple((station, level + max(0.0, -left) / IN_PER_FT) for (station, level), left in zip(ground, apron.apron_in, strict=True))
    yield from (Stroke("wire", ends) for ends in zip(cable, hem, strict=True))
    yield from (Stroke("hem", hem), Stroke("ground", ground), Stroke("cable", cable))
    bay = walk.layout.bays[apron.bay]
    for name, foot, eye in ((bay.from_id, ground[0], cable[0]), (bay.to_id, ground[-1], cable[-1])):
        yield Stroke("pole", (foot, eye))
        yield Mark("eye", eye)
        yield Words("post", eye, name, name, rank=1)


def _feet(job: Job, apron: BayApron) -> Iterator[Words]:
    """Whole inches of apron at every foot, once at a riser; a hole is negative; on a hard floor `=`, or the gap over it."""
    rules = job.rules.fabric
    before_ft = -inf
    for station, level, left_in, under in zip(apron.stations_ft, apron.ground_ft, apron.apron_in, apron.under, strict=True):
        if under == "soil":
            kind = "hole" if round(left_in) < 0 else "short" if left_in < rules.apron_min_in - ROUNDING_IN else ""
            text = _figure(left_in)
        else:
            kind = "hole" if left_in < -rules.floor_gap_in else ""
            text = _figure(left_in) if kind else "="
        if station - before_ft > 2 * RISER_FT:
            yield Words("apron", (station, level), text, kind=kind, rank=("hole", "short", "").index(kind))
        before_ft = station


def _figure(left_in: float) -> str:
    """Whole inches or centimetres; zero has no sign."""
    return f"{left_in / 12 / unit_ft('in') + 0.0:.0f}".replace("-0", "0")


def _below(walk: Walk, apron: BayApron) -> Iterator[Shape]:
    """Infill pieces, stakes, and spots fastened to a hard floor instead."""
    low, staked = min(apron.ground_ft), walk.staking.bays.get(apron.bay)
    for piece in walk.fabric.infills:
        if piece.bay == apron.bay:
            yield Stroke("infill", ((piece.start_ft, low), (piece.start_ft + piece.length_ft, low)), piece.id)
    if staked:
        yield from (Mark("stake", (station, low)) for station in staked.stations_ft)
        yield from (Mark("fastened", (station, low)) for station in staked.fastened_ft)
