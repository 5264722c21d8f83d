"""What of a host name somebody can register, by the public suffix list that a package ships; nothing is fetched.

Source: the public suffix list, in the copy of the package publicsuffixlist; `list_date` tells its day.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import publicsuffixlist

from airwrit.base.days import parse_day

_VERSION = "// VERSION: "


@cache
def _suffixes() -> publicsuffixlist.PublicSuffixList:
    return publicsuffixlist.PublicSuffixList()


def registrable_in(host: str) -> str | None:
    """The part of a host that one holder registered, `example.org` of `www.example.org`; None for a suffix alone."""
    found = _suffixes().privatesuffix(host.lower())
    return found if isinstance(found, str) else None


@cache
def list_date() -> date | None:
    """The day of the shipped list, None when it does not say."""
    path = Path(publicsuffixlist.PSLFILE)
    with path.open(encoding="utf-8") as file:
        for line in file:
            if line.startswith(_VERSION):
                return parse_day(line.removeprefix(_VERSION)[:10])
            if line.strip() and not line.startswith("//"):
                return None
    return None
