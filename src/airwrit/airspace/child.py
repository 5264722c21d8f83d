"""Files read as an edition in a process of their own: paths in, the edition's file out, or why it can't be taken."""

from __future__ import annotations

import base64
import json
from datetime import date
from pathlib import Path
from typing import Any

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.reading import read_edition
from airwrit.airspace.store import as_bytes
from airwrit.base.errors import UnreadableFile, UsageError


def read(_data: bytes, _limits: object, asked: str) -> dict[str, Any]:
    """The edition that `asked` names as a JSON list: paths, kind, layer, day. `usage` tells a wrong call from a bad file."""
    paths, kind, layer, on = json.loads(asked)
    try:
        edition = read_edition(
            [Path(path) for path in paths], kind and AreaKind(kind), layer, date.fromisoformat(on)
        )
    except (UnreadableFile, UsageError) as fault:
        return {
            "refused": [fault.what, fault.where, fault.do],
            "usage": isinstance(fault, UsageError),
        }
    except OSError as fault:
        return {
            "refused": [f"it cannot be opened ({fault.strerror})", str(fault.filename), ""],
            "usage": False,
        }
    return {"edition": base64.b64encode(as_bytes(edition)).decode("ascii")}
