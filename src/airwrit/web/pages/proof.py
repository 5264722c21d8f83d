"""Proof: make a file of how things stood on a day, check such a file, and note the head of the log to keep elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple
from urllib.parse import unquote

from airwrit.answers.document import Json
from airwrit.answers.proof.conclusions import ProofQuestion, left_out_in
from airwrit.answers.proof.proof import Proof, ProofOptions, machine_part, proof_of
from airwrit.answers.proof.verify import COMES_TO, ProofPages, Verified, verified, verified_json
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.base.errors import AirwritError, BadProof
from airwrit.base.sentences import VERDICT_WORDS
from airwrit.base.verdict import Verdict
from airwrit.ledger.excerpt.check import Conclusion, Follows, Outside
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.log.copied_notes import checkpoint_note_in
from airwrit.ledger.log.key_files import key_of
from airwrit.ledger.log.notes import Note, PublicKey, checkpoint_of, note_of, public_key_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.checkpoint_pdf import checkpoint_pdf
from airwrit.papers.proof_pdf import machine_part_in, render, typesetter
from airwrit.papers.typeset import PAPERS
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, Download, PageSheet, SentFile, Visit

MOST_BYTES = 64 * 2**20
"""What may be sent to be checked."""

_CHOICES = 200
_PUT_IN = "put-in"
"""The choice of the form that puts private facts into the file."""
_MOST_SUBJECTS = 400
_VERDICT_OF = {
    Follows.FOLLOWS: Verdict.MET,
    Follows.VOUCHED: Verdict.MET,
    Follows.OPEN: Verdict.UNKNOWN,
    Follows.CONTRADICTS: Verdict.NOT_MET,
}


class SubjectChoice(NamedTuple):
    """An aircraft or person that a proof can be about, and whether it is chosen."""

    subject: str
    headline: str
    chosen: bool


class Says(NamedTuple):
    """What a proof would say of one subject."""

    subject: str
    verdict: Verdict
    headline: str
    because: str


@dataclass(frozen=True, slots=True)
class ProofPage:
    """The page on which a proof is made: what it can be about and, once something is chosen, what it would say."""

    form: Typed
    find: str
    choices: tuple[SubjectChoice, ...]
    found: int
    private: str
    paper: str
    papers: tuple[str, ...]
    says: tuple[Says, ...] = ()
    open_points: tuple[str, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    lines: int = 0
    entries: int = 0
    signed: bool = False


class VerifyPage(NamedTuple):
    """What follows from a file that was sent, or the question which one."""

    form: Typed
    name: str = ""
    comes_to: str = ""
    verdict: Verdict = Verdict.UNKNOWN
    about: str = ""
    conclusions: tuple[tuple[Verdict, Conclusion], ...] = ()
    answers: tuple[Says, ...] = ()


class HeadPage(NamedTuple):
    """The head of the log, and whether there is a key to sign it."""

    size: int
    root: str
    has_key: bool


def show(visit: Visit) -> Answer:
    """Choose what a proof is about, and see what it would say; nothing is made by looking."""
    subjects = _subjects(visit)
    view = _choices(visit, subjects)
    if not subjects:
        return PageSheet(
            "proof.html", "Proof", view, lambda: {"choices": [one.subject for one in view.choices]}
        )
    try:
        with visit.desk.opened() as book:
            proof = _proof(visit, book, subjects, sign=False)
    except AirwritError as fault:
        wrong = Typed(dict(visit.query), {"": fault.says})
        return PageSheet("proof.html", wrong.title("Proof"), _choices(visit, subjects, wrong), None, 422)
    return PageSheet("proof.html", "Proof", _with_answers(view, proof), lambda: proof.answers)


def act(visit: Visit) -> Answer:
    """The proof file itself, as a PDF to save. It writes no facts; where there is a key the checkpoint in it is signed."""
    subjects = _subjects(visit)
    with visit.desk.opened() as book:
        proof = _proof(visit, book, subjects, sign=True)
    name = f"proof-{visit.asked.on}.pdf"
    about = tuple(one.name for one in proof.excerpt.subjects)
    return Download(name, "application/pdf", render(machine_part(proof)), "proof", about)


def _subjects(visit: Visit) -> tuple[str, ...]:
    """The subjects chosen; a form names them percent-encoded, since a field cannot carry every sign as it is."""
    return tuple(dict.fromkeys(unquote(one) for one in visit.chosen.get("of", ())))[:_MOST_SUBJECTS]


def _field(visit: Visit, name: str) -> str:
    return visit.said.get(name, visit.query.get(name, ""))


def _proof(visit: Visit, book: Ledger, subjects: Sequence[str], *, sign: bool) -> Proof:
    key = key_of(visit.desk.ledger) if sign else None
    if key is not None:
        issued(book, key)
    asked = visit.asked
    known_at = visit.desk.known_at(book, asked)
    private, paper = _field(visit, "private"), _field(visit, "paper")
    question = ProofQuestion(
        asked.on, known_at, tuple(subjects), private == _PUT_IN, paper if paper in PAPERS else PAPERS[0]
    )
    return proof_of(book, question, ProofOptions(key, typesetter()))


def _choices(visit: Visit, subjects: Sequence[str], form: Typed | None = None) -> ProofPage:
    """The aircraft and people of the day, narrowed by a text; what is chosen stays in sight."""
    find = visit.query.get("find", "").strip()
    rows = visit.desk.standing(visit.asked).rows
    chosen = set(subjects)
    found = [row for row in rows if row.subject in chosen or _fits(row, find)]
    shown = sorted(found, key=lambda row: row.subject not in chosen)[:_CHOICES]
    return ProofPage(
        form or Typed(),
        find,
        tuple(SubjectChoice(row.subject, row.headline.value, row.subject in chosen) for row in shown),
        len(found),
        visit.query.get("private", ""),
        visit.query.get("paper", PAPERS[0]),
        tuple(PAPERS),
        signed=key_of(visit.desk.ledger) is not None,
    )


def _fits(row: SubjectStanding, find: str) -> bool:
    return find.casefold() in row.subject.casefold()


def _with_answers(view: ProofPage, proof: Proof) -> ProofPage:
    return ProofPage(
        view.form,
        view.find,
        view.choices,
        view.found,
        view.private,
        view.paper,
        view.papers,
        _says(proof.answers),
        tuple(str(one) for one in proof.answers["does_not_follow"]),
        tuple(
            (subject, ", ".join(meanings))
            for subject, meanings in left_out_in(proof.excerpt, proof.held_back).items()
        ),
        len(proof.excerpt.lines),
        checkpoint_of(note_of(proof.excerpt.note).text).size,
        view.signed,
    )


def _says(answers: Json) -> tuple[Says, ...]:
    return tuple(
        Says(
            row["subject"],
            Headline(row["headline"]).mark if row["headline"] else Verdict(row["verdict"]),
            row["headline"] or VERDICT_WORDS[Verdict(row["verdict"])],
            row["because"] or "",
        )
        for row in answers["rows"]
    )


# ---- checking a file -----------------------------------------------------------------------------------------------


def show_verify(visit: Visit) -> Answer:
    """The question which file to check; an address may bring a public key along."""
    form = Typed({"key": visit.query.get("key", "")})
    return PageSheet("check_proof.html", "Check a proof", VerifyPage(form), lambda: {"question": "verify"})


def verify(visit: Visit) -> Answer:
    """What follows from the file that was sent, by its own lines and the law installed here; no ledger is looked at."""
    file, noted = _sent(visit, "file"), _sent(visit, "checkpoint")
    if file is None:
        return _unread(visit, "file", "choose the proof file")
    try:
        outside = Outside(_keys(visit.said.get("key", "")), None if noted is None else _note(noted))
    except BadProof as fault:
        where = "key" if fault.where == "key" else "checkpoint"
        return _unread(visit, where, fault.says)
    try:
        found = verified(*_parts(file.data, outside))
    except BadProof as fault:
        return _unread(visit, "file", f"{_placed(fault)}; {fault.do or 'choose a proof file'}")
    view = VerifyPage(
        Typed(),
        file.name,
        COMES_TO[found.comes_to],
        _VERDICT_OF[found.comes_to],
        _about(found),
        tuple((_VERDICT_OF[one.how], one) for one in _in_order(found.conclusions)),
        () if found.answers is None else _says(found.answers),
    )
    return PageSheet("check_proof.html", "Check a proof", view, lambda: verified_json(found))


def _sent(visit: Visit, name: str) -> SentFile | None:
    return next((one for one in visit.files.get(name, ()) if one.name), None)


def _note(file: SentFile) -> Note:
    return checkpoint_note_in(file.data, "checkpoint")


def _keys(text: str) -> tuple[PublicKey, ...]:
    """The public keys in a text, one a line. BadProof when one is none."""
    try:
        return tuple(public_key_of(line.strip()) for line in text.splitlines() if line.strip())
    except BadProof as fault:
        raise BadProof(fault.what, where="key", do=fault.do or "copy all of it") from fault


def _parts(data: bytes, outside: Outside) -> tuple[bytes, Outside, ProofPages | None]:
    if not data.startswith(b"%PDF-"):
        return data, outside, None
    return machine_part_in(data), outside, ProofPages(data, render, typesetter())


def _about(found: Verified) -> str:
    told = checkpoint_of(note_of(found.excerpt.note).text)
    lines = f"{len(found.excerpt.lines)} lines of a log of {told.size:,} entries"
    if found.proof is None:
        return lines
    question = found.proof.question
    known = f"{question.known_at:%Y-%m-%d %H:%M} UTC"
    return f"about {', '.join(question.subjects)} on {question.on}, as known {known}; {lines}"


def _in_order(found: Sequence[Conclusion]) -> list[Conclusion]:
    order = (Follows.CONTRADICTS, Follows.FOLLOWS, Follows.VOUCHED, Follows.OPEN)
    return sorted(found, key=lambda one: order.index(one.how))


def _placed(fault: BadProof) -> str:
    """What is wrong, and where in the file."""
    return f"{fault.what}, at {fault.where}" if fault.where else fault.what


def _unread(visit: Visit, field: str, wrong: str) -> PageSheet:
    form = Typed({"key": visit.said.get("key", "")}, {field: wrong})
    return PageSheet("check_proof.html", form.title("Check a proof"), VerifyPage(form), None, 422)


# ---- the head of the log -------------------------------------------------------------------------------------------


def show_checkpoint(visit: Visit) -> Answer:
    """The head of the log as it is, and what a note of it is for."""
    with visit.desk.opened() as book:
        head = book.head()
    view = HeadPage(head.size, head.root.hex(), key_of(visit.desk.ledger) is not None)
    return PageSheet("seal_records.html", "Seal the records", view, view._asdict)


def checkpoint(visit: Visit) -> Answer:
    """The note of the head as a file, or a page to print; signed where there is a key."""
    with visit.desk.opened() as book:
        note = issued(book, key_of(visit.desk.ledger))
    name = f"{visit.asked.today}.checkpoint"
    if visit.said.get("way") == "sheet":
        return Download("checkpoint.pdf", "application/pdf", checkpoint_pdf(note, visit.asked.today))
    return Download(name, "text/plain; charset=utf-8", note.encode())
