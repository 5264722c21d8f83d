"""Excerpts: of any history they verify, of no tampered one; each tampering is found where it was done."""

from __future__ import annotations

import contextlib
import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadFact, BadProof, LedgerFault
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.entry import canonical, entry_of, line_of
from airwrit.ledger.excerpt.check import Conclusion, Follows, Outside, check_excerpt
from airwrit.ledger.excerpt.excerpt import Excerpt, excerpt_of, known_in
from airwrit.ledger.excerpt.form import as_json, bytes_of, excerpt_in, members_in
from airwrit.ledger.given_out import keep_checkpoint
from airwrit.ledger.log.checkpoints import compared, issued
from airwrit.ledger.log.heads import rolled
from airwrit.ledger.log.notes import SigningKey, new_key, note_of, origin_of
from airwrit.ledger.log.tree import leaf_hash
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said
from tests.unit.ledger.sqlite.test_as_of import Act, days, histories, instants, ledger
from tests.unit.ledger.sqlite.test_as_of import kept as grown

A, B = "aircraft/A", "aircraft/B"
PRIVATE = next(key.name for key in KEYS.values() if key.private and key.kind is str)


def against(found: list[Conclusion]) -> list[Conclusion]:
    return [one for one in found if one.how is Follows.CONTRADICTS]


def told_by(book: Ledger, subject: str) -> set[Any]:
    """What the ledger itself says of a subject, whatever the order."""
    known = book.known(book.last_moment(), [subject])
    return {item._replace(answers=tuple(sorted(item.answers))) for item in known}


@given(histories(st.one_of(days, instants)), st.sampled_from([(A,), (B,), (A, B)]))
def test_an_excerpt_of_any_history_verifies_and_says_what_the_ledger_says(
    acts: list[Act], subjects: tuple[str, ...]
) -> None:
    with ledger() as book:
        grown(book, acts)
        there = [subject for subject in subjects if subject in book.subjects()]
        if not there:
            return
        excerpt = excerpt_of(book, there)
        again = excerpt_in(members_in(bytes_of(excerpt)), "")
        assert again == excerpt
        assert against(check_excerpt(again)) == []
        told = {item._replace(answers=tuple(sorted(item.answers))) for item in known_in(again)}
        assert told == set().union(*(told_by(book, subject) for subject in there))


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """A ledger with corrections, a line about two subjects, private lines, and one that was blanked."""
    made = Ledger.begin(tmp_path / "l.airwrit")
    clock = Clock()
    for number in range(6):
        made.append([draft(said(f"aircraft/{'ABC'[number % 3]}", "owner", f"owner {number}"))], clock)
    made.append([draft(said(A, "maker", "m"), said(B, "maker", "n"))], clock)
    made.append(
        [draft(said("person/P", PRIVATE, "secret")), draft(said("person/P", "flies_for", "work"))], clock
    )
    made.append([draft(said(A, "owner", "last"), answers=["1.0", "4.0"])], clock)
    made.append([draft(said("person/Q", PRIVATE, "gone"))], clock)
    blank(made, [11], clock, "ada", "request 1")
    return made


@pytest.fixture
def key(book: Ledger) -> SigningKey:
    return new_key(origin_of(book.name))


def test_a_subject_without_lines_and_no_subject_are_refused(book: Ledger) -> None:
    for subjects in ((), ("aircraft/none",), (A, "owner")):
        with pytest.raises(BadFact):
            excerpt_of(book, subjects)


def test_private_lines_are_given_as_hash_and_stay_open(book: Ledger) -> None:
    excerpt = excerpt_of(book, ["person/P"], without_private=True)
    assert b"secret" not in bytes_of(excerpt)
    assert [item.statement.key for item in known_in(excerpt)] == ["flies_for"]
    found = check_excerpt(excerpt)
    assert against(found) == []
    assert any(one.how is Follows.OPEN and one.where == "person/P" and "8" in one.says for one in found)
    assert b"secret" in bytes_of(excerpt_of(book, ["person/P"]))


