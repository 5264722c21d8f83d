"""Flights that a carry pack's short form hands over: a file, a text, or photos of QR codes; read strictly, every trouble named.

The form is one JSON document of ASCII or UTF-8 text:

    {"form": "airwrit flights 1", "pack": "<id>", "pilot": "<name>",
     "flights": [{"aircraft": "H-03", "landed": "2026-11-25T10:20-05:00", "minutes": 14, "landings": 1,
                  "packs": ["P1", "P2"], "defect": "...", "use": "work"}]}

Of a flight only aircraft and landing have to be said. Flights that do not fit into one code stand in several, each a document
of its own.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from airwrit.base.errors import UnreadableFile
from airwrit.facts.statement import Problem, Source
from airwrit.intake.cell.value import clean
from airwrit.intake.reader.apart import bytes_of
from airwrit.intake.reader.limits import Limits
from airwrit.intake.reader.photo import PHOTO_LIMITS, is_photo_name, photo_of
from airwrit.intake.typed.flight import FIELDS, LONGEST_NAME, Flown, flown_of

FORM = "airwrit flights 1"
"""The form's name and number, which every document begins with."""
MOST_BYTES, MOST_FLIGHTS = 2**20, 2000
_TEXTS = (".json", ".txt")
_FORM = re.compile(r"airwrit flights (\d{1,9})")
_DO = "hand it over again from the pilot papers on the phone"
_MOST_DEPTH = 8


class Handed(NamedTuple):
    """A flight handed over, and the place it stood at."""

    flown: Flown
    where: str


class HandedOver(NamedTuple):
    """What a file hands over: its flights, what could not be read, the file and its bytes, and the packs it came from."""

    flights: tuple[Handed, ...]
    problems: tuple[Problem, ...]
    source: Source
    data: bytes
    packs: tuple[str, ...]


def is_handed_over(path: Path) -> bool:
    """Whether a file's name is one of a hand-over: a text or a photo, not a sheet."""
    return is_handed_over_name(path.name)


def is_handed_over_name(name: str) -> bool:
    """As `is_handed_over`, of the name alone."""
    return Path(name).suffix.lower() in _TEXTS or is_photo_name(name)


def read_handed_over(path: Path) -> HandedOver:
    """The flights of a file of a carry pack, or of the QR codes in a photo. UnreadableFile when it holds no such form."""
    limits = PHOTO_LIMITS if is_photo_name(path.name) else Limits(file_bytes=MOST_BYTES)
    return handed_over_of(bytes_of(path, limits, "hand over fewer flights at once"), path.name)


def handed_over_of(data: bytes, name: str) -> HandedOver:
    """The flights in the bytes of a file or, by its name, a photo. UnreadableFile, and nothing else, when it has none."""
    if is_photo_name(name):
        return _of_photo(data, name)
    if len(data) > MOST_BYTES:
        raise UnreadableFile(
            f"the file is larger than {MOST_BYTES:,} bytes", where=name, do="send fewer flights at once"
        )
    flights, problems, pack = _read(_document(data, name), name)
    source = Source(name, hashlib.sha256(data).hexdigest())
    return HandedOver(tuple(flights), tuple(problems), source, data, (pack,) if pack else ())


def _of_photo(data: bytes, name: str) -> HandedOver:
    photo = photo_of(data, name)
    ours = [code.text for code in photo.codes if FORM.rpartition(" ")[0] in code.text]
    if not ours:
        what = "no QR code of flights was found in it" if photo.codes else "no code was found in it"
        raise UnreadableFile(what, where=name, do="take the photo again, closer and straight on")
    flights: list[Handed] = []
    problems: list[Problem] = []
    packs: list[str] = []
    for at, text in enumerate(ours, 1):
        where = name if len(ours) == 1 else f"{name} code {at}"
        found, told, pack = _read(_document(text.encode("utf-8", "replace"), where), where)
        flights += found
        problems += told
        packs += [pack] if pack else []
    return HandedOver(tuple(flights), tuple(problems), photo.source, data, tuple(dict.fromkeys(packs)))


def _document(data: bytes, where: str) -> dict[str, Any]:
    """The JSON object in the bytes. UnreadableFile for anything else."""
    try:
        text = data.decode("utf-8-sig")
        if text.count("[") + text.count("{") > 4 * MOST_FLIGHTS or _depth(text) > _MOST_DEPTH:
            _no("it holds far more than flights", where)
        document = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    except UnicodeDecodeError as fault:
        raise UnreadableFile("the file isn't UTF-8 text", where=where, do=_DO) from fault
    except (ValueError, RecursionError) as fault:
        raise UnreadableFile(
            f"the file isn't complete JSON ({_short(fault)})", where=where, do=_DO
        ) from fault
    if not isinstance(document, dict):
        _no("this isn't a file of flights from pilot papers", where)
    form = document.get("form")
    number = _FORM.fullmatch(form) if isinstance(form, str) else None
    if number is None:
        _no("this isn't a file of flights from pilot papers", where)
    if form != FORM:
        raise UnreadableFile(
            f"the pack has format {number[1]}, and this version reads format {FORM.rpartition(' ')[2]}",
            where=where,
            do="use the airwrit version that made the pilot papers",
        )
    return document


def _no(what: str, where: str) -> NoReturn:
    raise UnreadableFile(what, where=where, do=_DO)


def _depth(text: str) -> int:
    """How deep brackets are nested at most; those inside texts count too, which only makes it stricter."""
    depth = deepest = 0
    for sign in text:
        if sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}" and depth:
            depth -= 1
    return deepest


def _once(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a field stands twice")
    return made


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _short(fault: Exception) -> str:
    return clean(str(fault)).text[:80]


def _read(document: dict[str, Any], where: str) -> tuple[list[Handed], list[Problem], str]:
    """The flights of a document, its problems, and the pack it came from. UnreadableFile when its frame is broken."""
    for name in document:
        if name not in ("form", "pack", "pilot", "flights"):
            _no(f"{_quoted(name)} is nothing the form has", where)
    pack, pilot, listed = document.get("pack", ""), document.get("pilot", ""), document.get("flights")
    if not isinstance(pack, str) or len(pack) > LONGEST_NAME:
        _no("the name of its pack isn't a short text", where)
    if not isinstance(listed, list):
        _no("it has no list of flights", where)
    if len(listed) > MOST_FLIGHTS:
        _no(f"it has {len(listed):,} flights, and we take up to {MOST_FLIGHTS:,} at once", where)
    flights: list[Handed] = []
    problems: list[Problem] = []
    for at, fields in enumerate(listed, 1):
        place = f"{where} flight {at}"
        if not isinstance(fields, dict):
            do = f"say it by its fields: {', '.join(FIELDS)}"
            problems.append(Problem(place, "this isn't a flight", do, unread=True))
            continue
        flown, told = flown_of({"pilot": pilot, **fields}, place)
        problems += told
        if flown is not None:
            flights.append(Handed(flown, place))
    return flights, problems, clean(pack).text


def _quoted(name: str) -> str:
    text = clean(name).text
    return repr(text if len(text) <= 40 else text[:37] + "...")
