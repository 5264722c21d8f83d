"""Verifying a proof file: what follows from it and what does not, by its lines and the law installed here, nothing else.

The law and the answers in the file are never believed: the lines are checked, judged anew, and compared. Pages that a human
reads are made again from the machine part and compared byte by byte.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.answers.document import ON_PAPERS, ON_RECORDS, Json
from airwrit.answers.proof.conclusions import private_of
from airwrit.answers.proof.proof import (
    SIGNED_FORM,
    MadeBy,
    Proof,
    answered_again,
    made_here,
    proof_in,
    signed_text,
)
from airwrit.base.errors import AirwritError, BadProof
from airwrit.base.sentences import counted
from airwrit.ledger.entry import canonical
from airwrit.ledger.excerpt.check import (
    Conclusion,
    Follows,
    Outside,
    check_excerpt,
    contradicts,
    follows,
    last_moment,
    signed_by,
    stays_open,
    worst,
)
from airwrit.ledger.excerpt.excerpt import Excerpt, silent_in
from airwrit.ledger.excerpt.form import excerpt_in, members_in
from airwrit.ledger.log.notes import Signed, checkpoint_of, how_signed, note_of, public_key_of

COMES_TO = {
    Follows.FOLLOWS: "Genuine. The lines back up everything, or the signer vouches for it.",
    Follows.OPEN: "Nothing contradicts it, but the lines don't back up all of it.",
    Follows.CONTRADICTS: "Contradicted. Don't rely on it.",
}
"""What all conclusions together come to, in words."""

_PDF = b"%PDF-"
"""What viewers look for, not only at the start of a file."""
_MOST = 50
_HEADLINES = ("headline", "verdict", "work", "recreation", "night")
_NO_OUTSIDE = Outside()


class ProofPages(NamedTuple):
    """The pages that came with a machine part, how such pages are made here, and by what."""

    made: bytes
    render: Callable[[bytes], bytes]
    typeset_by: str


@dataclass(frozen=True, slots=True)
class Verified:
    """All conclusions, in the order of the checks; the proof, None for an excerpt without a question; the answers here."""

    excerpt: Excerpt
    proof: Proof | None
    conclusions: tuple[Conclusion, ...]
    answers: Json | None

    @property
    def comes_to(self) -> Follows:
        """A contradiction beats what is open, and that beats what follows."""
        return worst(self.conclusions)


def verified(
    machine_part: bytes, outside: Outside = _NO_OUTSIDE, pages: ProofPages | None = None
) -> Verified:
    """What follows from a proof's machine part, or from a bare excerpt. BadProof when the bytes are neither."""
    told = members_in(machine_part)
    if pages is None and _PDF in machine_part:
        raise BadProof(
            "the file can also be read as a PDF, so it isn't clear which of the two was checked",
            do="use the original proof, a PDF",
        )
    if "excerpt" not in told:
        excerpt = excerpt_in(told, "")
        return Verified(excerpt, None, tuple(check_excerpt(excerpt, outside)), None)
    proof = proof_in(machine_part)
    signature = _signature(proof, outside)
    vouched = signature is not None and signature.how is Follows.FOLLOWS
    beyond = Follows.VOUCHED if vouched else Follows.OPEN
    found = check_excerpt(proof.excerpt, outside, vouched=vouched)
    found += [] if signature is None else [signature]
    here = made_here(pages.typeset_by if pages else "")
    found += _question(proof, beyond)
    found += _made_by(proof.made_by, here, pages is not None)
    again, says = _judged(proof, here)
    found += says
    if again is not None:
        found += [Conclusion(beyond, "answers", str(one)) for one in again["does_not_follow"]]
    found += _copies(proof, again, beyond)
    if pages is not None:
        found.append(_pages(machine_part, pages, proof.made_by, here))
    return Verified(proof.excerpt, proof, tuple(found), again)


def _signature(proof: Proof, outside: Outside) -> Conclusion | None:
    """Who signed all of the proof, on whose word rests what no line can show; None where there is nothing to say."""
    if not proof.signature:
        return None
    note, where = note_of(proof.signature), "signature"
    try:
        own = (public_key_of(proof.excerpt.key),) if proof.excerpt.key else ()
        is_same = note.text == signed_text(proof, SIGNED_FORM)
    except BadProof:
        return None  # of the key or the ledger's name the excerpt's own check tells
    if not is_same:
        return contradicts(
            where, "the signature is for a different proof. This one was changed after signing"
        )
    if outside.keys:
        named = signed_by(note, outside.keys, where)
        if named is None or named.how is not Follows.FOLLOWS:
            return named
        return follows(where, "all of it, including the question, is signed with a key you named")
    if own and how_signed(note, own) is Signed.BAD:
        return contradicts(where, "the signature doesn't match the key named in the proof")
    return None


