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
from airwrit.intake.reader.apart import IfUnreadable, told_of_file
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
    said = IfUnreadable(_SPLIT, "the file is damaged or too large to read", _SPLIT)
    told = told_of_file(_READER, b"", paths[0].name, limits, said, asked)
    if "refused" in told:
        what, where, do = told["refused"]
        raise (UsageError if told["usage"] else UnreadableFile)(what, where=where, do=do)
    return from_bytes(base64.b64decode(told["edition"]))
