"""Values as people write them, and in which way a column says what it holds; what is not understood is said so."""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import StrEnum
from typing import Any

from airwrit.facts.choices import MarkPlace, RemoteIdWay, ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import LISTED_SERIAL, MARK_PLACE, REMOTE_ID_WAY
from airwrit.facts.keys.service import SERVICE_STATUS
from airwrit.intake.cell.value import (
    NOTHING,
    Got,
    choice_of,
    clean,
    is_missing,
    is_none,
    joined,
    name_of_cell,
    normal,
    one_of,
    set_of,
    shown,
    yes_or_no,
    yes_or_number,
)
from airwrit.intake.meaning.lexicon import split_brackets, whole_lexicon, words_listed, words_of
from airwrit.intake.meaning.shapes import ColumnLook, has_registration_form, keyed_values
from airwrit.intake.meaning.status import Bearing, begins_out, is_mended, status_of, stops_in
from airwrit.intake.reader.cells import Cell, Kind

SAME, OUTSIDE, BUILT_IN, ADD_ON, OUT_FLAG, GONE_FLAG, STATUS_WORDS = (
    "same serial",
    "on the outside",
    "built in",
    "add-on",
    "flag: out",
    "flag: gone",
    "status words",
)
_MOSTLY = 0.5
_GONE = frozenset({"GONEFLAG", "RETFLAG", "LOSTFLAG", "WRECKFLAG"})


def variant_of(meaning: str, heading: str, look: ColumnLook) -> str:
    """The way in which a column's values say what it holds; "" for the plain one."""
    is_yes_or_no = look.share("yesno") >= _MOSTLY
    if meaning == LISTED_SERIAL.name:
        return SAME if is_yes_or_no else ""
    if meaning == MARK_PLACE.name:
        return OUTSIDE if is_yes_or_no and not words_listed("outside").isdisjoint(words_of(heading)) else ""
    concepts = whole_lexicon().heard(split_brackets(heading)[0]).concepts
    if meaning == REMOTE_ID_WAY.name and is_yes_or_no:
        plain = concepts & {"BUILTIN", "ADDON"}
        return {frozenset({"BUILTIN"}): BUILT_IN, frozenset({"ADDON"}): ADD_ON}.get(plain, "")
    if meaning == SERVICE_STATUS.name:
        if "STATUS" in concepts or not is_yes_or_no:
            return STATUS_WORDS
        return OUT_FLAG if "OUTFLAG" in concepts else GONE_FLAG if concepts & _GONE else STATUS_WORDS
    return ""


Reader = Callable[[Cell], Got]
_HEAD = re.compile(r"\s+[-–—]+\s+|\s*[,;(/]\s*|:\s+")
_ARTICLE = re.compile(r"^(?:an?|the|from|it is|its) ")
_DIGITS = frozenset("0123456789")


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
        return _by_keywords(kind, text) or whole
    also = choice_of(kind).values.get(normal(rest.strip(" )")))
    if also is not None and also != said.raw:
        return Got(also, f"read as {also!r}") if normal(head) in set_of("none") else whole
    keyed = keyed_values(kind.__name__, text)
    if len(keyed) > 1 or (keyed and said.raw not in keyed):
        return whole
    if stops_in(rest):
        return whole
    if _DENIES.search(rest.casefold()) and said.raw not in _NOTHING_THERE:
        return Got(said.raw, "we used only the first word", unclear=text)
    return Got(said.raw, joined(said.note, "we used only the first word"))


_DENIES = re.compile(r"\b(?:not|no|never|without|isn't|missing|lacks)\b")
_NOTHING_THERE = (RemoteIdWay.NONE.value, MarkPlace.NOT_MARKED.value)


def _by_keywords(kind: type[StrEnum], text: str) -> Got | None:
    """The value that the words of a longer text say, where they say one and nothing speaks of a doubt."""
    values = keyed_values(kind.__name__, text)
    if len(values) != 1 or "?" in text or _NOT_SURE.search(text.casefold()):
        return None
    (value,) = values
    return Got(value, "read from the words in it")


_NOT_SURE = re.compile(
    r"\b(?:not sure|unsure|maybe|ordered|on order|needed|need|pending|soon|will|should|ask|check|was|old|or|not yet|"
    r"none needed|some)\b"
)


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


_UNREGISTERED = re.compile(
    r"(?:n/?a|none|no)\b.*|not (?:needed|required|registered|necessary).*|unregistered.*|exempt.*|no number.*"
)
_UNDER_WAY = re.compile(
    r".*\b(?:applied|pending|in process|submitted|waiting|ordered|coming|soon|to come|tbd)\b.*"
)
_NOT_YET_CERTIFIED = re.compile(
    r"(?:studying|student|in (?:progress|training|class)|not yet|working on it|scheduled|n/?a|no\b|never|vo\b).*"
)
_WITH_NUMBER = re.compile(r"(?:yes|y)?\W*#? ?(\d{6,8})\b.*")