def _question(proof: Proof, beyond: Follows) -> Iterator[Conclusion]:
    """Whether the lines are about what was asked; `beyond` is how that comes out which no line can show."""
    here = {subject.name for subject in proof.excerpt.subjects}
    for at, subject in enumerate(proof.question.subjects):
        if subject not in here:
            yield contradicts(f"question.subjects[{at}]", f"no line is about {subject}")
    hidden = {name for piece in proof.excerpt.lines if piece.text is None for name in piece.of}
    for at, (subject, key) in enumerate(proof.held_back):
        if subject not in hidden:
            yield contradicts(f"held_back[{at}]", f"no line held back about {subject} could say {key}")
    silent = {name for piece in silent_in(proof.excerpt) if not piece.is_blanked for name in piece.of}
    for subject in sorted(silent - private_of(proof.held_back).keys()):
        yield stays_open(
            subject,
            "the proof doesn't say what was left out about it, so each of its facts counts as unreadable",
        )
    yield from _until(proof, beyond)


def _until(proof: Proof, beyond: Follows) -> Iterator[Conclusion]:
    """Whether the log reaches up to the moment whose knowledge was asked for."""
    told, known_at = checkpoint_of(note_of(proof.excerpt.note).text), proof.question.known_at
    where, last = "question.known_at", last_moment(told)
    if last is None:
        yield stays_open(
            where, "it doesn't say when the last entry was recorded. Later entries aren't included"
        )
    elif known_at > last:
        yield Conclusion(
            beyond,
            where,
            f"that nothing was recorded between {_minute(last)}, the moment of entry {told.size}, the last of this log, "
            f"and {_minute(known_at)}, which was asked about",
        )


def _minute(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M} UTC"


def _made_by(made: MadeBy, here: MadeBy, with_pages: bool) -> Iterator[Conclusion]:
    """What the file says of its maker where that is not this program: nothing in it shows that."""
    where = "made_by"
    if made.law != here.law:
        yield stays_open(where, f"the law files were different: {_versions(made, here)}")
    if made.airwrit != here.airwrit:
        yield stays_open(
            where, f"that airwrit {made.airwrit[:20]} made it, as it says. This is {here.airwrit}"
        )
    if with_pages and made.typeset_by != here.typeset_by:
        yield stays_open(
            where,
            f"that {made.typeset_by[:40] or 'nothing'} made its pages, as it says. This is {here.typeset_by}",
        )


def _copies(proof: Proof, again: Json | None, beyond: Follows) -> Iterator[Conclusion]:
    """The small photos: whether there is a document for each, and that they are of it does not follow."""
    if not proof.copies:
        return
    documents = proof.answers.get("documents") if again is None else again["documents"]
    listed = documents if isinstance(documents, list) else []
    digests = {str(one.get("sha256")) for one in listed if isinstance(one, dict)}
    strays = len(proof.copies.keys() - digests)
    if strays:
        yield contradicts(
            "copies", f"{counted(strays, 'small photo is', 'small photos are')} of no document here"
        )
    photos = counted(len(proof.copies), "small photo shown is", "small photos shown are")
    says = f"that the {photos} of the documents on record: ask for these and compare"
    yield Conclusion(beyond, "copies", says)


def _judged(proof: Proof, here: MadeBy) -> tuple[Json | None, list[Conclusion]]:
    """The answers under the law installed here, and how those of the proof compare."""
    same_law = proof.made_by.law == here.law
    try:
        text = canonical(answered_again(proof))
    except AirwritError as fault:
        return None, [stays_open("answers", f"we can't check them here: {fault}")]
    again: Json = json.loads(text)
    if text == canonical(proof.answers):
        words = (
            "with the same law files"
            if same_law
            else f"although the law files differ: {_versions(proof.made_by, here)}"
        )
        return again, [follows("answers", f"we get the same result from the lines, {words}")]
    found = list(_differing(proof.answers, again, same_law))
    if not found:
        says = "their words or results differ from what the lines say"
        found = [(contradicts if same_law else stays_open)("answers", says)]
    return again, _first(found)


def _first(found: list[Conclusion]) -> list[Conclusion]:
    """The first of many, what contradicts before the rest, and how many more there are."""
    if len(found) <= _MOST:
        return found
    ordered = sorted(found, key=lambda one: one.how is not Follows.CONTRADICTS)
    rest = ordered[_MOST:]
    return [*ordered[:_MOST], Conclusion(rest[0].how, "answers", f"{len(rest)} more such things")]


def _versions(made: MadeBy, here: MadeBy) -> str:
    return f"made with airwrit {_short(made)}, checked here with airwrit {_short(here)}"


