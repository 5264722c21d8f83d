"""Proof files: what stands on the pages, what lies inside, the same bytes each time, nothing private, whatever users wrote."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import MACHINE_PART, ProofOptions, machine_part, proof_of
from airwrit.base.errors import BadProof
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.proof_pdf import machine_part_in, render, typesetter
from tests.unit.answers.proving import AUGUST, FIRM, JULY, attach, program
from tests.unit.intake.documents import paper, photo
from tests.unit.ledger.books import Clock, draft, said
from tests.unit.papers.pictures import sizes_mm, text_of
from tests.unit.papers.test_labels_pdf import HOSTILE

MAY = datetime(2026, 5, 1, tzinfo=UTC)
AFTER_SALE = date(2026, 6, 5)

WORDS = {"met": "OK", "not_met": "not OK", "unknown": "can't tell yet", "not_applicable": "doesn't apply"}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """The program, to be read only."""
    with program(tmp_path_factory.mktemp("file") / "program.airwrit") as made:
        yield made


def machine(book: Ledger, *subjects: str, **asked: Any) -> bytes:
    """The machine part of a proof."""
    question = ProofQuestion(AFTER_SALE, JULY, subjects)._replace(**asked)
    return machine_part(proof_of(book, question, ProofOptions(typeset_by=typesetter())))


@pytest.fixture(scope="module")
def known_in_may(book: Ledger) -> bytes:
    """The machine part of a proof from before the sale was told."""
    return machine(book, "aircraft/H-01", known_at=MAY)


@pytest.fixture(scope="module")
def file_of_may(known_in_may: bytes) -> bytes:
    """Its file."""
    return render(known_in_may)


def test_the_first_page_says_it_in_a_minute(file_of_may: bytes) -> None:
    first = " ".join(PdfReader(io.BytesIO(file_of_may)).pages[0].extract_text().replace("\u200b", "").split())
    assert "of H-01 on Jun 5, 2026, based on what was on record May 1, 2026 00:00 UTC." in first
    assert "Papers OK for work." in first
    assert "The number is on the outside." in first
    assert "14 CFR 48.205" in first
    assert "document 1" in first
    assert "What this proof shows" in first
    assert "One line was written after that time" in first
    assert (
        "Something else on record could have this Remote ID serial number on its registration: ZZ9Z6TEST01"
        in first
    )
    assert "compare the last page with a checkpoint kept elsewhere" in first
    assert "information, not legal advice" in first
    assert "Entries could be missing" not in first
    assert first.endswith("page 1 of 5")


def test_what_decides_is_told_with_law_and_facts(book: Ledger) -> None:
    text = text_of(render(machine(book, "aircraft/H-01")))
    assert "Not in the fleet. Sold on Jun 1, 2026. The sale ended its registration." in text
    assert "entered Jun 10, 2026, 5 days after this status date" in text
    assert "based on" in text
    assert (
        "Entries could be missing between Jun 10, 2026 09:00 UTC, its last entry, and Jul 1, 2026 09:00 UTC"
        in text
    )


@pytest.mark.parametrize(
    ("on", "says"),
    [
        (date(2026, 6, 9), "entered Jun 10, 2026, 1 day after this status date"),
        (date(2026, 6, 10), "entered Jun 10, 2026, 9 days later"),
        (date(2026, 6, 11), "entered Jun 10, 2026, 9 days later"),
    ],
)
def test_a_fact_says_how_late_it_was_written(book: Ledger, on: date, says: str) -> None:
    assert says in text_of(render(machine(book, "aircraft/H-01", on=on)))


def test_the_last_page_says_how_to_check_it(file_of_may: bytes, known_in_may: bytes) -> None:
    last = PdfReader(io.BytesIO(file_of_may)).pages[-1].extract_text().replace("\u200b", "")
    told = json.loads(known_in_may)
    assert "How to check this file" in last
    assert "airwrit check-proof" in last
    for line in told["excerpt"]["checkpoint"].splitlines():
        assert line in last
    assert told["made_by"]["law"] in last
    assert "not signed" in last


def test_the_machine_part_lies_inside_as_it_was(file_of_may: bytes, known_in_may: bytes) -> None:
    assert machine_part_in(file_of_may) == known_in_may
    assert list(PdfReader(io.BytesIO(file_of_may)).attachments) == [MACHINE_PART]


def test_it_says_that_it_is_pdf_a_3(file_of_may: bytes) -> None:
    root: Any = PdfReader(io.BytesIO(file_of_may)).trailer["/Root"]
    told = root["/Metadata"].get_data().decode()
    assert "<pdfaid:part>3</pdfaid:part>" in told
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in told
    assert root["/AF"][0].get_object()["/AFRelationship"] == "/Data"
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value is True


def test_the_same_machine_part_gives_the_same_bytes(known_in_may: bytes, file_of_may: bytes) -> None:
    assert render(known_in_may) == file_of_may


def test_nothing_of_what_the_camera_wrote_is_in_it(file_of_may: bytes, book: Ledger) -> None:
    whole = file_of_may + machine_part_in(file_of_may)
    for page in PdfReader(io.BytesIO(file_of_may)).pages:
        for image in page.images:
            whole += image.data
    assert b"JFIF" in whole
    for told in (
        b"Exif",
        b"GPSLatitude",
        b"invented maker",
        b"a word about the place",
        b"xmpmeta>45.2",
        b"2026:10:02",
    ):
        assert told not in whole
    (digest,) = json.loads(machine_part_in(file_of_may))["copies"]
    kept = book.file(digest)
    assert kept is not None
    assert b"invented maker" in (kept.data or b"")
    assert digest in text_of(file_of_may).replace(" ", "")


def test_private_facts_are_printed_only_when_asked_for(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        book.append([draft(said(f"owner/{FIRM}", "owner_died_on", "2026-06-20"))], Clock(JULY))
        asked: dict[str, Any] = {"on": date(2026, 7, 28), "known_at": AUGUST}
        without = text_of(render(machine(book, "aircraft/H-02", **asked)))
        with_it = text_of(render(machine(book, "aircraft/H-02", **asked, private=True)))
    assert "2026-06-20" not in without
    assert "Jun 20, 2026" not in without
    assert "left out of this file" in without
    assert "more than this: date the owner died." in without
    assert "Jun 20, 2026" in with_it


def test_a_pdf_is_named_and_not_shown(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        attach(book, Clock(JULY), "aircraft/H-02", paper(), date(2026, 1, 3), "manual.pdf")
        text = text_of(render(machine(book, "aircraft/H-02", known_at=AUGUST)))
    assert "We don't print PDFs on this page" in text
    assert "manual.pdf, PDF, entry" in text


def test_whatever_users_wrote_is_text(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        texts = [text.replace("\0", "") for text in HOSTILE if text]
        for text in texts:
            facts = [
                said(f"aircraft/{text}", key, text) for key in ("maker", "registration", "owner", "mark_text")
            ]
            entry = draft(*facts, said(f"aircraft/{text}", "used_for", "work"))._replace(by=text, note=text)
            book.append([entry], Clock(JULY))
            attach(book, Clock(JULY), f"aircraft/{text}", photo(tone="gray"), date(2026, 1, 3))
        made = render(machine(book, *(f"aircraft/{text}" for text in texts), known_at=AUGUST))
    assert text_of(made).count("Can't tell yet.") == len(texts)
    assert "#panic() $x$ *b* `code`" in text_of(made)


def test_many_subjects_fill_as_many_pages_as_they_need(book: Ledger) -> None:
    subjects = [
        *(f"aircraft/H-0{n}" for n in (1, 2, 3)),
        "person/Ada",
        f"owner/{FIRM}",
        "registration/FA00TEST01",
    ]
    made = render(machine(book, *subjects, paper="A4"))
    assert sizes_mm(made) == {(210.0, 297.0)}
    first = PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert all(name in first for name in ("H-01", "H-02", "H-03", "Ada", FIRM, "FA00TEST01"))


def altered(data: bytes, **members: Any) -> bytes:
    """A machine part with other members."""
    told = json.loads(data) | members
    return json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def test_a_machine_part_that_cannot_be_set_is_refused(known_in_may: bytes) -> None:
    told = json.loads(known_in_may)
    digest = told["answers"]["documents"][0]["sha256"]
    broken: tuple[dict[str, Any], ...] = (
        {"answers": {}},
        {"answers": told["answers"] | {"facts": []}},
        {"answers": told["answers"] | {"rows": 1}},
        {"question": told["question"] | {"paper": "napkin"}},
        {"copies": {digest: "AAAA"}},
    )
    for members in broken:
        with pytest.raises(BadProof):
            render(altered(known_in_may, **members))


def test_a_page_changes_with_the_answers(known_in_may: bytes, file_of_may: bytes) -> None:
    told = json.loads(known_in_may)
    told["answers"]["rows"][0]["because"] = "all is well"
    assert render(altered(known_in_may, **told)) != file_of_may


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7\n", b"{}", paper(1)])
def test_a_file_without_a_machine_part_is_refused(data: bytes) -> None:
    with pytest.raises(BadProof):
        machine_part_in(data)


def test_what_the_first_page_has_no_room_for_stands_on_the_last(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        subjects = [f"aircraft/H-0{number}" for number in (1, 2, 3)]
        data = machine(book, *subjects, "person/Ada")
        told = json.loads(data)["answers"]["does_not_follow"]
        text = text_of(render(data))
    assert f"{len(told) - 8} more points about the whole ledger" in text
    assert all(one[1:] in text for one in told)
    assert "More that it doesn" in text


def test_what_set_the_pages_is_told_with_its_version() -> None:
    assert re.fullmatch(r"typst \d+\.\d+\.\d+, pages [0-9a-f]{12}", typesetter())


def first_page(made: bytes) -> str:
    """The words of the first page."""
    text = PdfReader(io.BytesIO(made)).pages[0].extract_text()
    return " ".join(text.replace("\u200b", "").split())


def test_the_first_page_counts_all_that_was_found(book: Ledger) -> None:
    data = machine(book, "aircraft/H-01", "person/Ada")
    findings = json.loads(data)["answers"]["findings"]
    counts = [(sum(one["verdict"] == verdict for one in findings), WORDS[verdict]) for verdict in WORDS]
    assert sum(many for many, _ in counts) == len(findings)
    text = first_page(render(data))
    told = ", ".join(f"{many} {word}" for many, word in counts if many).replace("doesn't", "that don't")
    told = told.replace("can't tell", "we can't tell")
    assert f"All findings about {len({one['subject'] for one in findings})} records: {told}." in text
    assert "Also found" in text
    assert "nothing stands in the way" not in text
    assert text.count("Based on papers on file. Not checked:") == 1


def test_a_private_day_is_on_no_page_and_stands_in_no_reason(tmp_path: Path) -> None:
    with program(tmp_path / "a") as book:
        book.append([draft(said(f"owner/{FIRM}", "owner_died_on", "2026-06-20"))], Clock(JULY))
        asked: dict[str, Any] = {"on": date(2026, 7, 28), "known_at": AUGUST}
        data = machine(book, "aircraft/H-02", **asked, private=True)
        told = json.loads(data)
        told["question"]["private"] = False
        told["answers"]["rows"][0]["because"] += ", told on 2026-06-20"
        text = first_page(render(altered(data, **told)))
    assert "2026-06-20" not in text
    assert "Jun 20, 2026" not in text
    assert "(private)" in text


def test_a_sentence_that_tells_citizenship_is_left_out(known_in_may: bytes) -> None:
    told = json.loads(known_in_may)
    answers, question = told["answers"], told["question"]
    fact = {"subject": f"owner/{FIRM}", "key": "citizenship", "value": "neither", "why": None}
    answers["facts"].append(fact | {"since": None, "numbers": [], "later": []})
    finding = next(one for one in answers["findings"] if one["verdict"] == "met" and one["counts"])
    finding["facts"].append(len(answers["facts"]) - 1)
    finding["says"] = "its owner is no citizen"
    without = text_of(render(altered(known_in_may, answers=answers)))
    with_it = text_of(render(altered(known_in_may, answers=answers, question=question | {"private": True})))
    assert "neither" not in without
    assert "no citizen" not in without
    assert "on a private fact: owner's citizenship." in without
    assert "no citizen" in with_it
