"""Verifying: the lines and the law here decide, never what the file says; each forged answer or page is found by name."""

from __future__ import annotations

import contextlib
import copy
import dataclasses
import json
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import (
    ProofOptions,
    answered_again,
    machine_part,
    proof_in,
    proof_of,
    signed_text,
)
from airwrit.answers.proof.verify import ProofPages, Verified, verified
from airwrit.base.errors import AirwritError, BadFact, BadProof, UnreadableFile
from airwrit.ledger.entry import canonical
from airwrit.ledger.excerpt.check import Follows, Outside
from airwrit.ledger.excerpt.form import bytes_of
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.log.notes import SigningKey, new_key, note_of, origin_of, signed
from airwrit.ledger.log.tree import leaf_hash
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.proving import JULY, program

ON = date(2026, 6, 5)
SUBJECT = "aircraft/H-02"
Json = dict[str, Any]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """The program; only checkpoints are kept in it."""
    with program(tmp_path_factory.mktemp("verify") / "program.airwrit") as made:
        yield made


@pytest.fixture(scope="module")
def key(book: Ledger) -> SigningKey:
    return SigningKey(origin_of(book.name), bytes(range(32)))


@pytest.fixture(scope="module")
def whole(book: Ledger, key: SigningKey) -> Json:
    """The members of a machine part that is signed as a whole."""
    made = machine_part(
        proof_of(book, ProofQuestion(ON, JULY, (SUBJECT,)), ProofOptions(key=key, typeset_by="by hand"))
    )
    found: Json = json.loads(made)
    return found


@pytest.fixture(scope="module")
def told(whole: Json) -> Json:
    """The members of one whose checkpoint alone is signed."""
    return {name: value for name, value in whole.items() if name != "signature"} | {"form": 1}


def seen(told: Json, outside: Outside | None = None, pages: ProofPages | None = None) -> Verified:
    return verified(canonical(told).encode(), outside or Outside(), pages)


def places(found: Verified, how: Follows) -> set[str]:
    return {one.where for one in found.conclusions if one.how is how}


def test_a_proof_follows_and_tells_what_does_not(book: Ledger, key: SigningKey, told: Json) -> None:
    alone = seen(told)
    assert alone.comes_to is Follows.OPEN
    assert any("nobody outside confirmed" in one.says for one in alone.conclusions)
    anchored = seen(told, Outside((key.public,), note_of(issued(book, key))))
    assert places(anchored, Follows.FOLLOWS) >= {
        "lines",
        "subjects",
        "checkpoint",
        "your checkpoint",
        "answers",
    }
    assert places(anchored, Follows.OPEN) == {"answers", "question.known_at"}
    claims = [one.says for one in anchored.conclusions if one.how is Follows.OPEN]
    assert any(says.startswith("something else on record could have") for says in claims)
    assert anchored.answers == told["answers"]


def test_the_signer_vouches_for_what_no_line_can_show(book: Ledger, key: SigningKey, whole: Json) -> None:
    note = note_of(issued(book, key))
    found = seen(whole, Outside((key.public,), note))
    assert found.comes_to is Follows.FOLLOWS
    assert places(found, Follows.VOUCHED) == {"answers", "question.known_at"}
    assert "signature" in places(found, Follows.FOLLOWS)
    unnamed = seen(whole, Outside((), note))
    assert places(unnamed, Follows.OPEN) >= {"answers", "question.known_at", "checkpoint"}
    assert unnamed.comes_to is Follows.OPEN


def test_every_key_that_is_named_has_to_have_signed(
    book: Ledger, key: SigningKey, whole: Json, told: Json
) -> None:
    other, note = new_key(key.name), note_of(issued(book, key))
    for keys in ((other.public,), (key.public, other.public)):
        for one in (whole, told):
            found = seen(one, Outside(keys, note))
            assert found.comes_to is Follows.CONTRADICTS
            assert "checkpoint" in places(found, Follows.CONTRADICTS)
        assert "signature" in places(seen(whole, Outside(keys, note)), Follows.CONTRADICTS)
    unsigned = json.loads(machine_part(proof_of(book, ProofQuestion(ON, JULY, (SUBJECT,)))))
    says = [one.says for one in seen(unsigned).conclusions if one.where == "checkpoint"]
    assert "nobody signed it" in says
    named = seen(unsigned, Outside((key.public,), note))
    assert places(named, Follows.CONTRADICTS) == {"checkpoint"}


def _later(told: Json) -> None:
    told["question"]["known_at"] = "2027-01-01T00:00:00.000000Z"


