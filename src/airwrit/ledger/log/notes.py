"""Signed notes and checkpoints: a head of the log as a few lines of text that can be kept elsewhere, and who signed it.

Source: C2SP signed-note (text, blank line, lines of em dash, key name and base64 of key number and signature; Ed25519 over
the text with its last end of line) and C2SP tlog-checkpoint (origin, size, root, further lines). Of the key types only
Ed25519, 0x01, is known; a signature by any other key counts as unknown. The key file holds a key as the reference
implementation of signed notes writes it.
"""

from __future__ import annotations

import re
from base64 import b64decode, b64encode
from binascii import Error as NotBase64
from collections.abc import Iterable
from enum import StrEnum
from hashlib import sha256
from typing import NamedTuple

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from airwrit.base.errors import BadProof

ORIGIN = "airwrit/"
"""What the origin of a ledger's checkpoints begins with; its name follows."""

_ED25519 = b"\x01"
_PRIVATE = "PRIVATE+KEY+"
DASH = "\N{EM DASH} "
"""How a signature line begins (C2SP signed-note)."""

_LONGEST = 1 << 20
_SIGNATURES = 100
_NAME = re.compile(r"[0-9A-Za-z._-]{1,64}")
_SIZE = re.compile(r"0|[1-9][0-9]{0,15}")


class Signed(StrEnum):
    """What the signatures of a note come to under the keys at hand."""

    GOOD = "good"
    BAD = "bad"
    UNKNOWN = "unknown"
    NONE = "none"


class PublicKey(NamedTuple):
    """A key's name and the 32 bytes of its public part."""

    name: str
    raw: bytes

    @property
    def number(self) -> bytes:
        """The first four bytes of SHA-256(name || 0x0A || 0x01 || public part)."""
        return sha256(self.name.encode() + b"\n" + _ED25519 + self.raw).digest()[:4]

    @property
    def text(self) -> str:
        """The form in which it is handed on: name, number and key, joined by plus signs."""
        return f"{self.name}+{self.number.hex()}+{_base64(_ED25519 + self.raw)}"


class SigningKey(NamedTuple):
    """A key's name and its secret. It is never printed: its text goes into a key file only."""

    name: str
    secret: bytes

    def __repr__(self) -> str:
        """The name alone."""
        return f"SigningKey({self.name!r})"

    @property
    def public(self) -> PublicKey:
        """The part to hand on."""
        return PublicKey(
            self.name, Ed25519PrivateKey.from_private_bytes(self.secret).public_key().public_bytes_raw()
        )

    @property
    def file_text(self) -> str:
        """What the key file holds."""
        return f"{_PRIVATE}{self.name}+{self.public.number.hex()}+{_base64(_ED25519 + self.secret)}\n"


class Signature(NamedTuple):
    """One signature of a note: the key's name and number, and the bytes."""

    name: str
    number: bytes
    value: bytes


class Note(NamedTuple):
    """A text, with its last end of line, and its signatures."""

    text: str
    signatures: tuple[Signature, ...]


class Checkpoint(NamedTuple):
    """A head of a log: whose, how many entries, their root; then lines of the log's own.

    `subjects` is the root over the heads of all subjects and `last` the moment of the last entry, as written; empty where
    the checkpoint does not tell.
    """

    origin: str
    size: int
    root: bytes
    subjects: bytes = b""
    last: str = ""


def _base64(data: bytes) -> str:
    return b64encode(data).decode()


def _bytes_of(text: str, length: int, what: str) -> bytes:
    try:
        found = b64decode(text, validate=True)
    except (NotBase64, ValueError):
        found = b""
    if len(found) != length or _base64(found) != text:
        raise BadProof(f"{what} isn't {length} bytes in base64")
    return found


def is_key_name(name: str) -> bool:
    """Whether a text may name a key: not empty, no spaces, no plus sign, no control characters."""
    return bool(name) and "+" not in name and not any(sign.isspace() or ord(sign) < 32 for sign in name)


def origin_of(ledger: str) -> str:
    """The origin of a ledger's checkpoints. BadProof when its name cannot stand in one."""
    if not _NAME.fullmatch(ledger):
        raise BadProof("the ledger's name can't be in a checkpoint")
    return ORIGIN + ledger


def new_key(name: str) -> SigningKey:
    """A new random key."""
    return SigningKey(name, Ed25519PrivateKey.generate().private_bytes_raw())


def public_key_of(text: str) -> PublicKey:
    """The public key in its text form. BadProof when it is none, or of another kind than Ed25519."""
    name, number, raw = _key_parts(text.strip(), "the public key")
    key = PublicKey(name, raw)
    if key.number.hex() != number:
        raise BadProof("the public key doesn't match its own number", do="copy it again")
    return key


