"""Acts from the outside: shown with their duties before they are kept, kept as one entry, tried without a trace."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.unit.cli.command import run

SHEET = (
    "Aircraft,Use,Owner,Weight (g),Registered,Registration,Registration kind,Issued,Registered to,"
    "Mark,Remote ID,Remote ID serial,Listed serial,Declaration accepted\n"
    "H-01,work,Tarn,900,yes,FA00TEST01,Part 48 per aircraft,2025-05-01,Tarn,"
    "outside,standard,ZZ9Z6TEST01,ZZ9Z6TEST01,yes\n"
    "H-02,work,Tarn,900,yes,FA00TEST02,Part 48 per aircraft,2025-05-01,Tarn,"
    "outside,standard,ZZ9Z6TEST02,ZZ9Z6TEST02,yes\n"
)
LEDGER = "program.airwrit"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet that was imported."""
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    done = run(tmp_path, "import", "fleet.csv", "--yes", "--by", "ada")
    assert "saved to" in done.stdout, done.stderr
    return tmp_path


def document(folder: Path, *arguments: str) -> Any:
    """What a command says as JSON."""
    return json.loads(run(folder, *arguments, "--json").stdout)


def test_an_act_is_shown_with_its_duties_and_kept_only_with_a_yes(folder: Path) -> None:
    before = (folder / LEDGER).read_bytes()
    shown = run(folder, "record-change", "sell", "H-01", "to=Ola Lunde", "--on", "2099-11-20")
    assert shown.returncode == 3
    assert "Dec 4, 2099" in shown.stdout
    assert "14 CFR 48.115" in shown.stdout
    assert "Nothing was saved. Add --yes to save it." in shown.stdout
    assert (folder / LEDGER).read_bytes() == before


def test_an_act_is_one_entry_under_its_name(folder: Path) -> None:
    told = document(
        folder, "record-change", "sell", "H-01", "--on", "2026-11-20", "--yes", "--by", "bob", "--note", "ad"
    )
    (seq,) = told["kept"]
    entries = document(folder, "history", "aircraft/H-01")["said"][-2:]
    assert {(one["act"], one["by"], one["note"], one["number"].partition(".")[0]) for one in entries} == {
        ("sell", "bob", "ad", str(seq))
    }
    assert run(folder, "check-records").returncode == 0


def test_said_again_it_adds_nothing(folder: Path) -> None:
    assert run(folder, "record-change", "sell", "H-01", "--on", "2026-11-20", "--yes").returncode == 0
    before = (folder / LEDGER).read_bytes()
    again = run(folder, "record-change", "sell", "H-01", "--on", "2026-11-20", "--yes")
    assert (again.returncode, "Nothing to save" in again.stdout) == (0, True)
    assert (folder / LEDGER).read_bytes() == before


def test_another_day_of_the_same_contradicts_until_it_is_corrected(folder: Path) -> None:
    sell = ("record-change", "sell", "H-01", "--yes", "--on")
    assert run(folder, *sell, "2026-11-20").returncode == 0
    twice = run(folder, *sell, "2026-11-22")
    assert (twice.returncode, "ENTRIES THAT DISAGREE" in twice.stdout) == (3, True)
    assert run(folder, "check-records").returncode == 3
    assert run(folder, *sell, "2026-11-20", "--correct").returncode == 0
    assert run(folder, "check-records").returncode == 0


def test_the_past_stays_as_it_was(folder: Path) -> None:
    before = document(folder, "today", "--on", "2026-11-19")
    assert run(folder, "record-change", "sell", "H-01", "--on", "2026-11-20", "--yes").returncode == 0
    after = document(folder, "today", "--on", "2026-11-19")
    assert (after["rows"], after["due"]) == (before["rows"], before["due"])
    (row,) = [
        r for r in document(folder, "today", "--on", "2026-11-20")["rows"] if r["subject"] == "aircraft/H-01"
    ]
    assert row["headline"] == "not in the fleet"


