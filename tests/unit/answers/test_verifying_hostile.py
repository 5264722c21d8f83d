"""A hostile holder of a proof: what is hidden, dropped, redated or claimed is told as open or contradicted, never as a yes."""

from __future__ import annotations

import base64
import contextlib
import dataclasses
import json
import time
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import pytest

from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import Proof, ProofOptions, answered_again, machine_part, proof_in, proof_of
from airwrit.answers.proof.verify import ProofPages, Verified, verified
from airwrit.base.errors import BadProof, UsageError
from airwrit.ledger.entry import canonical
from airwrit.ledger.excerpt.check import Follows
from airwrit.ledger.excerpt.excerpt import Piece, excerpt_of
from airwrit.ledger.excerpt.form import MOST_SUBJECTS
from airwrit.ledger.log.notes import SigningKey, origin_of
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.proving import JULY, JUNE, program
from tests.unit.intake.documents import photo

ON = date(2026, 6, 5)
SOLD, TWIN = "aircraft/H-01", "aircraft/H-02"
Json = dict[str, Any]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """The program; only checkpoints are kept in it."""
    with program(tmp_path_factory.mktemp("hostile") / "program.airwrit") as made:
        yield made


@pytest.fixture(scope="module")
def proofs(book: Ledger) -> dict[str, Proof]:
    """Proofs of an aircraft that was sold, and of one whose serial stands on two certificates.

    Their checkpoint is signed; the signature of the whole is off, as whoever forges one takes it off.
    """
    wanted = ProofOptions(key=SigningKey(origin_of(book.name), bytes(range(32))))
    made = {name: proof_of(book, ProofQuestion(ON, JULY, (name,)), wanted) for name in (SOLD, TWIN)}
    return {name: dataclasses.replace(proof, signature="") for name, proof in made.items()}


def told(proof: Proof) -> Json:
    members: Json = json.loads(machine_part(proof))
    return members


def fitted(members: Json) -> Verified:
    """What is found of members whose answers their forger made to fit."""
    proof = proof_in(canonical(members).encode())
    return verified(machine_part(dataclasses.replace(proof, answers=answered_again(proof))))


def said(found: Verified, how: Follows, where: str = "") -> list[str]:
    return [one.says for one in found.conclusions if one.how is how and where in one.where]


def headline(found: Verified) -> str:
    assert found.answers is not None
    return str(found.answers["rows"][0]["headline"])


# ---- what is left out ----------------------------------------------------------------------------------------------


def silenced(piece: Piece) -> Piece:
    return piece._replace(text=None)


def blanked(piece: Piece) -> Piece:
    return piece._replace(text=None, recorded_at=JUNE)


@pytest.mark.parametrize("hide", [silenced, blanked])
@pytest.mark.parametrize("held_back", [(), ((SOLD, "model"),)])
def test_a_line_given_as_hash_alone_makes_no_answer_better(
    proofs: dict[str, Proof],
    hide: Callable[[Piece], Piece],
    held_back: tuple[tuple[str, str], ...],
) -> None:
    proof = proofs[SOLD]
    lines = tuple(hide(piece) if "sold_on" in (piece.text or "") else piece for piece in proof.excerpt.lines)
    assert lines != proof.excerpt.lines
    excerpt = dataclasses.replace(proof.excerpt, lines=lines)
    found = fitted(told(dataclasses.replace(proof, excerpt=excerpt, held_back=held_back)))
    assert headline(found) == "can't tell yet"
    assert found.comes_to is not Follows.FOLLOWS
    (gone,) = [piece.seq for piece in lines if piece.text is None]
    assert said(found, Follows.OPEN, f"entry {gone}") or said(found, Follows.OPEN, SOLD)


@pytest.mark.parametrize("name", [SOLD, TWIN])
def test_whatever_subject_is_left_out_a_better_answer_names_what_it_took_for_granted(
    book: Ledger, proofs: dict[str, Proof], name: str
) -> None:
    names, better = [one.name for one in proofs[name].excerpt.subjects], 0
    for gone in names:
        if gone == name:
            continue
        excerpt = excerpt_of(book, [one for one in names if one != gone])
        found = fitted(told(dataclasses.replace(proofs[name], excerpt=excerpt)))
        assert found.comes_to is not Follows.FOLLOWS
        if headline(found) not in ("grounded", "not in the fleet"):
            better += 1
            kind, _, rest = gone.partition("/")
            claims = said(found, Follows.OPEN, "answers")
            assert any(f"other {kind} " in one or f"the {kind} {rest}" in one for one in claims)
    assert better == (name == TWIN)