def signing_key_of(text: str) -> SigningKey:
    """The key in a key file. BadProof when it is none; the message does not repeat the text."""
    if not text.startswith(_PRIVATE):
        raise BadProof("this isn't a key file", do="make one with `airwrit signing-key`")
    name, number, secret = _key_parts(text.removeprefix(_PRIVATE).strip(), "the key")
    key = SigningKey(name, secret)
    if key.public.number.hex() != number:
        raise BadProof("the key doesn't match its own number", do="restore the key file from a copy")
    return key


def _key_parts(text: str, what: str) -> tuple[str, str, bytes]:
    parts = text.split("+", 2)
    if len(parts) != 3 or not is_key_name(parts[0]) or not re.fullmatch("[0-9a-f]{8}", parts[1]):
        raise BadProof(f"{what} isn't written as NAME+NUMBER+KEY", do="copy all of it")
    data = _bytes_of(parts[2], 33, what)
    if data[:1] != _ED25519:
        raise BadProof(f"{what} is of a kind that this version doesn't know", do="use an Ed25519 key")
    return parts[0], parts[1], data[1:]


def signed(text: str, key: SigningKey) -> str:
    """The text as a note with the key's signature."""
    value = Ed25519PrivateKey.from_private_bytes(key.secret).sign(text.encode())
    return f"{text}\n{DASH}{key.name} {_base64(key.public.number + value)}\n"


def note_of(text: str) -> Note:
    """A note. A text without an empty line is one that nobody signed. BadProof when the text is not of that form."""
    if len(text) > _LONGEST:
        raise BadProof("the checkpoint is too long")
    if any(ord(sign) < 32 and sign != "\n" for sign in text) or not text.endswith("\n"):
        raise BadProof("this isn't a checkpoint. It has control characters, or no line break at the end")
    head, blank, tail = text.rpartition("\n\n")
    if not blank:
        return Note(text, ())
    lines = tail.split("\n")[:-1]
    if not 0 < len(lines) <= _SIGNATURES:
        raise BadProof("the checkpoint has no signature at its end, or too many")
    return Note(head + "\n", tuple([_signature(line) for line in lines]))


def _signature(line: str) -> Signature:
    name, _, coded = line.removeprefix(DASH).partition(" ") if line.startswith(DASH) else ("", "", "")
    try:
        data = b64decode(coded, validate=True)
    except (NotBase64, ValueError):
        data = b""
    if not is_key_name(name) or len(data) < 5 or _base64(data) != coded:
        raise BadProof("a signature line isn't written correctly")
    return Signature(name, data[:4], data[4:])


def how_signed(note: Note, keys: Iterable[PublicKey]) -> Signed:
    """What the signatures come to: one by a key at hand that does not fit spoils all; others are passed over."""
    if not note.signatures:
        return Signed.NONE
    known = {(key.name, key.number): key for key in keys}
    found = Signed.UNKNOWN
    for signature in note.signatures:
        key = known.get((signature.name, signature.number))
        if key is not None:
            try:
                Ed25519PublicKey.from_public_bytes(key.raw).verify(signature.value, note.text.encode())
            except (InvalidSignature, ValueError):
                return Signed.BAD
            found = Signed.GOOD
    return found


def not_signing(note: Note, keys: Iterable[PublicKey]) -> list[PublicKey]:
    """The keys at hand by which the note has no signature at all."""
    made_by = {(signature.name, signature.number) for signature in note.signatures}
    return [key for key in keys if (key.name, key.number) not in made_by]


def checkpoint_text(told: Checkpoint) -> str:
    """The text of a checkpoint, not signed."""
    lines = [told.origin, str(told.size), _base64(told.root)]
    if told.subjects:
        lines.append(f"subjects {_base64(told.subjects)}")
    if told.last:
        lines.append(f"last {told.last}")
    return "".join(line + "\n" for line in lines)


def checkpoint_of(text: str) -> Checkpoint:
    """The checkpoint in a note's text; further lines that are not ours are passed over. BadProof when it is none."""
    lines = text.removesuffix("\n").split("\n")
    if len(lines) < 3 or not all(lines):
        raise BadProof("this isn't a checkpoint. It needs origin, size and root, each on its own line")
    if not _SIZE.fullmatch(lines[1]) or int(lines[1]) >= 2**53:
        raise BadProof("the second line of the checkpoint has to be the number of entries")
    root = _bytes_of(lines[2], 32, "the third line of the checkpoint")
    subjects, last = b"", ""
    for line in lines[3:]:
        name, _, value = line.partition(" ")
        if name == "subjects" and not subjects:
            subjects = _bytes_of(value, 32, "the checkpoint's line of subjects")
        elif name == "last" and not last:
            last = value
    return Checkpoint(lines[0], int(lines[1]), root, subjects, last)
