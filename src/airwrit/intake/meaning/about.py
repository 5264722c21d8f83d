"""What a table is about: aircraft or people, by what its columns can be, and whether it is about drones at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from airwrit.facts.vocabulary import TOLD_KEYS
from airwrit.intake.meaning.columns import IGNORE, REMARKS, STATUS, ColumnReading, ColumnSeen, readings_of
from airwrit.intake.meaning.lexicon import Lexicon, words_listed, words_of
from airwrit.intake.meaning.shapes import ID, READ_AT

KINDS = ("aircraft", "person")
_OF_PEOPLE = (
    frozenset({"certificate_number", "has_certificate"}),
    frozenset(
        {"event: initial test", "event: recurrent test or training", "recurrent_due_on", "safety_test_on"}
    ),
)
_PROOF, _SOME = 0.5, 2
_OTHER_THINGS = frozenset({"BATT", "GEAR", "HOURS", "SOFT", "INSUR", "MONEY"})
_COMMON = frozenset({IGNORE, REMARKS, STATUS, "person_status", "holder", "role"})
_NUMBERS, _NEARLY = 0.8, 0.4
"""What a column of registration numbers under an unknown heading speaks for aircraft, and one that is nearly understood."""
_ENOUGH, _ENOUGH_NAMED = 2.0, 1.0
"""What has to speak for a kind of table; less where the sheet's name says so."""
_PERSON_WORDS = frozenset({"PERSON", "FIRST", "LAST"})
_AIRCRAFT_WORDS = frozenset({"AC", "TAG", "NICK"})


class About(NamedTuple):
    """What a table would be about: its columns read so, and how much speaks for it."""

    kind: str
    readings: tuple[ColumnReading, ...]
    points: float


def abouts_of(
    columns: Sequence[ColumnSeen], context: Sequence[str], hint: str, lexicon: Lexicon
) -> tuple[About, ...]:
    """The table read as one about aircraft and as one about people; the better one first, those that cannot be left out."""
    found = []
    for kind in KINDS:
        readings = tuple(readings_of(columns, kind, lexicon))
        points = _points(columns, readings, kind, lexicon)
        if points >= (_ENOUGH_NAMED if hint == kind else _ENOUGH):
            found.append(About(kind, readings, points + _by_context(kind, context, hint, lexicon)))
    return tuple(sorted(found, key=lambda one: -one.points))


def _points(
    columns: Sequence[ColumnSeen], readings: Sequence[ColumnReading], kind: str, lexicon: Lexicon
) -> float:
    facts = {one.fact for one in readings if one.fact}
    own = {one.fact for one in readings if one.fact and (one.fact not in _COMMON or one.by == "exact")} - {ID}
    if kind == "aircraft" and not own and ID in facts and _has_only_texts(columns, readings, lexicon):
        return _ENOUGH
    if not own or not _is_named(facts, kind):
        return 0.0
    points = 0.0
    for column, one in zip(columns, readings, strict=True):
        if one.fact == ID:
            points += _worth_of_name(column, kind, lexicon)
        elif one.fact in (REMARKS, STATUS, "person_status"):
            points += 0.3
        elif one.fact is not None and (one.fact not in _COMMON or one.by == "exact"):
            points += 0.6 + min(0.9, max(0.0, one.score - 0.6))
            points += (
                _NUMBERS if kind == "aircraft" and one.fact == "registration" and one.by == "values" else 0
            )
        elif one.fact is None and one.score >= READ_AT and one.runner_up not in ("", *_COMMON):
            points += _NEARLY
    if kind == "aircraft" and ID not in facts and lexicon.heard(columns[0].heading).concepts & _PERSON_WORDS:
        points -= 1.0
    return points


def _has_only_texts(
    columns: Sequence[ColumnSeen], readings: Sequence[ColumnReading], lexicon: Lexicon
) -> bool:
    """Whether a table names aircraft by their own word and tells the rest in texts."""
    named = any(
        one.fact == ID and lexicon.heard(column.heading).concepts & _AIRCRAFT_WORDS
        for column, one in zip(columns, readings, strict=True)
    )
    return named and any(column.look.share("text") >= _PROOF for column in columns)


