"""Trees that may take a post's place: how far off, how thick, and what they carry already."""

from dataclasses import dataclass
from math import hypot, pi

from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import listed
from engine.job.model.job import Job
from engine.walk import Walk


@dataclass(frozen=True)
class TreeChoice:
    """One tree that has a place: its distance from the post, its girth as a tape goes round it, and the supports it is."""

    tree: str
    away_ft: float
    girth_in: float
    carries: tuple[str, ...]

    @property
    def words(self) -> str:
        """On one line."""
        carried = f"carries {listed(list(self.carries))}" if self.carries else "carries nothing"
        return f"{self.tree}  {format_ft_in(self.away_ft)} off, {format_in(self.girth_in)} round, {carried}"


def tree_choices(job: Job, walk: Walk, post: str) -> tuple[TreeChoice, ...]:
    """Every tree with a place, the nearest first."""
    there, supports = walk.layout.supports[post], walk.layout.supports
    found = []
    for name, tree in job.trees.items():
        point = walk.survey.points.get(tree.point)
        if point is not None:
            away_ft = hypot(point.east_ft - there.east_ft, point.north_ft - there.north_ft)
            carries = tuple(other for other, support in supports.items() if support.support == "tree" and support.at == name)
            found.append(TreeChoice(name, away_ft, pi * tree.diameter_in, carries))
    return tuple(sorted(found, key=lambda choice: choice.away_ft))
