"""`airwrit seal-records`: a note to keep elsewhere that shows later whether anyone changed the records; and its check."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.proof.verify import conclusions_json
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.ledger import opened
from airwrit.cli.shared.options import json_option, ledger_option, ledger_path, now
from airwrit.cli.shown.proof import EXIT_OF, show_conclusions
from airwrit.ledger.excerpt.check import worst
from airwrit.ledger.log.checkpoints import compared, issued
from airwrit.ledger.log.copied_notes import checkpoint_note_in
from airwrit.ledger.log.key_files import key_of, public_keys
from airwrit.ledger.log.notes import Note, checkpoint_of, note_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.checkpoint_pdf import checkpoint_pdf
from airwrit.papers.typeset import PAPERS

_LARGEST = 1 << 20


@click.command()
@click.argument("file", type=PATH, required=False)
@click.option("--print", "sheet", type=PATH, help="Also save a PDF page to print and keep elsewhere.")
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@click.option(
    "--check", "noted", type=PATH, help="Check the ledger against a checkpoint that was kept elsewhere."
)
@click.option("--sign-with", type=PATH, help="The key file (the one next to the ledger if you leave it out).")
@click.option(
    "--key",
    "keys",
    multiple=True,
    help="With --check: a public key that must have signed it, or a file with the key.",
)
@ledger_option
@json_option
def command(
    file: Path | None,
    sheet: Path | None,
    paper: str,
    noted: Path | None,
    sign_with: Path | None,
    keys: tuple[str, ...],
    ledger: Path | None,
    as_json: bool,
) -> int:
    """Save a checkpoint: a short note of the log's latest state, signed if there is a key. Mail it or print
    it.

    Anyone who keeps one can show later that nothing on record at that time was changed or removed. We save it
    to FILE. If you leave FILE out, we show it on the screen.

    \b
    Example:
      airwrit seal-records 2026-11-25.checkpoint --print checkpoint.pdf
    """
    path = ledger_path(ledger)
    if noted is not None:
        if file or sheet or sign_with:
            raise UsageError(
                "you can check a checkpoint or make one, not both",
                where="--check",
                do="leave out the other options",
            )
        with opened(ledger) as book:
            return _check(book, noted, keys, as_json)
    if keys:
        raise UsageError(
            "a public key can't sign", where="--key", do="name the private key file with --sign-with"
        )
    with opened(ledger) as book:
        note = issued(book, key_of(path, sign_with))
    if file is not None:
        written("the checkpoint", file, note.encode(), private=False)
    if sheet is not None:
        made = checkpoint_pdf(note, now().astimezone().date(), paper=paper)
        written("the page", sheet, made, private=False)
    _show(note, file, sheet, as_json)
    return 0


def _show(note: str, file: Path | None, sheet: Path | None, as_json: bool) -> None:
    told = checkpoint_of(note_of(note).text)
    is_signed = bool(note_of(note).signatures)
    names = [one.name for one in (file, sheet) if one is not None]
    if as_json:
        document = {
            "question": "checkpoint",
            "origin": told.origin,
            "size": told.size,
            "root": told.root.hex(),
            "signed": is_signed,
            "note": note,
            "files": names,
        }
        show_json(document)
        return
    if file is None:
        click.echo(note, nl=False)
    for name in names:
        click.echo(f"wrote {name}")
    if not is_signed:
        click.echo("Nobody signed it. Make a key with `airwrit signing-key`.", err=True)


def note_in(path: Path) -> Note:
    """The note in a file. UnreadableFile or BadProof when there is none."""
    try:
        with path.open("rb") as file:
            data = file.read(_LARGEST + 1)
    except OSError as fault:
        raise UnreadableFile(
            f"we can't read it ({fault.strerror})", where=path.name, do="check the name"
        ) from fault
    return checkpoint_note_in(data, path.name)


def _check(book: Ledger, path: Path, texts: tuple[str, ...], as_json: bool) -> int:
    note = note_in(path)
    key = None if texts else key_of(book.path)
    keys = public_keys(texts) if key is None else (key.public,)
    found = compared(book, note, keys, named=bool(texts))
    if as_json:
        document = {"question": "checkpoint", "checked": path.name, **conclusions_json(found)}
        show_json(document)
    else:
        show_conclusions(found)
    return EXIT_OF[worst(found)]
