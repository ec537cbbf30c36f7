"""The picture of one post and its braces from above, picked from the walk."""

from math import inf

from engine.calc.geometry.plane import azimuth_deg, travel
from engine.calc.lengths import format_ft_in
from engine.stages.bracing.stage import SupportPull
from engine.walk import Walk
from tui.stages.figure_tables import up_or_down
from tui.stages.pictures import keep_out_shape
from tui.widgets.corner_view import CornerArm, CornerBrace, CornerPicture
from tui.widgets.picture import HatchedArea
from tui.widgets.viewport import Bounds

ROUND_FT = 7.0
"""How far round the post is drawn at least."""
ARROW_FT = 3.5
EIGHTHS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


def corner(walk: Walk, chosen: str) -> CornerPicture | None:
    """The chosen post, or the first that is braced."""
    pulls = walk.bracing.pulls
    braced = tuple(name for name, pull in pulls.items() if pull.braces)
    name = chosen if chosen in pulls else next(iter(braced or pulls), "")
    if not name:
        return None
    pull, post = pulls[name], walk.layout.supports[name].xy
    feet = [leg.foot for leg in pull.legs]
    reach = max([ROUND_FT, *(abs(east - post[0]) + 1 for east, _ in feet), *(abs(north - post[1]) + 1 for _, north in feet)])
    bounds = (post[0] - reach, post[1] - reach, post[0] + reach, post[1] + reach)
    toward = pull.azimuth_deg if round(pull.pull_lbf) else None
    return CornerPicture(
        id=name,
        bounds=bounds,
        post=post,
        arms=_arms(walk, name, reach),
        braces=tuple(CornerBrace(leg.foot, f"{leg.id} {format_ft_in(leg.foot_distance_ft)}", leg.clear) for leg in pull.legs),
        pull=None if toward is None else travel(post, toward, ARROW_FT),
        pull_says="" if toward is None else f"{pull.pull_lbf:.0f} lb {EIGHTHS[round(toward / 45) % 8]}",
        says=_words(pull),
        keep_outs=_near(walk, bounds),
        supports=braced,
    )


def _arms(walk: Walk, name: str, reach: float) -> tuple[CornerArm, ...]:
    supports = walk.layout.supports
    found = []
    for bay in walk.layout.bays.values():
        if name not in (bay.from_id, bay.to_id) or bay.gate is not None:
            continue
        far = supports[bay.to_id if bay.from_id == name else bay.from_id]
        if far.xy != supports[name].xy:
            found.append(CornerArm(travel(supports[name].xy, azimuth_deg(supports[name].xy, far.xy), min(reach, bay.plan_ft)), far.id))
    return tuple(found)


def _words(pull: SupportPull) -> tuple[str, ...]:
    cold = "" if pull.cold_pull_lbf is None else f", {pull.cold_pull_lbf:.0f} lb on the coldest day"
    lift = up_or_down(pull.lift_lbf)
    share = "" if pull.share is None else f"  {100 * pull.share:.0f} % of yield unbraced"
    first = f"{pull.support}: both cables pull {pull.pull_lbf:.0f} lb{cold}{'; ' + lift if lift else ''}"
    return (first, f"{pull.why}{share}")


def _near(walk: Walk, bounds: Bounds) -> tuple[HatchedArea, ...]:
    """Keep-outs that reach into the picture."""
    left, bottom, right, top = bounds
    found = []
    for area in walk.layout.keep_outs:
        easts, norths = [east for east, _ in area.polygon], [north for _, north in area.polygon]
        if max(easts, default=-inf) >= left and min(easts) <= right and max(norths) >= bottom and min(norths) <= top:
            found.append(keep_out_shape(area))
    return tuple(found)
