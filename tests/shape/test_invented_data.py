"""Examples and tests hold invented numbers and names alone, from blocks that nobody holds; `invented.toml` has the rest.

Registration numbers begin FA00TEST, Remote ID serials ZZ9Z, pilot certificates 00000; N-numbers are those the FAA keeps for
itself (N1 to N99) or come from a published table. A number of 16 digits or more, as a spreadsheet would spoil a serial, has
a 0 at its fifth place, where no serial has one.
"""

from __future__ import annotations

import ast
import csv
import json
import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from airwrit.base.identifiers import broadcast_serial, n_number
from tests.shape.test_no_addresses import project_files
from tests.shape.tree import ROOT, write_tree

FOLDERS = ("benchmarks", "docs", "reliability", "src", "tests", "tools")
CHECKS = ROOT / "tests" / "checks"
CORPUS = ROOT / "tests" / "corpus"
"""Sheets of many hands, with names and numbers of their own; they have a test of their own."""
CORPUS_NUMBER = re.compile(r"FA[0O]?\d{1,2}TEST[0O]?\d{1,2}|N[1-9]\d?|N00TST")
WORD = re.compile(r"[\w.-]+")
NUMBER = re.compile(r"(?=[A-Z]*[0-9])[0-9A-Z]{2,20}")
REGISTRATION = re.compile(r"FA(?=[0-9A-Z]*[0-9])[0-9A-Z]{2,18}")
SIGNS = re.compile(r"(?=[0-9]*[A-Z])[0-9A-Z]{6,20}")
DIGITS = re.compile(r"[0-9]{7,20}")
WEATHER = re.compile(r"\d{6}Z|\d{5}(?:G\d{2})?KT|(?:FEW|SCT|BKN|OVC)\d{3}|(?:[A-Z]{2}(?:[BE]\d{2})+)+")
"""Groups of a weather report: a time, wind, clouds, when rain began and ended; they look like serials and are none."""
UNSEEN = re.compile("\x1b\\[[0-9]+m|[\u200b]")
HEADINGS = {"Aircraft", "Drone", "Maker", "Model", "Name"}
TOLD = r"""["']?{key}["']?\s*[:=,]\s*["']([^"'\n]+)["']"""
MAKER, MODEL = re.compile(TOLD.format(key="maker")), re.compile(TOLD.format(key="model"))
CERTIFICATE = re.compile(TOLD.format(key="certificate_number"))


class Invented(NamedTuple):
    """The names and odd texts of `invented.toml`, and the numbers that a check's outside source gives."""

    makers: frozenset[str]
    models: frozenset[str]
    odd: frozenset[str]
    published: frozenset[str]


@cache
def allowed() -> Invented:
    """What the project's own list allows."""
    told = tomllib.loads(Path(__file__).with_name("invented.toml").read_text(encoding="utf-8"))
    with (CHECKS / "addresses" / "pairs.csv").open(encoding="utf-8", newline="") as file:
        published = {sign for row in csv.reader(file) for sign in row}
    serials = tomllib.loads((CHECKS / "serials" / "serials.toml").read_text(encoding="utf-8"))["serials"]
    published |= {row["text"].strip() for row in serials}
    return Invented(
        frozenset(told["makers"]), frozenset(told["models"]), frozenset(told["odd"]), frozenset(published)
    )


def _is_registration(word: str) -> bool:
    plain = word.replace("O", "0")
    ours = plain.startswith("FA00TEST") or "FA00TEST".startswith(plain)
    return REGISTRATION.fullmatch(word) is not None and not ours


def _is_n_number(word: str) -> bool:
    kept_by_the_faa = word[1:].isdigit() and int(word[1:]) < 100
    return word.startswith("N") and n_number(word).ok and not kept_by_the_faa


def _is_serial(word: str) -> bool:
    if SIGNS.fullmatch(word) is None or word.startswith(("ZZ9Z", "FA00TEST")):
        return False
    return len(word) >= 14 or broadcast_serial(word).ok


def _is_certificate_or_number_of_a_sheet(word: str) -> bool:
    if DIGITS.fullmatch(word) is None:
        return False
    return (len(word) == 7 and not word.startswith("00000")) or (len(word) >= 16 and word[4] != "0")


KINDS = (_is_registration, _is_n_number, _is_serial, _is_certificate_or_number_of_a_sheet)


def numbers(text: str) -> set[str]:
    """The numbers in a text that somebody could hold, of whichever kind; of certificates those told as such, too."""
    every = {word.strip("._-") for word in WORD.findall(text)}
    words = [word for word in every if NUMBER.fullmatch(word) and not WEATHER.fullmatch(word)]
    told = {word for word in CERTIFICATE.findall(text) if re.search("[0-9]", word)}
    return {word for word in words if any(is_one(word) for is_one in KINDS)} | {
        word for word in told if not re.fullmatch("00000[0-9]{2}", word)
    }


def _rows(value: Any) -> Iterator[list[Any]]:
    """Every list of lists in parsed TOML or in a Python tree's constants."""
    if isinstance(value, dict):
        for part in value.values():
            yield from _rows(part)
    elif isinstance(value, list):
        if value and all(isinstance(row, list) for row in value):
            yield value
        for part in value:
            yield from _rows(part)


def _constants(module: ast.AST) -> Iterator[list[Any]]:
    """The lists in a Python file, each with its parts that are texts and None for the others."""
    for node in ast.walk(module):
        if isinstance(node, ast.List) and node.elts and all(isinstance(part, ast.List) for part in node.elts):
            yield [[_text(cell) for cell in row.elts] for row in node.elts if isinstance(row, ast.List)]


