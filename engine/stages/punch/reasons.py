"""Reasons given at sign-off: kept under the key of what they were given for, and found again, those of older versions too."""

from collections.abc import Mapping

from engine.findings import Finding
from engine.job.model.log_entries import DeliveryEntry, LogEntry, NoteEntry, PhotoEntry, ReopenedEntry, live
from engine.stages.punch.closing_list import NOT_CLOSED, UNTICKED, Checklists
from engine.stages.punch.stage import WAYS_OUT, Punch
from engine.stages.punch.ways_out import WayOut

_OPENS_NOTHING = (NoteEntry, PhotoEntry, DeliveryEntry)
_OF_ALL = (str(UNTICKED), str(NOT_CLOSED))
"""Keys of reasons that one was given for whatever is open of a kind."""


def reasons_told(punch: Punch, reasons: Mapping[str, str]) -> dict[str, str]:
    """Reasons as the record keeps them: each under its key, and those of ways out together beside the finding that tells them."""
    told = {str(finding.key): words for finding in punch.findings if finding.code == WAYS_OUT and (words := _of_ways(punch, reasons))}
    return {**reasons, **told}


def reason_given(finding: Finding, punch: Punch, reasons: Mapping[str, str]) -> str:
    """Why a finding was left open; of the one that tells the ways out, where another way was the largest then, what was said of each."""
    given = reasons.get(str(finding.key), "")
    return given or (_of_ways(punch, reasons) if finding.code == WAYS_OUT else "")


def reasons_that_stood(log: tuple[LogEntry, ...], checklists: Checklists) -> Mapping[str, str]:
    """The reasons of the last record that was opened again; none where no record was. One for all items that were open is none any more
    once others may be: something was logged since, or what was done is about something else now."""
    entries = live(log)
    last = next((n for n in range(len(entries) - 1, -1, -1) if isinstance(entries[n], ReopenedEntry)), None)
    if last is None or not isinstance(reopened := entries[last], ReopenedEntry):
        return {}
    others = any(not isinstance(entry, _OPENS_NOTHING) for entry in entries[last + 1 :]) or any(
        line.tick is None and line.was is not None for checklist in checklists.values() for line in checklist.lines
    )
    return of_single_things(reopened.left_open) if others else reopened.left_open


def of_single_things(reasons: Mapping[str, str]) -> dict[str, str]:
    """Reasons without those that were given for whatever was open of a kind: they say nothing of what opened since."""
    return {key: why for key, why in reasons.items() if key not in _OF_ALL}


def _of_ways(punch: Punch, reasons: Mapping[str, str]) -> str:
    given = ((way.where, reasons.get(str(way.key)) or reasons.get(_older_text(way, reasons), "")) for way in punch.ways_out)
    return "; ".join(f"{where}: {reason}" for where, reason in given if reason)


def _older_text(way: WayOut, reasons: Mapping[str, str]) -> str:
    """The text of a way's key in a record of version 0.9 or before, made of the words that stood on the screen then. A low stretch had its
    height in it, which may have changed since: any of that bay is taken."""
    key, start = way.key, f"way_out:{way.subject}:"
    if key.place == "low_fence":
        return next((text for text in reasons if text.startswith(f"{start}over_the_") and text.endswith('"_fence')), "")
    words = {
        "under_wire": "under_the_wire",
        "under_deck": f"under_deck_{key.of}_on_line_{key.at}",
        "under_gate": f"under_gate_{key.of}",
        "beside_gate": f"beside_gate_{key.of}",
        "open_yard": f"yard_{key.of}_doesn't_close",
        "free_end": f"line_{key.of}_ends_free_at_{way.subject}",
        "at_wall": f"between_{way.subject}_and_{key.at}",
        "low_gate": f"over_gate_{key.of}",
        "jump_off": f"over_the_fence_from_{key.at}",
    }
    return f"{start}{words[key.place]}"
