"""The picture of the apron along a bay, picked from the walk."""

from engine.calc.tolerances import ROUNDING_IN
from engine.job.model.job import Job
from engine.walk import Walk
from tui.widgets.apron_view import ApronFoot, ApronPicture

IN_PER_FT = 12.0


def apron(job: Job, walk: Walk, bay: str) -> ApronPicture | None:
    """One bay with the apron of every foot, its infill pieces and its stakes; None where it has no wire."""
    found = walk.fabric.bays.get(bay)
    if found is None:
        return None
    staked = walk.staking.bays.get(bay)
    rows = list(zip(found.stations_ft, found.ground_ft, found.height_in, found.apron_in, found.under, strict=True))
    return ApronPicture(
        bay=bay,
        ends=(walk.layout.bays[bay].from_id, walk.layout.bays[bay].to_id),
        ground=tuple((station, ground) for station, ground, *_ in rows),
        cable=tuple((station, ground + height / IN_PER_FT) for station, ground, height, *_ in rows),
        lower=tuple((station, ground + max(0.0, -left) / IN_PER_FT) for station, ground, _, left, _ in rows),
        feet=tuple(_foot(job, station, left, under) for station, _, _, left, under in rows if _is_shown(station, found.stations_ft)),
        pieces=tuple((piece.start_ft, piece.start_ft + piece.length_ft, piece.id) for piece in walk.fabric.infills if piece.bay == bay),
        stakes=staked.stations_ft if staked else (),
        fastened=staked.fastened_ft if staked else (),
        bays=tuple(walk.fabric.bays),
    )


def _is_shown(station: float, stations: tuple[float, ...]) -> bool:
    """Feet and ends; the second of two spots at a riser is left out."""
    at = stations.index(station)
    return at == 0 or station - stations[at - 1] > 0.02


def _foot(job: Job, station: float, left_in: float, under: str) -> ApronFoot:
    """Whole inches of apron; a hole is negative; on a hard floor `=`, or the gap over it."""
    rules = job.rules.fabric
    if under != "soil":
        over = left_in < -rules.floor_gap_in
        return ApronFoot(station, f"{left_in:.0f}" if over else "=", "stop" if over else "label")
    role = "stop" if round(left_in) < 0 else "fix" if left_in < rules.apron_min_in - ROUNDING_IN else "label"
    return ApronFoot(station, f"{left_in:.0f}".replace("-0", "0"), role)
