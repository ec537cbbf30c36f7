"""What a change breaks: each stop and fix that the walk after it finds and the walk before it didn't."""

from collections.abc import Mapping

from engine.calc.tolerances import MARK_IN, TAPE_IN, TOUCHING_FT
from engine.findings import LEVELS, Finding
from engine.stages.fabric.aprons import Short
from engine.walk import Walk

SETTLED_BY_TICKS = ("reading_out_of_range", "post_lifted", "foot_gives")
"""What is told until somebody has done it: a reading to be read again, a braced post to be pinned. No rule is broken by it."""
FILLED_BY_TICKS = ("apron_short", "hole_under_wire", "gap_over_floor", "gap_over_treads")
"""What is told until a piece is ringed in or the dip is filled: where that was done, it is done again."""


def rules_broken(before: Walk, after: Walk, as_before: Mapping[str, str]) -> list[Finding]:
    """Stops and fixes that are new; `as_before` is what a post that takes another's place, and its bays, were called before. A gap that
    was filled and has to be filled again is none; one that opens elsewhere, or a hole where the apron was short, is."""
    told = [finding for finding in after.findings if finding.level != "note" and finding.code not in SETTLED_BY_TICKS]
    return [
        finding for finding in told if _is_new(finding, before.findings, as_before) and not _filled_again(finding, before, after, as_before)
    ]


def _is_new(finding: Finding, before: tuple[Finding, ...], as_before: Mapping[str, str]) -> bool:
    """Whether nothing as bad was found of these subjects before; one finding may tell of many subjects."""
    subjects = {as_before.get(subject, subject) for subject in finding.subjects}
    return not any(
        old.code == finding.code and LEVELS.index(old.level) <= LEVELS.index(finding.level) and subjects <= set(old.subjects)
        for old in before
    )


def _filled_again(finding: Finding, before: Walk, after: Walk, as_before: Mapping[str, str]) -> bool:
    """Whether all that a finding tells of a bay's lower edge is where the crew had answered for a gap as bad."""
    bay = as_before.get(finding.subject, finding.subject)
    if finding.code not in FILLED_BY_TICKS or bay not in before.fabric.filled:
        return False
    were = before.fabric.bays[bay].short
    return all(any(_as_bad(old, new) for old in were) for new in after.fabric.bays[finding.subject].short)


def _as_bad(old: Short, new: Short) -> bool:
    """Whether a stretch was short before: there, over the same ground, and a hole if it is one now; over a floor as high."""
    if old.kind != new.kind or new.from_ft > old.to_ft + TOUCHING_FT or new.to_ft < old.from_ft - TOUCHING_FT:
        return False
    if new.kind == "soil":
        return new.least_in >= -TAPE_IN or old.least_in < -TAPE_IN
    return new.least_in >= old.least_in - MARK_IN
