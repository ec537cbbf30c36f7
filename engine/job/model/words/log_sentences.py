"""One plain sentence for every log entry, made from its fields."""

from datetime import datetime

from engine.calc.length_words import plain_length
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, listed, plural
from engine.calc.units import metric
from engine.job.model.log_entries import (
    AddEntry,
    DeliveryEntry,
    DropEntry,
    LogEntry,
    MoveEntry,
    NoteEntry,
    ObstacleEntry,
    PhotoEntry,
    PlannedEntry,
    ReopenedEntry,
    RerouteEntry,
    SignedEntry,
    SleeveLeftEntry,
    SupersededEntry,
    SwapEntry,
)
from engine.job.model.stock_table import default_rows
from engine.job.model.words.key_words import item_words, said_words, stock_words

_STAMP = len("260414-093000")


def sentence(entry: LogEntry) -> str:
    """What happened, as a crew would say it; who and when are shown beside it. One that was taken back says when and by whom."""
    return " ".join(part for part in (happened(entry), struck_words(entry)) if part)


def struck_words(entry: LogEntry) -> str:
    """When an entry was taken back and by whom, with the day where it was another: `(struck Apr 23 14:02 by Teal)`; else empty."""
    if entry.struck_at is None:
        return ""
    by = f" by {entry.struck_by}" if entry.struck_by else ""
    day = "" if entry.struck_at.date() == entry.at.date() else f"{day_words(entry.struck_at, entry.at)} "
    return f"(struck {day}{entry.struck_at:%H:%M}{by})"


def day_words(at: datetime, beside: datetime | None = None) -> str:
    """A day as it is told: `Apr 14`, with its year where that isn't the year of the day beside it."""
    return f"{at:%b} {at.day}{'' if beside is None or at.year == beside.year else f', {at.year}'}"


def happened(entry: LogEntry) -> str:
    """What happened, whether it stands or was taken back."""
    match entry:
        case ObstacleEntry():
            what = f"{entry.what[:1].upper()}{entry.what[1:]}{_size(entry)}"
            where = f"{what} found on {entry.line} at {format_ft_in(entry.station_ft)}{_off(entry.offset_ft)}"
            return _because(f"{where}, kept clear {format_ft_in(entry.radius_ft)} all round", entry.text)
        case MoveEntry():
            return _because(f"{entry.post} moved {move_words(entry.along_ft, entry.out_ft)}", entry.why)
        case SwapEntry():
            return _because(f"{entry.post} swapped for tree {entry.tree}", entry.why)
        case AddEntry():
            where = f"{entry.post} added on {entry.line} at {format_ft_in(entry.station_ft)}{_off(entry.offset_ft)}"
            return _because(where, entry.why)
        case DropEntry():
            return _because(f"{entry.post} left out", entry.why)
        case PlannedEntry():
            return f"Plan accepted: {counted(entry.supports, 'support')}.{f' Gone: {listed(entry.gone)}.' if entry.gone else ''}"
        case RerouteEntry():
            return _rerouted(entry)
        case DeliveryEntry():
            by = f", brought by {entry.brought_by}" if entry.brought_by else ""
            return _because(f"{delivered_words(entry)} of {stock_words(entry.stock)} came{by}", entry.text)
        case SupersededEntry():
            photos = f", {counted(len(entry.photos), 'photo')}: {listed(entry.photos)}" if entry.photos else ""
            return _because(f"{_read_before(entry)}{photos}", entry.text)
        case SleeveLeftEntry():
            return _because(f"A sleeve of {entry.post} was cut off and stays in the ground", entry.why)
        case NoteEntry():
            return f"{entry.about}: {entry.text}" if entry.about else entry.text
        case PhotoEntry():
            return _because(f"Photo {entry.file}{photo_place(entry)}", entry.caption)
        case SignedEntry():
            return _because(f"Signed off, accepted by {entry.accepted_by}", entry.text)
        case ReopenedEntry():
            return _because("Reopened", entry.why)


def photo_place(entry: PhotoEntry) -> str:
    """What a photo is of and where it was taken, a blank in front: ` of G1, at 12' 6" on back`; nothing where it isn't said."""
    of = f" of {entry.about}" if entry.about else ""
    if entry.line is None or entry.station_ft is None:
        return of
    return f"{of}{',' if of else ''} at {format_ft_in(entry.station_ft)} on {entry.line}"


