"""Rows for the checklist and the findings: what the crew reads, with marks that carry meaning without colour."""

from textual.content import Content

from engine.calc.remember import remembered
from engine.checklist import Checklist, ChecklistLine
from engine.findings import LEVELS, Finding, FindingKey
from engine.job.model.item_key import ItemKey
from tui.base.theme import SIGNS
from tui.widgets.rows import Row
from tui.working.working_copy import Working

MARK = 40
"""How much of the reason why nothing is saved the top line has room for."""
DO_FIRST = {"stop": "Stop", "fix": "Fix", "note": "Note"}


def checklist_rows(checklist: Checklist) -> list[Row[ItemKey]]:
    """A row an item, then rows for ticks whose item is gone."""
    rows = [(line.item.key, _line(line)) for line in checklist.lines]
    gone = [(key, Content.styled(f"[{SIGNS['done']}] {key}, no longer in the plan", "$muted")) for key, _ in checklist.orphans]
    return rows + gone


@remembered
def _line(line: ChecklistLine) -> Content:
    item, tick = line.item, line.tick
    reading = item.reading
    if tick is None:
        wanted = f", {reading.range_words}" if reading is not None else ""
        return Content.assemble("[ ] ", item.says, Content.styled(f"{wanted}{_was(line)}", "$muted"))
    if tick.state == "not needed":
        return Content.styled(f"[-] {item.says}, not needed{f': {tick.note}' if tick.note else ''}", "$muted")
    read = f": {reading.words(tick.reading)}" if reading is not None and tick.reading is not None else ""
    if item.tells is not None and tick.reading is not None:
        read += f", {item.tells.short(tick.reading)}"
    if line.passes is False:
        return Content.assemble(Content.styled(f"[{SIGNS['fix']}] ", "bold $fix"), item.says, Content.styled(read, "bold $fix"))
    return Content.assemble(Content.styled(f"[{SIGNS['done']}] ", "$done"), item.says, Content.styled(read, "bold"))


def ticked_words(line: ChecklistLine) -> str:
    """What a line was ticked with, by whom and when, and the reason given."""
    tick, reading = line.tick, line.item.reading
    if tick is None:
        return ""
    read = tick.state if reading is None or tick.reading is None else reading.words(tick.reading)
    return f"{read[:1].upper()}{read[1:]}, {tick.by}, {tick.at:%Y-%m-%d %H:%M}.{f' {tick.note}' if tick.note else ''}"


def _was(line: ChecklistLine) -> str:
    """What the item was ticked with before its post, bay or loop changed."""
    if line.was is None:
        return ""
    value, reading = line.was.reading, line.item.reading
    return f" (was {reading.words(value)})" if reading is not None and value is not None else f" (was {line.was.state})"


def finding_rows(findings: tuple[Finding, ...]) -> list[Row[FindingKey]]:
    """A row a finding, worst first: what is wrong, and under it what to do."""
    ordered = sorted(findings, key=lambda finding: LEVELS.index(finding.level))
    return [(finding.key, finding_content(finding)) for finding in ordered]


def finding_content(finding: Finding) -> Content:
    """One finding on two lines."""
    head = Content.styled(f"{SIGNS[finding.level]} {DO_FIRST[finding.level]}  ", f"bold ${finding.level}")
    return Content.assemble(head, finding.says, "\n    ", Content.styled(finding.do, "$muted"))


def job_title(working: Working) -> str:
    """Number and title of the job, or the name of its file."""
    who = working.job.job
    return " ".join(part for part in (who.number, who.title) if part) or working.loaded.path.stem


def saved_words(working: Working) -> str:
    """Whether the job in hand is on disk, and whether it may be changed."""
    if working.trouble:
        return f"NOT SAVED: {working.why[:MARK].rstrip('.')}" if working.why else "NOT SAVED"
    if not working.saved:
        return "saving, no answer yet" if working.slow else "saving"
    if working.job.record is not None:
        return "sealed, but CHANGED" if working.loaded.seal_holds is False else "signed off, sealed"
    if working.read_only:
        return "read only"
    return f"saved {working.saved_at:%H:%M}" if working.saved_at else "saved"


def top_line(width: int, title: str, saved: str) -> str:
    """The first line of a screen on one job: what it is, and whether it is saved."""
    room = max(width - len(saved) - 3, 8)
    title = title if len(title) <= room else f"{title[: room - 1]}…"
    return f" {title:<{room}} {saved} "
