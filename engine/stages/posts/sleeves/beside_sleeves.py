"""Posts that stand too near a sleeve in the ground, or go into one that isn't at their place."""

from collections.abc import Iterator, Mapping, Sequence

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_in
from engine.calc.tolerances import EDGE_FT, ONE_SUPPORT_FT, TAPE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.sleeves_in_ground import SLEEVE_CLEAR_FT, cut_off_here
from engine.stages.layout.stage import Layout
from engine.stages.posts.sleeves.driven_sleeves import DrivenSleeve
from engine.stages.posts.sleeves.old_sleeves import OldSleeve

_finding = FindingOf("posts")


def beside_old_sleeves(job: Job, layout: Layout, sleeves: Sequence[OldSleeve]) -> Iterator[Finding]:
    """Posts driven too near a sleeve that stays whole in the ground: one that is cut off is a keep-out as soon as that is said.
    Source: common practice, no source: nothing is driven within a foot of an old sleeve."""
    cut_off = cut_off_here(job)
    whole = [
        (one, one.there)
        for one in sleeves
        if one.stays
        and one.there
        and not any(cut.post == one.post and distance_ft(cut.there, one.there) <= ONE_SUPPORT_FT for cut in cut_off)
    ]
    for post in layout.supports.values() if whole else ():
        off_ft, old = min(((distance_ft(post.xy, there), one) for one, there in whole), key=lambda row: row[0])
        if post.support == "driven" and off_ft < SLEEVE_CLEAR_FT - EDGE_FT:
            whose = "its own old sleeve" if old.post == post.id else f"the old sleeve of {old.post}"
            says = f"{post.id} stands {format_in(off_ft * 12)} from {whose}, which stays in the ground."
            into = f"Pull that one after all and say so, put {post.id} into it, or {settle_words('it', accepted=True, small=True)}"
            yield _finding("near_old_sleeve", "fix", tuple(dict.fromkeys((post.id, old.post))), says, into)


def off_their_sleeves(layout: Layout, again: Mapping[str, DrivenSleeve]) -> Iterator[Finding]:
    """Posts that go into a sleeve which isn't where they are to stand: none is driven so near to it."""
    for name, sleeve in again.items():
        off_ft = distance_ft(layout.supports[name].xy, sleeve.there) if sleeve.there is not None else 0.0
        if off_ft > TAPE_FT:
            whose = "its own old sleeve" if sleeve.post == name else f"the old sleeve of {sleeve.post}"
            says = f"{name} goes into {whose}, which is {format_in(off_ft * 12)} from its place: no second one is driven so near."
            do = f"Have it on that sleeve, or a foot or more from it: {settle_words('it', accepted=True, small=True)}"
            yield _finding("off_its_sleeve", "fix", (name,), says, do)
