"""The questions of the page Import: asked in words, answered in the same form as the sheet, and kept with it."""

from __future__ import annotations

import html
import re
from pathlib import Path

from tests.unit.cli.test_answers_option import FIRST, HEAD, SECOND
from tests.unit.cli.test_columns_asked import SHEET as RIDDLE
from tests.unit.web.conftest import Visitor
from tests.unit.web.pages.write.test_import_file import fields, pressed, sent, words

SHEET = (HEAD + FIRST + SECOND).encode()


def asked_for(source: str, text: str) -> str:
    """The name of the first field of a question."""
    found = re.search(re.escape(text) + r'.*?name="(answer\.[^"]*)"', html.unescape(source), re.DOTALL)
    assert found is not None, text
    return found[1]


def test_questions_stand_in_words_beside_the_sheet(visitor: Visitor, tmp_path: Path) -> None:
    shown = sent(visitor(tmp_path / "new.airwrit"), SHEET, "fleet.csv")
    section = shown[
        shown.index('id="questions"') : shown.index('id="problems"') if "problems" in shown else None
    ]
    told = words(section[: section.index("Use these answers")])
    assert "Where on the aircraft is the registration number?" in told
    assert "loaner?" in told
    assert "Every Korrin Sarvo 4" in told
    assert "_" not in told


def test_answers_are_taken_in_and_kept_with_the_sheet(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, SHEET, "fleet.csv")
    outside = asked_for(shown, "Where on the aircraft is the registration number?")
    means = asked_for(shown, "loaner?")
    again = pressed(client, shown, "look", **{outside: "outside", means: "loaned out"})[2]
    assert "wo answers added" in words(again)
    assert "Where on the aircraft is the registration number?" not in words(again)
    assert fields(again)[outside] == "outside"
    pressed(client, again, "keep")
    standing = words(client.get("/today").text)
    assert "Loaned out" in standing


def test_all_except_those_named(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, SHEET, "fleet.csv")
    outside = asked_for(shown, "Where on the aircraft is the registration number?")
    apart = outside.replace("answer.all.", "answer.except.")
    again = pressed(client, shown, "look", **{outside: "outside", apart: "UAS-2"})[2]
    assert "Where on the aircraft is the registration number?" in words(again)


def test_what_cannot_be_is_told_and_nothing_is_lost(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, SHEET, "fleet.csv")
    weight = asked_for(shown, "What does it weigh")
    again = pressed(client, shown, "look", **{weight: "heavy"})[2]
    assert "isn't a weight." in words(again)
    assert fields(again)[weight] == "heavy"


def test_a_column_not_understood_stays_so_until_somebody_says(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, RIDDLE.encode(), "fleet.csv")
    assert fields(shown)["column-5"] == "ask"
    assert "Not known yet" in words(shown) or "not known yet" in words(shown)
    again = pressed(client, shown, "look", **{"column-0": "id"})[2]
    assert fields(again)["column-5"] == "ask"
    told = pressed(client, again, "look", **{"column-5": "expires_on"})[2]
    assert fields(told)["column-5"] == "expires_on"


def test_names_that_may_be_one_person_are_joined_only_when_told(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    sheet = b'Pilot,107 cert no,Last recurrent\nDana Haskell,0000001,2026-01-10\n"Haskell, Dana",0000001,2026-02-10\n'
    shown = sent(client, sheet, "people.csv")
    assert "Are these one person?" in words(shown)
    same = asked_for(shown, "Are these one person?")
    apart = pressed(client, shown, "look", **{same: "No, they are different people"})[2]
    assert fields(apart)[same] == "No, they are different people"
    assert "Are these one person?" not in words(apart)
    one = pressed(client, shown, "look", **{same: "Dana Haskell"})[2]
    assert "Are these one person?" not in words(one)
    pressed(client, one, "keep")
    people = words(client.get("/people").text)
    assert "Dana Haskell" in people
    assert "Haskell, Dana" not in people


def test_different_people_are_not_asked_about_again(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    sheet = (
        b"Pilot,107 cert no,Last recurrent\nDana Haskell,0000001,2026-01-10\nD. Haskell,0000002,2026-02-10\n"
    )
    shown = sent(client, sheet, "people.csv")
    same = asked_for(shown, "Are these one person?")
    pressed(client, pressed(client, shown, "look", **{same: "No, they are different people"})[2], "keep")
    later = sheet.replace(b"2026-02-10", b"2026-11-10")
    assert "Are these one person?" not in words(sent(client, later, "people.csv"))
