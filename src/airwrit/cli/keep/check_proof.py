"""`airwrit check-proof`: what follows from a proof file and what does not."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.document import SCOPE, SCOPE_OF_RECORDS
from airwrit.answers.proof.verify import COMES_TO, ProofPages, Verified, verified, verified_json
from airwrit.base.errors import BadProof, UnreadableFile
from airwrit.base.sentences import VERDICT_WORDS, sentence, with_days
from airwrit.base.verdict import Verdict
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.keep.seal_records import note_in
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.proof import EXIT_OF, show_conclusions
from airwrit.facts.vocabulary import id_of
from airwrit.ledger.excerpt.check import Outside
from airwrit.ledger.excerpt.form import LARGEST
from airwrit.ledger.log.key_files import public_keys
from airwrit.ledger.log.notes import checkpoint_of, note_of
from airwrit.papers.proof_pdf import machine_part_in, render, typesetter


@click.command()
@click.argument("file", type=PATH)
@click.option(
    "--checkpoint",
    "noted",
    type=PATH,
    help="A checkpoint that was kept elsewhere. It confirms the proof independently.",
)
@click.option(
    "--key",
    "keys",
    multiple=True,
    help="A public key that must have signed it, or a file with the key. You can use this option more than once.",
)
@click.option(
    "--pages",
    type=PATH,
    help="Make the pages again from the data in the proof, and save them as a PDF in this file.",
)
@json_option
def command(file: Path, noted: Path | None, keys: tuple[str, ...], pages: Path | None, as_json: bool) -> int:
    """Check a proof file: what it shows, and what it doesn't. You need only the file, not the records or a
    network.

    We check the lines against the checkpoint in the file. Then we work out the answers and pages again, with
    the law installed here, and compare them with the file. The exit code is 0 if the lines back up
    everything, or the signer you named vouches for it. It is 1 if something contradicts the proof, or a key
    you named didn't sign it. It is 2 if we can't read the file, and 3 if something is still open.

    \b
    Example:
      airwrit check-proof proof-H-03.pdf --checkpoint 2026-11-25.checkpoint
    """
    data = _read(file)
    outside = Outside(public_keys(keys), None if noted is None else note_in(noted))
    try:
        machine, shown = _parts(data, file.name)
        found = verified(machine, outside, shown)
    except BadProof as fault:
        where = f"{file.name}, {fault.where}" if fault.where else file.name
        raise BadProof(fault.what, where=where, do=fault.do or "enter the name of a proof file") from fault
    if pages is not None:
        made = render(machine)
        written("the pages", pages, made, private=True)
    if as_json:
        show_json({"question": "verify", "file": file.name, **verified_json(found)})
    else:
        _show(found, file)
    return EXIT_OF[found.comes_to]


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as fault:
        raise UnreadableFile(
            f"we can't read it ({fault.strerror})", where=path.name, do="check the name"
        ) from fault
    if len(data) > LARGEST:
        raise UnreadableFile(
            "the file is too large to be a proof", where=path.name, do="enter the name of a proof file"
        )
    return data


def _parts(data: bytes, name: str) -> tuple[bytes, ProofPages | None]:
    """The machine part of a file, and the pages around it, if it has any."""
    if not data.startswith(b"%PDF-"):
        if name.lower().endswith(".pdf"):
            raise BadProof(
                "the file's name ends in .pdf, but it isn't a PDF", do="enter the name of a proof file"
            )
        return data, None
    return machine_part_in(data), ProofPages(data, render, typesetter())


def _show(found: Verified, file: Path) -> None:
    told = checkpoint_of(note_of(found.excerpt.note).text)
    click.echo(clean(f"{file.name}: {COMES_TO[found.comes_to]}"))
    if found.proof is not None:
        question = found.proof.question
        about = f"About {', '.join(question.subjects)} on {question.on}, as known {question.known_at:%Y-%m-%d %H:%M} UTC."
        click.echo(clean(with_days(about)))
    click.echo(clean(f"{len(found.excerpt.lines)} lines of {told.origin}, which had {told.size} entries."))
    click.echo(SCOPE_OF_RECORDS if found.answers is None else SCOPE)
    click.echo()
    show_conclusions(found.conclusions)
    if found.answers is not None:
        click.echo("WHAT THE LINES SAY, checked here. What they don't show could change it.")
        for row in found.answers["rows"]:
            headline = sentence(row["headline"] or VERDICT_WORDS[Verdict(row["verdict"])])
            because = f" {with_days(row['because'])}" if row["because"] else ""
            click.echo(clean(f"  {id_of(row['subject'])}: {headline}{because}"))
    show_caution(console())