def _text(node: ast.expr) -> Any:
    return node.value if isinstance(node, ast.Constant) else None


def _below(rows: list[list[Any]], heading: str) -> Iterator[str]:
    """The texts under a heading, from the row that has it to the end of the table."""
    place = None
    for row in rows:
        if HEADINGS & {cell for cell in row if isinstance(cell, str)}:
            place = row.index(heading) if heading in row else None
        elif place is not None and place < len(row) and isinstance(row[place], str):
            yield UNSEEN.sub("", row[place])


def _names(path: Path, text: str, pattern: re.Pattern[str], heading: str) -> Iterator[str]:
    """The makers (or models) that a file tells, as a fact or in a column of a sheet."""
    for name in pattern.findall(text):
        if re.match(r"[A-Z][a-z]", name):
            yield name
    if f'"{heading}"' not in text:
        return
    if path.suffix == ".py":
        tables: Iterable[list[Any]] = _constants(ast.parse(text))
    elif path.suffix == ".toml":
        tables = _rows(tomllib.loads(text))
    else:
        tables = ()
    for rows in tables:
        yield from _below(rows, heading)


def odd_numbers(root: Path, files: Iterable[Path], kept: Invented) -> list[str]:
    """A line for each number in `files` that is neither of a block nobody holds nor allowed by `kept`."""
    found = []
    for path in files:
        text = path.read_bytes().decode("utf-8", "replace")
        odd = numbers(text) - kept.odd - kept.published
        found += [f"{path.relative_to(root).as_posix()}: {number}" for number in sorted(odd)]
    return found


def odd_names(root: Path, files: Iterable[Path], kept: Invented) -> list[str]:
    """A line for each maker or model in `files` that `kept` does not list."""
    found = []
    for path in files:
        text = path.read_bytes().decode("utf-8", "replace")
        if "maker" not in text.casefold() and "model" not in text.casefold():
            continue
        names = {name for name in _names(path, text, MAKER, "Maker") if len(name) > 1} - kept.makers
        names |= {name for name in _names(path, text, MODEL, "Model") if len(name) > 1} - kept.models
        found += [f"{path.relative_to(root).as_posix()}: {name}" for name in sorted(names)]
    return found


def _texts() -> list[Path]:
    """The project's own texts but this one: no pictures, no fonts, no script or list of others'."""
    ours = (".csv", ".html", ".json", ".md", ".py", ".toml", ".typ")
    return [
        path
        for path in project_files(ROOT)
        if path.suffix in ours
        and path.name != Path(__file__).name
        and CORPUS not in path.parents
        and path.relative_to(ROOT).parts[0] in (*FOLDERS, "README.md", "CHANGELOG.md")
    ]


def test_registrations_of_the_corpus_are_of_a_form_that_nobody_holds() -> None:
    """A registration in the truths of the corpus is FA, two digits, TEST and two digits, or an N-number of at most two."""
    found = {
        str(subject["facts"]["registration"])
        for path in sorted(CORPUS.rglob("*.truth.json"))
        for subject in json.loads(path.read_text(encoding="utf-8"))["subjects"]
        if subject["facts"].get("registration")
    }
    assert found
    assert {number for number in found if not CORPUS_NUMBER.fullmatch(number)} == set()


def test_numbers_are_of_blocks_that_nobody_holds() -> None:
    assert odd_numbers(ROOT, _texts(), allowed()) == []


def test_makers_and_models_are_invented() -> None:
    law_and_keys = [ROOT / "src" / "airwrit" / name for name in ("facts", "law")]
    files = [path for path in _texts() if not any(path.is_relative_to(folder) for folder in law_and_keys)]
    assert odd_names(ROOT, files, allowed()) == []


def test_nothing_odd_is_listed_that_is_nowhere() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in _texts() if path.name != "invented.toml")
    kept = allowed()
    assert [odd for odd in (*kept.odd, *kept.makers, *kept.models) if odd not in text] == []


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("registered as {}", "FA3TEST01"),
        ("registered as {}", "N123AB"),
        ("broadcasts {}", "QQ1Q4ABCD"),
        ("broadcasts {}", "QQ1Q4ABCDEFGHKL"),
        ("a cell with {}", "4123456"),
        ("a cell with {}", "158112345678901234"),
        ('certificate_number = "{}"', "4012"),
    ],
)
def test_a_number_that_may_be_real_is_reported(tmp_path: Path, text: str, number: str) -> None:
    good = "FA00TEST01 N99 ZZ9Z5A1B2C 0000001 9999012345678901234 certificate_number='0000001'\n"
    root = write_tree(tmp_path, {"a.md": good, "b.md": text.format(number)})
    assert odd_numbers(root, sorted(root.iterdir()), allowed()) == [f"b.md: {number}"]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.toml", 'maker = "Realco"'),
        ("a.toml", 'rows = [["x", "Maker"], ["A", "Realco"]]'),
        ("a.py", '{"maker": "Realco"}'),
        ("a.py", 'said("aircraft/A", "maker", "Realco")'),
        ("a.py", 'ROWS = [["Aircraft", "Model"], [name, "Realco"], ["B", 3]]'),
        ("a.md", "aircraft/A model='Realco'"),
    ],
)
def test_a_maker_not_listed_is_reported(tmp_path: Path, name: str, text: str) -> None:
    root = write_tree(tmp_path, {name: text, "b.toml": 'maker = "Korrin"'})
    assert odd_names(root, sorted(root.iterdir()), allowed()) == [f"{name}: Realco"]
