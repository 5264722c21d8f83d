"""What cannot all be true: kept as it was said, shown as contradicted, and never settled by which row or file came last."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from airwrit.answers.sheets.difference import EVER, before
from airwrit.answers.sheets.importing import ImportOptions, Preview, keep, preview_of, read_files
from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.standing import Standing, one_number_each, standing
from airwrit.base.verdict import Why
from airwrit.facts.fold import state_of
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.proving import PILOT
from tests.unit.answers.told import firm_aircraft
from tests.unit.ledger.books import Clock

MAY, DAY = date(2026, 5, 1), date(2026, 11, 25)
HEAD = "Aircraft,Use,Owner,Registration,Registration kind,Issued,Expires,Weight (g)\n"
ONE = "H-01,work,Tarn,FA00TEST01,per aircraft,2025-01-02,2028-01-02,900\n"


class Program:
    """A ledger that text is imported into, as files of these names."""

    def __init__(self, path: Path) -> None:
        self.book, self.clock = Ledger.begin(path), Clock()

    def imports(self, text: str, name: str = "fleet.csv", day: date = MAY) -> Preview:
        preview = preview_of(
            read_files([(name, text.encode())]), before(self.book), ImportOptions("ada", day)
        )
        self.clock.on()
        keep(self.book, preview, self.clock)
        return preview

    def held(self, subject: str, key: str, day: date = DAY) -> object:
        found = self.book.state(day, EVER).held.get(subject, {}).get(KEYS[key])
        return None if found is None else found.why or found.value

    def standing(self, day: date = DAY) -> Standing:
        return standing(self.book.state(day, EVER), day, EVER)


@pytest.fixture
def program(tmp_path: Path) -> Program:
    """A program that begins."""
    return Program(tmp_path / "l.airwrit")


def contradicted(preview: Preview) -> list[tuple[str, str]]:
    return [(one.subject, one.key) for one in preview.taking.contradictions]


# ---- two owners at once -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("names", [("Tarn", "Fell"), ("Fell", "Tarn")])
def test_two_owners_in_two_rows(program: Program, names: tuple[str, str]) -> None:
    rows = [ONE.replace("Tarn", name) for name in names]
    preview = program.imports(HEAD + "".join(rows))
    assert contradicted(preview) == [("aircraft/H-01", "owner")]
    assert preview.is_open
    assert program.held("aircraft/H-01", "owner") is Why.CONFLICT
    said = [item.statement.value for item in program.book.known(EVER) if item.statement.key == "owner"]
    assert sorted(map(str, said)) == ["Fell", "Tarn"]
    assert program.standing().rows[0].headline is Headline.CANT_SAY


@pytest.mark.parametrize("names", [("Tarn", "Fell"), ("Fell", "Tarn")])
def test_two_owners_in_two_files(program: Program, names: tuple[str, str]) -> None:
    program.imports(HEAD + ONE.replace("Tarn", names[0]), "one.csv")
    preview = program.imports(HEAD + ONE.replace("Tarn", names[1]), "two.csv", DAY)
    assert contradicted(preview) == [("aircraft/H-01", "owner")]
    assert program.held("aircraft/H-01", "owner") is Why.CONFLICT


def test_one_owner_after_the_other_contradicts_nothing(program: Program) -> None:
    program.imports(HEAD + ONE)
    preview = program.imports(HEAD + ONE.replace("Tarn", "Fell"), day=DAY)
    assert contradicted(preview) == []
    assert [program.held("aircraft/H-01", "owner", day) for day in (MAY, DAY)] == ["Tarn", "Fell"]


# ---- a registration on two aircraft -----------------------------------------------------------------------------


def test_a_certificate_for_one_aircraft_on_two(program: Program) -> None:
    preview = program.imports(HEAD + ONE + ONE.replace("H-01", "H-02"))
    assert contradicted(preview) == [("registration/FA00TEST01", "registration")]
    ((_, _, _, said, new),) = preview.taking.contradictions
    assert ([name for name, _ in said], new) == (["aircraft/H-01", "aircraft/H-02"], True)
    found = program.standing()
    assert [row.headline for row in found.rows] == [Headline.CANT_SAY, Headline.CANT_SAY]
    assert any("is on 2 aircraft" in problem.what for problem in found.report.problems)


def test_the_second_aircraft_may_come_later_and_from_another_file(program: Program) -> None:
    assert contradicted(program.imports(HEAD + ONE, "one.csv")) == []
    later = program.imports("Aircraft,Use,Registration\nH-02,work,FA00TEST01\n", "two.csv", DAY)
    assert contradicted(later) == [("registration/FA00TEST01", "registration")]
    assert contradicted(program.imports(HEAD + ONE, "one.csv", DAY)) == []


@pytest.mark.parametrize(
    ("kind", "is_shared"), [("per aircraft", True), ("Part 47", True), ("recreational", False), ("", False)]
)
def test_which_certificates_are_for_one_aircraft(program: Program, kind: str, is_shared: bool) -> None:
    text = HEAD + ONE + ONE.replace("H-01", "H-02")
    program.imports(text.replace("per aircraft", kind))
    state, problems = one_number_each(program.book.state(DAY, EVER))
    assert bool(problems) is is_shared
    held = [state.held[f"aircraft/{name}"][KEYS["registration"]].why for name in ("H-01", "H-02")]
    assert held == ([Why.CONFLICT] * 2 if is_shared else [None] * 2)


def test_a_number_of_its_own_stays(program: Program) -> None:
    program.imports(HEAD + ONE + ONE.replace("H-01", "H-02").replace("TEST01", "TEST02"))
    state = program.book.state(DAY, EVER)
    assert one_number_each(state) == (state, ())


# ---- a person twice ---------------------------------------------------------------------------------------------


def test_a_person_twice_with_other_facts(program: Program) -> None:
    preview = program.imports("Name,Role,Flies for\nJo Test,pilot,work\nJo Test,observer,work\n", "crew.csv")
    assert contradicted(preview) == [("person/Jo Test", "role")]
    assert program.held("person/Jo Test", "role") is Why.CONFLICT
    assert program.held("person/Jo Test", "flies_for") == "work"
    assert any("appears twice" in problem.what for problem in preview.intake.problems)


@pytest.mark.parametrize("other", ["jo test", "Jo  Test", "JoTest", " Jo Test"])
def test_a_person_twice_in_another_spelling(program: Program, other: str) -> None:
    text = f"Name,Role,Flies for\nJo Test,pilot,work\n{other},observer,work\n"
    preview = program.imports(text, "crew.csv")
    people = program.book.state(DAY, EVER).subjects("person")
    if len(people) == 1:
        assert contradicted(preview) == [("person/Jo Test", "role")]
    else:
        assert any("only in capitals or spaces" in problem.what for problem in preview.intake.problems)
        assert len(people) == 2


def test_a_person_in_another_spelling_in_another_file(program: Program) -> None:
    program.imports("Name,Role,flies_for\nJo Test,pilot,work\n", "crew.csv")
    preview = program.imports("Name,Role,flies_for\njo test,observer,work\n", "visitors.csv", DAY)
    assert preview.taking.alike == (("person/jo test", "person/Jo Test"),)


# ---- what ends before it starts ---------------------------------------------------------------------------------

SPANS = "Aircraft,Remote ID,Remote ID serial,From,Until\nH-01,module,ZZ9Z3A1B,{0},{1}\n"


@pytest.mark.parametrize(("start", "until"), [("2026-05-01", "2026-04-01"), ("2026-05-01", "2026-05-01")])
def test_a_row_that_ends_before_it_starts(program: Program, start: str, until: str) -> None:
    preview = program.imports(SPANS.format(start, until), "modules.csv")
    assert any("isn't after it starts" in problem.what for problem in preview.intake.problems)
    assert preview.is_open
    assert program.held("aircraft/H-01", "remote_id_serial", MAY) is Why.DAMAGED


def test_a_row_that_ends_a_day_after_it_starts(program: Program) -> None:
    preview = program.imports(SPANS.format("2026-05-01", "2026-05-02"), "modules.csv")
    assert not preview.is_open
    assert program.held("aircraft/H-01", "remote_id_serial", MAY) == "ZZ9Z3A1B"
    assert program.held("aircraft/H-01", "remote_id_serial", date(2026, 5, 2)) is None


# ---- days and numbers at the ends of what can be written ----------------------------------------------------------

ENDS: dict[type, tuple[str, ...]] = {
    date: ("9999-12-31", "0001-01-01"),
    Decimal: ("9e99", "-9e99", "1e-100", "0", "-1"),
}


@pytest.mark.parametrize("name", [key.name for key in KEYS.values() if key.kind in ENDS])
def test_a_day_or_number_at_the_end_of_what_can_be_written_is_judged(name: str) -> None:
    key = KEYS[name]
    told = {**firm_aircraft("H-01", "FA00TEST01", "2025-11-15"), "person/Ada": PILOT}
    kind = f"{TABLES[key.table]}/"
    about = next((subject for subject in told if subject.startswith(kind)), f"{kind}X")
    for value in ENDS[key.kind]:
        facts = {**told, about: {**told.get(about, {}), name: value}}
        known = [
            Known(Statement(subject, one, raw), "by hand", EVER, f"{at}.0", ())
            for at, (subject, one, raw) in enumerate(
                (subject, one, raw) for subject, said in facts.items() for one, raw in said.items()
            )
        ]
        for day in (DAY, date.max):
            assert standing(state_of(known, day, EVER, set()), day, EVER).report.findings
