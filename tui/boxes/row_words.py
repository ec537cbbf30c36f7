"""Words of the top line, and rows for findings: what the crew reads, with marks that carry meaning without colour."""

from textual.content import Content

from engine.ahead.rests_on_it import rests_on_it
from engine.findings import LEVELS, Finding, FindingKey
from engine.stages.punch.closing_list import LeftOpen
from tui.base.theme import SIGNS
from tui.widgets.rows import Row
from tui.working.working_copy import Working

MARK = 40
"""How much of the reason why nothing is saved the top line has room for."""
DO_FIRST = {"stop": "Stop", "fix": "Fix", "note": "Note"}


def finding_rows(findings: tuple[Finding, ...]) -> list[Row[FindingKey]]:
    """A row a finding, worst first: what is wrong, and under it what to do."""
    ordered = sorted(findings, key=lambda finding: LEVELS.index(finding.level))
    return [(finding.key, finding_content(finding)) for finding in ordered]


def finding_content(finding: Finding | LeftOpen, number: str = "") -> Content:
    """One finding, or one thing left open, on two lines."""
    head = Content.styled(f"{number}{SIGNS[finding.level]} {DO_FIRST[finding.level]}  ", f"bold ${finding.level}")
    return Content.assemble(head, finding.says, "\n    ", Content.styled(finding.do, "$muted"))


def job_title(working: Working) -> str:
    """Number and title of the job, or the name of its file; before it, that all there is of the fence is an estimate."""
    who = working.job.job
    title = " ".join(part for part in (who.number, who.title) if part) or working.loaded.path.stem
    return f"ESTIMATE: {title}" if rests_on_it(working.job, working.walk) else title


def saved_words(working: Working) -> str:
    """Whether the job in hand is on disk, and whether it may be changed."""
    if working.trouble:
        return f"NOT SAVED: {working.why[:MARK].rstrip('.')}" if working.why else "NOT SAVED"
    if not working.saved:
        return "saving, no answer yet" if working.slow else "saving"
    if working.gone:
        return "FILE GONE"
    if working.job.record is not None:
        return "sealed, but CHANGED" if working.loaded.seal_holds is False else "signed off, sealed"
    if working.read_only:
        return "read only"
    return f"saved {working.saved_at:%H:%M}" if working.saved_at else "saved"


def who_and_saved(working: Working) -> str:
    """The right end of the top line: who is working, whether another laptop is at the job too, how far it is on its way to the disk."""
    parts = (working.by[:20], "2 laptops" if working.shared else "", saved_words(working))
    return "  ".join(part for part in parts if part)


def top_line(width: int, title: str, saved: str) -> str:
    """The first line of a screen on one job: what it is, and whether it is saved."""
    room = max(width - len(saved) - 3, 8)
    title = title if len(title) <= room else f"{title[: room - 1]}…"
    return f" {title:<{room}} {saved} "
