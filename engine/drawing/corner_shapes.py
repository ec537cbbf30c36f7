"""One post and its braces from above: the arms of the fence, the pull, every brace foot with its distance, keep-outs beside it."""

from collections.abc import Iterator

from engine.calc.force_words import pull_words
from engine.calc.geometry.plane import Point, azimuth_deg, travel
from engine.calc.lengths import format_ft_in
from engine.drawing.shapes import Area, Drawing, Mark, Shape, Stroke, Words
from engine.drawing.site_shapes import keep_out_shapes
from engine.stages.bracing.lifts import up_or_down
from engine.stages.bracing.stage import SupportPull
from engine.stages.bracing.what_pulls import STATE_WORDS
from engine.walk import Walk

ROUND_FT = 7.0
"""How far round the post is drawn at least."""
ARROW_FT = 3.5
EIGHTHS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
FOOT_RANK, PULL_RANK, POST_RANK, ARM_RANK = 1, 2, 3, 4


def corner_shapes(walk: Walk, chosen: str) -> Drawing | None:
    """The chosen post, or the first that is braced; None without posts. All that are braced can be stepped through."""
    pulls = walk.bracing.pulls
    braced = tuple(name for name, pull in pulls.items() if pull.braces)
    name = chosen if chosen in pulls else next(iter(braced or pulls), "")
    if not name:
        return None
    pull, (east, north) = pulls[name], walk.layout.supports[name].xy
    feet = [leg.foot for leg in pull.legs]
    reach = max([ROUND_FT, *(abs(foot[0] - east) + 1 for foot in feet), *(abs(foot[1] - north) + 1 for foot in feet)])
    frame = Area("frame", tuple((east + across * reach, north + up * reach) for across, up in ((-1, -1), (1, -1), (1, 1), (-1, 1))))
    post = (Mark("post", (east, north), name), Words("post", (east, north), name, rank=POST_RANK))
    shapes = (frame, *_near(walk, frame), *_arms(walk, name, reach), *_braces(pull, (east, north)), *_pull(pull, (east, north)), *post)
    return Drawing(shapes, ((name, ((east, north),)),), _words(pull), name, braced)


def _near(walk: Walk, frame: Area) -> Iterator[Shape]:
    """Keep-outs that reach into the frame."""
    (left, bottom), _, (right, top), _ = frame.points
    for area in walk.layout.keep_outs:
        easts, norths = [east for east, _ in area.polygon], [north for _, north in area.polygon]
        if easts and max(easts) >= left and min(easts) <= right and max(norths) >= bottom and min(norths) <= top:
            yield from keep_out_shapes(area)


def _arms(walk: Walk, name: str, reach: float) -> Iterator[Shape]:
    """Every bay that leaves the post, as far as it is drawn, and whereto."""
    supports = walk.layout.supports
    for bay in walk.layout.bays.values():
        if name in (bay.from_id, bay.to_id) and bay.gate is None:
            far, post = supports[bay.other_end(name)], supports[name].xy
            if far.xy != post:
                tip = travel(post, azimuth_deg(post, far.xy), min(reach, bay.plan_ft))
                yield Stroke("fence", (post, tip))
                yield Words("arm", tip, f"to {far.id}", rank=ARM_RANK)


def _braces(pull: SupportPull, post: Point) -> Iterator[Shape]:
    for leg in pull.legs:
        kind = "" if leg.clear else "blocked"
        yield Stroke("brace", (post, leg.foot))
        yield Mark("foot", leg.foot, kind=kind, rank=FOOT_RANK)
        yield Words("brace", leg.foot, f"{leg.id} {format_ft_in(leg.foot_distance_ft)}", kind=kind, rank=FOOT_RANK)


def _pull(pull: SupportPull, post: Point) -> Iterator[Shape]:
    """An arrow the way both cables pull, and how hard."""
    if round(pull.pull_lbf) and pull.azimuth_deg is not None:
        tip = travel(post, pull.azimuth_deg, ARROW_FT)
        yield Stroke("pull", (post, tip))
        yield Mark("pull", tip, rank=PULL_RANK)
        yield Words("pull", tip, f"{pull_words(pull.pull_lbf)} {EIGHTHS[round(pull.azimuth_deg / 45) % 8]}", rank=PULL_RANK)


def _words(pull: SupportPull) -> tuple[str, ...]:
    worst = "" if pull.worst_in == "pulled" else f", {pull_words(pull.worst_lbf)} {STATE_WORDS[pull.worst_in]}"
    lift = up_or_down(pull.lift_lbf)
    share = "" if pull.share is None else f"  {100 * pull.share:.0f} % of yield unbraced"
    first = f"{pull.support}: both cables pull {pull_words(pull.pull_lbf)}{worst}{'; ' + lift if lift else ''}"
    return (first, f"{pull.why}{share}")
