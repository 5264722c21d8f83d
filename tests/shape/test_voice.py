"""Every sentence of tables, keys, the page's templates, papers and errors is plain: words, length, one section of law at most.

Help texts and the README are held to the words; papers and README to days as people write them.

Measure: the Federal Plain Language Guidelines (short sentences, everyday words); the words banned are in `banned_words.toml`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from airwrit.facts.vocabulary import KEYS
from airwrit.law.rulebook import BY_NAME
from tests.shape.tree import ROOT
from tools.sentence_draw import texts_of_errors, texts_of_help, texts_of_readme

SOURCE = ROOT / "src" / "airwrit"
SPOKEN = (
    *sorted((SOURCE / "law" / "words").glob("*.toml")),
    SOURCE / "law" / "contradictions.toml",
    *sorted((SOURCE / "answers" / "asking").glob("*.toml")),
    SOURCE / "answers" / "carry" / "law.toml",
    SOURCE / "answers" / "registration" / "whose_name.toml",
    *sorted((SOURCE / "answers" / "site").glob("*.toml")),
    SOURCE / "answers" / "standing" / "assumed.toml",
    SOURCE / "house" / "words.toml",
    SOURCE / "demo" / "house_rules.toml",
)
NO_SENTENCES = (
    "cites",
    "law",
    "id",
    "name",
    "keys",
    "ways",
    "when",
    "unless",
    "after",
    "test",
    "is",
    "is_not",
    "own",
)
QUOTED = re.compile(r"\"[^\"]*\"|`[^`]*`")
SECTION = re.compile(r"\b[0-9]+ (?:CFR|USC) (?:Part )?[0-9]+")
ENDS = re.compile(r"(?<=[.?!]) ")
TEXT = re.compile(r">([^<>{}]*(?:\{\{[^}]*\}\}[^<>{}]*)*)<")
BLOCK = re.compile(r"\{%.*?%\}|\{#.*?#\}", re.DOTALL)
FILLED = re.compile(r"\{\{.*?\}\}")
BRACKET = re.compile(r"\[([^\[\]{}]{8,})\]")
HOLE = re.compile(r"#[\w.()-]+")


class Said(NamedTuple):
    """A text and where it is from."""

    where: str
    text: str


@cache
def banned() -> Any:
    """The patterns and the longest sentence."""
    return tomllib.loads((Path(__file__).parent / "banned_words.toml").read_text(encoding="utf-8"))


def texts_in(value: Any, where: str) -> Iterator[Said]:
    """Every text of a table, but for names, sections and conditions."""
    if isinstance(value, dict):
        for name, inner in value.items():
            if name not in NO_SENTENCES or isinstance(inner, dict):
                yield from texts_in(inner, f"{where}.{name}")
    elif isinstance(value, list):
        for inner in value:
            yield from texts_in(inner, where)
    elif isinstance(value, str) and value:
        yield Said(where, value)


@cache
def of_tables() -> list[Said]:
    """The texts of the word tables."""
    return [
        said
        for path in SPOKEN
        for said in texts_in(tomllib.loads(path.read_text(encoding="utf-8")), path.stem)
    ]


def of_keys() -> list[Said]:
    """What each fact means, and its question."""
    return [Said(key.name, text) for key in KEYS.values() for text in (key.meaning, key.question)]


@cache
def of_templates() -> list[Said]:
    """The texts between the tags of the page's templates."""
    found = []
    for path in sorted((SOURCE / "web" / "templates").glob("*.html")):
        body = BLOCK.sub(" ", path.read_text(encoding="utf-8"))
        found += [Said(path.name, " ".join(FILLED.sub("X", text).split())) for text in TEXT.findall(body)]
    return [said for said in found if said.text]


@cache
def of_papers() -> list[Said]:
    """The texts in brackets of the papers' templates."""
    found = []
    for path in sorted((SOURCE / "papers" / "typst").glob("*.typ")):
        body = re.sub(r"(?m)^\s*//.*$", "", path.read_text(encoding="utf-8"))
        found += [
            Said(path.name, " ".join(HOLE.sub("X", text).replace("*", "").split()))
            for text in BRACKET.findall(body)
        ]
    return [said for said in found if len(said.text.split()) > 1]


@cache
def of_errors() -> list[Said]:
    """What every error of ours says and what to do, its places filled."""
    return [Said("errors", text) for text in texts_of_errors() if text]


def of_rules() -> list[Said]:
    """What each rule asks, as `airwrit rules` shows it."""
    return [
        Said(rule.name, (rule.judge.__doc__ or "").strip().partition("\n")[0]) for rule in BY_NAME.values()
    ]


@cache
def of_help() -> list[Said]:
    """The help of every command."""
    return [Said("help", text) for text in texts_of_help() if text]


def of_readme() -> list[Said]:
    """The README's prose."""
    return [Said("README", text) for text in texts_of_readme() if text]


ALL: dict[str, Callable[[], list[Said]]] = {
    "tables": of_tables,
    "keys": of_keys,
    "templates": of_templates,
    "papers": of_papers,
    "errors": of_errors,
    "rules": of_rules,
}
WORDS_ONLY: dict[str, Callable[[], list[Said]]] = {"help": of_help, "readme": of_readme}
"""Texts held to the words alone: a list of options or licenses may be long."""


@pytest.mark.parametrize("of", [*ALL, *WORDS_ONLY])
def test_no_word_is_banned(of: str) -> None:
    wrong = [
        f"{said.where}: {said.text!r}: say {one['say']}"
        for said in {**ALL, **WORDS_ONLY}[of]()
        for one in banned()["banned"]
        if re.search(rf"(?<![\w-])(?:{one['pattern']})(?![\w-])", QUOTED.sub("", said.text), re.IGNORECASE)
    ]
    assert wrong == []


@pytest.mark.parametrize("of", ALL)
def test_no_sentence_is_long(of: str) -> None:
    most = banned()["most_words"]
    wrong = [
        f"{said.where}: {len(one.split())} words: {one!r}"
        for said in ALL[of]()
        for one in ENDS.split(said.text)
        if len(one.split()) > most
    ]
    assert wrong == []


@pytest.mark.parametrize("of", ALL)
def test_a_sentence_names_one_section(of: str) -> None:
    wrong = [
        f"{said.where}: {one!r}"
        for said in ALL[of]()
        for one in ENDS.split(said.text)
        if len(SECTION.findall(one)) > 1
    ]
    assert wrong == []


def test_an_error_is_whole_sentences() -> None:
    """Each names what is wrong in words of its own, and none begins with a verb whose subject is elsewhere."""
    wrong = [said for said in of_errors() if re.match(r"(Is|Has|Holds|Was) (?!there\b)[^?]*[.]", said.text)]
    assert wrong == []


@pytest.mark.parametrize("of", ["readme", "papers"])
def test_days_are_written_as_people_write_them(of: str) -> None:
    wrong = [
        said
        for said in (of_readme() if of == "readme" else of_papers())
        if re.search(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b", QUOTED.sub("", said.text))
    ]
    assert wrong == []


def test_a_finding_is_whole_sentences() -> None:
    """Each begins with a capital, a number or what is filled in, and ends in a full stop."""
    wrong = [
        said
        for said in of_tables()
        if said.where.endswith((".says", ".do")) and not said.where.startswith(("law.", "house_rules"))
        if not re.match(r"[A-Z0-9{\"$]", said.text) or not said.text.endswith((".", "?", "}"))
    ]
    assert wrong == []
