"""The same sheet next month: the past stays, contradictions show, nothing is settled by who came last."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.sheets.difference import EVER, ChangeKind, Difference, before, unread_in
from airwrit.answers.sheets.importing import ImportOptions, taking_in
from airwrit.base.verdict import Why
from airwrit.facts.statement import FilePlace, Known, Problem, Statement, Unreadable
from airwrit.facts.vocabulary import HAPPEN_ONCE, KEYS, TABLES, is_lasting
from airwrit.ledger.checking.check import check
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.sheets.test_difference import CREW, DAY, FLEET, LONG_AGO, Program, kinds, owner
from tests.unit.ledger.books import said

MAY, JUNE, JULY = date(2026, 5, 1), date(2026, 6, 1), date(2026, 7, 1)


@pytest.fixture
def program(tmp_path: Path) -> Program:
    """A program that begins."""
    return Program(tmp_path / "l.airwrit")


def on(day: date, *, corrects: bool = False, start: date | None = None) -> ImportOptions:
    return ImportOptions("ada", day, corrects=corrects, start=start)


def held(program: Program, subject: str, key: str, day: date = DAY) -> object:
    """What is held of a fact on a day, or why that is open."""
    found = program.book.state(day, EVER).held.get(subject, {}).get(KEYS[key])
    return None if found is None else found.why or found.value


def silent(taking: Difference) -> list[str]:
    return sorted({item.statement.subject for item in taking.silent})


# ---- what changed -----------------------------------------------------------------------------------------------


def test_a_changed_value_holds_from_the_day_of_the_import(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    taking = program.imports(owner("bob"), wish=on(JUNE))
    assert kinds(taking) == [ChangeKind.CHANGED]
    assert [old.statement for old in taking.changes[0].until_then] == [owner("ann")]
    assert taking.contradictions == ()
    days = (LONG_AGO, JUNE - timedelta(days=1), JUNE, DAY)
    assert [program.owner(day) for day in days] == ["ann", "ann", "bob", "bob"]
    assert program.imports(owner("bob"), wish=on(JULY)).is_empty


def test_a_change_may_be_told_to_have_come_earlier(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner("bob"), wish=on(JULY))
    program.imports(owner("cyd"), wish=on(DAY, start=JUNE))
    assert [program.owner(day) for day in (MAY, JUNE, JULY, DAY)] == ["ann", "cyd", "cyd", "cyd"]


def test_a_change_put_right_on_the_same_day_leaves_no_trace_in_between(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner("bob"), wish=on(JUNE))
    taking = program.imports(owner("cyd"), wish=on(JUNE))
    assert kinds(taking) == [ChangeKind.CORRECTED]
    assert [program.owner(day) for day in (MAY, JUNE)] == ["ann", "cyd"]


def test_a_correction_takes_the_place_of_the_last_value_only(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner("bob"), wish=on(JUNE))
    assert kinds(program.imports(owner("cyd"), wish=on(JULY, corrects=True))) == [ChangeKind.CORRECTED]
    assert [program.owner(day) for day in (MAY, JUNE, DAY)] == ["ann", "cyd", "cyd"]


def test_the_same_values_from_a_told_day_add_nothing(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    assert program.imports(owner("ann"), wish=on(JUNE, start=MAY)).is_empty


def test_first_values_hold_from_the_told_day_on(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY, start=MAY))
    assert [program.owner(day) for day in (LONG_AGO, MAY)] == [None, "ann"]


@pytest.mark.parametrize(
    ("subject", "key", "old", "new"),
    [
        ("registration/FA00TEST01", "issued_on", "2025-01-02", "2025-01-03"),
        ("aircraft/A", "airframe_serial", "ZZ9Z3A1B", "ZZ9Z3A1C"),
        ("person/P", "born_on", "1990-01-02", "1990-01-03"),
        ("flight/P, 2026-05-01, A", "landings", "2", "3"),
        ("training/P, initial test, 2024-01-02", "event_kind", "initial test", "recurrent training"),
    ],
)
def test_what_never_changes_is_corrected(
    program: Program, subject: str, key: str, old: str, new: str
) -> None:
    program.imports(said(subject, key, old), wish=on(MAY))
    assert kinds(program.imports(said(subject, key, new), wish=on(JUNE))) == [ChangeKind.CORRECTED]
    assert str(held(program, subject, key, LONG_AGO)) == new


@pytest.mark.parametrize(
    ("key", "old", "new"),
    [
        ("takeoff_weight_g", "900", "950"),
        ("mark_place", "outside", "not marked"),
        ("expires_on", "2026-06-01", "2029-06-01"),
        ("inspected_on", "2026-01-02", "2026-05-30"),
    ],
)
def test_what_may_change_keeps_its_past(program: Program, key: str, old: str, new: str) -> None:
    subject = "registration/FA00TEST01" if key == "expires_on" else "aircraft/A"
    program.imports(said(subject, key, old), wish=on(MAY))
    assert kinds(program.imports(said(subject, key, new), wish=on(JUNE))) == [ChangeKind.CHANGED]
    assert [str(held(program, subject, key, day)) for day in (MAY, JUNE)] == [old, new]


def test_what_never_changes_is_told_by_names_that_exist() -> None:
    assert set(TABLES.values()) >= HAPPEN_ONCE
    assert not is_lasting("aircraft/A", "owner")


def test_a_cell_put_right_holds_from_the_beginning(program: Program) -> None:
    program.imports(owner(Unreadable("?")), wish=on(MAY))
    assert program.owner() is Why.DAMAGED
    assert kinds(program.imports(owner("ann"), wish=on(JUNE))) == [ChangeKind.CORRECTED]
    assert program.owner(LONG_AGO) == "ann"


def test_a_cell_that_broke_later_leaves_the_past(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner(Unreadable("?")), wish=on(JUNE))
    assert [program.owner(day) for day in (MAY, JUNE)] == ["ann", Why.DAMAGED]
    program.imports(owner("ann"), wish=on(JULY))
    assert [program.owner(day) for day in (MAY, JUNE, JULY)] == ["ann", "ann", "ann"]


# ---- what others said -------------------------------------------------------------------------------------------


def test_a_change_does_not_settle_what_a_person_said_otherwise(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.hears(owner("cyd", "2026-06-01"))
    taking = program.imports(owner("bob"), wish=on(JULY))
    assert [one.new for one in taking.contradictions] == [True]
    assert [program.owner(day) for day in (MAY, JUNE, DAY)] == ["ann", Why.CONFLICT, Why.CONFLICT]


def test_a_file_that_comes_round_agrees(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.hears(owner("bob", "2026-06-01"))
    stale = program.imports(owner("ann"), wish=on(JUNE))
    assert stale.is_empty
    assert [item.statement for item in stale.behind] == [owner("ann")]
    agrees = program.imports(owner("bob"), wish=on(JULY))
    assert (agrees.contradictions, agrees.behind) == ((), ())
    assert [program.owner(day) for day in (MAY, JUNE, DAY)] == ["ann", "bob", "bob"]
    assert kinds(program.imports(owner("cyd"), wish=on(DAY))) == [ChangeKind.CHANGED]
    assert [program.owner(day) for day in (MAY, JULY, DAY)] == ["ann", "bob", "cyd"]


def test_a_new_file_that_says_what_holds_now_contradicts_nothing(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner("bob"), wish=on(JUNE))
    assert program.imports(owner("bob"), source=CREW, wish=on(JULY)).is_empty
    taking = program.imports(owner("ann"), source=CREW, wish=on(JULY))
    assert len(taking.contradictions) == 1
    assert [program.owner(day) for day in (MAY, JUNE)] == ["ann", Why.CONFLICT]


def test_two_rows_of_one_sheet_that_differ_later_leave_only_the_past(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY))
    program.imports(owner("bob"), wish=on(JUNE))
    taking = program.imports(owner("bob"), owner("cyd"), wish=on(JULY))
    assert len(taking.contradictions) == 1
    assert [program.owner(day) for day in (MAY, JUNE)] == ["ann", Why.CONFLICT]


Move = tuple[str, str, int]
MOVES = st.lists(
    st.tuples(
        st.sampled_from(["fleet", "crew", "hand"]), st.sampled_from(["ann", "bob"]), st.integers(0, 40)
    ),
    min_size=1,
    max_size=7,
)


def played(moves: list[Move], look: Callable[[Program, date, str, str], None]) -> None:
    """Imports and sayings on one day after another; a look at the ledger after each."""
    with TemporaryDirectory() as folder:
        program, day = Program(Path(folder) / "l.airwrit"), MAY
        for who, name, days in moves:
            day += timedelta(days=days)
            if who == "hand":
                program.hears(owner(name, day.isoformat()))
            else:
                program.imports(owner(name), source=FLEET if who == "fleet" else CREW, wish=on(day))
            look(program, day, who, name)
        program.book.close()


@given(MOVES)
def test_importing_again_adds_nothing_whatever_came_before(moves: list[Move]) -> None:
    def look(program: Program, day: date, who: str, name: str) -> None:
        if who != "hand":
            assert program.imports(
                owner(name), source=FLEET if who == "fleet" else CREW, wish=on(day)
            ).is_empty

    played(moves, look)


@given(
    st.lists(st.tuples(st.sampled_from(["ann", "bob", "cyd"]), st.integers(0, 40)), min_size=1, max_size=8)
)
def test_one_file_through_time_is_told_as_it_was(values: list[tuple[str, int]]) -> None:
    told: dict[date, str] = {}

    def look(program: Program, day: date, who: str, name: str) -> None:
        del who
        told[day] = name
        for asked in [LONG_AGO, *told, day + timedelta(days=400)]:
            spoken = [when for when in told if when <= asked] or [min(told)]
            assert program.owner(asked) == told[max(spoken)]

    first = values[0][0]
    played([("fleet", first, 0), *(("fleet", name, days + 1) for name, days in values[1:])], look)


@given(MOVES)
def test_what_a_file_says_anew_holds_or_is_open(moves: list[Move]) -> None:
    last: dict[str, str] = {}

    def look(program: Program, day: date, who: str, name: str) -> None:
        if last.get(who) != name:
            assert program.owner(day) in (name, Why.CONFLICT)
        last[who] = name

    played(moves, look)


# ---- what is gone -----------------------------------------------------------------------------------------------


def test_another_day_of_a_test_is_another_test_and_the_old_one_is_told(program: Program) -> None:
    program.imports(*_test_on("2024-01-02"), wish=on(MAY))
    taking = program.imports(*_test_on("2025-01-02"), wish=on(JUNE))
    assert set(kinds(taking)) == {ChangeKind.ADDED}
    assert silent(taking) == ["training/P, 2024-01-02"]
    gone = program.imports(*_test_on("2025-01-02"), wish=ImportOptions("ada", JULY, takes_back=True))
    assert set(kinds(gone)) == {ChangeKind.TAKEN_BACK}
    assert "training/P, 2024-01-02" not in program.book.state(LONG_AGO, EVER).held
    assert program.imports(*_test_on("2025-01-02"), wish=on(DAY)).silent == ()


def _test_on(day: str) -> tuple[Statement, ...]:
    subject = f"training/P, {day}"
    return said(subject, "event_of", "P"), said(subject, "completed_on", day)


def test_a_test_without_a_readable_day_goes_once_it_is_dated(program: Program) -> None:
    broken = said("training/P", "event_of", "P"), said("training/P", "completed_on", Unreadable("3/4/25"))
    program.imports(*broken, said("person/P", "role", "pilot"), wish=on(MAY))
    taking = program.imports(*_test_on("2025-04-03"), said("person/P", "role", "pilot"), wish=on(JUNE))
    assert taking.silent == ()
    assert "training/P" not in program.book.state(DAY, EVER).held


def test_a_row_with_days_of_its_own_that_is_gone_is_told(program: Program) -> None:
    program.imports(owner("ann", "2026-01-01"), owner("bob", "2026-05-01"), wish=on(MAY))
    taking = program.imports(owner("bob", "2026-05-01"), wish=on(JUNE))
    assert [item.statement for item in taking.silent] == [owner("ann", "2026-01-01")]
    assert taking.is_empty


# ---- rows that were not read ------------------------------------------------------------------------------------

UNREAD_ROW = Problem("fleet.xlsx sheet 'A' row 7", "no name", "name it", unread=True)
OTHER_ROW = Problem(FilePlace("crew.csv row 7", "crew.csv"), "no name", "name it", unread=True)


def test_rows_not_read_are_told_until_the_file_is_read_whole(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY), problems=(UNREAD_ROW, UNREAD_ROW))
    assert [one.what for one in unread_in(program.book, EVER)] == ["rows not read: 2"]
    assert program.imports(owner("ann"), wish=on(JUNE), problems=(UNREAD_ROW, UNREAD_ROW)).is_empty
    fewer = program.imports(owner("ann"), wish=on(JUNE), problems=(UNREAD_ROW,))
    assert fewer.read_again == ("fleet.xlsx",)
    assert [one.what for one in unread_in(program.book, EVER)] == ["rows not read: 1"]
    whole = program.imports(owner("ann"), wish=on(JUNE))
    assert whole.read_again == ("fleet.xlsx",)
    assert [one.value for draft in whole.drafts for one in draft.statements] == [0]
    assert unread_in(program.book, EVER) == []
    assert program.owner() == "ann"
    assert program.imports(owner("ann"), wish=on(JUNE)).is_empty


def test_rows_not_read_of_one_file_are_not_told_of_another(program: Program) -> None:
    known = [
        Known(owner("ann"), FilePlace("fleet.xlsx cell A1", "fleet.xlsx")),
        Known(said("person/P", "role", "pilot"), FilePlace("crew.csv cell A1", "crew.csv")),
    ]
    program.keeps(taking_in(before(program.book), known, [FLEET, CREW], on(MAY), (OTHER_ROW,)))
    assert [(one.where, one.what) for one in unread_in(program.book, EVER)] == [
        ("crew.csv", "rows not read: 1")
    ]


def test_what_was_known_then_still_tells_of_unread_rows(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY), problems=(UNREAD_ROW,))
    then = program.book.last_moment()
    program.imports(owner("ann"), wish=on(JUNE))
    assert len(unread_in(program.book, then)) == 1


# ---- names and private lines ------------------------------------------------------------------------------------


def test_a_name_in_another_spelling_is_pointed_out(program: Program) -> None:
    program.imports(said("person/Jo Test", "role", "pilot"), wish=on(MAY))
    taking = program.imports(said("person/jo  test", "role", "observer"), source=CREW, wish=on(JUNE))
    assert taking.alike == (("person/jo  test", "person/Jo Test"),)
    assert kinds(taking) == [ChangeKind.ADDED]


def test_what_was_blanked_is_not_taken_in_again(program: Program) -> None:
    facts = said("person/P", "born_on", "1990-01-01"), said("person/P", "role", "pilot")
    program.imports(*facts, wish=on(MAY))
    seq = next(s.seq for s in program.book.entries("person/P") if s.statements[0].key == "born_on")
    program.clock.on()
    blank(program.book, [seq], program.clock, "ada", "request of 2026-05-02")
    taking = program.imports(*facts, wish=on(JUNE))
    assert taking.is_empty
    assert [item.statement.key for item in taking.left_out] == ["born_on"]
    assert held(program, "person/P", "born_on") is Why.DAMAGED
    program.hears(said("person/P", "born_on", "1990-01-01"), corrects=True)
    assert held(program, "person/P", "born_on") == date(1990, 1, 1)
    assert program.imports(*facts, wish=on(JUNE)).left_out == ()


def test_a_private_fact_is_kept_apart_from_what_others_say(program: Program) -> None:
    program.imports(
        said("person/P", "born_on", "1990-01-01"),
        said("person/Q", "born_on", "1991-01-01"),
        said("person/P", "role", "pilot"),
        wish=on(MAY),
    )
    (mine,) = [e for e in program.book.entries("person/P") if e.statements[0].key == "born_on"]
    program.clock.on()
    blank(program.book, [mine.seq], program.clock, "ada", "request")
    assert held(program, "person/P", "role") == "pilot"
    assert held(program, "person/Q", "born_on") == date(1991, 1, 1)


def test_the_ledger_stays_whole(program: Program) -> None:
    program.imports(owner("ann"), wish=on(MAY), problems=(UNREAD_ROW,))
    program.imports(owner("bob"), wish=on(JUNE))
    program.imports(owner("bob"), wish=ImportOptions("ada", JULY, takes_back=True))
    assert check(Ledger(program.book.path)).is_whole
