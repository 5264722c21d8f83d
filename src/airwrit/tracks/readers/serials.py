"""Serial numbers that a log tells: those of fields that hold one, and those that a text calls a serial number."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

_LABELED = re.compile(
    r"\b(?:serial(?:[ _-]?(?:number|num|no))?|s/?n)\b\.?\s*[:=#]\s*\"?([A-Z0-9][A-Z0-9-]{4,24})\b",
    re.IGNORECASE,
)
_NAME = re.compile(
    r"(?:(?:aircraft|drone|uas|device|remote id|airframe) )?(?:serial(?: ?(?:number|num|no))?|s/?n)",
    re.IGNORECASE,
)
_MOST = 4
_SHORTEST = 5


def told_serials(texts: Iterable[str]) -> tuple[str, ...]:
    """The serial numbers that fields of a log hold, each once; what has no digit or is very short is none."""
    plain = ("".join(text.split()).strip("\x00") for text in texts)
    found = [one for one in plain if len(one) >= _SHORTEST and any(sign.isdigit() for sign in one)]
    return tuple(dict.fromkeys(found))[:_MOST]


def labeled_serials(text: str) -> tuple[str, ...]:
    """The serial numbers in a text that stand behind "serial", "serial number" or "S/N"."""
    return told_serials(_LABELED.findall(text))


def named_serials(fields: Mapping[str, object]) -> tuple[str, ...]:
    """The serial numbers among fields of any kind: texts whose name says so, and no battery's or camera's."""
    return told_serials(
        text
        for name, text in fields.items()
        if isinstance(text, str) and _NAME.fullmatch(name.replace("_", " ").strip())
    )
