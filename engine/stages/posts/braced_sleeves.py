"""Sleeves of braced posts that were driven less than all the way."""

from collections.abc import Mapping

from engine.calc.lengths import format_in
from engine.findings import Finding, FindingOf
from engine.stages.posts.post_work import PostWork

_finding = FindingOf("posts")


def braced_findings(work: Mapping[str, PostWork]) -> tuple[Finding, ...]:
    """One note a job: the sleeve of a braced post that is deep enough by practice and falls shortest of what its brace asks."""
    short = {
        name: post.depth_wanted_in - post.driven_in
        for name, post in work.items()
        if post.driven_in is not None and post.depth_wanted_in is not None and post.short_of_its_brace
    }
    if not short:
        return ()
    worst = max(short, key=lambda name: short[name])
    said = {
        name: f"{name}'s sleeve was read at {format_in(work[name].driven_in or 0.0)}; a brace lifts its post, which asks for all "
        f"{format_in(work[name].depth_wanted_in or 0.0)}"
        for name in (worst, *(name for name in short if name != worst))
    }
    do = "Drive it further where it goes; where it won't, see that it is solid, for the pinned post holds by it."
    return (_finding.of_many("braced_sleeve_short", "note", said, "short of it too", do, "; guidance only"),)
