"""Values as people write them: a word and what they add to it, a box ticked, a flag; what is not understood is said so."""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import StrEnum
from typing import Any

from airwrit.facts.choices import MarkPlace, RemoteIdWay, ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.service import SERVICE_STATUS
from airwrit.intake.cells import Cell, Kind
from airwrit.intake.got import NOTHING, Got, clean, joined
from airwrit.intake.meaning.status import Bearing, status_of, stops_in
from airwrit.intake.meaning.variants import ADD_ON, BUILT_IN, GONE_FLAG, OUT_FLAG, OUTSIDE, SAME, STATUS_WORDS
from airwrit.intake.words import choice_of, is_missing, normal, one_of, set_of, yes_or_no

Reader = Callable[[Cell], Got]
_HEAD = re.compile(r"\s+[-–—]+\s+|\s*[,;(/]\s*|:\s+")
_ARTICLE = re.compile(r"^(?:an?|the|from|it is|its) ")
_CROSS = "x"


def choice_in(kind: type[StrEnum], text: str) -> Got:
    """The value of a closed list that a text says: its only word, or the first with an addition that turns nothing."""
    whole = one_of(kind, text)
    if not whole.fault:
        return whole
    bare = _ARTICLE.sub("", normal(text))
    if bare != normal(text) and not one_of(kind, bare).fault:
        return one_of(kind, bare)
    head, rest = _parted(text)
    said = one_of(kind, head)
    if not rest or said.fault or said.raw is None:
        return whole
    also = choice_of(kind).values.get(normal(rest.strip(" )")))
    if also is not None and also != said.raw:
        return Got(also, f"read as {also!r}") if normal(head) in set_of("none") else whole
    if stops_in(rest):
        return whole
    return Got(said.raw, joined(said.note, "words after the first were left out"))


def _parted(text: str) -> tuple[str, str]:
    """A text up to its first dash, comma or bracket, or up to the code at its end; and the rest."""
    parts = _HEAD.split(text, maxsplit=1)
    if len(parts) > 1:
        return parts[0].strip(), parts[1].strip()
    head, _, last = text.rpartition(" ")
    if head and any(sign.isdigit() for sign in last) and last.isalnum():
        return head, last
    return text, ""


def variant_reader(key: Key[Any], variant: str) -> Reader | None:
    """How cells of a column are read that says its fact in another way than by its plain value; None for the plain way."""
    if key is SERVICE_STATUS and variant in (STATUS_WORDS, ""):
        return _status
    by_variant: dict[str, Reader] = {
        SAME: _same_serial,
        OUTSIDE: _outside,
        BUILT_IN: _ticked(RemoteIdWay.STANDARD),
        ADD_ON: _ticked(RemoteIdWay.MODULE),
        OUT_FLAG: _ticked(ServiceStatus.OUT_OF_SERVICE),
        GONE_FLAG: _ticked(ServiceStatus.RETIRED),
    }
    return by_variant.get(variant)


def _text_of(cell: Cell) -> str:
    return "" if cell.kind is Kind.EMPTY else clean(cell.text).text


def flag_of(text: str) -> bool | None:
    """Yes or no as a cell says it, by its first word where it says more; None for neither."""
    got = yes_or_no(text)
    if isinstance(got.raw, bool):
        return got.raw
    head, rest = _parted(text)
    said = yes_or_no(head).raw
    return said if isinstance(said, bool) and (not rest or not _doubts(rest)) else None


def _doubts(text: str) -> bool:
    return any(stop.bearing is not Bearing.DOUBT or stop.words == "?" for stop in stops_in(text))


def _status(cell: Cell) -> Got:
    """Whether it is in service; what is not known to say so is unclear."""
    text = _text_of(cell)
    if not text:
        return NOTHING
    if text.isdigit() and text in ("0", "1"):
        return Got((ServiceStatus.IN_SERVICE if text == "1" else ServiceStatus.OUT_OF_SERVICE).value)
    said = status_of(text)
    stops = stops_in(text)
    gone = next((one for one in stops if one.bearing is Bearing.GONE and not one.about_part), None)
    if gone is not None and gone.status is not None and said is not ServiceStatus.IN_SERVICE:
        return Got((said if said not in (None, ServiceStatus.OUT_OF_SERVICE) and said else gone.status).value)
    if said is ServiceStatus.IN_SERVICE and stops:
        return Got(unclear=text)
    if said is not None:
        return Got(said.value)
    if any(one.bearing is Bearing.OUT for one in stops):
        return Got(ServiceStatus.OUT_OF_SERVICE.value)
    return Got(unclear=text)


def _same_serial(cell: Cell) -> Got:
    """Whether the serial on the certificate is the aircraft's own: yes or no, or the serial itself."""
    text = _text_of(cell)
    said = flag_of(text)
    if said is not None:
        return Got(said)
    if not text or is_missing(text):
        return NOTHING
    if len(text) >= 6 and text.isalnum() and any(sign.isdigit() for sign in text):
        return Got(text.upper())
    return Got(unclear=text)


def _outside(cell: Cell) -> Got:
    """Where the number is shown, in a column that asks whether it is outside."""
    text = _text_of(cell)
    if not text:
        return NOTHING
    place = choice_in(MarkPlace, text)
    if isinstance(place.raw, str) and place.raw != MarkPlace.NOT_MARKED:
        return place
    said = flag_of(text)
    if said is None:
        return NOTHING if is_missing(text) else Got(unclear=text)
    if said:
        return Got(MarkPlace.OUTSIDE.value)
    return Got(MarkPlace.NOT_MARKED.value, "not on the outside; whether it is inside was not said")


def _ticked(value: StrEnum) -> Reader:
    """A box that says one thing when it is ticked, and nothing when it is not."""

    def read(cell: Cell) -> Got:
        text = _text_of(cell)
        if not text or is_missing(text):
            return NOTHING
        said = flag_of(text)
        if said is None:
            return Got(unclear=text)
        return Got(value.value) if said else NOTHING

    return read
