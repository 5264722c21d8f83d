"""The bytes of an excerpt: canonical JSON, read back strictly, so that one excerpt has one form. The members:

    form 1 · ledger · checkpoint (the note) · key (the public key, or empty)
    subjects   [{subject, entries, head, beside: [hash, ...]}]
    lines      [{seq, of: [subject, ...], leaf, line}]; of a blanked one recorded_at in place of line, of one held back neither
    hashes     [hash, ...]
    earlier    [{size, proof: [hash, ...]}]

Hashes are in hex. Whatever the bytes are, reading them gives an excerpt or BadProof with the place.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar

from airwrit.base.errors import BadFact, BadProof
from airwrit.ledger.entry import canonical, instant_text
from airwrit.ledger.excerpt.excerpt import Earlier, Excerpt, Piece, Subject
from airwrit.ledger.log.heads import DEEPEST

FORM = 1
"""The form of excerpts that this program writes and reads."""

LARGEST = 1 << 26
"""Bytes of the largest excerpt, or proof with one, that is read."""

MOST_PARTS = 5_000_000
"""How many values it may hold: one that is nothing but brackets would fill the memory; a true one has few for its bytes."""

MOST_SUBJECTS = 10_000
"""How many subjects it may be of: judging them takes time, for each about the same."""

_ANEW = "get the original file again"

T = TypeVar("T")


def as_json(excerpt: Excerpt) -> dict[str, Any]:
    """The members of an excerpt, to stand alone or inside a larger document."""
    return {
        "form": FORM,
        "ledger": excerpt.ledger,
        "checkpoint": excerpt.note,
        "key": excerpt.key,
        "subjects": [
            {
                "subject": one.name,
                "entries": one.entries,
                "head": one.head.hex(),
                "beside": _hexes(one.beside),
            }
            for one in excerpt.subjects
        ],
        "lines": [_piece_json(piece) for piece in excerpt.lines],
        "hashes": _hexes(excerpt.hashes),
        "earlier": [{"size": one.size, "proof": _hexes(one.proof)} for one in excerpt.earlier],
    }


def bytes_of(excerpt: Excerpt) -> bytes:
    """The one form of an excerpt as bytes."""
    return canonical(as_json(excerpt)).encode()


def _hexes(hashes: tuple[bytes, ...]) -> list[str]:
    return [one.hex() for one in hashes]


def _piece_json(piece: Piece) -> dict[str, Any]:
    told: dict[str, Any] = {"seq": piece.seq, "of": list(piece.of), "leaf": piece.leaf.hex()}
    if piece.text is not None:
        told["line"] = piece.text
    elif piece.recorded_at is not None:
        told["recorded_at"] = instant_text(piece.recorded_at)
    return told


def members_in(data: bytes) -> dict[str, Any]:
    """The members of a document in canonical JSON. BadProof when the bytes are anything else."""
    if len(data) > LARGEST or sum(data.count(sign) for sign in (b",", b"[", b"{")) > MOST_PARTS:
        raise BadProof("the file is too large to be a proof", do="enter the name of a proof file")
    try:
        text = data.decode()
        told = json.loads(text, parse_float=_refused, parse_constant=_refused)
        again = canonical(told)
    except (ValueError, RecursionError, BadFact) as fault:
        raise BadProof(f"this isn't an unchanged proof made by airwrit ({_why(fault)})", do=_ANEW) from fault
    if not isinstance(told, dict):
        raise BadProof("this isn't a proof that airwrit made", do="choose another file")
    if again != text:
        both = enumerate(zip(again, text, strict=False))
        at = next((at for at, (a, b) in both if a != b), min(len(again), len(text)))
        raise BadProof(f"this stops being canonical JSON at character {at}", do=_ANEW)
    return told


def _refused(text: str) -> Any:
    raise BadFact(f"{text[:20]!r} isn't a whole number")


def _why(fault: Exception) -> str:
    """Why a text is no canonical JSON, with the place where there is one."""
    if isinstance(fault, json.JSONDecodeError):
        return f"it breaks off at character {fault.pos}"
    if isinstance(fault, UnicodeDecodeError):
        return f"byte {fault.start} is not UTF-8"
    if isinstance(fault, RecursionError):
        return "it is nested too deep"
    return fault.what[:80] if isinstance(fault, BadFact) else "a number in it is too long"


def excerpt_in(told: Any, where: str = "excerpt") -> Excerpt:
    """The excerpt in the members of a document. BadProof names the place below `where`."""
    _members(told, where, {"form", "ledger", "checkpoint", "key", "subjects", "lines", "hashes", "earlier"})
    if told["form"] != FORM or isinstance(told["form"], bool):
        raise _bad(
            f"{where}.form", f"it has format {str(told['form'])[:20]}, and this version reads format {FORM}"
        )
    if isinstance(told["subjects"], list) and len(told["subjects"]) > MOST_SUBJECTS:
        raise _bad(f"{where}.subjects", f"the proof has more than {MOST_SUBJECTS:,} records")
    return Excerpt(
        _text(told["ledger"], f"{where}.ledger"),
        _text(told["checkpoint"], f"{where}.checkpoint"),
        _text(told["key"], f"{where}.key"),
        _each(told["subjects"], f"{where}.subjects", _subject),
        _each(told["lines"], f"{where}.lines", _piece),
        _each(told["hashes"], f"{where}.hashes", _hash),
        _each(told["earlier"], f"{where}.earlier", _earlier),
    )


def _bad(where: str, what: str) -> BadProof:
    return BadProof(what, where=where.lstrip("."), do=_ANEW)


def _members(told: Any, where: str, names: set[str]) -> None:
    if not isinstance(told, dict) or told.keys() != names:
        raise _bad(where or "start", f"the fields here have to be exactly: {', '.join(sorted(names))}")


def _text(told: Any, where: str) -> str:
    if not isinstance(told, str):
        raise _bad(where, "this isn't text")
    return told


def _whole(told: Any, where: str) -> int:
    if not isinstance(told, int) or isinstance(told, bool) or told < 1:
        raise _bad(where, "this isn't a whole number above zero")
    return told


def _hash(told: Any, where: str) -> bytes:
    try:
        found = bytes.fromhex(_text(told, where))
    except ValueError:
        found = b""
    if len(found) != 32 or found.hex() != told:
        raise _bad(where, "this isn't a 32-byte hash in hex")
    return found


def _each(told: Any, where: str, read: Callable[[Any, str], T]) -> tuple[T, ...]:
    if not isinstance(told, list):
        raise _bad(where, "this isn't a list")
    return tuple([read(one, f"{where}[{at}]") for at, one in enumerate(told)])


def _subject(told: Any, where: str) -> Subject:
    _members(told, where, {"subject", "entries", "head", "beside"})
    beside = _each(told["beside"], f"{where}.beside", _hash)
    if len(beside) > DEEPEST:
        raise _bad(f"{where}.beside", "the hash path is longer than it can be")
    return Subject(
        _text(told["subject"], f"{where}.subject"),
        _whole(told["entries"], f"{where}.entries"),
        _hash(told["head"], f"{where}.head"),
        beside,
    )


def _piece(told: Any, where: str) -> Piece:
    more = told.keys() & {"line", "recorded_at"} if isinstance(told, dict) else set()
    _members(told, where, {"seq", "of", "leaf"} | (more if len(more) == 1 else set()))
    of = _each(told["of"], f"{where}.of", _text)
    if not of or list(of) != sorted(set(of)):
        raise _bad(f"{where}.of", "this doesn't name each record once, in order")
    return Piece(
        _whole(told["seq"], f"{where}.seq"),
        _hash(told["leaf"], f"{where}.leaf"),
        of,
        _text(told["line"], f"{where}.line") if "line" in more else None,
        _moment(told["recorded_at"], f"{where}.recorded_at") if "recorded_at" in more else None,
    )


def _moment(told: Any, where: str) -> datetime:
    text = _text(told, where)
    try:
        found = datetime.fromisoformat(text)
        if instant_text(found) == text:
            return found
    except (ValueError, OverflowError, BadFact):
        pass
    raise _bad(where, "this isn't a UTC time with six decimal places")


def _earlier(told: Any, where: str) -> Earlier:
    _members(told, where, {"size", "proof"})
    return Earlier(_whole(told["size"], f"{where}.size"), _each(told["proof"], f"{where}.proof", _hash))