def _is_named(facts: Iterable[str], kind: str) -> bool:
    """Whether something names the rows: a column of names, or what stands in for one."""
    found = set(facts)
    if ID in found:
        return True
    if kind == "person":
        return {"first_name", "last_name"} <= found
    return bool(found & {"registration", "remote_id_serial", "airframe_serial"})


def _worth_of_name(column: ColumnSeen, kind: str, lexicon: Lexicon) -> float:
    concepts = lexicon.heard(column.heading).concepts
    mine, other = (_AIRCRAFT_WORDS, _PERSON_WORDS) if kind == "aircraft" else (_PERSON_WORDS, _AIRCRAFT_WORDS)
    worth = 1.5 if concepts & mine else -1.5 if concepts & other else 0.5
    people = column.look.share("person")
    return worth + (people if kind == "person" else -people)


def _by_context(kind: str, context: Sequence[str], hint: str, lexicon: Lexicon) -> float:
    points = 1.0 if hint == kind else -1.0 if hint in KINDS else 0.0
    for text in context[:2]:
        concepts = lexicon.heard(text).concepts if len(text) < 60 else frozenset()
        mine, other = ({"AC"}, {"PERSON"}) if kind == "aircraft" else ({"PERSON"}, {"AC"})
        if bool(concepts & mine) != bool(concepts & other):
            points += 0.7 if concepts & mine else -0.7
    return points


def is_about_other_things(columns: Sequence[ColumnSeen], lexicon: Lexicon) -> bool:
    """Whether the first column names something else: batteries, gear, hours."""
    first = next((column for column in columns if column.heading and column.look.said), None)
    if first is None:
        return False
    concepts = lexicon.heard(first.heading).concepts
    return (
        bool(concepts)
        and concepts <= _OTHER_THINGS | {"NUM", "CODE", "NAME", "SERIAL", "TAG"}
        and bool(concepts & _OTHER_THINGS)
    )


def evidence_of(columns: Sequence[ColumnSeen], context: Sequence[str]) -> bool:
    """Whether headings, titles, names of sheets or forms of numbers show that it is about drones or their people."""
    headed = (column for column in columns if not _is_other_id(column))
    texts = [*context, *(column.heading for column in headed), *(column.group for column in columns)]
    if any(map(_is_strong, texts)) or any(_is_fact(column.heading) for column in columns):
        return True
    return any(
        column.look.said >= _SOME and max(column.look.share("reg"), column.look.share("cta")) >= _PROOF
        for column in columns
    )


def _is_other_id(column: ColumnSeen) -> bool:
    """Whether a column is headed RID alone and holds what no Remote ID is: the numbers of other things."""
    shapes = ("cta", "way", "yesno", "status")
    said = column.look.said >= _SOME and max(map(column.look.share, shapes)) < _NEARLY
    return said and words_of(column.heading) == ("rid",)


def is_weak(columns: Sequence[ColumnSeen], context: Sequence[str], lexicon: Lexicon) -> bool:
    """Whether nothing but the word drone speaks for it, and no column is headed by it: drones are bees as well."""
    texts = [*context, *(column.heading for column in columns)]
    words = {word for text in texts for word in words_of(text)}
    if any(_is_fact(column.heading) for column in columns):
        return False
    if not words.isdisjoint(words_listed("drones") - {"drone", "drones"}):
        return False
    if any(
        column.look.said and max(column.look.share("reg"), column.look.share("cta")) >= _PROOF
        for column in columns
    ):
        return False
    first = next((column for column in columns if column.heading), None)
    return first is None or not lexicon.heard(first.heading).concepts & _AIRCRAFT_WORDS


def _is_fact(heading: str) -> bool:
    """Whether a heading is the name of a fact as this program writes it: nobody else heads a column so."""
    return "_" in heading and heading.strip() in TOLD_KEYS


def _is_strong(text: str) -> bool:
    words = words_of(text)
    strong = words_listed("drones")
    if any(word in strong and (word != "107" or _stands_alone(word, text)) for word in words):
        return True
    return any(f"{one} {other}" in words_listed("drones", "pairs") for one, other in pairwise(words))


def _stands_alone(word: str, text: str) -> bool:
    """Whether a number stands alone in a text, not as part of a code like D4-107."""
    place = text.find(word)
    before = text[place - 1 : place] if place > 0 else " "
    return not (before.isalnum() or before in "-_#")


