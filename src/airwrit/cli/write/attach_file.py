"""`airwrit attach-file`: a photo or a PDF into the ledger, attached to what it shows; listed; its bytes back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click
from rich.table import Table
from rich.text import Text

from airwrit.answers.documents.attaching import (
    Attached,
    Attachment,
    attached_json,
    attaching,
    document_json,
    documents_of,
    files_of,
    kept_document,
    may_have_documents,
)
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.sheets.json import taking_json
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import clean, console
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import written
from airwrit.cli.shared.ledger import by_option, kept_in, may_keep, note_given, opened, writer, yes_option
from airwrit.cli.shared.options import json_option, ledger_option, ledger_path, now, on_option
from airwrit.cli.shown.difference import show_taking
from airwrit.facts.keys.document import DocumentShows
from airwrit.intake.reader.document import Document, read_document
from airwrit.ledger.checking.evidence_check import FileIs
from airwrit.ledger.entry import Entry
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Ledger

_TRIES = 20
_PATH = click.Path(path_type=Path)


@click.command()
@click.argument("file", required=False, type=_PATH)
@click.argument("subject", required=False)
@click.option("--shows", type=click.Choice([one.value for one in DocumentShows]), help="What it shows.")
@on_option
@click.option("--correct", is_flag=True, help="Replace what was recorded about this document before.")
@click.option("--note", default="", help="A note to keep with the entry.")
@click.option(
    "--list", "listed", metavar="SUBJECT", help="List the documents attached to a record, and exit."
)
@click.option("--save", nargs=2, metavar="DIGEST TO", help="Save a document to the new file TO, and exit.")
@ledger_option
@by_option
@yes_option
@json_option
def command(
    file: Path | None,
    subject: str | None,
    shows: str | None,
    on: date | None,
    correct: bool,
    note: str,
    listed: str | None,
    save: tuple[str, str] | None,
    ledger: Path | None,
    by: str | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Attach FILE, a photo (.jpg .png .webp) or a PDF, to SUBJECT, such as aircraft/H-03.

    Use --on for the date of the photo or document. If the file's name doesn't match its contents, we refuse
    it. We keep the file unchanged. Proof files show a small copy, without the location where it was taken.

    \b
    Example:
      airwrit attach-file mark.jpg H-03 --shows mark --on 2026-10-02
    """
    if save is not None:
        return _save(ledger, *save, as_json=as_json)
    if listed is not None:
        return _list(ledger, listed, as_json=as_json)
    if file is None or subject is None or shows is None:
        raise UsageError(
            "we need a file, a record and --shows",
            where="attach-file",
            do="write it like `airwrit attach-file mark.jpg aircraft/H-03 --shows mark --on 2026-10-02`",
        )
    document = read_document(file)
    path = ledger_path(ledger)
    said = Attachment(_looked_at(path, subject), DocumentShows(shows), on, correct, note)
    taking = _worked_out(path, document, said, writer(by))
    if not as_json:
        _show_document(document, said)
        show_taking(taking, console())
    entries: tuple[Entry, ...] = ()
    if taking.drafts and may_keep(yes, lambda: "Save this document?"):
        taking, entries = _kept(path, document, said, writer(by))
    if as_json:
        told = {**taking_json(taking), "question": "attach", "document": document_json(document)}
        show_json({**told, "kept": [entry.seq for entry in entries]})
    elif entries:
        click.echo(f"\nSaved to {path.name} as entry {', '.join(str(entry.seq) for entry in entries)}")
    elif taking.drafts:
        click.echo("\nNothing was saved. Add --yes to save it.")
    return 3 if taking.contradictions or (taking.drafts and not entries) else 0


def _looked_at(path: Path, name: str) -> str:
    """The subject of a name, which may have documents. UsageError when it may not."""
    with Ledger(path) as book:
        subject = the_one_called(name, book.subjects())
        may_have_documents(book, subject)
    return subject


def _worked_out(path: Path, document: Document, said: Attachment, by: str) -> Difference:
    with Ledger(path) as book:
        return attaching(book, document, said, by)


def _kept(path: Path, document: Document, said: Attachment, by: str) -> tuple[Difference, tuple[Entry, ...]]:
    """What attaching does, worked out again when others wrote meanwhile; and the entries kept."""
    for _ in range(_TRIES):
        taking = _worked_out(path, document, said, by)
        try:
            return taking, kept_in(
                path, taking, [KeptFile(document.name, document.data)]
            ) if taking.drafts else ()
        except LedgerMoved:
            continue
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )


def _show_document(document: Document, said: Attachment) -> None:
    """What the file is, and what its own notes tell that whoever attaches it should know."""
    size = (
        f"{document.pages} page{'s' * (document.pages != 1)}"
        if document.pages
        else (f"{document.width} by {document.height} pixels")
    )
    click.echo(f"{clean(document.name)}: {document.type.value}, {size}, {len(document.data):,} bytes")
    click.echo(f"SHA-256 {document.sha256}")
    if document.says_on and said.made_on is None:
        click.echo(f"the photo says it was taken on {document.says_on}. Use --on to record a date")
    elif document.says_on and said.made_on is not None and document.says_on != said.made_on.isoformat():
        click.echo(f"Watch out: the photo says it was taken on {document.says_on}, not {said.made_on}")
    if document.has_position:
        click.echo("the photo says where it was taken. Proof files leave that out, but the ledger keeps it")
    click.echo("")


def _list(ledger: Path | None, subject: str, *, as_json: bool) -> int:
    with opened(ledger) as book:
        known_at = max(now(), book.last_moment())
        subject = the_one_called(subject, book.subjects())
        found = documents_of(book, [subject], known_at.date(), known_at)
        files = files_of(book, found)
    if as_json:
        told = [attached_json(one, files[one.document]) for one in found]
        show_json({"question": "attach", "subject": subject, "documents": told})
        return 0
    out = console()
    out.print(Text(f"{clean(subject)}: {len(found) or 'no'} document{'s' * (len(found) != 1)}", style="bold"))
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_edge=False, header_style="dim")
    for name in ("SHOWS", "MADE ON", "WHAT", "NAME", "SHA-256"):
        table.add_column(name, overflow="fold")
    for one in found:
        table.add_row(*_listed(one, files[one.document]))
    if found:
        out.print(table)
    return 0


def _listed(one: Attached, how: FileIs | None) -> tuple[str, ...]:
    gone = "" if how in (None, FileIs.KEPT) else f" ({how})"
    return (
        one.shows.value if one.shows else "unknown",
        one.made_on.isoformat() if one.made_on else "not told",
        one.type.value if one.type else "unknown",
        clean(one.name or "unknown"),
        f"{one.sha256[:16] if one.sha256 else 'unknown'}{gone}",
    )


def _save(ledger: Path | None, digest: str, to: str, *, as_json: bool) -> int:
    path = Path(to)
    with opened(ledger) as book:
        file = kept_document(book, digest)
    data = file.data or b""
    written("the document", path, data, private=True, new=True)
    with opened(ledger) as book:
        note_given(book, "copy of a document", path)
    if as_json:
        show_json({"question": "attach", "file": path.name, "bytes": len(data)})
    else:
        click.echo(f"wrote {clean(path.name)}: {len(data):,} bytes, kept as {clean(file.name)}")
    return 0
