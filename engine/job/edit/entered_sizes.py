"""Sizes of what is found in a yard that nothing in one has: a slip of a finger, refused before it keeps posts off or dogs in."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import EDGE_FT
from engine.job.errors import Problem
from engine.job.model.job import Job
from engine.job.model.rules import LayoutRules

HIGHEST_FT = 30.0
"""How high a deck's floor, or what can be stood on, may be over the ground: three storeys; from memory, no source."""


def wrong_sizes(job: Job, table: str, name: str) -> Iterator[Problem]:
    """What is wrong with the sizes of an obstacle or a deck."""
    if table == "obstacles" and (radius_ft := job.obstacles[name].radius_ft) > job.rules.layout.bay_max_ft + EDGE_FT:
        says = f"{too_far_round(job.rules.layout, radius_ft)} For something larger name points round it."
        yield Problem((table, name, "radius_ft"), says, radius_ft)
    height_ft = job.obstacles[name].height_ft if table == "obstacles" else job.decks[name].height_ft if table == "decks" else None
    if height_ft is not None and height_ft > HIGHEST_FT:
        says = f"{format_ft_in(height_ft)} is higher than a house has decks ({format_ft_in(HIGHEST_FT)}). Correct the height."
        yield Problem((table, name, "height_ft"), says, height_ft)


def too_far_round(rules: LayoutRules, radius_ft: float) -> str:
    """Why nothing keeps posts so far off all round it: the next one of a fence comes nearer."""
    most = format_ft_in(rules.bay_max_ft)
    return f"{format_ft_in(radius_ft)} clear all round is more than a bay may be long ({most}). Give how near to it nothing may be driven."