def test_a_blanked_line_is_told_with_its_reason(book: Ledger) -> None:
    excerpt = excerpt_of(book, ["person/Q"])
    assert {item.number for item in known_in(excerpt)} == {"11.0", "12.0"}
    assert set(known_in(excerpt)) == told_by(book, "person/Q")
    found = check_excerpt(excerpt)
    assert against(found) == []
    assert any(one.how is Follows.FOLLOWS and "entry 11" in one.where for one in found)
    hidden = check_excerpt(excerpt_of(book, ["person/Q"], without_private=True))
    assert any(one.how is Follows.OPEN and "entry 11" in one.where for one in hidden)


Json = dict[str, Any]


def _one_byte(told: Json) -> None:
    line = told["lines"][1]
    line["line"] = line["line"].replace("owner 3", "owner 4")


def _rehashed(told: Json) -> None:
    """Change a line and all that hangs on it in the file, but for the checkpoint."""
    _one_byte(told)
    line = told["lines"][1]
    line["leaf"] = leaf_hash(line["line"].encode()).hex()
    head = bytes(32)
    for one in told["lines"]:
        if A in one["of"]:
            head = rolled(head, bytes.fromhex(one["leaf"]))
    told["subjects"][0]["head"] = head.hex()


def _later_left_out(told: Json) -> None:
    """Leave out the correction, and own up to one line less."""
    told["lines"] = [one for one in told["lines"] if one["seq"] != 10]
    told["subjects"][0]["entries"] -= 1


def _given_to_another(told: Json) -> None:
    told["lines"][0]["of"] = [B]


def _no_subjects_line(told: Json) -> None:
    lines = told["checkpoint"].split("\n")
    told["checkpoint"] = "\n".join(line for line in lines if not line.startswith("subjects "))


def _swapped(told: Json) -> None:
    told["lines"][0], told["lines"][1] = told["lines"][1], told["lines"][0]


def _renumbered(told: Json) -> None:
    told["lines"][1]["seq"] += 1


def _removed(told: Json) -> None:
    del told["lines"][2]


def _twice(told: Json) -> None:
    told["lines"].insert(1, copy.deepcopy(told["lines"][0]))


def _another_ledger(told: Json) -> None:
    told["ledger"] = "0" * 32


def _another_size(told: Json) -> None:
    told["checkpoint"] = told["checkpoint"].replace("\n13\n", "\n17\n")


def _signature(told: Json) -> None:
    at = told["checkpoint"].rindex("=") - 5
    sign = "B" if told["checkpoint"][at] == "A" else "A"
    told["checkpoint"] = told["checkpoint"][:at] + sign + told["checkpoint"][at + 1 :]


def _beside(told: Json) -> None:
    told["subjects"][0]["beside"][0] = "1" * 64  # zeros stand there by right where no subject is


def _hash(told: Json) -> None:
    told["hashes"][0] = "0" * 64


def _hash_less(told: Json) -> None:
    told["hashes"].pop()


def _subject_twice(told: Json) -> None:
    told["subjects"].append(copy.deepcopy(told["subjects"][0]))


def _hidden(told: Json) -> None:
    """Hold back a line that was given, as if it had not been read right."""
    del told["lines"][0]["line"]
    told["lines"][0]["leaf"] = "0" * 64


TAMPERINGS: list[tuple[Callable[[Json], None], str, str]] = [
    (_one_byte, "lines[1], entry 4", "isn't the text that was hashed"),
    (_rehashed, "hashes", "don't match the checkpoint's root"),
    (_rehashed, "subjects[0], aircraft/A", "its hash doesn't match"),
    (_later_left_out, "subjects[0], aircraft/A", "its hash doesn't match"),
    (_removed, "subjects[0], aircraft/A", "left out"),
    (_swapped, "lines[1], entry 1", "out of order"),
    (_twice, "lines[1], entry 1", "twice"),
    (_renumbered, "lines[1], entry 5", "belongs to entry 4"),
    (_given_to_another, "lines[0], entry 1", "isn't about the records"),
    (_another_ledger, "checkpoint", "another ledger"),
    (_another_size, "hashes", "don't match the checkpoint's root"),
    (_signature, "checkpoint", "doesn't match"),
    (_no_subjects_line, "checkpoint", "doesn't match"),
    (_beside, "subjects[0], aircraft/A", "doesn't match the checkpoint"),
    (_hash, "hashes", "don't match the checkpoint's root"),
    (_hash_less, "hashes", "don't match the checkpoint's root"),
    (_subject_twice, "subjects", "list of records doesn't match"),
    (_hidden, "hashes", "don't match the checkpoint's root"),
]


