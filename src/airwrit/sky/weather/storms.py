"""Remarks about what was seen around a station: storms, lightning, clouds that tell of them, and where they are and go."""

from __future__ import annotations

import re
from collections.abc import Sequence

from airwrit.sky.weather.draft import ReportDraft, said, words

COMPASS = re.compile(r"(?:[NS]?[EW]|[NS])(?:-(?:[NS]?[EW]|[NS]))*")
_LIGHTNING = re.compile(r"LTG((?:IC|CC|CG|CA)*)")
_BEGAN = re.compile(r"(?:[BE]\d{2}(?:\d{2})?)+")


def read_storm(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """TORNADO B13 6 NE, TS SE MOV NE, CB W MOV E, ACSL SW-S, VIRGA SW; FRQ LTGCGIC VC."""
    return _lightning(signs, at, draft) or _storm(signs, at, draft)


def _lightning(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    often = words()["often"].get(signs[at], "")
    place = at + 1 if often else at
    found = _LIGHTNING.fullmatch(signs[place]) if place < len(signs) else None
    if found is None:
        return 0
    used, where = _where(signs, place + 1)
    end = place + 1 + used
    draft.read(" ".join(signs[at:end]), said("lightning", often=f"{often} " if often else "", where=where))
    return end - at


def _storm(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    listed = words()["storm"]
    long = " ".join(signs[at : at + 2])
    name = long if long in listed else signs[at]
    if name not in listed:
        return 0
    end = at + len(name.split())
    if end < len(signs) and _BEGAN.fullmatch(signs[end]):
        end += 1
    used, where = _where(signs, end)
    end += used
    moving = ""
    if end + 1 < len(signs) and signs[end] == "MOV" and COMPASS.fullmatch(signs[end + 1]):
        moving, end = f", moving {signs[end + 1]}", end + 2
    draft.read(" ".join(signs[at:end]), said("storm", what=listed[name], where=where, moving=moving))
    return end - at


def _where(signs: Sequence[str], start: int) -> tuple[int, str]:
    """How many signs tell where something is, and the words: overhead, nearby, far off, 6 miles NE."""
    places, end, told = words()["where"], start, []
    while end < len(signs):
        sign = signs[end]
        behind = signs[end + 1] if end + 1 < len(signs) else ""
        if sign in places:
            told.append(places[sign])
        elif COMPASS.fullmatch(sign):
            told.append(sign)
        elif re.fullmatch(r"\d{1,2}", sign) and COMPASS.fullmatch(behind):
            told.append(f"{sign} miles {behind}")
            end += 1
        elif not (sign == "AND" and told and (behind in places or COMPASS.fullmatch(behind))):
            break
        end += 1
    return end - start, f" {', '.join(told)}" if told else ""
