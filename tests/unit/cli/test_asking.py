"""The questions of an import on a terminal: for all but some, by model, one by one, skipped and stopped."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from click.testing import CliRunner

from airwrit.answers.sheets.answered import FormFilled
from airwrit.answers.sheets.difference import NOTHING_HELD
from airwrit.answers.sheets.importing import (
    FilesRead,
    ImportOptions,
    preview_of,
    read_files,
    standing_after,
)
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.standing import Standing
from airwrit.cli.write import asking
from airwrit.cli.write.asking import MOST, asked_through, show_reading
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import MARK_PLACE
from airwrit.intake.typed.answers_file import AnswersFile

HEAD = "Aircraft,maker,model,used_for,owner,registration,remote_id_serial,listed_serial,issued_on,not_understood\n"
ROWS = (
    "UAS-1,Korrin,Sarvo 4,work,Larrabee County,FA00TEST01,ZZ9Z6TEST01,ZZ9Z6TEST01,2025-03-01,loaner?\n"
    "UAS-2,Korrin,Sarvo 4,work,Larrabee County,FA00TEST02,ZZ9Z6TEST02,ZZ9Z6TEST02,2025-03-01,\n"
)
DAY = date(2026, 11, 24)
WISH = ImportOptions("Ann", DAY)


def stands(read: FilesRead) -> Standing:
    """How the sheet stands as it is read."""
    return standing_after(
        NOTHING_HELD, preview_of(read, NOTHING_HELD, WISH), datetime(2026, 11, 24, 12, tzinfo=UTC)
    )


def asked(*typed: str) -> tuple[dict[tuple[str, str], Raw], Standing, str]:
    """What is known after the lines typed, how it stands, and what was printed."""
    read = read_files([("fleet.csv", (HEAD + ROWS).encode())])
    form = FormFilled(AnswersFile(""), "Ann", DAY)
    with CliRunner().isolation(input="\n".join(typed) + "\n") as streams:
        show_reading(read)
        read = asked_through(read, stands, form)
        printed = streams[0].getvalue().decode()
    said = {(item.statement.subject, item.statement.key): item.statement.value for item in read.intake.known}
    return said, stands(read), printed


SAYS = {
    "registration_kind": "Part 48 per aircraft",
    "registered_to": "Larrabee County",
    "remote_id_way": "standard",
    "takeoff_weight_g": "3 lb 1 oz",
    "declaration_accepted": "yes",
    "owner_kind": "government",
    "does_not_matter": "doesn't matter",
}


def test_ten_answers_settle_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    def said(gap: MissingFact, prompt: str) -> str:
        asked_of.append(gap.key)
        if gap.key is MARK_PLACE:
            return "not marked" if "UAS-2" in prompt else "outside"
        return SAYS[gap.key.name]

    def apart(text: str, **_: object) -> str:
        return "UAS-2" if asked_of[-1] is MARK_PLACE else ""

    asked_of: list[Key[Any]] = []
    monkeypatch.setattr(asking, "_said", said)
    monkeypatch.setattr("click.prompt", apart)
    known, answer, printed = asked()
    assert known["aircraft/UAS-1", "does_not_matter"] == "loaner?"
    assert known["aircraft/UAS-1", "mark_place"] == "outside"
    assert known["aircraft/UAS-2", "mark_place"] == "not marked"
    assert {row.subject: row.headline.code for row in answer.rows} == {
        "aircraft/UAS-1": "may_fly_work",
        "aircraft/UAS-2": "grounded",
    }
    assert "Here is how we read your sheet." in printed
    assert "C  model" in printed
    assert "Sarvo 4" in printed


def test_what_is_skipped_stays_open_and_is_asked_once() -> None:
    said, answer, printed = asked(*[""] * 20)
    assert ("aircraft/UAS-1", "mark_place") not in said
    assert printed.count("Where on the aircraft") == 1
    assert len(answer.gaps) > 0


def test_enough_is_enough() -> None:
    _, _, printed = asked("1", "q")
    assert printed.count("\n2. ") == 1
    assert "\n3. " not in printed
    assert MOST == 10


def test_a_text_may_turn_out_to_be_a_loan() -> None:
    _, answer, _ = asked("5", "q")
    assert [row.headline.code for row in answer.rows] == ["not_in_fleet", "cant_tell"]


def test_what_is_no_answer_is_asked_again() -> None:
    said, _, printed = asked("ninety", "1", "q")
    assert "'ninety' isn't one of the" in printed
    assert said["aircraft/UAS-1", "does_not_matter"] == "loaner?"


def test_no_internal_name_is_shown() -> None:
    _, _, printed = asked(*[""] * 20)
    questions = printed[printed.index("Questions") :]
    assert "_" not in questions