def _fewer_subjects(told: Json) -> None:
    told["excerpt"]["subjects"] = [one for one in told["excerpt"]["subjects"] if one["subject"] == SUBJECT]


@pytest.mark.parametrize("change", [_later, _fewer_subjects])
@pytest.mark.parametrize("named", [True, False])
def test_a_signed_proof_that_was_changed_is_contradicted(
    book: Ledger, key: SigningKey, whole: Json, change: Callable[[Json], None], named: bool
) -> None:
    forged = copy.deepcopy(whole)
    change(forged)
    found = seen(forged, Outside((key.public,) if named else (), note_of(issued(book, key))))
    assert "signature" in places(found, Follows.CONTRADICTS)
    del forged["signature"]
    with pytest.raises(BadProof, match="signed"):
        seen(forged)
    stripped = seen({**forged, "form": 1}, Outside((key.public,), note_of(issued(book, key))))
    assert stripped.comes_to is not Follows.FOLLOWS


def test_a_signature_by_another_key_under_the_same_name_does_not_pass(key: SigningKey, whole: Json) -> None:
    eve = new_key(key.name)
    proof = proof_in(canonical(whole).encode())
    forged = dataclasses.replace(proof, signature=signed(signed_text(proof, 2), eve))
    found = verified(machine_part(forged), Outside((key.public,)))
    assert "signature" in places(found, Follows.CONTRADICTS)


def _verdict(told: Json) -> None:
    finding = next(one for one in told["answers"]["findings"] if one["verdict"] == "not_met")
    finding["verdict"] = "met"


def _headline(told: Json) -> None:
    told["answers"]["rows"][0]["headline"] = "papers OK for work"


def _whole(told: Json) -> None:
    told["answers"]["verdict"] = "met"


def _finding_gone(told: Json) -> None:
    del told["answers"]["findings"][0]


def _finding_more(told: Json) -> None:
    told["answers"]["findings"].append({**told["answers"]["findings"][0], "rule": "all_is_well"})


def _fact(told: Json) -> None:
    told["answers"]["facts"][0]["value"] = "another"


def _silent(told: Json) -> None:
    told["answers"]["does_not_follow"] = []


def _words(told: Json) -> None:
    told["answers"]["findings"][0]["says"] = "all is well"


def _subject(told: Json) -> None:
    told["question"]["subjects"] = ["aircraft/none"]


def _held_back(told: Json) -> None:
    told["held_back"] = [[SUBJECT, "owner"]]


def _no_rows(told: Json) -> None:
    told["answers"]["rows"] = 5


FORGED: list[tuple[Callable[[Json], None], str]] = [
    (_verdict, "answers.findings"),
    (_headline, "answers.rows"),
    (_whole, "answers.verdict"),
    (_finding_gone, "answers.findings"),
    (_finding_more, "answers.findings"),
    (_fact, "answers.facts"),
    (_silent, "answers.does_not_follow"),
    (_words, "answers"),
    (_subject, "question.subjects[0]"),
    (_held_back, "held_back[0]"),
    (_no_rows, "answers.rows"),
]


@pytest.mark.parametrize(("forge", "where"), FORGED)
def test_answers_that_the_lines_do_not_make_are_found(
    told: Json, forge: Callable[[Json], None], where: str
) -> None:
    changed = copy.deepcopy(told)
    forge(changed)
    found = seen(changed)
    assert found.comes_to is Follows.CONTRADICTS
    assert where in places(found, Follows.CONTRADICTS), found.conclusions


@pytest.mark.parametrize(
    ("forge", "contradicts"), [(_verdict, True), (_headline, True), (_words, False), (None, False)]
)
def test_under_another_law_verdicts_must_agree_and_both_versions_are_named(
    told: Json, forge: Callable[[Json], None] | None, contradicts: bool
) -> None:
    changed = copy.deepcopy(told)
    changed["made_by"] |= {"airwrit": "9.9", "law": "ab" * 32}
    if forge is not None:
        forge(changed)
    found = seen(changed)
    assert (found.comes_to is Follows.CONTRADICTS) is contradicts
    assert any(
        "9.9 (law abababababab)" in one.says and "checked here" in one.says for one in found.conclusions
    )


def test_a_changed_line_contradicts_even_if_the_answers_are_made_to_fit(told: Json) -> None:
    changed = copy.deepcopy(told)
    line = changed["excerpt"]["lines"][0]
    line["line"] = line["line"].replace('"by":"ada"', '"by":"eve"')
    line["leaf"] = leaf_hash(line["line"].encode()).hex()
    found = seen(changed)
    assert places(found, Follows.CONTRADICTS) >= {"hashes"}


