"""Key files: where the key of a ledger lies, written for its owner alone, never printed."""

from __future__ import annotations

import stat
from pathlib import Path

from airwrit.base.errors import BadProof, UsageError
from airwrit.base.faults import is_full
from airwrit.base.whole_files import write_whole
from airwrit.ledger.log.notes import PublicKey, SigningKey, public_key_of, signing_key_of

_LARGEST = 10_000


def key_path(ledger: Path) -> Path:
    """Where the key of a ledger lies: beside it, under its name with `.key` at the end."""
    return ledger.with_name(ledger.name + ".key")


def write_key(path: Path, key: SigningKey) -> None:
    """Write a new key file that only its owner may read. UsageError when there is a file already or none can be made."""
    try:
        write_whole(path, key.file_text.encode(), private=True, new=True)
    except FileExistsError as fault:
        raise UsageError(
            "you already have a key. Checkpoints signed with it would no longer match a new one",
            where=path.name,
            do="`airwrit signing-key --public` prints its public part. For another key, use --out",
        ) from fault
    except OSError as fault:
        do = "make room on the disk" if is_full(fault) else "choose a folder you can write to"
        raise UsageError(f"we can't create it ({fault.strerror})", where=path.name, do=do) from fault


def read_key(path: Path) -> SigningKey:
    """The key in a file. UsageError when it is not there, or when others may read it."""
    try:
        if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
            raise UsageError(
                "other people can read this key file, so a signature with it proves nothing",
                where=path.name,
                do="set its file mode to 600",
            )
        text = path.read_bytes()[:_LARGEST].decode("ascii", "replace")
    except OSError as fault:
        raise UsageError(
            f"we can't read it ({fault.strerror})", where=path.name, do="make one with `airwrit signing-key`"
        ) from fault
    try:
        return signing_key_of(text)
    except BadProof as fault:
        raise BadProof(fault.what, where=path.name, do=fault.do) from fault


def key_of(ledger: Path, told: Path | None = None) -> SigningKey | None:
    """The key to sign with: in the file named, else beside the ledger; None when there is none beside it."""
    if told is not None:
        return read_key(told)
    beside = key_path(ledger)
    return read_key(beside) if beside.exists() else None


def public_keys(texts: tuple[str, ...]) -> tuple[PublicKey, ...]:
    """The public keys named with `--key`: the text itself, or a file that holds it."""
    return tuple(_public_key(text) for text in texts)


def _public_key(text: str) -> PublicKey:
    path = Path(text)
    try:
        if "+" not in path.name and path.is_file():
            text = path.read_bytes()[:_LARGEST].decode("utf-8", "replace")
        return public_key_of(text)
    except BadProof as fault:
        raise BadProof(fault.what, where="--key", do=fault.do or "copy all of it") from fault
    except (OSError, ValueError) as fault:
        raise BadProof(
            "this isn't a public key, and no file has that name", where="--key", do="copy all of it"
        ) from fault