def _size(entry: ObstacleEntry) -> str:
    sizes = [f"{format_ft_in(ft)} {way}" for ft, way in ((entry.long_ft, "along the line"), (entry.wide_ft, "across it")) if ft]
    return f", {listed(sizes)}," if sizes else ""


def _read_before(entry: SupersededEntry) -> str:
    """What an item was ticked with: `P7 driven depth: 30" no longer stands, ticked on May 4 by Mo`."""
    tick = entry.tick
    says = f"{said_words(tick)} too" if entry.alike else f"{said_words(tick)} no longer stands"
    return f"{item_words(entry.item)}: {says}, ticked on {day_words(tick.at, entry.at)} by {tick.by}"


def _rerouted(entry: RerouteEntry) -> str:
    way = f" through {listed(entry.through)}" if entry.through else " straight"
    says = _because(f"{entry.line} takes a new way from {entry.from_post} to {entry.to_post}{way}", entry.why)
    if entry.out:
        says += f" {listed(entry.out)} came out."
    if entry.left:
        count = len(entry.left)
        says += f" The {plural(count, 'sleeve')} of {listed(entry.left)} {plural(count, 'stays', 'stay')} in the ground."
    if entry.loops:
        says += f" Cut: {listed(entry.loops)}."
    return says


def called(entry: LogEntry) -> str:
    """An entry named at the start of a sentence: `The move of P6 on Apr 14`."""
    day = f"on {day_words(entry.at)}"
    match entry:
        case PlannedEntry():
            return f"The plan accepted {day}"
        case RerouteEntry():
            return f"The new way of {entry.line} {day}"
        case MoveEntry():
            return f"The move of {entry.post} {day}"
        case SwapEntry():
            return f"The swap of {entry.post} for a tree {day}"
        case AddEntry():
            return f"The adding of {entry.post} {day}"
        case DropEntry():
            return f"The leaving out of {entry.post} {day}"
        case ObstacleEntry():
            return f"The {entry.what} found on {entry.line} {day}"
        case SupersededEntry():
            return f"The tick of {item_words(entry.item)} replaced {day}"
        case SleeveLeftEntry():
            return f"The sleeve of {entry.post} left in the ground {day}"
        case SignedEntry():
            return f"The signing off {day}"
        case ReopenedEntry():
            return f"The reopening {day}"
    return f"The {entry.kind.replace('_', ' ')} {day}"


def day_of(entry_id: str) -> str:
    """When an entry was made that isn't there any more, by its id: `of Apr 14, 2026 at 09:30`; empty where its id doesn't tell."""
    try:
        at = datetime.strptime(entry_id[:_STAMP], "%y%m%d-%H%M%S")
    except ValueError:
        return ""
    return f"of {day_words(at)}, {at.year} at {at:%H:%M}"


def delivered_words(entry: DeliveryEntry) -> str:
    """How much came: `2 packs and 60 loose`."""
    packs = "" if entry.packs is None else counted(entry.packs, "pack")
    row = default_rows().get(entry.stock)
    rolled = metric() and row is not None and row.per_pack is None and row.length_ft is not None
    loose = "" if entry.loose is None else f"{plain_length(entry.loose) if rolled else f'{entry.loose:g}'} loose"
    return " and ".join(part for part in (packs, loose) if part)


def move_words(along_ft: float, out_ft: float) -> str:
    """A move in words: `2' forward along the line and 6" to the right`."""
    parts = []
    if along_ft:
        parts.append(f"{format_ft_in(abs(along_ft))} {'forward' if along_ft > 0 else 'back'} along the line")
    if out_ft:
        parts.append(f"{format_ft_in(abs(out_ft))} to the {'right' if out_ft > 0 else 'left'}")
    return " and ".join(parts) or "nowhere"


def _off(offset_ft: float) -> str:
    return f", {format_ft_in(abs(offset_ft))} {'right' if offset_ft > 0 else 'left'} of it" if offset_ft else ""


def _because(says: str, why: str) -> str:
    why = why.strip().rstrip(".")
    return f"{says}: {why}." if why else f"{says}."