def _short(made: MadeBy) -> str:
    return f"{made.airwrit[:20]} (law {made.law[:12]})"


def _differing(told: Json, again: Json, same_law: bool) -> Iterator[Conclusion]:
    """Where answers differ in what they come to: verdicts, headlines, facts."""
    if told.get("verdict") != again["verdict"]:
        yield contradicts(
            "answers.verdict", _says("all of it together", told.get("verdict"), again["verdict"])
        )
    rows, ours = _keyed(told, "rows", ("subject",)), _keyed(again, "rows", ("subject",))
    yield from _compared("answers.rows", rows, ours, _HEADLINES, True)
    names = ("rule", "subject", "use")
    findings, mine = _keyed(told, "findings", names), _keyed(again, "findings", names)
    yield from _compared("answers.findings", findings, mine, ("verdict", "why"), same_law)
    facts, held = _keyed(told, "facts", ("subject", "key")), _keyed(again, "facts", ("subject", "key"))
    yield from _compared("answers.facts", facts, held, ("value", "why", "numbers"), same_law)
    listed = told.get("does_not_follow")
    for one in again["does_not_follow"]:
        if not isinstance(listed, list) or one not in listed:
            how = contradicts if same_law else stays_open
            yield how("answers.does_not_follow", f"the proof should say this, and doesn't: {one}")


def _keyed(answers: Json, name: str, by: tuple[str, ...]) -> dict[tuple[str, ...], Mapping[str, Any]]:
    """The objects of a list in answers by some of their members; what is no such object is left out."""
    listed = answers.get(name)
    items = [one for one in listed if isinstance(one, dict)] if isinstance(listed, list) else []
    return {tuple(str(one.get(member)) for member in by): one for one in items}


def _compared(
    where: str,
    told: dict[tuple[str, ...], Mapping[str, Any]],
    ours: dict[tuple[str, ...], Mapping[str, Any]],
    members: Iterable[str],
    must_be_there: bool,
) -> Iterator[Conclusion]:
    """Where objects of the same name differ in some members, or stand on one side alone."""
    for name in dict.fromkeys([*ours, *told]):
        title = " ".join(part for part in name if part != "None")
        theirs, mine = told.get(name), ours.get(name)
        if theirs is None or mine is None:
            how = contradicts if must_be_there else stays_open
            side = "the proof doesn't say it" if theirs is None else "nothing in the lines shows it"
            yield how(where, f"{title}: {side}")
            continue
        for member in members:
            if theirs.get(member) != mine.get(member):
                yield contradicts(where, _says(f"{title}, {member}", theirs.get(member), mine.get(member)))


def _says(title: str, told: Any, here: Any) -> str:
    return f"{title}: the proof says {_word(told)}, but the lines and the law say {_word(here)}"


def _word(value: Any) -> str:
    return "nothing" if value is None else str(value).replace("_", " ")[:100]


def _pages(machine_part: bytes, pages: ProofPages, made: MadeBy, here: MadeBy) -> Conclusion:
    """The pages against those that are made here from the machine part, which the same program can always make."""
    same = (made.airwrit, made.typeset_by) == (here.airwrit, here.typeset_by)
    try:
        again = pages.render(machine_part)
    except AirwritError as fault:
        how = contradicts if isinstance(fault, BadProof) and same else stays_open
        return how(
            "pages", f"we can't make the pages here ({fault.what}). Read the answers here, not the pages"
        )
    if again == pages.made:
        return follows("pages", "the pages match the data in the file exactly")
    if not same:
        return stays_open(
            "pages",
            f"the pages were made by airwrit {made.airwrit[:20]} and {made.typeset_by[:40]}, here are {here.airwrit} and "
            f"{here.typeset_by}: they cannot be compared; read the answers here, not the pages",
        )
    return contradicts(
        "pages", "the pages don't match the data in the file. Read the answers here, not the pages"
    )


def conclusions_json(found: Sequence[Conclusion]) -> Json:
    """All conclusions, and what they come to."""
    return {
        "comes_to": worst(found).value,
        "conclusions": [{"how": one.how.value, "where": one.where, "says": one.says} for one in found],
    }


def verified_json(found: Verified) -> Json:
    """What was verified, what came of it, and the answers here."""
    told = checkpoint_of(note_of(found.excerpt.note).text)
    return {
        "ledger": found.excerpt.ledger,
        "entries": told.size,
        "lines": len(found.excerpt.lines),
        "subjects": [subject.name for subject in found.excerpt.subjects],
        "on": None if found.proof is None else str(found.proof.question.on),
        "known_at": None if found.proof is None else found.proof.question.known_at.isoformat(),
        **conclusions_json(found.conclusions),
        "answers": found.answers,
        **(ON_RECORDS if found.answers is None else ON_PAPERS),
    }
