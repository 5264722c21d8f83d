"""Every command that judges papers or shows records says once, at its top, what was not looked at, and once what it is not.

Source: the caution's words are the project's own; that the papers of a flight are not its airspace, weather or condition is
common practice, no source.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airwrit.answers.document import (
    CAUTION,
    SCOPE,
    SCOPE_OF_ANSWERS,
    SCOPE_OF_FLIGHT,
    SCOPE_OF_LAW,
    SCOPE_OF_LINKS,
    SCOPE_OF_NUMBERS,
    SCOPE_OF_RECORDS,
)
from tests.unit.cli.command import run

DAY = ("--on", "2026-11-25")
FLOWN = ("--aircraft", "Alder 1", "--pilot", "Nela Quist", "--minutes", "5")
JUDGED: tuple[tuple[str, ...], ...] = (
    ("today", *DAY),
    ("deadlines", *DAY),
    ("batteries", *DAY),
    ("battery", "TF-B1", *DAY),
    ("maintenance", *DAY),
    ("training", *DAY),
    ("registration-sheets", *DAY, "--aircraft", "Alder 2", "--out", "w.pdf"),
    ("number-labels", *DAY, "--out", "m.pdf"),
    ("record-change", "sell", "Alder 2"),
    ("renew", "FA00TEST03", "renewed_on=2026-11-25"),
    ("new-person", "Jo Test", "crew_role=pilot"),
    ("aircraft", "Alder 1", *DAY),
    ("person", "Nela Quist", *DAY),
    ("what-if", "sell aircraft/Alder\\ 1", *DAY),
    ("pilot-papers", "Nela Quist", *DAY, "--aircraft", "Alder 1"),
    ("proof", "aircraft/Alder 1", *DAY, "--out", "p.pdf"),
    ("check-proof", "proof.pdf"),
)
RECORDED: tuple[tuple[str, ...], ...] = (
    ("import", "more.csv"),
    ("record-change", "aircraft/New", "maker=Korrin"),
    ("log-flight", *FLOWN),
    ("history", "aircraft/Alder 1"),
    ("flight-hours", *DAY),
)
ANSWERED: tuple[tuple[str, ...], ...] = (("check-scenario", "facts.toml"), ("over-people",))
LOOKED_UP: tuple[tuple[tuple[str, ...], str], ...] = (
    (("whose-name",), SCOPE_OF_ANSWERS),
    (("rules", "recency"), SCOPE_OF_LAW),
    (("penalties",), SCOPE_OF_LAW),
    (("check-number", "FA00TEST01"), SCOPE_OF_NUMBERS),
    (("check-web-address", "faa.gov"), SCOPE_OF_LINKS),
)
PLANNED = "38.5, -98.5|--radius|500|--from|2026-11-25 10:00|--until|10:30|--height|200|--for|work"
BEFORE_A_FLIGHT = (("before-flight", *PLANNED.split("|"), "--aircraft", "Alder 1", "--pilot", "Nela Quist"),)
SCOPES = (
    [(words, SCOPE) for words in JUDGED]
    + [(words, SCOPE_OF_RECORDS) for words in RECORDED]
    + [(words, SCOPE_OF_ANSWERS) for words in ANSWERED]
    + [(words, SCOPE_OF_FLIGHT) for words in BEFORE_A_FLIGHT]
)
every_face = pytest.mark.parametrize(
    ("words", "scope"), SCOPES, ids=[f"{words[0]}-{at}" for at, (words, _) in enumerate(SCOPES)]
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented program's ledger, a proof of it, a sheet and a file of facts."""
    made = tmp_path_factory.mktemp("faces")
    assert run(made, "demo", *DAY, "--no-page").returncode in (0, 1, 3)
    assert run(made, "import", "tarn-and-fell.xlsx", "--yes").returncode in (0, 3)
    assert run(made, "proof", "aircraft/Alder 1", *DAY, "--out", "proof.pdf").stdout
    (made / "more.csv").write_text("Aircraft,Use\nZ-99,work\n", encoding="utf-8")
    (made / "facts.toml").write_text('[aircraft]\nused_for = "work"\n', encoding="utf-8")
    return made


@every_face
def test_it_is_said_once_on_the_terminal(folder: Path, words: tuple[str, ...], scope: str) -> None:
    done = run(folder, *words)
    text = " ".join(done.stdout.split())
    assert text.count(scope) == 1, done.stderr or done.stdout[:600]
    assert text.count(CAUTION) == 1
    assert text.index(scope) < 300 < text.index(CAUTION) or len(text) < 600


@every_face
def test_the_document_carries_it(folder: Path, words: tuple[str, ...], scope: str) -> None:
    done = run(folder, *words, "--json")
    document = json.loads(done.stdout)
    assert (document["scope"], document["caution"]) == (scope, CAUTION)


@pytest.mark.parametrize(("words", "scope"), LOOKED_UP)
def test_what_is_looked_up_says_first_what_it_left_out(
    tmp_path: Path, words: tuple[str, ...], scope: str
) -> None:
    assert " ".join(run(tmp_path, *words).stdout.split()).startswith(scope)
    assert json.loads(run(tmp_path, *words, "--json").stdout)["scope"] == scope


def test_an_act_that_is_taken_back_carries_it(folder: Path) -> None:
    done = run(folder, "record-change", "--take-back", "20", "--json")
    document = json.loads(done.stdout)
    assert (document["scope"], document["caution"]) == (SCOPE, CAUTION)
    text = " ".join(run(folder, "record-change", "--take-back", "20").stdout.split())
    assert (text.count(SCOPE), text.count(CAUTION)) == (1, 1)
