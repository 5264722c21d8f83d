"""Taking in: what a file said before is compared, what others said stays, nothing is settled by who came last."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from airwrit.answers.sheets.difference import (
    EVER,
    ChangeKind,
    Difference,
    HandEntry,
    before,
    ends_before_it_starts,
    saying_by_hand,
)
from airwrit.answers.sheets.importing import ImportOptions, taking_in, with_damage
from airwrit.base.days import EARLIEST
from airwrit.base.verdict import Why
from airwrit.facts.statement import FilePlace, Known, Problem, Source, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, said

FLEET, CREW = Source("fleet.xlsx", "a" * 8), Source("crew.csv", "b" * 8)
DAY = date(2026, 11, 25)
LONG_AGO = date(2024, 1, 1)
WISH = ImportOptions("ada", DAY)
CORRECTS = ImportOptions("ada", DAY, corrects=True)
OWNER = KEYS["owner"]


class Program:
    """A ledger that files are imported into and people speak to."""

    def __init__(self, path: Path) -> None:
        self.book = Ledger.begin(path)
        self.clock = Clock()

    def imports(
        self,
        *statements: Statement,
        source: Source = FLEET,
        wish: ImportOptions = WISH,
        problems: tuple[Problem, ...] = (),
    ) -> Difference:
        """Import a file that says this and nothing else."""
        known = [Known(one, f"{source.name} cell A{n}") for n, one in enumerate(statements)]
        return self.keeps(taking_in(before(self.book), known, [source], wish, problems))

    def hears(self, *statements: Statement, corrects: bool = False) -> Difference:
        """Record by hand."""
        return self.keeps(saying_by_hand(before(self.book), HandEntry(statements, corrects), "bob"))

    def keeps(self, taking: Difference) -> Difference:
        """Keep it."""
        self.clock.on()
        self.book.append(taking.drafts, self.clock, after=taking.after)
        return taking

    def owner(self, on: date = DAY) -> object:
        """Who owns A on a day, or why that is open."""
        held = self.book.state(on, EVER).held.get("aircraft/A", {}).get(OWNER)
        return None if held is None else held.why or held.value


@pytest.fixture
def program(tmp_path: Path) -> Program:
    """A program that begins."""
    return Program(tmp_path / "l.airwrit")


def owner(name: str, start: str = "", until: str = "") -> Statement:
    return said("aircraft/A", "owner", name, start, until)


def kinds(taking: Difference) -> list[ChangeKind]:
    return [change.kind for change in taking.changes]


def test_importing_twice_adds_nothing(program: Program) -> None:
    first = program.imports(owner("ann"), said("aircraft/A", "maker", "m"))
    assert kinds(first) == [ChangeKind.ADDED, ChangeKind.ADDED]
    again = program.imports(owner("ann"), said("aircraft/A", "maker", "m"))
    assert again.is_empty
    assert again.same == 2
    assert program.book.head().size == 2


def test_the_same_file_corrects_itself_when_told_to(program: Program) -> None:
    program.imports(owner("ann"))
    taking = program.imports(owner("bob"), wish=CORRECTS)
    assert kinds(taking) == [ChangeKind.CORRECTED]
    assert [old.statement for old in taking.changes[0].was] == [owner("ann")]
    assert (taking.contradictions, program.owner(), program.owner(LONG_AGO)) == ((), "bob", "bob")
    program.imports(owner("ann"), wish=CORRECTS)
    assert program.owner() == program.owner(LONG_AGO) == "ann"


def test_another_file_contradicts_whichever_comes_last(program: Program) -> None:
    program.imports(owner("ann"))
    taking = program.imports(owner("bob"), source=CREW)
    assert kinds(taking) == [ChangeKind.ADDED]
    (clash,) = taking.contradictions
    assert (clash.subject, clash.key, clash.new) == ("aircraft/A", "owner", True)
    assert [value for value, _ in clash.said] == ["ann", "bob"]
    assert program.owner() is Why.CONFLICT
    assert program.imports(owner("ann")).is_empty
    assert program.owner() is Why.CONFLICT


def test_a_file_may_take_the_place_of_an_earlier_one(program: Program) -> None:
    program.imports(owner("ann"))
    taking = program.imports(
        owner("bob"), source=CREW, wish=ImportOptions("ada", DAY, replaces=("fleet.xlsx",))
    )
    assert kinds(taking) == [ChangeKind.CHANGED]
    assert (program.owner(), program.owner(LONG_AGO)) == ("bob", "ann")


def test_a_correction_by_hand_stands_against_the_same_file(program: Program) -> None:
    program.imports(owner("ann"))
    assert kinds(program.hears(owner("cyd"), corrects=True)) == [ChangeKind.CORRECTED]
    assert program.imports(owner("ann")).is_empty
    assert program.owner() == "cyd"
    news = program.imports(owner("bob"))
    assert len(news.contradictions) == 1
    assert program.owner() is Why.CONFLICT


def test_two_rows_that_differ_stay_open_until_one_is_put_right(program: Program) -> None:
    taking = program.imports(owner("ann"), owner("bob"))
    assert len(taking.contradictions) == 1
    assert program.owner() is Why.CONFLICT
    fixed = program.imports(owner("bob"))
    assert kinds(fixed) == [ChangeKind.TAKEN_BACK]
    assert program.owner() == "bob"


def test_what_a_file_says_no_longer_stays_and_is_told(program: Program) -> None:
    program.imports(owner("ann"), said("aircraft/B", "owner", "ann"))
    taking = program.imports(owner("ann"))
    assert taking.is_empty
    assert [item.statement.subject for item in taking.silent] == ["aircraft/B"]


def test_a_change_from_a_day_on_corrects_nothing(program: Program) -> None:
    program.imports(owner("ann"))
    program.imports(owner("bob"), wish=ImportOptions("ada", DAY, start=date(2026, 6, 1)))
    assert program.owner(date(2026, 5, 31)) == "ann"
    assert program.owner(date(2026, 6, 1)) == "bob"


def test_a_cell_that_cannot_be_read_makes_the_fact_undecided(program: Program) -> None:
    problem = Problem("fleet.xlsx cell B2", "unclear", "write it", (("aircraft/A", "owner"),))
    told: tuple[tuple[Statement, ...], ...] = (
        (),
        (owner("ann"),),
        (owner("ann", "2026-03-01"),),
        (owner("ann", "", "2030-01-01"),),
    )
    for number, others in enumerate(told):
        made = Program(program.book.path.with_name(f"{number}.airwrit"))
        known = with_damage([Known(one, "fleet.xlsx cell B1") for one in others], [problem], "fleet.xlsx")
        made.keeps(taking_in(before(made.book), known, [FLEET], WISH))
        for on in (date(2025, 1, 1), date(2026, 3, 1), DAY):
            assert made.owner(on) in (Why.DAMAGED, Why.CONFLICT), (others, on)
        made.imports(owner("bob"))
        assert made.owner(date(2025, 1, 1)) == "bob"


def test_private_facts_are_entries_of_their_own(program: Program) -> None:
    taking = program.imports(said("person/P", "flies_for", "work"), said("person/P", "born_on", "1990-01-01"))
    keys = [[one.key for one in draft.statements] for draft in taking.drafts]
    assert keys == [["flies_for"], ["born_on"], ["rows_unread"]]
    taking = program.hears(said("person/Q", "flies_for", "work"), said("person/Q", "born_on", "1990-01-01"))
    assert [[one.key for one in draft.statements] for draft in taking.drafts] == [["flies_for"], ["born_on"]]


def test_each_entry_names_its_file(program: Program) -> None:
    items = [
        Known(owner("ann"), FilePlace("cell B2", "fleet.xlsx", "A")),
        Known(said("person/P", "flies_for", "work"), FilePlace("cell B2", "crew.csv")),
        Known(said("aircraft/A", "used_for", "work"), "given with the question"),
    ]
    taking = taking_in(before(program.book), items, [FLEET, CREW], WISH)
    said_of_them = [(draft.act, draft.source) for draft in taking.drafts]
    assert said_of_them == [
        (act, f"{file.name} sha256:{file.sha256}") for act in ("import", "read") for file in (FLEET, CREW)
    ]


def test_said_by_hand_twice_is_said_once(program: Program) -> None:
    program.hears(owner("ann"))
    assert program.hears(owner("ann")).is_empty


def test_a_correction_settles_two_at_once(program: Program) -> None:
    program.hears(owner("ann"))
    assert len(program.hears(owner("bob")).contradictions) == 1
    taking = program.hears(owner("bob"), corrects=True)
    assert (kinds(taking), program.owner()) == ([ChangeKind.TAKEN_BACK], "bob")


def test_what_ends_before_it_starts_is_kept_and_shown(program: Program) -> None:
    backwards = owner("ann", "2026-05-01", "2026-04-01")
    taking = program.hears(backwards)
    assert [one.said[0][0] for one in taking.contradictions] == ["ann"]
    assert program.book.known(EVER)[0].statement == backwards


@pytest.mark.parametrize(
    ("start", "until", "runs_backwards"),
    [
        ("2026-05-01", "2026-05-01", True),
        ("2026-05-01", "2026-05-02", False),
        ("2026-05-01T10:00Z", "2026-05-01T09:00Z", True),
        ("2026-05-01T10:00Z", "2026-05-01", False),
        ("2026-05-02T10:00Z", "2026-05-01", True),
        ("", "2026-05-01", False),
        ("2026-05-01", "", False),
    ],
)
def test_spans_that_run_backwards(start: str, until: str, runs_backwards: bool) -> None:
    assert ends_before_it_starts(owner("ann", start, until)) is runs_backwards


def test_a_withdrawal_runs_nowhere() -> None:
    assert not ends_before_it_starts(Statement("aircraft/A", "owner", None, EARLIEST, EARLIEST))


def test_an_unreadable_value_is_its_own(program: Program) -> None:
    program.hears(said("aircraft/A", "owner", Unreadable("1.2E+9")))
    assert program.owner() is Why.DAMAGED