@pytest.mark.parametrize(("tamper", "where", "says"), TAMPERINGS)
def test_a_tampering_is_found_at_its_place(
    book: Ledger, key: SigningKey, tamper: Callable[[Json], None], where: str, says: str
) -> None:
    told = as_json(excerpt_of(book, [A], key=key))
    assert against(check_excerpt(excerpt_in(members_in(canonical(told).encode()), ""))) == []
    tamper(told)
    found = against(
        check_excerpt(excerpt_in(members_in(canonical(told).encode()), ""), Outside((key.public,)))
    )
    assert any(one.where == where and says in one.says for one in found), found


@given(st.integers(0, 10**6), st.integers(1, 255))
def test_one_byte_changed_anywhere_is_found(place: int, change: int) -> None:
    with ledger() as book:
        clock = Clock()
        for number in range(9):
            book.append([draft(said(f"aircraft/{'ABC'[number % 3]}", "owner", str(number)))], clock)
        key = SigningKey(origin_of(book.name), bytes(range(32)))
        issued(book, key)
        book.append([draft(said(A, "maker", "m"))], clock)
        made = bytes_of(excerpt_of(book, [A], key=key))
    at = place % len(made)
    changed = made[:at] + bytes([made[at] ^ change]) + made[at + 1 :]
    try:
        found = check_excerpt(excerpt_in(members_in(changed), ""), Outside((key.public,)))
    except BadProof:
        return
    ways = canonical(json.loads(made)["earlier"]).encode()
    is_a_way = made.index(ways) <= at < made.index(ways) + len(ways)
    is_the_key = made.index(b'"key":') <= at < made.index(b',"ledger"')
    is_signed = any("signed with a key that you named" in one.says for one in found)
    assert against(found) or is_a_way or is_the_key or not is_signed


@given(
    st.one_of(
        st.binary(),
        st.text().map(str.encode),
        st.recursive(
            st.one_of(st.none(), st.booleans(), st.integers(), st.text(max_size=5)),
            lambda inner: st.one_of(
                st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
            ),
        ).map(
            lambda told: json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode(
                "utf-8", "replace"
            )
        ),
    )
)
def test_any_bytes_give_a_typed_error(data: bytes) -> None:
    with pytest.raises(BadProof):
        excerpt_in(members_in(data), "")


ODD: tuple[object, ...] = (
    None,
    True,
    0,
    -1,
    2**53 - 1,
    "",
    "x",
    "\N{LATIN SMALL LETTER E WITH ACUTE}",
    [],
    {},
    [[]],
    "f" * 64,
    10**30,
)


@given(st.lists(st.integers(0, 99), min_size=1, max_size=6), st.sampled_from(ODD))
def test_members_of_any_kind_give_a_typed_error_or_a_value(steps: list[int], odd: Any) -> None:
    with ledger() as book:
        book.append([draft(said(A, "owner", "x")), draft(said(B, "owner", "x"))], Clock())
        told = as_json(excerpt_of(book, [A]))
    inner: Any = told
    for number, step in enumerate(steps, 1):
        held = inner
        places = list(held) if isinstance(held, dict) else list(range(len(held)))
        place = places[step % len(places)]
        inner = held[place]
        if number == len(steps) or not isinstance(inner, dict | list) or not inner:
            held[place] = odd
            break
    with contextlib.suppress(BadProof, BadFact):
        excerpt = excerpt_in(members_in(canonical(told).encode()), "")
        known_in(excerpt)
        check_excerpt(excerpt)


