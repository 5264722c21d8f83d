"""Answers are kept while nothing behind them changes, and never a moment longer."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft, Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.app import make_ready
from airwrit.web.server.workspace import AnswerBasis, AnswerCache, JudgedDays, Workspace, asked_of
from tests.browser.serving import NOW, clock

TODAY = asked_of({}, NOW)


@pytest.fixture
def desk(own_ledger: Path, demo: tuple[Path, Path], tmp_path: Path) -> Workspace:
    """A desk over a ledger and house rules of its own."""
    rules = tmp_path / "rules.toml"
    rules.write_bytes(demo[1].read_bytes())
    return Workspace(own_ledger, clock, "tests", (rules,))


def test_an_answer_is_found_again(desk: Workspace) -> None:
    assert desk.standing(TODAY) is desk.standing(TODAY)
    later = asked_of({}, NOW + timedelta(minutes=5))
    assert desk.standing(later) is desk.standing(TODAY)


def test_facts_of_a_newer_version_leave_the_whole_unknown(desk: Workspace) -> None:
    """Whatever they say, this version cannot have judged it: on the page as in a command."""
    own = Statement("aircraft/Elm 1", "only_indoors", value=True)
    path = desk.ledger.with_name("newer.airwrit")
    with Ledger.begin(path) as book:
        book.append([Draft("x", "record", (own,))], clock)
        book.database.execute("UPDATE word SET text = 'color_of_the_sky' WHERE text = 'only_indoors'")
    (problem,) = Workspace(path, clock).standing(TODAY).report.problems
    assert (problem.where, problem.unread) == ("newer.airwrit", True)
    assert "'color_of_the_sky'" in problem.what


def test_what_another_process_writes_is_seen_at_once(desk: Workspace) -> None:
    """The other one has the file open by itself and knows nothing of this desk."""
    before = desk.standing(TODAY)
    with Ledger(desk.ledger) as other:
        other.append([Draft("x", "record", (Statement("aircraft/New 1", "used_for", "work"),))], clock)
    after = desk.standing(TODAY)
    assert len(after.rows) == len(before.rows) + 1


def test_a_changed_house_rule_is_seen_at_once(desk: Workspace) -> None:
    before = desk.standing(TODAY)
    text = desk.house_files[0].read_text(encoding="utf-8")
    first = text.index("[[rule]]")
    desk.house_files[0].write_text(text[: text.index("[[rule]]", first + 1)], encoding="utf-8")
    after = desk.standing(TODAY)
    assert len(after.report.findings) < len(before.report.findings)


def test_another_ledger_at_the_same_place_is_seen(desk: Workspace) -> None:
    """A restored or new file with as many entries is not taken for the old one."""
    desk.standing(TODAY)
    desk.ledger.unlink()
    with Ledger.begin(desk.ledger) as book:
        book.append([Draft("x", "record", (Statement("aircraft/Only", "used_for", "work"),))], clock)
    assert [row.subject for row in desk.standing(TODAY).rows] == ["aircraft/Only"]


def test_another_day_and_another_moment_are_other_answers(desk: Workspace) -> None:
    today = desk.standing(TODAY)
    assert desk.standing(asked_of({"on": "2026-11-24"}, NOW)) is not today
    assert desk.standing(asked_of({"known": "2026-11-01"}, NOW)).rows == ()


def test_only_so_many_answers_are_kept_and_one_of_a_question() -> None:
    kept = AnswerCache(most=2)
    for key in "abac":
        kept.put(key, "first", key.upper())
    assert [kept.get(key) for key in "abc"] == [("first", "A"), None, ("first", "C")]
    kept.put("a", "second", "AA")
    assert [kept.get(key) for key in "abc"] == [("second", "AA"), None, ("first", "C")]


def test_a_basis_is_known_by_all_its_parts() -> None:
    head = Head(3, b"root")
    bases = [
        AnswerBasis("l", "name", head),
        AnswerBasis("m", "name", head),
        AnswerBasis("l", "other", head),
        AnswerBasis("l", "name", Head(4, b"root")),
        AnswerBasis("l", "name", Head(3, b"boot")),
        AnswerBasis("l", "name", head, ("rules",)),
        AnswerBasis("l", "name", head, ("ru", "les")),
    ]
    assert len({basis.digest for basis in bases}) == len(bases)
    assert bases[0].digest == AnswerBasis("l", "name", Head(3, b"root")).digest


def written(desk: Workspace, aircraft: str) -> None:
    """One more entry in the ledger of a desk."""
    with Ledger(desk.ledger) as book:
        book.append([Draft("x", "record", (Statement(aircraft, "used_for", "work"),))], clock)


def test_versions_of_a_day_are_not_kept_as_days(desk: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    """However often is written, another day that was judged stays judged and is gone on from; in a great program too."""
    monkeypatch.setattr("airwrit.web.server.workspace._MANY", 0)
    yesterday = asked_of({"on": "2026-11-24"}, NOW)
    kept = desk.standing(yesterday)
    for number in range(4):
        written(desk, f"aircraft/New {number}")
        assert len(desk.standing(TODAY).rows) == len(kept.rows) + number + 1
        found = desk.days.get(yesterday.question)
        assert found is not None
        assert found[1].standing is kept
    grown = desk.standing(yesterday)
    assert len(grown.rows) == len(kept.rows) + 4


def test_what_is_made_of_a_day_goes_with_it(desk: Workspace) -> None:
    made = desk.made_of("rows", TODAY, lambda answer: len(answer.rows))
    assert desk.made_of("rows", TODAY, lambda _: -1) == made
    written(desk, "aircraft/New 1")
    assert desk.made_of("rows", TODAY, lambda answer: len(answer.rows)) == made + 1


def test_no_ledger_and_an_empty_one_are_empty(tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    assert Workspace(path, clock).is_empty
    Ledger.begin(path).close()
    assert Workspace(path, clock).is_empty


def test_of_great_programs_two_days_are_kept(desk: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    """A third day lets go of the one least lately asked for; with few findings a day it does not."""
    yesterday = asked_of({"on": "2026-11-24"}, NOW)
    other = asked_of({"on": "2026-11-23"}, NOW)
    kept = desk.standing(TODAY)
    desk.standing(yesterday)
    desk.standing(other)
    assert desk.standing(TODAY) is kept
    monkeypatch.setattr("airwrit.web.server.workspace._MANY", 0)
    desk.days = JudgedDays()
    kept = desk.standing(TODAY)
    desk.standing(yesterday)
    assert desk.standing(TODAY) is kept
    desk.standing(other)
    assert desk.standing(TODAY) is kept
    assert desk.kept_standing(yesterday) is None


def test_what_is_made_ready_is_found(desk: Workspace) -> None:
    """Today is judged and every page loaded beforehand; an empty or damaged ledger is told of by its pages, not here."""
    make_ready(desk)
    assert desk.kept_standing(TODAY) is not None
    desk.ledger.write_bytes(b"no ledger")
    make_ready(desk)
    desk.ledger.unlink()
    make_ready(desk)