def test_pages_are_made_again_and_compared(told: Json) -> None:
    def render(machine: bytes) -> bytes:
        return b"pages of " + machine

    def broken(machine: bytes) -> bytes:
        raise UnreadableFile("no fonts")

    def unfit(machine: bytes) -> bytes:
        raise BadProof("its photos cannot be set")

    made = render(canonical(told).encode())
    for pages, how in (
        (ProofPages(made, render, "by hand"), Follows.FOLLOWS),
        (ProofPages(made + b" ", render, "by hand"), Follows.CONTRADICTS),
        (ProofPages(made + b" ", render, "by another hand"), Follows.OPEN),
        (ProofPages(made, broken, "by hand"), Follows.OPEN),
        (ProofPages(made, unfit, "by hand"), Follows.CONTRADICTS),
        (ProofPages(made, unfit, "by another hand"), Follows.OPEN),
    ):
        found = seen(told, None, pages)
        assert [one.how for one in found.conclusions if one.where == "pages"] == [how]


def test_a_bare_excerpt_is_checked_without_a_question(book: Ledger, key: SigningKey) -> None:
    excerpt = proof_of(book, ProofQuestion(ON, JULY, (SUBJECT,)), ProofOptions(key=key)).excerpt
    found = verified(bytes_of(excerpt))
    assert (found.proof, found.answers, found.comes_to) == (None, None, Follows.OPEN)


def test_private_lines_held_back_stay_open(book: Ledger, key: SigningKey) -> None:
    made = machine_part(proof_of(book, ProofQuestion(ON, JULY, ("person/Ada",)), ProofOptions(key)))
    found = verified(made)
    assert found.comes_to is Follows.OPEN
    says = ("only as a hash", "the entries left out about Ada could cover more than this")
    for one in says:
        assert [each.how for each in found.conclusions if one in each.says] == [Follows.OPEN]
    vouched = verified(made, Outside((key.public,), note_of(issued(book, key))))
    assert vouched.comes_to is Follows.FOLLOWS
    for one in says:
        assert [each.how for each in vouched.conclusions if one in each.says] == [Follows.VOUCHED]


def test_nobody_vouches_for_a_line_of_which_nothing_is_said(book: Ledger, key: SigningKey) -> None:
    proof = proof_of(book, ProofQuestion(ON, JULY, ("person/Ada",)))
    silent = dataclasses.replace(proof, held_back=())
    again = dataclasses.replace(silent, answers=answered_again(silent))
    whole = dataclasses.replace(again, signature=signed(signed_text(again, 2), key))
    found = verified(machine_part(whole), Outside((key.public,), note_of(issued(book, key))))
    assert [one.how for one in found.conclusions if "doesn't say what was left out" in one.says] == [
        Follows.OPEN
    ]
    assert found.answers is not None
    assert found.answers["rows"][0]["headline"] == "can't tell yet"


ODD: tuple[object, ...] = (
    None,
    True,
    0,
    2**53 - 1,
    "",
    "x",
    "aircraft/",
    "2026-13-45",
    [],
    {},
    [[]],
    {"unreadable": "x"},
    "9999-12-31",
    "1e999999999",
    "1e-999999999",
    "9" * 4000,
    "NaN",
)


@given(st.lists(st.integers(0, 9999), min_size=1, max_size=7), st.sampled_from(ODD))
def test_whatever_stands_in_a_proof_it_is_told_or_refused(told: Json, steps: list[int], odd: Any) -> None:
    changed = copy.deepcopy(told)
    inner: Any = changed
    for number, step in enumerate(steps, 1):
        held = inner
        place = list(held)[step % len(held)] if isinstance(held, dict) else step % len(held)
        inner = held[place]
        if number == len(steps) or not isinstance(inner, dict | list) or not inner:
            held[place] = odd
            break
    with contextlib.suppress(AirwritError):
        found = seen(changed)
        assert found.comes_to is not Follows.FOLLOWS


@given(
    st.integers(0, 9999), st.sampled_from(("subject", "key", "value", "from", "until")), st.sampled_from(ODD)
)
def test_whatever_a_line_says_it_is_judged_or_refused(told: Json, pick: int, member: str, odd: Any) -> None:
    changed = copy.deepcopy(told)
    line = changed["excerpt"]["lines"][pick % len(changed["excerpt"]["lines"])]
    entry = json.loads(line["line"])
    entry["statements"][pick % len(entry["statements"])][member] = odd
    with contextlib.suppress(BadFact):
        line["line"] = canonical(entry)
        line["leaf"] = leaf_hash(line["line"].encode()).hex()
        assert (seen(changed).comes_to is Follows.CONTRADICTS) is (changed != told)
