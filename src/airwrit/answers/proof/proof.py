"""A proof: how some subjects stood on a day as known at a moment, with the ledger's lines behind it, in one document.

The machine part is canonical JSON with these members; hashes and digests are in hex:

    form 1, or 2 where it is signed
    question    {on, known_at, subjects, private, paper}
    made_by     {airwrit, law, typeset_by}: versions, and the digest of the law that was installed
    answers     what `proof_answers` makes of the lines
    held_back   [[subject, key], ...]: facts in lines given as hash only
    copies      {sha256 of the original: small copy of a photo, base64 of a JPEG}
    excerpt     the lines with their proofs, see `ledger/excerpt/form.py`
    signature   of form 2: a signed note over the SHA-256 of all other members
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache, partial
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, NamedTuple

from airwrit import __version__
from airwrit.answers.document import Json
from airwrit.answers.history.history import near
from airwrit.answers.proof.conclusions import Pair, ProofQuestion, answers_to
from airwrit.answers.proof.subjects import subjects_of
from airwrit.base.days import parse_when
from airwrit.base.errors import BadProof, UnreadableFile, UsageError
from airwrit.facts.keys.document import DocumentType
from airwrit.facts.vocabulary import kind_of
from airwrit.intake.reader.document import is_small_copy, reduced
from airwrit.law.rulebook import ASKED_KINDS
from airwrit.ledger.entry import canonical, instant_text, when_text
from airwrit.ledger.excerpt.excerpt import Excerpt, excerpt_of
from airwrit.ledger.excerpt.form import MOST_SUBJECTS, as_json, excerpt_in, members_in
from airwrit.ledger.log.notes import SigningKey, note_of, origin_of, signed
from airwrit.ledger.sqlite.store import Ledger

FORM = 1
"""The form of a proof that nobody signed as a whole."""

SIGNED_FORM = 2
"""The form of one that was; this program writes and reads both."""

MACHINE_PART = "airwrit-proof.json"
"""The name under which the machine part lies in a proof file."""

_MEMBERS = {"form", "question", "made_by", "answers", "held_back", "copies", "excerpt"}
_SIGNATURE = "signature"
_PRIVATE_KINDS = ("person", "owner")


class MadeBy(NamedTuple):
    """Version of this program, digest of the law it had, and what set the pages."""

    airwrit: str
    law: str
    typeset_by: str


@dataclass(frozen=True, slots=True)
class Proof:
    """All that the machine part holds. `answers` is what its maker says; `answered_again` what follows here.

    `signature` is a signed note over everything else, empty where nobody signed that.
    """

    question: ProofQuestion
    made_by: MadeBy
    answers: Json
    held_back: tuple[Pair, ...]
    copies: dict[str, bytes]
    excerpt: Excerpt
    signature: str = ""


class ProofOptions(NamedTuple):
    """A key to sign the proof and its checkpoint, and what sets the pages."""

    key: SigningKey | None = None
    typeset_by: str = ""


def proof_of(ledger: Ledger, question: ProofQuestion, wanted: ProofOptions = ProofOptions()) -> Proof:  # noqa: B008 - an empty value
    """The proof, from one state of the ledger. UsageError for subjects that cannot be asked about or are not on record."""
    _look_at(question)
    with ledger.reading():
        subjects = subjects_of(ledger, question.subjects, question.on, question.known_at)
        missing = [subject for subject in question.subjects if subject not in subjects]
        if missing:
            raise UsageError(
                f"there is no record named {missing[0]!r}",
                where=ledger.path.name,
                do=f"did you mean {like}?"
                if (like := near(ledger, missing[0]))
                else "`airwrit today` lists the names",
            )
        if len(subjects) > MOST_SUBJECTS:
            raise UsageError(
                f"a proof covers up to {MOST_SUBJECTS:,} records, and this one needs {len(subjects):,}",
                where="SUBJECT",
                do="make several proofs, with fewer records each",
            )
        excerpt = excerpt_of(ledger, subjects, without_private=not question.private, key=wanted.key)
        held_back = tuple(dict.fromkeys(_held_back(ledger, excerpt)))
        answers = answers_to(question, excerpt, held_back)
        copies = _copies(ledger, answers, question)
    proof = Proof(question, made_here(wanted.typeset_by), answers, held_back, copies, excerpt)
    key = wanted.key
    return proof if key is None else replace(proof, signature=signed(signed_text(proof, SIGNED_FORM), key))


def _look_at(question: ProofQuestion) -> None:
    kinds = [kind for kind in ASKED_KINDS if kind != "flight"]
    if not question.subjects:
        raise UsageError("you didn't name a record", where="proof", do="name a record, like aircraft/H-03")
    for subject in question.subjects:
        if kind_of(subject) not in kinds:
            raise UsageError(
                f"we can't check the status of {subject!r}",
                where="SUBJECT",
                do=f"name a record of one of these kinds: {', '.join(kinds)}",
            )


def _held_back(ledger: Ledger, excerpt: Excerpt) -> Iterable[Pair]:
    """The facts in lines that are in the ledger and given as hash only."""
    for piece in excerpt.lines:
        entry = None if piece.text is not None or piece.is_blanked else ledger.entry(piece.seq)
        for said in () if entry is None else entry.statements:
            if said.subject in piece.of:
                yield said.subject, said.key


def _copies(ledger: Ledger, answers: Json, question: ProofQuestion) -> dict[str, bytes]:
    """The small copies of photos; those of people and owners only where private facts are to be shown."""
    wanted = {
        one["sha256"]: one["name"] or "document"
        for one in answers["documents"]
        if one["sha256"] and one["type"] and one["type"] != DocumentType.PDF.value
        if question.private or kind_of(one["subject"]) not in _PRIVATE_KINDS
    }
    kept = {digest: ledger.file(digest) for digest in wanted}
    found = {digest: file.data for digest, file in kept.items() if file is not None and file.data is not None}
    with ThreadPoolExecutor(max_workers=2) as pool:
        made = {digest: pool.submit(partial(_copy, data, wanted[digest])) for digest, data in found.items()}
    return {digest: copy for digest, one in sorted(made.items()) if (copy := one.result())}


def _copy(data: bytes, name: str) -> bytes:
    """The small copy; nothing where the photo cannot be decoded here."""
    try:
        return reduced(data, name)
    except UnreadableFile:
        return b""


def made_here(typeset_by: str = "") -> MadeBy:
    """What this program would sign as its maker."""
    return MadeBy(__version__, law_digest(), typeset_by)


def law_digest() -> str:
    """The digest of the installed law."""
    return installed_digest("law")


@cache
def installed_digest(*folders: str) -> str:
    """SHA-256 over files of this program: for each, sorted by path, path, zero byte, SHA-256 of its bytes."""
    found = sha256()
    for folder in folders:
        for path, data in sorted(_files_of(files("airwrit") / folder, folder)):
            found.update(path.encode() + b"\0" + sha256(data).digest())
    return found.hexdigest()


def _files_of(folder: Traversable, path: str) -> Iterable[tuple[str, bytes]]:
    for one in folder.iterdir():
        inside = f"{path}/{one.name}"
        if one.is_dir():
            yield from () if one.name == "__pycache__" else _files_of(one, inside)
        elif one.name.endswith((".py", ".toml", ".typ")):
            yield inside, one.read_bytes()


def answered_again(proof: Proof) -> Json:
    """The answers that follow from the lines under the law installed here."""
    return answers_to(proof.question, proof.excerpt, proof.held_back)


def signed_text(proof: Proof, form: int) -> str:
    """What a signature of a whole proof is over: the origin of the ledger, and the SHA-256 of the rest of the machine part."""
    digest = sha256(canonical(_members_of(proof, form)).encode()).hexdigest()
    return f"airwrit-proof\n{origin_of(proof.excerpt.ledger)}\n{digest}\n"


def machine_part(proof: Proof) -> bytes:
    """The one form of a proof as bytes."""
    if not proof.signature:
        return canonical(_members_of(proof, FORM)).encode()
    return canonical({**_members_of(proof, SIGNED_FORM), _SIGNATURE: proof.signature}).encode()


def _members_of(proof: Proof, form: int) -> Json:
    """The members of the machine part, but for the signature."""
    question = proof.question
    return {
        "form": form,
        "question": {
            "on": when_text(question.on),
            "known_at": instant_text(question.known_at),
            "subjects": list(question.subjects),
            "private": question.private,
            "paper": question.paper,
        },
        "made_by": proof.made_by._asdict(),
        "answers": proof.answers,
        "held_back": [list(pair) for pair in proof.held_back],
        "copies": {digest: base64.b64encode(copy).decode("ascii") for digest, copy in proof.copies.items()},
        "excerpt": as_json(proof.excerpt),
    }


def proof_in(data: bytes) -> Proof:
    """The proof in a machine part. BadProof with the place when the bytes are not one in its one form."""
    told = members_in(data)
    form, is_signed = told.get("form"), _SIGNATURE in told
    if told.keys() - {_SIGNATURE} != _MEMBERS:
        raise _bad("start", f"the fields here have to be exactly: {', '.join(sorted(_MEMBERS))}")
    if form not in (FORM, SIGNED_FORM) or isinstance(form, bool):
        known = f"and this version reads forms {FORM} and {SIGNED_FORM}"
        raise _bad("form", f"its format is {str(form)[:20]}, {known}")
    if is_signed != (form == SIGNED_FORM) or (is_signed and not _is_note(told[_SIGNATURE])):
        raise _bad(_SIGNATURE, "the checkpoint is missing, isn't a signed note, or belongs to another proof")
    made_by = _members(told["made_by"], "made_by", set(MadeBy._fields))
    if not all(isinstance(text, str) for text in made_by.values()):
        raise _bad("made_by", "a field isn't text")
    if not isinstance(told["answers"], dict):
        raise _bad("answers", "this isn't an object")
    return Proof(
        _question(told["question"]),
        MadeBy(**made_by),
        told["answers"],
        _pairs(told["held_back"]),
        _copies_in(told["copies"]),
        excerpt_in(told["excerpt"]),
        told.get(_SIGNATURE, ""),
    )


def _is_note(told: Any) -> bool:
    try:
        return isinstance(told, str) and bool(note_of(told).signatures)
    except BadProof:
        return False


def _bad(where: str, what: str) -> BadProof:
    return BadProof(what, where=where, do="get the original file again")


def _members(told: Any, where: str, names: set[str]) -> dict[str, Any]:
    if not isinstance(told, dict) or told.keys() != names:
        raise _bad(where, f"the fields here have to be exactly: {', '.join(sorted(names))}")
    return told


def _question(told: Any) -> ProofQuestion:
    told = _members(told, "question", {"on", "known_at", "subjects", "private", "paper"})
    try:
        on, known_at = parse_when(told["on"]), parse_when(told["known_at"])
    except (TypeError, ValueError) as fault:
        raise _bad("question", "the question has no date or time") from fault
    subjects = told["subjects"]
    if not isinstance(subjects, list) or not subjects or not all(isinstance(one, str) for one in subjects):
        raise _bad("question.subjects", "this isn't a list of records")
    if len(set(subjects)) != len(subjects):
        raise _bad("question.subjects", "the list names a record twice")
    if not isinstance(known_at, datetime) or instant_text(known_at) != told["known_at"]:
        raise _bad("question.known_at", "this isn't a UTC time with six decimal places")
    if not isinstance(told["private"], bool):
        raise _bad("question.private", "this isn't true or false")
    if not isinstance(told["paper"], str):
        raise _bad("question.paper", "this isn't text")
    return ProofQuestion(on, known_at, tuple(subjects), told["private"], told["paper"])


def _pairs(told: Any) -> tuple[Pair, ...]:
    if not isinstance(told, list) or not all(
        isinstance(pair, list) and len(pair) == 2 and all(isinstance(part, str) for part in pair)
        for pair in told
    ):
        raise _bad("held_back", "this isn't a list of records and facts")
    return tuple((pair[0], pair[1]) for pair in told)


def _copies_in(told: Any) -> dict[str, bytes]:
    if not isinstance(told, dict):
        raise _bad("copies", "this isn't an object")
    try:
        copies = {digest: base64.b64decode(copy, validate=True) for digest, copy in told.items()}
    except (TypeError, ValueError, binascii.Error) as fault:
        raise _bad("copies", "a photo isn't base64") from fault
    for at, copy in enumerate(copies.values()):
        if not is_small_copy(copy):
            raise _bad(f"copies[{at}]", "this isn't a small photo made by airwrit")
    return copies