def test_acts_are_listed(folder: Path) -> None:
    assert "move_module" in run(folder, "record-change", "--acts").stdout
    acts = document(folder, "record-change", "--acts")
    move = next(act for act in acts if act["act"] == "move_module")
    assert [(field["name"], field["required"], field["names"]) for field in move["fields"]] == [
        ("to", True, "aircraft"),
        ("filed", False, None),
    ]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("record-change", "sell", "H-09"), "No aircraft named 'H-09' is on file. Did you mean"),
        (("record-change", "sel", "H-01"), "Did you mean sell?"),
        (("record-change", "sell", "H-01", "--from", "2026-11-20"), "Use --on DAY with an act."),
        (("record-change", "aircraft/H-01", "owner=x", "--on", "2026-11-20"), "Use --from DAY with facts."),
        (("record-change", "aircraft/H-01"), "You didn't name a fact."),
        (("record-change",), "You didn't say what happened."),
        (("record-change", "mark", "H-01", "place=outside", "loose"), "'loose' isn't a field"),
        (("record-change", "mark", "H-01", "place=outside", "place=outside"), "place twice."),
        (("record-change", "sell", "H-01", "--on", "0204-01-01"), "Use a date from 1980-01-01"),
        (("what-if",), "You didn't say what might happen."),
        (("what-if", "sell H-01 on=soon"), "isn't a date"),
        (("what-if", 'sell "H-01'), "can't read"),
        (("what-if", "sell H-01", "--on", "2026-11-25", "--then", "2026-11-24"), "date is before"),
        (("check-scenario", "aircraft/H-09"), "Did you mean aircraft/H-02?"),
        (("which-registration", "--ledger", LEDGER), "You didn't name an aircraft."),
    ],
)
def test_wrong_use_is_one_line_and_changes_nothing(
    folder: Path, arguments: tuple[str, ...], message: str
) -> None:
    before = (folder / LEDGER).read_bytes()
    done = run(folder, *arguments)
    assert done.returncode == 2
    assert message in done.stderr
    assert done.stderr.count("\n") == 1
    assert (folder / LEDGER).read_bytes() == before


def test_whatif_writes_nothing_and_tells_both_futures(folder: Path) -> None:
    before = (folder / LEDGER).read_bytes()
    acts = ("sell H-01", "cancel FA00TEST01 on=2026-12-01")
    shown = run(folder, "what-if", *acts, "--on", "2026-11-25", "--then", "2026-12-05")
    assert "AS IT IS" in shown.stdout
    told = document(folder, "what-if", *acts, "--on", "2026-11-25", "--then", "2026-12-05")
    near, later = told["futures"]
    assert [duty["day"] for duty in near["duties"]] == ["2026-12-09"]
    assert later["duties"] == []
    assert (near["rows"][0]["before"], near["rows"][0]["after"]) == ("may_fly_work", "not_in_fleet")
    assert (folder / LEDGER).read_bytes() == before


def test_whatif_says_the_same_of_a_sheet(folder: Path) -> None:
    asked = ("what-if", "sell H-01", "--on", "2026-11-25")
    ledger, sheet = document(folder, *asked), document(folder, *asked, "--sheet", "fleet.csv")
    assert ledger["futures"] == sheet["futures"]


def test_an_aircraft_of_the_ledger_is_asked_as_of_a_day_and_a_moment(folder: Path) -> None:
    first = document(folder, "history", "aircraft/H-01")["said"][-1]["recorded_at"]
    assert run(folder, "record-change", "aircraft/H-01", "owner=Fell", "--correct").returncode == 0
    asked = ("check-scenario", "aircraft/H-01", "--on", "2026-11-25")
    assert "Fell" in json.dumps(document(folder, *asked))
    then = document(folder, *asked, "--known-at", first)
    assert "Fell" not in json.dumps(then)
    assert {one["subject"] for one in then["aircraft"]} == {"aircraft/H-01"}
    named = document(
        folder, "check-scenario", "H-01", "--ledger", LEDGER, "--on", "2026-11-25", "--known-at", first
    )
    assert named == then


def test_one_act_is_told_with_the_words_it_takes(folder: Path) -> None:
    told = " ".join(run(folder, "record-change", "train", "--acts").stdout.split())
    assert "kind=* Which test or training is it?" in told
    assert "initial test; recurrent test;" in told
    assert document(folder, "record-change", "train", "--acts", "--json")[0]["act"] == "train"
    assert run(folder, "record-change", "tran", "--acts").returncode == 2


