"""What is due never becomes what was done, and where heading and values disagree the column is asked about."""

from __future__ import annotations

import pytest

from airwrit.intake.meaning.columns import ColumnReading, ColumnSeen, readings_of
from airwrit.intake.meaning.lexicon import Lexicon, whole_lexicon
from airwrit.intake.meaning.shapes import look_of
from airwrit.intake.reader.cells import Cell, Kind

DAYS = ("2026-01-02", "2026-03-04", "2025-05-06")
NUMBERS = ("FA00TEST01", "FA00TEST02", "FA00TEST03")
SERIALS = ("ZZ9Z3A1B", "ZZ9Z3A1C", "ZZ9Z3A1D")
YES = ("yes", "no", "yes")


def reading(
    heading: str,
    values: tuple[str, ...],
    kind: str = "aircraft",
    group: str = "",
    lexicon: Lexicon | None = None,
) -> ColumnReading:
    """How one column is read beside a column of names."""
    names = look_of(Cell(Kind.TEXT, name) for name in ("H-01", "H-02", "H-03"))
    look = look_of(Cell(Kind.TEXT, value) for value in values)
    columns = [
        ColumnSeen("Drone" if kind == "aircraft" else "Pilot", "", names),
        ColumnSeen(heading, group, look),
    ]
    return readings_of(columns, kind, lexicon or whole_lexicon())[1]


@pytest.mark.parametrize(
    ("heading", "values", "fact"),
    [
        ("Reg exp", DAYS, "expires_on"),
        ("Good thru", DAYS, "expires_on"),
        ("Registration due", DAYS, "expires_on"),
        ("Renew by", DAYS, "expires_on"),
        ("Got it on", DAYS, "issued_on"),
        ("Deregistered", DAYS, "cancelled_on"),
        ("Last insp", DAYS, "inspected_on"),
        ("Next inspection", DAYS, "inspection_due_on"),
        ("FAA #", NUMBERS, "registration"),
        ("Tail", NUMBERS, "registration"),
        ("Registered?", YES, "is_registered"),
        ("RID S/N", SERIALS, "remote_id_serial"),
        ("RID number told to FAA", SERIALS, "listed_serial"),
        ("On FAA's accepted list", YES, "declaration_accepted"),
        ("Sticker on the outside", YES, "mark_place"),
        ("AUW", ("895 g", "3 lb", "2 lb"), "takeoff_weight_g"),
        ("In svc", ("Y", "N", "in shop"), "service_status"),
        ("Registraton expries", DAYS, "expires_on"),
    ],
)
def test_aircraft(heading: str, values: tuple[str, ...], fact: str) -> None:
    assert reading(heading, values).fact == fact


@pytest.mark.parametrize(
    ("heading", "fact"),
    [
        ("Recurrent done", "event: recurrent test or training"),
        ("Last online test", "event: recurrent test or training"),
        ("Recurrent due", "recurrent_due_on"),
        ("Current thru", "recurrent_due_on"),
        ("107 cert expires", "recurrent_due_on"),
        ("First issued", "event: initial test"),
    ],
)
def test_people(heading: str, fact: str) -> None:
    assert reading(heading, DAYS, "person").fact == fact


@pytest.mark.parametrize(
    ("heading", "values"),
    [
        ("Tail #", ("Blue", "Red", "Gold")),
        ("Old registration number", NUMBERS),
        ("Not registered", YES),
        ("Former serial number", SERIALS),
        ("Zibble expires", DAYS),
        ("Phone", YES),
    ],
)
def test_a_doubt_is_asked(heading: str, values: tuple[str, ...]) -> None:
    found = reading(heading, values)
    assert found.fact is None
    assert found.why


def test_a_group_above_decides_for_a_bare_heading() -> None:
    assert reading("No.", NUMBERS, group="FAA registration").fact == "registration"
    assert reading("Kind", ("std", "module", "none"), group="Remote ID").fact == "remote_id_way"


@pytest.mark.parametrize("word", ["due", "thru"])
def test_a_day_is_not_read_where_the_word_that_turns_it_is_not_known(word: str) -> None:
    words = whole_lexicon()
    poorer = Lexicon({phrase: said for phrase, said in words.phrases.items() if word not in phrase}, (1.0, 1))
    assert reading(f"Recurrent {word}", DAYS, "person", lexicon=poorer).fact is None
    assert reading(f"Issued {word}", DAYS, lexicon=poorer).fact is None
