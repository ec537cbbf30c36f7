"""What a change breaks: each stop and fix that the walk after it finds and the walk before it didn't."""

from collections.abc import Mapping

from engine.findings import LEVELS, Finding
from engine.walk import Walk

SETTLED_BY_TICKS = ("reading_out_of_range", "post_lifted", "foot_gives")
"""What is told until somebody has done it: a reading to be read again, a braced post to be pinned. No rule is broken by it."""


def rules_broken(before: Walk, after: Walk, as_before: Mapping[str, str]) -> list[Finding]:
    """Stops and fixes that are new; `as_before` is what a post that takes another's place, and its bays, were called before."""
    told = [finding for finding in after.findings if finding.level != "note" and finding.code not in SETTLED_BY_TICKS]
    return [finding for finding in told if _is_new(finding, before.findings, as_before)]


def _is_new(finding: Finding, before: tuple[Finding, ...], as_before: Mapping[str, str]) -> bool:
    """Whether nothing as bad was found of these subjects before; one finding may tell of many subjects."""
    subjects = {as_before.get(subject, subject) for subject in finding.subjects}
    return not any(
        old.code == finding.code and LEVELS.index(old.level) <= LEVELS.index(finding.level) and subjects <= set(old.subjects)
        for old in before
    )