def test_a_weight_of_an_act_may_have_its_unit(folder: Path) -> None:
    told = document(
        folder,
        "record-change",
        "change_equipment",
        "H-01",
        "takeoff_weight_g=2 lb",
        "--json",
        "--on",
        "2026-11-25",
    )
    assert "907.18474" in json.dumps(told)


def test_house_rules_show_in_what_an_act_does(folder: Path) -> None:
    rules = folder / "rules.toml"
    rules.write_text(
        '[[rule]]\nname = "not_heavy"\nabout = "aircraft"\nkind = "at_most"\nkey = "takeoff_weight_g"\n'
        'limit = 1000\nunit = "g"\ndocument = "Manual"\nclause = "3"\n',
        encoding="utf-8",
    )
    act = (
        "record-change",
        "change_equipment",
        "H-01",
        "takeoff_weight_g=1200",
        "--on",
        "2026-11-25",
        "--json",
    )
    alone = document(folder, *act)["effects"]
    house = document(folder, *act, "--house", "rules.toml")["effects"]
    assert "not_heavy" not in json.dumps(alone)
    assert "not_heavy" in json.dumps(house)


def test_house_rules_are_no_matter_of_facts(folder: Path) -> None:
    (folder / "rules.toml").write_text("", encoding="utf-8")
    done = run(folder, "record-change", "aircraft/H-01", "maker=Ombric", "--house", "rules.toml")
    assert done.returncode == 2
    assert "--house" in done.stderr


def test_what_an_act_contradicts_says_how_to_settle_it(folder: Path) -> None:
    assert (
        run(
            folder, "record-change", "sell", "H-01", "to=Ola", "--on", "2026-11-01", "--yes", "--by", "ada"
        ).returncode
        == 0
    )
    done = run(
        folder, "record-change", "sell", "H-01", "to=Ola", "--on", "2026-11-02", "--yes", "--by", "ada"
    )
    assert done.returncode == 3
    assert "To settle it, use --correct to replace the last sell," in done.stdout


def test_nothing_said_gives_the_help_and_a_wrong_use(folder: Path) -> None:
    done = run(folder)
    assert done.returncode == 2
    assert "Keep the records:" in done.stderr
    assert len(done.stderr.splitlines()) > 10


def test_an_entry_is_taken_back(folder: Path) -> None:
    was = run(folder, "today", "--json")
    (entry,) = document(folder, "record-change", "sell", "aircraft/H-01", "--yes", "--by", "ada")["kept"]
    shown = run(folder, "record-change", "--take-back", str(entry))
    assert shown.returncode == 3
    assert "taken back" in shown.stdout
    assert "replaces 1.984 lb (900 g)" in " ".join(
        run(folder, "record-change", "--take-back", "1").stdout.split()
    )
    assert "Add --yes" in shown.stdout
    told = document(
        folder, "record-change", "--take-back", str(entry), "--yes", "--by", "ada", "--note", "another"
    )
    assert (told["act"], told["entry"], told["entry_act"]) == ("take_back", entry, "sell")
    assert told["kept"] == [entry + 1]
    now = run(folder, "today", "--json")
    assert json.loads(now.stdout)["rows"] == json.loads(was.stdout)["rows"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--take-back", "9"), "No entry"),
        (("--take-back", "two"), "isn't an entry number"),
        (("--take-back", "1", "sell"), "That option"),
    ],
)
def test_what_cannot_be_taken_back_is_refused(folder: Path, words: tuple[str, ...], says: str) -> None:
    done = run(folder, "record-change", *words)
    assert done.returncode == 2
    assert says in done.stderr


def test_a_proof_says_what_is_taken_from_a_certificate(folder: Path) -> None:
    told = document(folder, "proof", "aircraft/H-01", "--on", "2026-11-25", "--out", "p.pdf")
    assert told["rows"][0]["headline"] == "papers OK for work"
    assert (
        "whether the owner of H-01 may register it isn't confirmed. We assume so from its certificate"
        in told["does_not_follow"]
    )
