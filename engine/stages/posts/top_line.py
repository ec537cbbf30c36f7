"""The even top line: straight between fixed supports, and the post cut that reaches it."""

from collections.abc import Mapping
from itertools import accumulate, groupby

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import np
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.heights import BayHeight, base_level_ft, heights_at


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
    meeting = heights_at(layout, hangs)
    tops = {
        name: max((base_level_ft(support, hang) + hang.height_ft for hang in meeting[name]), default=support.level_ft + usual_ft)
        for name, support in layout.supports.items()
    }
    for line in layout.lines.values():
        for hang, run in groupby((layout.bays[name] for name in line.bays), key=lambda bay: hangs[bay.id]):
            for name, top_ft in _run_tops_ft(layout, list(run), hang).items():
                tops[name] = max(tops[name], top_ft)
    return tops


def _run_tops_ft(layout: Layout, bays: list[Bay], hang: BayHeight) -> dict[str, float]:
    names = [bays[0].from_id, *(bay.to_id for bay in bays)]
    least_ft = [base_level_ft(layout.supports[name], hang) + hang.height_ft for name in names]
    at_ft = list(accumulate((bay.plan_ft for bay in bays), initial=0.0))
    fixed = [place for place, name in enumerate(names) if layout.supports[name].kind != "line" or place in (0, len(bays))]
    straight = np.interp(at_ft, [at_ft[place] for place in fixed], [least_ft[place] for place in fixed])
    return dict(zip(names, straight.tolist(), strict=True))


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
