"""The even top line: straight between fixed supports, and the post cut that reaches it."""

from collections.abc import Mapping
from itertools import accumulate, groupby

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import np
from engine.calc.remember import remembered, remembered_rows
from engine.calc.tolerances import ROUNDING_PLACES
from engine.stages.layout.stage import Layout
from engine.stages.posts.heights import BayHeight, base_level_ft
from engine.stages.posts.standing_supports import Span, Stand, spans_of, stands_of


@dataclass(frozen=True)
class PostCut:
    """One post: level of its top, its length, what comes off the stock post (negative: too short), and how much stands in the sleeve."""

    top_level_ft: float
    cut_ft: float
    off_ft: float
    in_sleeve_ft: float


def straight_tops_ft(layout: Layout, hangs: Mapping[str, BayHeight], usual_ft: float) -> Mapping[str, float]:
    """Level of an even top at every support: straight between fixed supports, nowhere lower than the fence height over the ground.

    Ends, corners, tees and gate posts are fixed, at the fence height over their own ground, and so is a support where the height changes
    or the line runs up a deck; such a post is as high as the higher side wants it.
    Source: common practice, no source: a top line pulled by eye between corner posts.
    Valid for: any layout; a support on no bay is at the job's own height.
    """
    stands, spans = stands_of(layout), spans_of(layout)
    tops: dict[str, float] = {}
    for line in layout.lines.values():
        for hang, names in groupby(line.bays, key=hangs.__getitem__):
            run = tuple(map(spans.__getitem__, names))
            found = _run_tops_ft(hang, run, (stands[run[0].from_id], *[stands[bay.to_id] for bay in run]))
            higher = {name: max(tops[name], found[name]) for name in tops.keys() & found.keys()}
            tops |= found
            tops |= higher
    return {name: tops[name] if name in tops else _level_ft(stand.level_ft + usual_ft) for name, stand in stands.items()}


@remembered_rows
def _run_tops_ft(hang: BayHeight, run: tuple[Span, ...], along: tuple[Stand, ...]) -> dict[str, float]:
    """Tops along bays that hang alike, at the supports before, between and after them."""
    least_ft = [base_level_ft(stand, hang) + hang.height_ft for stand in along]
    at_ft = list(accumulate((bay.plan_ft for bay in run), initial=0.0))
    fixed = [place for place, stand in enumerate(along) if stand.kind != "line" or place in (0, len(run))]
    straight = np.interp(at_ft, [at_ft[place] for place in fixed], [least_ft[place] for place in fixed])
    tops = map(_level_ft, map(max, least_ft, np.round(straight, ROUNDING_PLACES).tolist()))
    return {stand.id: top_ft for stand, top_ft in zip(along, tops, strict=True)}


@remembered
def _level_ft(level_ft: float) -> float:
    """The very number that was found before: a support that moves changes the tops of few others of its run."""
    return level_ft


def cut_post(ground_ft: float, height_ft: float, straight_ft: float, stock_ft: float, depth_ft: float, hold_ft: float) -> PostCut:
    """Cut of one post: its top as near to the straight line as the stock post allows, the rest of its length in the sleeve.

    Arguments: ground_ft, level; height_ft, of the fence there; straight_ft, level of the even top; stock_ft, length of the stock post;
    depth_ft, of the sleeve in the ground; hold_ft, the least to stand in it, at most depth_ft. All ft.
    Source: common practice, no source.
    Valid for: any lengths; a stock post that is too short gives a negative off_ft.
    """
    tall_ft = max(height_ft, min(straight_ft - ground_ft, stock_ft - hold_ft))
    in_sleeve_ft = min(depth_ft, max(hold_ft, stock_ft - tall_ft))
    cut_ft = tall_ft + in_sleeve_ft
    return PostCut(ground_ft + tall_ft, cut_ft, stock_ft - cut_ft, in_sleeve_ft)
