"""Groups that say nothing of the flight's limits: wind shear on a runway, the sea, color states, and bare slashes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from airwrit.sky.weather.draft import ReportDraft, said

_SEA = re.compile(r"WM?\d{2}/(?:S\d|H\d{1,3})|W//?/(?:S/|H///)")
_COLOR = re.compile(r"(?:BLACK)?(?:BLU|WHT|GRN|YLO[12]?|AMB|RED)\+?")
_RUNWAY = re.compile(r"R(?:WY)?\d{2}[LCR]?")


def read_other(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """Wind shear (WS R24, WS ALL RWY), sea (W15/S2), color state (GRN), or slashes where a group is missing."""
    sign = signs[at]
    behind = tuple(signs[at + 1 : at + 3])
    if sign == "WS" and behind and _RUNWAY.fullmatch(behind[0]):
        draft.read(f"{sign} {behind[0]}", said("runway_shear"))
        return 2
    if sign == "WS" and behind == ("ALL", "RWY"):
        draft.read(f"{sign} ALL RWY", said("runway_shear"))
        return 3
    if set(sign) == {"/"}:
        draft.refuse(sign, "missing")
        return 1
    for form, name in ((_SEA, "sea"), (_COLOR, "color")):
        if form.fullmatch(sign):
            draft.read(sign, said(name))
            return 1
    return 0