def test_a_later_line_cannot_be_dropped(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["excerpt"]["lines"].pop()
    found = fitted(members)
    assert found.comes_to is Follows.CONTRADICTS
    assert "Lines were left out" in said(found, Follows.CONTRADICTS, SOLD)[0]


# ---- what is redated or claimed ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("moment", "is_open"), [(JUNE, False), (JULY, True), (JULY.replace(year=2031), True)]
)
def test_an_old_log_does_not_reach_to_a_later_moment(
    proofs: dict[str, Proof], moment: Any, is_open: bool
) -> None:
    question = proofs[SOLD].question._replace(known_at=moment)
    found = fitted(told(dataclasses.replace(proofs[SOLD], question=question)))
    says = said(found, Follows.OPEN, "question.known_at")
    assert bool(says) is is_open
    assert all(one.startswith("that nothing was recorded between 2026-06-10 09:00 UTC") for one in says)


def test_a_log_that_does_not_tell_its_last_moment_says_so(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    kept = [
        line for line in members["excerpt"]["checkpoint"].splitlines()[:5] if not line.startswith("last ")
    ]
    members["excerpt"]["checkpoint"] = "".join(f"{line}\n" for line in kept if line)
    assert "doesn't say" in said(fitted(members), Follows.OPEN, "question.known_at")[0]


@pytest.mark.parametrize(
    ("member", "claim", "says"),
    [
        ("law", "ab" * 32, "the law files were different: made with airwrit 0"),
        ("airwrit", "9.9", "that airwrit 9.9 made it, as it says"),
        ("typeset_by", "a quill", "that a quill made its pages, as it says"),
    ],
)
def test_what_a_file_says_of_its_maker_stays_open(
    proofs: dict[str, Proof], member: str, claim: str, says: str
) -> None:
    members = told(proofs[SOLD])
    members["made_by"][member] = claim
    data = canonical(members).encode()
    found = verified(data, pages=ProofPages(data, lambda machine: machine, ""))
    assert said(found, Follows.FOLLOWS, "pages")
    assert any(one.startswith(says) for one in said(found, Follows.OPEN, "made_by"))
    assert found.comes_to is Follows.OPEN


def test_the_day_the_law_was_read_is_compared(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["answers"]["findings"][0]["law_read_on"] = "2030-01-01"
    for law, how in ((members["made_by"]["law"], Follows.CONTRADICTS), ("ab" * 32, Follows.OPEN)):
        members["made_by"]["law"] = law
        found = verified(canonical(members).encode())
        assert said(found, how, "answers")[0].startswith("their words or results differ")
        assert found.comes_to is how


def test_a_contradiction_is_not_buried_under_open_points(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["made_by"]["law"] = "ab" * 32
    finding = members["answers"]["findings"][0]
    members["answers"]["findings"] += [{**finding, "rule": f"rule {number}"} for number in range(500)]
    fact = next(one for one in members["answers"]["facts"] if one["key"] == "sold_on")
    fact["value"] = None
    found = verified(canonical(members).encode())
    assert found.comes_to is Follows.CONTRADICTS
    assert "sold_on" in said(found, Follows.CONTRADICTS, "answers.facts")[0]
    assert any(one.endswith("more such things") for one in said(found, Follows.OPEN, "answers"))
    assert len(found.conclusions) < 100


def test_one_is_not_true(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    finding = next(one for one in members["answers"]["findings"] if one["counts"])
    finding["counts"] = 1
    assert verified(canonical(members).encode()).comes_to is Follows.CONTRADICTS


# ---- what is put in ------------------------------------------------------------------------------------------------


def coded(data: bytes) -> str:
    return base64.b64encode(data).decode()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        photo("PNG"),
        photo(size=(1201, 10)),
        photo()[:150],
        photo().replace(b"\xff\xc0", b"\xff\xc2", 1),
    ],
    ids=["none", "drawing", "pdf", "png", "large", "cut", "scans"],
)
def test_a_small_photo_is_one_as_this_program_makes_them(proofs: dict[str, Proof], data: bytes) -> None:
    members = told(proofs[SOLD])
    members["copies"] = dict.fromkeys(members["copies"], coded(data))
    with pytest.raises(BadProof, match=r"copies\[0\]: This isn't a small"):
        verified(canonical(members).encode())


def test_a_small_photo_of_no_document_is_found(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["copies"]["00" * 32] = coded(photo(size=(1200, 1200)))
    found = verified(canonical(members).encode())
    assert said(found, Follows.CONTRADICTS, "copies") == ["1 small photo is of no document here"]


def test_a_subject_is_asked_about_once(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["question"]["subjects"] *= 2
    with pytest.raises(BadProof, match=r"names a record twice."):
        verified(canonical(members).encode())


def test_a_machine_part_that_viewers_take_for_a_pdf_is_refused(proofs: dict[str, Proof]) -> None:
    members = told(proofs[SOLD])
    members["answers"]["aside"] = "%PDF-1.7 1 0 obj"
    data = canonical(members).encode()
    with pytest.raises(BadProof, match="can also be read as a PDF"):
        verified(data)
    assert verified(data, pages=ProofPages(data, lambda machine: machine, "")).comes_to is Follows.CONTRADICTS


# ---- bytes that are no canonical JSON -------------------------------------------------------------------------------


def swap(old: str, new: str) -> Callable[[bytes], bytes]:
    return lambda data: data.replace(old.encode(), new.encode(), 1)


BAD: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("twice", swap('"form":1,', '"form":1,"form":1,'), "being canonical JSON at character"),
    ("twice, unlike", swap('"verdict":"met"', '"verdict":"not_met","verdict":"met"'), "character"),
    ("nan", swap('"form":1', '"form":NaN'), "('NaN' isn't a whole number)."),
    ("infinite", swap('"form":1', '"form":-Infinity'), "('-Infinity' isn't a whole number)."),
    ("fraction", swap('"form":1', '"form":1.0'), "('1.0' isn't a whole number)."),
    ("long", swap('"form":1', f'"form":{"1" * 5000}'), "a number in it is too long"),
    ("large", swap('"form":1', '"form":9007199254740992'), "store the number '9007199254740992' exactly)."),
    ("half", swap('"airwrit":"', '"airwrit":"\\ud800'), "has a damaged character)."),
    ("nul", swap('"airwrit":"', '"airwrit":"\\u0000'), "has a damaged character)."),
    ("nested", swap('"held_back":[]', f'"held_back":{"[" * 5000}{"]" * 5000}'), "nested too deep"),
    ("nested little", swap('"held_back":[]', f'"held_back":{"[" * 500}{"]" * 500}'), "held_back"),
    ("end of line", lambda data: data + b"\n", "being canonical JSON at character"),
    ("spaces", lambda data: b" " + data, "character 0."),
    ("mark", lambda data: b"\xef\xbb\xbf" + data, "breaks off at character 0"),
    ("cut", lambda data: data[:-1], "breaks off at character"),
    ("not text", lambda data: data[:30] + b"\xff" + data[31:], "byte 30 is not UTF-8"),
    ("two", lambda data: data + data, "breaks off at character"),
]


@pytest.mark.parametrize(("change", "says"), [bad[1:] for bad in BAD], ids=[bad[0] for bad in BAD])
def test_what_is_not_canonical_is_refused_with_its_place(
    proofs: dict[str, Proof], change: Callable[[bytes], bytes], says: str
) -> None:
    data = machine_part(proofs[TWIN])
    assert change(data) != data
    with pytest.raises(BadProof) as caught:
        verified(change(data))
    assert says in str(caught.value)
    assert caught.value.do
    assert len(str(caught.value)) < 250


def test_nothing_but_brackets_is_refused_before_it_fills_the_memory() -> None:
    begun = time.process_time()
    with pytest.raises(BadProof, match="too large"):
        verified(b"[" + b"[]," * 5_000_000 + b"[]]")
    assert time.process_time() - begun < 2


def crowded(proof: Proof, many: int) -> bytes:
    """A bare excerpt of many subjects, with a line for each."""
    members = told(proof)["excerpt"]
    names = [f"aircraft/X-{number}" for number in range(many)]
    members["subjects"] = [{**members["subjects"][0], "beside": [], "subject": name} for name in names]
    members["lines"] = [{"leaf": "ab" * 32, "of": [name], "seq": at} for at, name in enumerate(names, 20)]
    return canonical(members).encode()


def test_each_of_many_subjects_and_lines_is_looked_at_once(proofs: dict[str, Proof]) -> None:
    begun = time.process_time()
    assert verified(crowded(proofs[SOLD], MOST_SUBJECTS)).comes_to is Follows.CONTRADICTS
    assert time.process_time() - begun < 8
    with pytest.raises(BadProof, match=r"subjects: The proof has more than 10,000 records."):
        verified(crowded(proofs[SOLD], MOST_SUBJECTS + 1))


def test_more_subjects_than_can_be_verified_are_not_put_into_a_proof(
    book: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    for most, is_made in ((4, True), (3, False)):
        monkeypatch.setattr("airwrit.answers.proof.proof.MOST_SUBJECTS", most)
        with contextlib.nullcontext() if is_made else pytest.raises(UsageError, match="fewer"):
            assert len(proof_of(book, ProofQuestion(ON, JULY, (SOLD,))).excerpt.subjects) == most
