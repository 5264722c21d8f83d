"""Choices: the stored word for files and JSON, the words people read, and both read back as the same thing."""

from __future__ import annotations

import json

import pytest

from airwrit.facts.choices import FactChoice, RegistrationKind, RemoteIdWay, words_of
from airwrit.facts.vocabulary import KEYS, choice_words
from airwrit.intake.cell.value import one_of
from airwrit.law.wording import shown

KINDS = sorted(
    {key.kind for key in KEYS.values() if issubclass(key.kind, FactChoice)}, key=lambda one: one.__name__
)


@pytest.mark.parametrize("kind", KINDS, ids=lambda one: one.__name__)
def test_words_of_a_list_differ_and_are_read_as_the_stored_word(kind: type[FactChoice]) -> None:
    assert len({one.words for one in kind}) == len(list(kind))
    assert [one_of(kind, one.words).raw for one in kind] == [one.value for one in kind]
    assert [kind(one.words) for one in kind] == list(kind)


def test_what_is_no_word_of_the_list_is_refused() -> None:
    with pytest.raises(ValueError, match="Part 49"):
        RegistrationKind("Part 49")


def test_people_read_the_words_and_files_keep_the_stored_one() -> None:
    kind = RegistrationKind("Part 48 per aircraft")
    assert (str(kind), json.dumps(kind)) == ("Part 48 per aircraft", '"Part 48 per aircraft"')
    assert shown(kind) == words_of(kind) == "Part 48, single aircraft"


@pytest.mark.parametrize(
    ("fact", "text", "words"),
    [
        ("registration_kind", "Part 48 recreational", "Part 48, recreational"),
        ("remote_id_way", RemoteIdWay.MODULE.value, "module (added on)"),
        ("remote_id_way", "something else", "something else"),
        ("nickname", "module", "module"),
        ("no_such_fact", "module", "module"),
    ],
)
def test_a_stored_text_is_read_by_its_fact(fact: str, text: str, words: str) -> None:
    assert choice_words(fact, text) == words
