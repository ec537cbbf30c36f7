"""Figures for sleeves and posts: what they stand in, and what a code would ask."""

from collections.abc import Iterator

from engine.calc.length_words import limit_words
from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.figure_tables import summed
from tui.widgets.figures import Figures

PURPOSE = "Drive the sleeves, stand the posts plumb, set the eyes."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    posts = walk.posts
    yield summed(
        "What they stand in",
        f"{posts.driven_count} driven, {posts.tree_count} on trees, {posts.structure_count} on structures, {posts.plate_count} on plates. "
        f"{_footing(walk)}Guidance; local code decides.",
    )


def _footing(walk: Walk) -> str:
    """What a code's formula for footings would ask, one figure for all."""
    posts = walk.posts
    if not posts.footing_at:
        return ""
    asks = f"over {limit_words(12)}" if posts.footing_in is None else format_ft_in(posts.footing_in / 12, 1)
    return f"A code's formula for wide concrete footings would ask {asks} at {posts.footing_at}. "
