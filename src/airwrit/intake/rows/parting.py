"""Cells that say several things, taken apart where that is sure: a number with its days, a name with remarks, two people."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from airwrit.facts.choices import MarkPlace, RemoteIdWay
from airwrit.facts.keys.aircraft import (
    LISTED_SERIAL,
    MARK_PLACE,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
)
from airwrit.facts.keys.person import CERTIFICATE_NUMBER, EVENT_OF, HAS_CERTIFICATE, RECURRENT_DUE_ON
from airwrit.facts.keys.registration import EXPIRES_ON, ISSUED_ON
from airwrit.intake.cell.value import clean
from airwrit.intake.columns import EVENT, ID, Match
from airwrit.intake.layout import ELSEWHERE, Block
from airwrit.intake.meaning.columns import REMARKS
from airwrit.intake.meaning.lexicon import whole_lexicon, words_of
from airwrit.intake.meaning.shapes import has_registration_form, look_of, shapes_of
from airwrit.intake.meaning.status import person_says
from airwrit.intake.reader.cells import EMPTY, Cell, Kind
from airwrit.intake.tables.view import filled

PARTED = "parted"
"""How a column was found that is made of what stands beside the value in another."""
_MONTH = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\.?"
_DAY = (
    rf"\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}[/.-]\d{{1,2}}[/.-]\d{{2,4}}|\d{{1,2}}[/-]\d{{2,4}}"
    rf"|{_MONTH} ?(?:\d{{1,2}},? ?)?\d{{2,4}}|\d{{1,2}}[ -]{_MONTH}[ -]\d{{2,4}}"
)
_UNTIL = (
    r"exp(?:ires|iry|iration|ir|s)?\.?(?: date| on)?|(?:good|valid|current|ok) (?:thru|through|till?|until|to)"
    r"|thru|through|until|till?|ends?|due|renew(?:al)?(?: by| due)?"
)
_SINCE = r"iss(?:ued?)?\.?(?: on)?|reg(?:istered|'?d)?\.?(?: on)?|since|from|dated|eff(?:ective)?\.?"
_PAIR = re.compile(
    rf"[\s,;:(/|&-]*(?:(?P<until>{_UNTIL})|(?P<since>{_SINCE}))[\s:.=-]*(?P<day>{_DAY})(?![\d/])[\s,;.)]*",
    re.IGNORECASE,
)
_FIRST_WORD = re.compile(r"#?([A-Z0-9-]{5,14})(?=$|[\s,;:(/|])", re.IGNORECASE)
_BRACKETED = re.compile(r"(?P<name>[^()\[\]]+?)\s*[(\[](?P<inside>[^()\[\]]+)[)\]]")
_AMONG = re.compile(r"\s*[;/&+\n]\s*|\s+and\s+")
_SAID = re.compile(r"\s*(?:[,;]|(?<!\d)/|/(?!\d))\s*")
_HOLDS = re.compile(
    r"(?:has |faa )?(?:part |pt\.? ?|p)?107(?: cert(?:ified|ificate)?\.?| pilot| holder)?", re.IGNORECASE
)
_CERTIFICATE = re.compile(r"(?:cert(?:ificate)? ?)?#? ?(\d{5,8})(?![\d/-])", re.IGNORECASE)
_MARKED = re.compile(
    r"(?:(?:sticker|number|no\.?|#|label|decal|mark(?:ed)?|it'?s?|is) )*(?:on )?(?:the )?(?:outside|exterior)",
    re.IGNORECASE,
)
_LISTED = re.compile(
    r"(?:is |it'?s )?on (?:the )?(?:faa )?(?:cert(?:ificate)?|reg(?:istration)?|card)", re.IGNORECASE
)
_CONCEPTS = {"aircraft": {"REG", "REGNO", "FAA", "MARK"}, "person": {"CERT", "CERTNO"}}
"""What a heading over cells of two days has to speak of."""
_MOSTLY, _NEARLY_ALL = 0.5, 0.8

Parts = Mapping[str, str]
"""What stands in a cell: facts with their texts; "" is what stays where it was."""


class _Days(NamedTuple):
    """The facts that are the last and the first day of what a table of a kind is about."""

    until: str
    since: str


_DAYS = {
    "aircraft": _Days(EXPIRES_ON.name, ISSUED_ON.name),
    "person": _Days(RECURRENT_DUE_ON.name, EVENT + "initial test"),
}
_OF_PERSON_REGISTRATION = _Days(EXPIRES_ON.name, "")


def parted(block: Block) -> Block:
    """The table with cells of several facts or several people taken apart; the same where there is none."""
    return _by_facts(_by_people(block))


# ---- several people in one cell --------------------------------------------------------------------------------------


def names_several(text: str) -> bool:
    """Whether a cell names more than one person, surely or perhaps."""
    parts = [part for part in _AMONG.split(text.strip()) if part]
    return len(parts) > 1 and all(map(_may_name, parts))


def _may_name(text: str) -> bool:
    words = text.replace(",", " ").split()
    letters = all(word.replace(".", "").replace("'", "").replace("-", "").isalpha() for word in words)
    return (
        0 < len(words) <= 3 and letters and all(word[0].isupper() for word in words) and not person_says(text)
    )


@lru_cache(maxsize=1 << 12)
def _people_in(text: str) -> tuple[str, ...]:
    """The people whom a cell names, where it surely names several: all by one word, or all by more."""
    if not names_several(text):
        return ()
    parts = [clean(part).text for part in _AMONG.split(text.strip()) if part]
    are_whole = {"person" in shapes_of(Cell(Kind.TEXT, part)) for part in parts}
    are_short = {" " in part or len(part) < len("Lee") for part in parts}
    return tuple(parts) if are_whole == {True} or (are_whole == are_short == {False}) else ()


def _by_people(block: Block) -> Block:
    """The table with a row for each of several people, where the row says nothing that only one of them can have."""
    named = {"person": ID, "training": EVENT_OF.name}.get(block.table)
    column = next((at for at, match in enumerate(block.matches) if match.meaning == named), None)
    if named is None or column is None:
        return block
    own = [at for at, match in enumerate(block.matches) if match.meaning in _OF_ONE]
    view = block.view
    rows: list[tuple[Cell, ...]] = []
    from_rows: list[int] = []
    for index, row in enumerate(view.rows):
        inside = block.first <= index < block.end and column < len(row)
        people = _people_in(row[column].text) if inside and row[column].kind is Kind.TEXT else ()
        if any(at < len(row) and row[at] is not EMPTY for at in own):
            people = ()
        for person in people:
            rows.append((*row[:column], Cell(Kind.TEXT, person), *row[column + 1 :]))
        rows += [] if people else [row]
        from_rows += [index] * max(1, len(people))
    if len(rows) == len(view.rows):
        return block
    return replace(
        block, view=view.remade(tuple(rows), rows=from_rows), end=block.end + len(rows) - len(view.rows)
    )


_OF_ONE = frozenset({CERTIFICATE_NUMBER.name, REGISTRATION.name, "born_on"})

# ---- several facts in one cell ---------------------------------------------------------------------------------------


def _by_facts(block: Block) -> Block:
    """The table with further columns for what stands beside the value in a cell."""
    if block.table not in _DAYS:
        return block
    for column in range(len(block.matches)):
        if block.table == "aircraft" and _holds_numbers(block, column):
            match = Match(
                REGISTRATION.name, "values", block.headings[column], "by its numbers, with days beside them"
            )
            block = replace(block, matches=_with(block.matches, column, match))
        if block.table == "aircraft" and _holds_serials(block, column):
            match = Match(
                REMOTE_ID_SERIAL.name,
                "values",
                block.headings[column],
                "by its serial numbers, with words beside them",
            )
            block = replace(block, matches=_with(block.matches, column, match))
        parts_of = _reader_of(block, column, block.matches[column])
        if parts_of is not None:
            block = _with_parts(block, column, parts_of)
    return block


def _reader_of(block: Block, column: int, match: Match) -> Callable[[str], Parts] | None:
    """How the cells of a column may be taken apart; None where they are one thing."""
    if match.meaning == REGISTRATION.name:
        days = _DAYS["aircraft"] if block.table == "aircraft" else _OF_PERSON_REGISTRATION
        return lambda text: _number_with_days(text, days, _is_registration)
    if block.table == "person" and match.meaning == CERTIFICATE_NUMBER.name:
        return lambda text: _number_with_days(text, _DAYS["person"], str.isdigit)
    if match.meaning == REMOTE_ID_SERIAL.name and all(
        one.meaning != REMOTE_ID_WAY.name for one in block.matches
    ):
        concepts = whole_lexicon().heard(block.headings[column]).concepts
        is_module = "ADDON" in concepts or "module" in words_of(block.headings[column])
        return _module_serial if is_module else _rid_parts if match.how == "values" else _serial_with_words
    if match.meaning == ID:
        return _named_person if block.table == "person" else _named_aircraft
    if not match.meaning and match.how == "unknown" and match.why and _tells_days(block, column):
        return lambda text: _days_in(text, _DAYS[block.table]) or {}
    return None


def _holds_numbers(block: Block, column: int) -> bool:
    """Whether a column not understood holds registration numbers with days beside them, and no other column has numbers."""
    match = block.matches[column]
    if match.meaning or match.how != "unknown" or not match.why:
        return False
    if any(one.meaning == REGISTRATION.name for one in block.matches):
        return False
    texts = [text for text in _texts(block, column) if text]
    if not texts or not whole_lexicon().heard(block.headings[column]).concepts & _CONCEPTS["aircraft"]:
        return False
    told = [_number_with_days(text, _DAYS["aircraft"], _is_registration) for text in texts]
    return any(told) and sum(
        1 for text, parts in zip(texts, told, strict=True) if parts or _is_registration(text)
    ) >= _NEARLY_ALL * len(texts)


def _serial_with_words(text: str) -> Parts:
    """A Remote ID serial with words beside it; nothing where there is no serial."""
    parts = _rid_parts(text)
    return parts if parts.get("") else {}


def _module_serial(text: str) -> Parts:
    """The serial of a module, which makes the aircraft one with a module; words for another way in its place say that way."""
    if "cta" in shapes_of(Cell(Kind.TEXT, text)):
        return {"": text, REMOTE_ID_WAY.name: RemoteIdWay.MODULE.value}
    return _rid_parts(text)


def _holds_serials(block: Block, column: int) -> bool:
    """Whether a column about Remote ID holds serial numbers beside how it is fitted, and no other column has them."""
    meanings = {one.meaning for one in block.matches}
    match = block.matches[column]
    is_asked = not match.meaning and match.how == "unknown" and match.why
    heard = whole_lexicon().heard(block.headings[column]).concepts
    if match.meaning != REMOTE_ID_WAY.name and not (is_asked and heard & {"RID", "RIDNO"}):
        return False
    if meanings & {REMOTE_ID_SERIAL.name, LISTED_SERIAL.name} or (
        is_asked and REMOTE_ID_WAY.name in meanings
    ):
        return False
    texts = [text for text in _texts(block, column) if text]
    return (
        2 * sum(1 for text in texts if REMOTE_ID_WAY.name in (parts := _rid_parts(text)) and parts[""])
        >= len(texts)
        > 0
    )


def _is_registration(text: str) -> bool:
    return has_registration_form(text.upper().replace("-", ""))


def _tells_days(block: Block, column: int) -> bool:
    """Whether a column not understood speaks of the right paper, and most of its cells are days with their words."""
    if not whole_lexicon().heard(block.headings[column]).concepts & _CONCEPTS[block.table]:
        return False
    texts = [text for text in _texts(block, column) if text]
    return bool(texts) and sum(1 for text in texts if _days_in(text, _DAYS[block.table])) >= _MOSTLY * len(
        texts
    )


def _texts(block: Block, column: int) -> Iterable[str]:
    for row in block.view.rows[block.first : block.end]:
        yield row[column].text if column < len(row) and row[column].kind is Kind.TEXT else ""


def _days_in(text: str, days: _Days) -> dict[str, str] | None:
    """The days that a text names with their words, where it says nothing else; None where it does."""
    found: dict[str, str] = {}
    at = 0
    while at < len(text):
        match = _PAIR.match(text, at)
        fact = "" if match is None else days.until if match["until"] else days.since
        if match is None or not fact or fact in found:
            return None
        found[fact] = match["day"]
        at = match.end()
    return found or None


def _number_with_days(text: str, days: _Days, has_form: Callable[[str], bool]) -> Parts:
    first = _FIRST_WORD.match(text)
    if first is None or first.end() == len(text) or not has_form(first[1]):
        return {}
    rest = text[first.end() :].strip()
    told = _days_in(rest, days)
    if told is None and days.until == EXPIRES_ON.name:
        told = _days_and_mark(rest, days)
    return {} if told is None else {"": first[1], **told}


def _days_and_mark(text: str, days: _Days) -> dict[str, str] | None:
    """The days and the place of the mark that a text names beside a number, the rest a remark; None where it names neither."""
    found, rest = dict[str, str](), list[str]()
    for said in _SAID.split(text.strip(" ,;()")):
        match = _PAIR.match(said)
        fact = "" if match is None else days.until if match["until"] else days.since
        if match is not None and fact and fact not in found:
            found[fact] = match["day"]
            rest.append(said[match.end() :])
        elif _MARKED.fullmatch(said) and MARK_PLACE.name not in found:
            found[MARK_PLACE.name] = MarkPlace.OUTSIDE.value
        else:
            rest.append(said)
    if not found:
        return None
    remark = ", ".join(filter(str.strip, rest))
    if _PAIR.search(remark) or any(map(_is_registration, remark.split())):
        return None
    return {**found, **({REMARKS: remark} if remark else {})}


def _rid_parts(text: str) -> Parts:
    """A Remote ID serial with how it is fitted and whether the certificate lists it; a text without a serial is the way."""
    words = text.replace("(", " ").replace(")", " ").replace(",", " ").split()
    serial = next((word for word in words if "cta" in shapes_of(Cell(Kind.TEXT, word))), "")
    rest = " ".join(word for word in words if word != serial)
    if not serial:
        return {"": "", REMOTE_ID_WAY.name: text} if "way" in shapes_of(Cell(Kind.TEXT, text)) else {}
    before, _, behind = text.partition(serial)
    found = {"": serial}
    for said in (before.strip(" ,;:(-"), behind.strip(" ,;:()-")):
        if not said:
            continue
        if "way" in shapes_of(Cell(Kind.TEXT, said)):
            found[REMOTE_ID_WAY.name] = said
        elif _LISTED.fullmatch(said):
            found[LISTED_SERIAL.name] = "yes"
        else:
            found[REMARKS] = rest
    return found


def _named_person(text: str) -> Parts:
    """A name with what is known of the person in brackets behind it; what is not understood is a remark."""
    match = _BRACKETED.fullmatch(text.strip())
    if match is None or not _may_name(match["name"]):
        return {}
    found, rest = dict[str, str](), list[str]()
    for said in _SAID.split(match["inside"]):
        number = _CERTIFICATE.match(said)
        rest_of_it = said[number.end() :].strip() if number else said
        told = _days_in(rest_of_it, _DAYS["person"])
        if number is not None and (told or not rest_of_it):
            found |= {CERTIFICATE_NUMBER.name: number[1], **(told or {})}
        elif told is not None:
            found |= told
        elif _HOLDS.fullmatch(said):
            found[HAS_CERTIFICATE.name] = "yes"
        else:
            rest.append(said)
    return {"": match["name"], **found, **({REMARKS: ", ".join(rest)} if rest else {})}


def _named_aircraft(text: str) -> Parts:
    """What stands in brackets behind the name of an aircraft, which is its name all the same."""
    match = _BRACKETED.fullmatch(text.strip())
    return {} if match is None else {"": text, REMARKS: match["inside"]}


def _with_parts(block: Block, column: int, parts_of: Callable[[str], Parts]) -> Block:
    """The table with the cells of one column taken apart."""
    told = {
        block.first + place: parts
        for place, text in enumerate(_texts(block, column))
        if (parts_of is _module_serial or _JOINT.search(text)) and (parts := parts_of(clean(text).text))
    }
    told = {index: parts for index, parts in told.items() if not _is_title(block, index, parts)}
    facts = list(dict.fromkeys(fact for parts in told.values() for fact in parts if fact))
    if not facts:
        return block
    width = max(map(len, block.view.rows))
    rows = [_wider(row, width, column, told.get(index), facts) for index, row in enumerate(block.view.rows)]
    spare = width - len(block.headings)
    looks = (look_of(row[width + place] for row in rows) for place in range(len(facts)))
    own = block.matches[column]
    if not own.meaning and all(
        block.first + place in told for place, text in enumerate(_texts(block, column)) if text
    ):
        own = Match("", PARTED, own.heading)
    return replace(
        block,
        view=block.view.remade(tuple(rows), columns=[*range(width), *[column] * len(facts)]),
        headings=(*block.headings, *[""] * spare, *[block.headings[column]] * len(facts)),
        matches=(
            *_with(block.matches, column, own),
            *[ELSEWHERE] * spare,
            *[Match(fact, PARTED, own.heading) for fact in facts],
        ),
        looks=(*block.looks, *[look_of(())] * spare, *looks),
    )


def _with(matches: Sequence[Match], column: int, own: Match) -> tuple[Match, ...]:
    return tuple(own if at == column else match for at, match in enumerate(matches))


_JOINT = re.compile(r"[\s(\[]|^no(?:ne)?$", re.IGNORECASE)
"""What stands between the parts of a cell that says several things."""


def _is_title(block: Block, index: int, parts: Parts) -> bool:
    """Whether nothing else stands in a row than a name with a remark: a title between rows, as it may be."""
    return filled(block.view.rows[index]) == 1 and set(parts) <= {"", REMARKS}


def _wider(
    row: Sequence[Cell], width: int, column: int, parts: Parts | None, facts: Sequence[str]
) -> tuple[Cell, ...]:
    """A row with a cell more for each fact, of what stood in one of its cells."""
    whole = (*row, *[EMPTY] * (width - len(row)))
    if parts is None:
        return (*whole, *[EMPTY] * len(facts))
    kept = Cell(Kind.TEXT, parts[""]) if parts.get("") else EMPTY
    more = (Cell(Kind.TEXT, parts[fact]) if fact in parts else EMPTY for fact in facts)
    return (*whole[:column], kept, *whole[column + 1 :], *more)
