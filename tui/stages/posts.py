"""Figures for sleeves and posts: depth, eyes, cut lengths."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.job.model.job import Job
from engine.stages.bracing.lifts import up_or_down
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Drive the sleeves, stand the posts plumb, set the eyes."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    posts, pulls = walk.posts, walk.bracing.pulls
    yield table(
        "At every support",
        "<id|<stands in|depth|driven|eyes at|cut post to|off|cables",
        (
            (
                name,
                name,
                walk.layout.supports[name].at or "sleeve",
                _inches(work.depth_wanted_in),
                _inches(work.driven_in),
                f"{format_ft_in(work.eye_low_ft)}, {format_ft_in(work.eye_high_ft)}",
                "" if work.post_cut_ft is None else format_ft_in(work.post_cut_ft),
                _inches(work.post_off_in),
                up_or_down(pulls[name].lift_lbf) if name in pulls else "",
            )
            for name, work in posts.work.items()
        ),
        f"{posts.driven_count} driven, {posts.tree_count} on trees, {posts.structure_count} on structures, {posts.plate_count} on plates. "
        f"Cables: how much both lift or press down. {_footing(walk)}Guidance; local code decides.",
    )
    blocked = [(name, name, work.why_not) for name, work in posts.work.items() if not work.drivable and work.why_not]
    yield table("Not to be driven yet", "<id|<why", blocked)


def _footing(walk: Walk) -> str:
    """What a code's formula for footings would ask, one figure for all."""
    posts = walk.posts
    if not posts.footing_at:
        return ""
    asks = "over 12'" if posts.footing_in is None else format_ft_in(posts.footing_in / 12, 1)
    return f"A code's formula for wide concrete footings would ask {asks} at {posts.footing_at}. "


def _inches(value: float | None) -> str:
    return "" if value is None else format_in(value)
