"""`airwrit proof`: how subjects stood on a day, as known at a moment, as a file that an outsider can check."""

from __future__ import annotations

from datetime import date, datetime
from hashlib import sha256
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.document import ON_PAPERS, SCOPE, Json
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.proof.conclusions import ProofQuestion, left_out_in
from airwrit.answers.proof.proof import Proof, ProofOptions, machine_part, proof_of
from airwrit.answers.standing.headline import Headline
from airwrit.base.sentences import VERDICT_WORDS, sentence, with_days
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.ledger import known_at_option, note_given, opened
from airwrit.cli.shared.options import (
    asked,
    at_option,
    json_option,
    ledger_option,
    ledger_path,
    now,
    on_option,
)
from airwrit.facts.vocabulary import id_of
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.log.key_files import key_of
from airwrit.ledger.log.notes import checkpoint_of, note_of
from airwrit.papers.proof_pdf import render, typesetter
from airwrit.papers.typeset import PAPERS


@click.command()
@click.argument("subjects", nargs=-1, required=True)
@on_option
@at_option
@known_at_option
@ledger_option
@click.option("--out", type=PATH, help="The PDF to save (proof-DAY.pdf if you leave it out).")
@click.option(
    "--private",
    is_flag=True,
    help="Include private facts, and photos attached to people and owners. Otherwise, we leave them out.",
)
@click.option("--sign-with", type=PATH, help="The key file (the one next to the ledger if you leave it out).")
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@json_option
def command(
    subjects: tuple[str, ...],
    on: date | None,
    at: datetime | None,
    known_at: datetime | None,
    ledger: Path | None,
    out: Path | None,
    private: bool,
    sign_with: Path | None,
    paper: str,
    as_json: bool,
) -> int:
    """Make a PDF that shows the status of SUBJECTS, such as H-03, on a day. An outsider can check it.

    The first page says who, what and why. The ledger entries behind it are attached inside. We leave private
    facts out of both, and give only a hash of their entries. To include them, add --private.

    \b
    Example:
      airwrit proof H-03 --on 2026-10-02
    """
    when = asked(on, at)
    path = out or Path(f"proof-{when:%Y-%m-%d}.pdf")
    signing = key_of(ledger_path(ledger), sign_with)
    with opened(ledger) as book:
        if signing is not None:
            issued(book, signing)
        known = book.subjects()
        question = ProofQuestion(
            when,
            known_at or max(now(), book.last_moment()),
            tuple(dict.fromkeys(the_one_called(name, known) for name in subjects)),
            private,
            paper,
        )
        proof = proof_of(book, question, ProofOptions(signing, typesetter()))
    made = render(machine_part(proof))
    written("the proof", path, made, private=True)
    with opened(ledger) as book:
        note_given(book, "proof", path, [one.name for one in proof.excerpt.subjects])
    if as_json:
        show_json(_json(proof, path, made))
    else:
        _show(proof, path, console())
    return EXIT[Verdict(proof.answers["verdict"])]


def _json(proof: Proof, path: Path, made: bytes) -> Json:
    head = checkpoint_of(note_of(proof.excerpt.note).text)
    return {
        "question": "proof",
        "on": proof.question.on.isoformat(),
        "known_at": proof.question.known_at.isoformat(),
        "subjects": list(proof.question.subjects),
        **proof.answers,
        "lines": len(proof.excerpt.lines),
        "left_out": left_out_in(proof.excerpt, proof.held_back),
        "head": f"{head.size}:{head.root.hex()}",
        "made_by": proof.made_by._asdict(),
        "file": path.name,
        "sha256": sha256(made).hexdigest(),
        **ON_PAPERS,
    }


def _show(proof: Proof, path: Path, out: Console) -> None:
    known = f"{proof.question.known_at:%Y-%m-%d %H:%M} UTC"
    show_late(proof.question.on, out)
    out.print(
        Text(f"Status on {with_days(str(proof.question.on))}, as known {with_days(known)}", style="bold")
    )
    out.print(SCOPE)
    for row in proof.answers["rows"]:
        verdict = Headline(row["headline"]).mark if row["headline"] else Verdict(row["verdict"])
        because = f" {with_days(row['because'])}" if row["because"] else ""
        headline = row["headline"] or VERDICT_WORDS[verdict]
        out.print(clean(f"{SIGNS[verdict]} {id_of(row['subject'])}: {sentence(headline)}{because}"))
    size = checkpoint_of(note_of(proof.excerpt.note).text).size
    out.print(f"\nSaved {clean(path.name)}, with {len(proof.excerpt.lines)} of {size:,} entries inside.")
    if hidden := sum(piece.text is None for piece in proof.excerpt.lines):
        out.print(f"{hidden} of them only as a hash. Where they matter, we can't tell.")
    for subject, meanings in left_out_in(proof.excerpt, proof.held_back).items():
        out.print(clean(f"Left out of {id_of(subject)}: {', '.join(meanings)}. Use --private to include it."))
    if proof.question.private:
        out.print("Whoever gets the file can read the private facts in it.")
    out.print(
        Text(
            "It shows what was recorded, not that it is true. Check it with `airwrit check-proof`.",
            style="dim",
        )
    )
    show_caution(out)