def test_a_checkpoint_kept_elsewhere_anchors(book: Ledger, key: SigningKey) -> None:
    early, clock = issued(book, key), Clock()
    book.append([draft(said(A, "maker", "later")), draft(said(B, "maker", "later"))], clock)
    now = issued(book, key)
    excerpt = excerpt_of(book, [A], key=key)
    by = [
        (early, "confirmed from outside up to entry 13", 2),
        (now, "confirmed from outside: this log of 15 entries", 0),
    ]
    for note, says, opens in by:
        found = check_excerpt(excerpt, Outside((key.public,), note_of(note)))
        mine = [one for one in found if one.where == "your checkpoint"]
        assert mine[0].how is Follows.FOLLOWS
        assert says in mine[0].says
        assert sum(one.how is Follows.OPEN for one in found) == (1 if opens else 0)
    book.append([draft(said(A, "maker", "still later"))], clock)
    found = check_excerpt(excerpt, Outside((), note_of(issued(book, key))))
    assert any(one.how is Follows.OPEN and "later than the proof" in one.says for one in found)


def test_another_log_does_not_fit_a_checkpoint_kept_elsewhere(
    book: Ledger, key: SigningKey, tmp_path: Path
) -> None:
    note = note_of(issued(book, key))
    with Ledger.begin(tmp_path / "forged.airwrit", book.name) as forged:
        clock = Clock()
        for line in book.lines():
            entry = entry_of(line.text) if line.text else None
            statements = entry.statements if entry else (said("person/Q", "flies_for", "work"),)
            answers = entry.answers if entry and entry.act != "blank" else ()
            forged.append([draft(*statements, answers=answers)], clock)
        same_size = excerpt_of(forged, [A], key=key)
        forged.append([draft(said(A, "maker", "m"))], clock)
        keep_checkpoint(forged, note_size(note.text), "the way there is needed in the file")
        longer = excerpt_of(forged, [A], key=key)
        assert against(compared(forged, note, [key.public]))
    for excerpt in (same_size, longer):
        found = against(check_excerpt(excerpt, Outside((key.public,), note)))
        assert [one.where for one in found] == ["your checkpoint"]


def note_size(text: str) -> int:
    return int(text.split("\n")[1])


def test_a_checkpoint_of_another_ledger_or_a_foreign_key_is_told(book: Ledger, key: SigningKey) -> None:
    excerpt = excerpt_of(book, [A], key=key)
    other = new_key(key.name)
    assert any(
        one.how is Follows.CONTRADICTS and "didn't sign it" in one.says
        for one in check_excerpt(excerpt, Outside((other.public,)))
    )
    note = note_of(excerpt.note)
    assert Follows.CONTRADICTS in {one.how for one in compared(book, note, [other.public], named=True)}
    assert Follows.CONTRADICTS not in {one.how for one in compared(book, note, [other.public])}
    forged = Excerpt(
        excerpt.ledger, excerpt.note, other.public.text, excerpt.subjects, excerpt.lines, excerpt.hashes, ()
    )
    assert any(one.how is Follows.OPEN for one in check_excerpt(forged) if one.where == "checkpoint")
    elsewhere = note_of(excerpt.note.replace(book.name, "0" * 32))
    assert against(check_excerpt(excerpt, Outside((), elsewhere)))


def test_a_ledger_put_back_signs_nothing_that_contradicts(book: Ledger, key: SigningKey) -> None:
    note = note_of(issued(book, key))
    found = compared(book, note, [key.public])
    assert [one.how for one in found] == [Follows.FOLLOWS, Follows.FOLLOWS]
    keep_checkpoint(book, 5, note.text.replace("\n13\n", "\n5\n"))
    with pytest.raises(LedgerFault, match="5 entries"):
        issued(book, key)


def test_a_line_is_the_one_its_entry_has(book: Ledger) -> None:
    excerpt = excerpt_of(book, [A, B])
    for piece in excerpt.lines:
        assert piece.text is not None
        assert line_of(entry_of(piece.text)) == piece.text
