"""What a sheet leaves open goes out as a form and comes back filled in; the next sheet asks only what is new."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.unit.cli.command import run

HEAD = "Aircraft,maker,model,used_for,owner,registration,remote_id_serial,listed_serial,issued_on,not_understood\n"
FIRST = "UAS-1,Korrin,Sarvo 4,work,Larrabee County,FA00TEST01,ZZ9Z6TEST01,ZZ9Z6TEST01,2025-03-01,loaner?\n"
SECOND = "UAS-2,Korrin,Sarvo 4,work,Larrabee County,FA00TEST02,ZZ9Z6TEST02,ZZ9Z6TEST02,2025-03-01,\n"
ANSWERS = {
    "registration_kind": "Part 48 per aircraft",
    "registered_to": "Larrabee County",
    "mark_place": "outside",
    "remote_id_way": "standard",
    "declaration_accepted": "yes",
    "takeoff_weight_g": "3 lb 1 oz",
    "owner_kind": "government",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet of two aircraft."""
    (tmp_path / "fleet.csv").write_text(HEAD + FIRST + SECOND, encoding="utf-8")
    return tmp_path


def filled(form: Path, means: str = "doesn't matter") -> None:
    """Fill in a form as far as `ANSWERS` knows."""
    text = form.read_text(encoding="utf-8")
    for fact, value in ANSWERS.items():
        text = text.replace(f'fact = "{fact}"\nvalue = ""', f'fact = "{fact}"\nvalue = "{value}"')
    form.write_text(text.replace('means = ""', f'means = "{means}"'), encoding="utf-8")


def asked(form: Path) -> list[str]:
    """The facts and texts that a form asks for."""
    document = tomllib.loads(form.read_text(encoding="utf-8"))
    found = [answer["fact"] for answer in document.get("answer", [])]
    return sorted([*found, *document.get("each", {}), *[word["text"] for word in document.get("word", [])]])


def codes(folder: Path, *words: str) -> dict[str, str]:
    """The headline of each aircraft by its code."""
    shown = run(folder, "today", "fleet.csv", *words, "--on", "2026-11-24", "--json").stdout
    document: dict[str, Any] = json.loads(shown)
    return {row["subject"]: row["headline_code"] for row in document["rows"]}


def answer_all(folder: Path, means: str = "doesn't matter") -> None:
    """Write the form as a.toml, fill it in and ask again, until nothing is open."""
    form, more = folder / "a.toml", folder / "more.toml"
    run(folder, "import", "fleet.csv", "--questions", "a.toml")
    for _ in range(4):
        filled(form, means)
        again = run(folder, "import", "fleet.csv", "--answers", "a.toml", "--questions", "more.toml")
        if again.returncode == 0:
            return
        form.write_text(form.read_text(encoding="utf-8") + more.read_text(encoding="utf-8"), encoding="utf-8")
    raise AssertionError(form.read_text(encoding="utf-8"))


def test_the_form_asks_best_first_and_comes_back(folder: Path) -> None:
    answer_all(folder)
    assert set(codes(folder, "--answers", "a.toml").values()) == {"may_fly_work"}
    assert set(codes(folder).values()) == {"cant_tell"}


def test_a_text_may_turn_out_to_matter(folder: Path) -> None:
    answer_all(folder, means="out of service")
    assert codes(folder, "--answers", "a.toml") == {
        "aircraft/UAS-1": "grounded",
        "aircraft/UAS-2": "may_fly_work",
    }


def test_next_years_sheet_asks_only_what_is_new(folder: Path) -> None:
    answer_all(folder)
    kept = run(folder, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    assert "pilot in" in kept.stdout
    assert "Ann" in run(folder, "history", "aircraft/UAS-1").stdout
    third = SECOND.replace("UAS-2", "UAS-3").replace("TEST02", "TEST03")
    (folder / "fleet.csv").write_text(HEAD + FIRST + SECOND + third, encoding="utf-8")
    run(folder, "import", "fleet.csv", "--questions", "b.toml")
    assert asked(folder / "b.toml") == [
        "mark_place",
        "registered_to",
        "registration_kind",
    ]
    text = (folder / "b.toml").read_text(encoding="utf-8")
    assert "UAS-1" not in text
    assert "UAS-2" not in text


def test_another_text_in_the_same_row_is_asked_again(folder: Path) -> None:
    answer_all(folder)
    run(folder, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    assert run(folder, "import", "fleet.csv", "--questions", "b.toml").returncode == 0
    (folder / "fleet.csv").write_text(HEAD + FIRST.replace("loaner?", "bent arm") + SECOND, encoding="utf-8")
    run(folder, "import", "fleet.csv", "--questions", "b.toml")
    assert asked(folder / "b.toml") == ["bent arm"]


def test_a_person_is_known_by_the_other_names_next_year(tmp_path: Path) -> None:
    (tmp_path / "people.csv").write_text("Name,flies_for\nDana Haskell,work\n", encoding="utf-8")
    (tmp_path / "training.csv").write_text(
        "Person,Event,Completed\nD. Haskell,recurrent training,2026-01-10\n", encoding="utf-8"
    )
    (tmp_path / "a.toml").write_text(
        '[[same]]\nperson = "Dana Haskell"\nnames = ["D. Haskell"]\n', encoding="utf-8"
    )
    run(tmp_path, "import", "people.csv", "training.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    (tmp_path / "training.csv").write_text(
        "Person,Event,Completed\nD. Haskell,recurrent training,2026-11-10\n", encoding="utf-8"
    )
    run(tmp_path, "import", "training.csv", "--yes", "--by", "Ann")
    document = json.loads(run(tmp_path, "today", "--json").stdout)
    assert [row["subject"] for row in document["rows"]] == ["person/Dana Haskell"]
    recent = next(one for one in document["findings"] if one["rule"] == "recency" and one["use"] == "work")
    assert recent["holds_until"] == "2028-11-30"
    assert document["perhaps_one_person"] == []


def test_what_holds_for_a_model_says_by_whom_it_was_confirmed(folder: Path) -> None:
    (folder / "a.toml").write_text(
        '[[answer]]\nfact = "takeoff_weight"\nvalue = "3 lb 1 oz"\nmodel = "Korrin Sarvo 4"\n'
        '[[answer]]\nfact = "used_for"\nvalue = "work"\n',
        encoding="utf-8",
    )
    shown = run(folder, "today", "fleet.csv", "--answers", "a.toml", "--on", "2026-11-24", "--json").stdout
    weighed = [one for one in json.loads(shown)["findings"] if "takeoff_weight_g" in one["used"]]
    assert weighed
    for one in weighed:
        assert one["confirmed"][0].startswith("by model Korrin Sarvo 4, confirmed by ")
        assert one["confirmed"][0].endswith(" on 2026-11-24")
    run(folder, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    told = run(folder, "history", "UAS-1", "--key", "takeoff_weight_g", "--json").stdout
    assert "by model Korrin" in told
    assert "confirmed by Ann" in told
