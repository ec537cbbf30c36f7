"""The text of a signed file as its repair keeps it: lines that an editor shows, or packed where they are many.

A packed text holds the packed ones of the jobs before it hardly larger than they are, so a fence that is repaired again and again adds
one job's worth each time. Lines inside lines would be escaped anew each time.
"""

import binascii
import bz2
from base64 import b64decode, b64encode
from pathlib import Path
from typing import Any

from engine.job.errors import BadContent, Located
from engine.job.file.file_text import MOST_BYTES
from engine.job.model.job import Job
from engine.job.model.signed_record import RepairOf

PLAIN_BYTES = 100_000
"""A text that is longer is packed."""
_PACKED = "text_bz2_base64"
_DAMAGED = "the signed file that is packed here can't be unpacked: its letters were changed. Take an older copy."


def keeping(text: str) -> dict[str, Any]:
    """What a repair holds of a text: the same letters on every machine, which zlib doesn't promise and bzip2 does."""
    raw = text.encode()
    if len(raw) <= PLAIN_BYTES:
        return {"text": tuple(text.split("\n")), _PACKED: ""}
    return {"text": (), _PACKED: b64encode(bz2.compress(raw)).decode()}


def kept_bytes(repair_of: RepairOf, path: Path) -> bytes:
    """The signed file that a repair keeps. Raises: BadContent where it can't be unpacked."""
    if not repair_of.text_bz2_base64:
        return "\n".join(repair_of.text).encode()
    unpacking = bz2.BZ2Decompressor()
    try:
        raw = unpacking.decompress(b64decode(repair_of.text_bz2_base64, validate=True), MOST_BYTES + 1)
    except (OSError, binascii.Error) as error:
        raise BadContent(path, [Located(1, 1, "repair_of", _PACKED, _DAMAGED)]) from error
    if not unpacking.eof and len(raw) <= MOST_BYTES:
        raise BadContent(path, [Located(1, 1, "repair_of", _PACKED, _DAMAGED)])
    return raw


def packed(job: Job) -> Job:
    """An open repair, its many lines packed; a signed one stays as it was sealed."""
    repair_of = job.repair_of
    if job.record is not None or repair_of is None or sum(map(len, repair_of.text)) <= PLAIN_BYTES:
        return job
    kept = keeping("\n".join(repair_of.text))
    return job.model_copy(update={"repair_of": repair_of.model_copy(update=kept)})
