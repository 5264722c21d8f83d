"""Proofs: made of the lines alone, closed under what findings look at, true to what was known then, silent on nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.proof.conclusions import ProofQuestion, answers_to, spoiled_in
from airwrit.answers.proof.proof import (
    Proof,
    ProofOptions,
    answered_again,
    law_digest,
    machine_part,
    proof_in,
    proof_of,
)
from airwrit.answers.proof.subjects import subjects_of
from airwrit.answers.standing.standing import standing
from airwrit.base.errors import BadProof, UsageError
from airwrit.law.wording import worded
from airwrit.ledger.excerpt.check import Follows, check_excerpt
from airwrit.ledger.excerpt.excerpt import Excerpt
from airwrit.ledger.log.notes import new_key
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.proving import AUGUST, FIRM, JULY, JUNE, SOLD_ON, attach, program
from tests.unit.intake.documents import photo
from tests.unit.ledger.books import Clock, draft, said

MAY = datetime(2026, 5, 1, tzinfo=UTC)
AFTER_SALE = date(2026, 6, 5)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """The program, to be read only."""
    with program(tmp_path_factory.mktemp("proof") / "program.airwrit") as made:
        yield made


def proved(
    book: Ledger,
    *subjects: str,
    on: date = AFTER_SALE,
    known_at: datetime = JULY,
    private: bool = False,
) -> Proof:
    """A proof about subjects."""
    return proof_of(book, ProofQuestion(on, known_at, subjects, private))


def row(proof: Proof, subject: str) -> dict[str, Any]:
    """How a subject stands in a proof."""
    found: dict[str, Any] = next(one for one in proof.answers["rows"] if one["subject"] == subject)
    return found


def row_of(answers: dict[str, Any], subject: str) -> str:
    """The headline of a subject in answers."""
    return next(str(one["headline"]) for one in answers["rows"] if one["subject"] == subject)


def names(excerpt: Excerpt) -> list[str]:
    """The subjects of an excerpt."""
    return [subject.name for subject in excerpt.subjects]


def test_a_past_day_says_what_was_known_then(book: Ledger) -> None:
    before = proved(book, "aircraft/H-01", known_at=MAY)
    after = proved(book, "aircraft/H-01")
    assert row(before, "aircraft/H-01")["headline"] == "papers OK for work"
    assert row(after, "aircraft/H-01")["headline"] == "not in the fleet"
    (fact,) = [one for one in after.answers["facts"] if one["key"] == "sold_on"]
    assert (fact["value"], fact["since"], fact["later"]) == (SOLD_ON.isoformat(), SOLD_ON.isoformat(), [])
    (fact,) = [one for one in before.answers["facts"] if one["key"] == "sold_on"]
    assert (fact["value"], fact["numbers"]) == (None, [])
    assert len(fact["later"]) == 1
    assert proved(book, "aircraft/H-01", on=date(2026, 5, 31)).answers["verdict"] == before.answers["verdict"]


def test_what_findings_look_at_is_in_the_file(book: Ledger) -> None:
    found = names(proved(book, "aircraft/H-02").excerpt)
    mine = ["aircraft/H-02", f"owner/{FIRM}", "registration/FA00TEST02"]
    assert found == [*mine, "aircraft/H-03", "registration/FA00TEST03"]
    alone = names(proved(book, "aircraft/H-01").excerpt)
    assert [name.partition("/")[0] for name in alone] == ["aircraft", "owner", "registration", "document"]


def test_a_serial_on_two_certificates_shows_from_the_subset(book: Ledger) -> None:
    proof = proved(book, "aircraft/H-02")
    assert "two registrations" in row(proof, "aircraft/H-02")["because"]
    assert "something else on record could have this" in " ".join(proof.answers["does_not_follow"])


@pytest.mark.parametrize("subject", ["aircraft/H-01", "aircraft/H-02", "aircraft/H-03", "person/Ada"])
@pytest.mark.parametrize("known_at", [MAY, JULY])
def test_the_subset_says_what_the_whole_ledger_says(book: Ledger, subject: str, known_at: datetime) -> None:
    whole = standing(book.state(AFTER_SALE, known_at), AFTER_SALE, known_at)
    (wanted,) = [one for one in whole.rows if one.subject == subject]
    told = row(proved(book, subject, known_at=known_at), subject)
    assert (told["headline"], told["work"], told["recreation"]) == (
        wanted.headline,
        wanted.work,
        wanted.recreation,
    )


def test_it_is_answered_again_from_its_bytes_alone(book: Ledger) -> None:
    proof = proved(book, "aircraft/H-01", "person/Ada", f"owner/{FIRM}", "registration/FA00TEST01")
    data = machine_part(proof)
    again = proof_in(data)
    assert machine_part(again) == data
    assert json.loads(json.dumps(answered_again(again))) == again.answers
    assert not [one for one in check_excerpt(again.excerpt) if one.how is Follows.CONTRADICTS]


def test_the_same_question_gives_the_same_bytes(book: Ledger) -> None:
    assert machine_part(proved(book, "aircraft/H-01")) == machine_part(proved(book, "aircraft/H-01"))


@pytest.fixture
def bereaved(tmp_path: Path) -> Iterator[Ledger]:
    """The program after its owner died, which is private."""
    with program(tmp_path / "bereaved") as made:
        made.append([draft(said(f"owner/{FIRM}", "owner_died_on", "2026-06-20"))], Clock(JULY))
        yield made


def in_term(answers: dict[str, Any]) -> tuple[str, str | None]:
    """Verdict and reason of the finding on a term."""
    return next((f["verdict"], f["why"]) for f in answers["findings"] if f["rule"] == "registration_in_term")


def test_lines_given_as_hash_leave_it_unknown(bereaved: Ledger) -> None:
    asked: dict[str, Any] = {"on": date(2026, 7, 28), "known_at": AUGUST}
    told = proved(bereaved, "aircraft/H-02", **asked, private=True)
    closed = proved(bereaved, "aircraft/H-02", **asked)
    assert in_term(told.answers) == ("not_met", None)
    assert in_term(closed.answers) == ("unknown", "damaged")
    assert closed.held_back == ((f"owner/{FIRM}", "owner_died_on"),)
    assert b"2026-06-20" in machine_part(told)
    assert b"2026-06-20" not in machine_part(closed)
    assert answered_again(proof_in(machine_part(closed))) == closed.answers


def test_a_hidden_line_is_no_yes_even_when_nobody_says_what_it_held(bereaved: Ledger) -> None:
    closed = proved(bereaved, "aircraft/H-02", on=date(2026, 7, 28), known_at=AUGUST)
    assert in_term(answered_again(replace(closed, held_back=()))) == ("unknown", "damaged")


def test_private_facts_left_out_spoil_nothing_that_does_not_look_at_them(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        whole = proved(book, "person/Ada", known_at=AUGUST, private=True)
        closed = proved(book, "person/Ada", known_at=AUGUST)
        told = proved(book, "person/Ada", known_at=AUGUST, private=True)
    assert row(closed, "person/Ada")["headline"] == row(whole, "person/Ada")["headline"]
    assert closed.held_back == (("person/Ada", "certificate_number"), ("person/Ada", "born_on"))
    for value in (b"0000012", b"1990-04-03"):
        assert value not in machine_part(closed)
        assert value in machine_part(told)
    says = "the entries left out about Ada could cover more than this: "
    assert [one for one in closed.answers["does_not_follow"] if one.startswith(says)]
    assert not [one for one in told.answers["does_not_follow"] if "left out" in one]


@pytest.mark.parametrize(
    "held_back",
    [
        (),
        (("person/Ada", "role"),),
        (("person/Ada", "born_on"), ("person/Ada", "role")),
        (("person/Ada", "owner_died_on"),),
        (("person/Ada", "no_such_fact"),),
    ],
)
def test_what_is_held_back_is_believed_of_private_facts_alone(
    book: Ledger, held_back: tuple[tuple[str, str], ...]
) -> None:
    closed = proved(book, "person/Ada", known_at=AUGUST)
    assert spoiled_in(closed.excerpt, closed.held_back) == set(closed.held_back)
    spoiled = spoiled_in(closed.excerpt, held_back)
    assert ("person/Ada", "flies_for") in spoiled
    assert row_of(answered_again(replace(closed, held_back=held_back)), "person/Ada") == "can't tell yet"


def test_a_photo_of_the_mark_is_named_beside_the_finding_and_settles_nothing(book: Ledger) -> None:
    proof = proved(book, "aircraft/H-01", known_at=MAY)
    (document,) = proof.answers["documents"]
    assert (document["shows"], document["made_on"]) == ("mark", "2026-01-02")
    assert list(proof.copies) == [document["sha256"]]
    beside = {f["rule"]: f["documents"] for f in proof.answers["findings"] if f["documents"]}
    assert beside == {"marked_outside": [0], "mark_shows_number": [0]}


def test_a_photo_alone_meets_nothing(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        clock = Clock(JULY)
        book.append([draft(said("aircraft/H-09", "used_for", "work"))], clock)
        attach(book, clock, "aircraft/H-09", photo(tone="gray"), date(2026, 6, 30))
        proof = proved(book, "aircraft/H-09", known_at=AUGUST, on=date(2026, 7, 5))
    told = {f["rule"]: f["verdict"] for f in proof.answers["findings"]}
    assert told["marked_outside"] == "unknown"


def test_photos_of_people_are_copied_only_when_private_facts_are_shown(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        attach(book, Clock(JULY), "person/Ada", photo(), date(2026, 6, 30))
        question = ProofQuestion(date(2026, 7, 5), AUGUST, ("person/Ada",))
        assert proof_of(book, question).copies == {}
        assert len(proof_of(book, question._replace(private=True)).copies) == 1


def test_rows_left_unread_leave_the_whole_unknown(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        note = "rows not read: 2"
        unread = draft(said("aircraft/H-01", "maker", "Korrin"), act="import")._replace(
            note=note, source="fleet.csv sha256:00"
        )
        book.append([unread], Clock(JULY))
        proof = proved(book, "aircraft/H-01", known_at=AUGUST, on=date(2026, 5, 31))
        earlier = proved(book, "aircraft/H-01", known_at=JUNE, on=date(2026, 5, 31))
    assert proof.answers["problems"] == [{"where": "fleet.csv", "what": note}]
    assert (proof.answers["verdict"], earlier.answers["verdict"]) == ("unknown", "met")


def test_a_paper_kept_for_counsel_is_left_out(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        facts = [said("paper/P-1", "for_counsel", True), said("paper/P-1", "paper_kind", "waiver")]
        book.append([draft(*facts)], Clock(JULY))
        with pytest.raises(UsageError, match="marked for counsel:"):
            proved(book, "paper/P-1", known_at=AUGUST)


@pytest.mark.parametrize(
    ("subjects", "says"),
    [
        ((), "name a record."),
        (("aircraft/H-77",), "There is no record named"),
        (("training/1",), "the status"),
    ],
)
def test_what_cannot_be_asked_is_told(book: Ledger, subjects: tuple[str, ...], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        proved(book, *subjects)


def test_a_day_before_the_law_was_read_is_told(book: Ledger) -> None:
    with pytest.raises(UsageError, match="Use a later date"):
        proved(book, "aircraft/H-01", on=date(2000, 1, 1))


def test_a_key_signs_the_head(book: Ledger) -> None:
    proof = proof_of(
        book, ProofQuestion(AFTER_SALE, JULY, ("aircraft/H-01",)), ProofOptions(new_key("airwrit/test"))
    )
    assert proof.excerpt.note.count("\N{EM DASH} airwrit/test ") == 1
    assert proof_in(machine_part(proof)).excerpt.key == proof.excerpt.key


def test_the_circle_is_closed(book: Ledger) -> None:
    once = subjects_of(book, ["aircraft/H-02"], AFTER_SALE, JULY)
    proof = proved(book, "aircraft/H-02")
    assert set(once) == set(names(proof.excerpt))
    looked = {fact["subject"] for fact in proof.answers["facts"]}
    assert looked <= set(once)


def test_the_law_has_a_digest() -> None:
    assert len(law_digest()) == 64
    assert int(law_digest(), 16)


@pytest.fixture(scope="module")
def machine(book: Ledger) -> bytes:
    """The bytes of a proof."""
    return machine_part(proved(book, "aircraft/H-01"))


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        (("form",), 2, "signature"),
        (("form",), 3, "form"),
        (("signature",), "", "signature"),
        (("form",), True, "form"),
        (("made_by", "law"), 1, "made_by"),
        (("made_by",), {}, "made_by"),
        (("answers",), [], "answers"),
        (("question", "on"), "soon", "question"),
        (("question", "known_at"), "2026-07-01", "question.known_at"),
        (("question", "known_at"), "2026-07-01T09:00Z", "question.known_at"),
        (("question", "subjects"), [], "question.subjects"),
        (("question", "private"), 1, "question.private"),
        (("question", "paper"), 1, "question.paper"),
        (("held_back",), [["a"]], "held_back"),
        (("copies",), {"a": "*"}, "copies"),
        (("copies",), [], "copies"),
        (("excerpt", "form"), 9, "excerpt.form"),
        (("more",), 1, "start"),
    ],
)
def test_a_proof_in_another_form_is_refused_with_the_place(
    machine: bytes, path: tuple[str, ...], value: object, where: str
) -> None:
    told = json.loads(machine)
    inside = told
    for name in path[:-1]:
        inside = inside[name]
    inside[path[-1]] = value
    data = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    with pytest.raises(BadProof) as caught:
        proof_in(data)
    assert caught.value.where == where


@given(at=st.integers(0, 100_000), new=st.integers(0, 255))
def test_a_changed_byte_is_refused_or_answered_never_a_crash(machine: bytes, at: int, new: int) -> None:
    data = bytearray(machine)
    data[at % len(data)] = new
    assert is_read_or_refused(bytes(data))


def is_read_or_refused(data: bytes) -> bool:
    """Whether bytes are a proof that can be answered again, or are refused."""
    try:
        proof = proof_in(data)
        return answers_to(proof.question, proof.excerpt)["rows"] is not None
    except (BadProof, UsageError):
        return True


def test_flights_that_bear_on_nothing_stay_out_of_the_file(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        for name, defect in (("F-1", "none"), ("F-2", "a cracked arm"), ("F-3", None)):
            facts = [
                said(f"flight/{name}", "flight_aircraft", "H-02"),
                said(f"flight/{name}", "flown_on", "2026-06-20"),
            ]
            facts += [said(f"flight/{name}", "defect_seen", defect)] if defect else []
            book.append([draft(*facts)], Clock(JULY))
        proof = proved(book, "aircraft/H-02", on=date(2026, 7, 2), known_at=AUGUST)
        state = book.state(date(2026, 7, 2), AUGUST)
    told = {f["rule"]: f["verdict"] for f in proof.answers["findings"] if f["subject"] == "aircraft/H-02"}
    assert told["defect_released"] == "unknown"
    assert "flight/F-2" in names(proof.excerpt)
    assert "flight/F-3" not in names(proof.excerpt)
    whole = standing(state, date(2026, 7, 2), AUGUST)
    (wanted,) = [one for one in whole.rows if one.subject == "aircraft/H-02"]
    assert row(proof, "aircraft/H-02")["because"] == worded(wanted.in_the_way[0], state).says
