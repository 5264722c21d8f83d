"""Files of airspace data read in a process of their own, within its limits, whatever is in them."""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from airwrit.airspace.edition import Edition
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.store import from_bytes
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.intake.reader.apart import Broke, TookTooLong, told_apart
from airwrit.intake.reader.limits import Limits

AIRSPACE_LIMITS = Limits(seconds=900, memory_bytes=4 * 2**30)
"""A national facility map of 220 MB takes some minutes; more than 400 MB is refused unread."""
_READER = "airwrit.airspace.child"
_SPLIT = "split the files, for example by State"


def edition_of_files(
    paths: Sequence[Path],
    kind: AreaKind | None,
    layer: str | None,
    on: date,
    limits: Limits = AIRSPACE_LIMITS,
) -> Edition:
    """The edition that files make up. UnreadableFile or UsageError says why one can't be taken."""
    asked = json.dumps([[str(path.absolute()) for path in paths], kind and kind.value, layer, on.isoformat()])
    try:
        told = told_apart(_READER, b"", limits, asked)
    except TookTooLong:
        raise UnreadableFile(
            f"reading it took more than {limits.seconds} seconds", where=paths[0].name, do=_SPLIT
        ) from None
    except Broke:
        raise UnreadableFile(
            "the file is damaged or too large to read",
            where=paths[0].name,
            do=_SPLIT,
        ) from None
    if "refused" in told:
        what, where, do = told["refused"]
        raise (UsageError if told["usage"] else UnreadableFile)(what, where=where, do=do)
    return from_bytes(base64.b64decode(told["edition"]))