def registration_of(got: Got, cell: Cell) -> Got:
    """The registration number of a cell by its form; what has none is said to be no number, or that there is none."""
    if not isinstance(got.raw, str):
        said = normal(_text_of(cell))
        return (
            Got(False) if got.fault and _UNREGISTERED.fullmatch(said) and not _UNDER_WAY.match(said) else got
        )
    if has_registration_form(got.raw.replace(" ", "").replace("-", "")):
        is_doubtful = got.raw.startswith("FA") and ("O" in got.raw or "I" in got.raw)
        return got._replace(unclear=got.raw) if is_doubtful else got
    said = normal(_text_of(cell))
    if _UNREGISTERED.fullmatch(said) and not _UNDER_WAY.match(said):
        return Got(False, "read as not registered")
    return Got(fault=f"{shown(got.raw)} doesn't look like a registration number", do=_LOOK)


_LOOK = "check the aircraft or its certificate. Write only the number, or 'none' if there is none"


def serial_of(got: Got) -> Got:
    """A Remote ID serial; words that only point at one are none."""
    if isinstance(got.raw, str) and (" " in got.raw or _DIGITS.isdisjoint(got.raw)):
        return Got(fault=f"{shown(got.raw)} isn't a serial number", do="write the serial number itself")
    return got


def certificate_of(got: Got, cell: Cell) -> Got:
    """The number of a pilot's certificate; words that say that there is none yet say so."""
    if isinstance(got.raw, str) and not any(sign.isdigit() for sign in got.raw):
        said = normal(_text_of(cell))
        if _NOT_YET_CERTIFIED.fullmatch(said):
            return Got(False)
        return Got(True) if said.startswith("temp") else Got(unclear=got.raw)
    return got


def named_owner(cell: Cell) -> Got:
    """The name of an owner; a word that only points at one names nobody."""
    got = name_of_cell(cell)
    return NOTHING if isinstance(got.raw, str) and names_nobody(got.raw) else got


def names_nobody(text: str) -> bool:
    """Whether a text where a name should be only points at somebody, or at nobody: ours, the church, spare."""
    words = words_of(text)
    return is_none(normal(text)) or (
        0 < len(words) <= _FEW_WORDS and words_listed("nobody").issuperset(set(words) - _ARTICLES)
    )


_FEW_WORDS, _ARTICLES = 2, frozenset({"the", "a", "our", "own"})


def certificate_held(text: str) -> Got:
    """Whether a certificate is held: yes, no, or a number that stands in its place."""
    got = yes_or_number(text)
    if not got.fault:
        return got
    if _NOT_YET_CERTIFIED.fullmatch(normal(text)):
        return Got(False)
    if _WITH_NUMBER.fullmatch(normal(text)):
        return Got(True, "a number in a yes-or-no column was read as yes")
    said = flag_of(text)
    return got if said is None else Got(said)


def _text_of(cell: Cell) -> str:
    return "" if cell.kind is Kind.EMPTY else clean(cell.text).text


def flag_of(text: str) -> bool | None:
    """Yes or no as a cell says it, by its first word where it says more; None for neither."""
    got = yes_or_no(text)
    if isinstance(got.raw, bool) or is_missing(text):
        return got.raw if isinstance(got.raw, bool) else None
    head, rest = _parted(text)
    said = yes_or_no(head).raw
    return said if isinstance(said, bool) and (not rest or not _doubts(rest)) else None


def flag_in(text: str) -> Got:
    """Yes or no, also where words follow that turn nothing."""
    got = yes_or_no(text)
    said = flag_of(text) if got.fault else None
    return got if said is None else Got(said, "we used only the yes or no")


def _doubts(text: str) -> bool:
    return any(stop.bearing is not Bearing.DOUBT or stop.words == "?" for stop in stops_in(text))


def _status(cell: Cell) -> Got:
    """Whether it is in service; what is not known to say so is unclear."""
    text = _text_of(cell)
    if not text or is_missing(text):
        return NOTHING
    if text.isdigit() and text in ("0", "1"):
        return Got((ServiceStatus.IN_SERVICE if text == "1" else ServiceStatus.OUT_OF_SERVICE).value)
    flag = flag_of(text)
    if flag is not None:
        return Got((ServiceStatus.IN_SERVICE if flag else ServiceStatus.OUT_OF_SERVICE).value)
    said = status_of(text)
    stops = stops_in(text)
    gone = next((one for one in stops if one.bearing is Bearing.GONE and not one.about_part), None)
    if gone is not None and gone.status is not None and said is not ServiceStatus.IN_SERVICE:
        return Got((said if said not in (None, ServiceStatus.OUT_OF_SERVICE) and said else gone.status).value)
    if said is ServiceStatus.IN_SERVICE and stops:
        return Got(unclear=text)
    if said is not None:
        return Got(said.value)
    if begins_out(text) or (any(one.bearing is Bearing.OUT for one in stops) and not is_mended(text)):
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
    return Got(
        MarkPlace.NOT_MARKED.value, "it isn't on the outside, but the sheet doesn't say if it's inside"
    )


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