_OF_AIRCRAFT = frozenset(
    {
        "registration",
        "remote_id_serial",
        "remote_id_way",
        "listed_serial",
        "mark_place",
        "expires_on",
        "issued_on",
    }
)
_OF_PILOTS = frozenset(
    {
        "certificate_number",
        "has_certificate",
        "event: initial test",
        "event: recurrent test or training",
        "recurrent_due_on",
        "safety_test_on",
        "safety_test_proof",
    }
)


class Split(NamedTuple):
    """The columns about the aircraft and about the person of each row, and the one that names the person."""

    aircraft: tuple[int, ...]
    person: tuple[int, ...]
    who: int


def split_of(columns: Sequence[ColumnSeen], lexicon: Lexicon) -> Split | None:
    """The columns about the aircraft and those about the person, where each row holds both; None where it does not."""
    as_aircraft, as_person = (readings_of(columns, kind, lexicon) for kind in KINDS)
    sides: list[str] = []
    last = ""
    for aircraft, person in zip(as_aircraft, as_person, strict=True):
        side = _side(aircraft, person) or last or "aircraft"
        sides.append(side)
        last = side
    theirs = [place for place, side in enumerate(sides) if side == "person"]
    papers = [place for place in theirs if as_person[place].fact in _OF_PILOTS]
    who = next((place for place in theirs if as_person[place].fact == ID), None)
    if who is None:
        who = _beside_papers(columns, as_aircraft, papers, lexicon)
    mine = tuple(place for place, side in enumerate(sides) if side == "aircraft" and place != who)
    air = {as_aircraft[place].fact for place in mine}
    named = air & {ID, "model", "maker", "remote_id_serial", "remote_id_way"}
    if who is None or not named or not air & _OF_AIRCRAFT or not papers:
        return None
    look = columns[who].look
    is_headed = who not in theirs or bool(
        lexicon.heard(columns[who].heading).concepts & (_PERSON_WORDS | {"CONTACT"})
    )
    are_names = look.share("person") + look.share("called") * is_headed >= _PROOF
    return Split(mine, tuple(sorted({*theirs, who})), who) if are_names else None


def _beside_papers(
    columns: Sequence[ColumnSeen],
    as_aircraft: Sequence[ColumnReading],
    papers: Sequence[int],
    lexicon: Lexicon,
) -> int | None:
    """The column of people right before that of a pilot's papers, by its heading or one that says nothing else."""
    for place in (paper - 1 for paper in papers):
        if place < 0 or as_aircraft[place].fact not in (None, IGNORE, "holder"):
            continue
        heard = lexicon.heard(columns[place].heading)
        is_theirs = bool(heard.concepts & (_PERSON_WORDS | {"CONTACT", "HOLDER"})) or not heard.concepts
        look = columns[place].look
        if is_theirs and look.share("person") + look.share("called") >= _PROOF:
            return place
    return None


def _side(aircraft: ColumnReading, person: ColumnReading) -> str:
    """Whose a column is: of the one as which it alone is read, else of the one that only one of them can have.

    A status is the aircraft's, wherever it stands: what it says of the person is read beside it.
    """
    if aircraft.fact == STATUS:
        return "aircraft"
    if aircraft.fact in _OF_AIRCRAFT and person.fact not in _OF_PILOTS:
        return "aircraft"
    if person.fact in _OF_PILOTS and aircraft.fact not in _OF_AIRCRAFT:
        return "person"
    one, other = (reading.fact not in (None, IGNORE) for reading in (aircraft, person))
    if one != other:
        return "aircraft" if one else "person"
    if aircraft.fact == person.fact == ID:
        return "aircraft" if aircraft.score > person.score else "person"
    return ""


def is_surely_aircraft(readings: Sequence[ColumnReading]) -> bool:
    """Whether a table has a registration number and something else that only aircraft have."""
    facts = {one.fact for one in readings}
    return "registration" in facts and len(facts & _OF_AIRCRAFT) > 1


def shows_people(readings: Sequence[ColumnReading], *, beside_drones: bool) -> bool:
    """Whether a table of people has what only pilots have: a certificate, and a test or training; one, beside drones."""
    facts = {one.fact for one in readings}
    return (any if beside_drones else all)(bool(facts & one) for one in _OF_PEOPLE)
