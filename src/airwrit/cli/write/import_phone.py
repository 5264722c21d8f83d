"""What `airwrit import` does with flights that a carry pack handed over: files, or photos of its QR codes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from airwrit.answers.flights.entering import TakingHanded, taking_handed
from airwrit.answers.sheets.json import taking_json
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import held_in, kept_in, may_keep, writer
from airwrit.cli.shared.options import now
from airwrit.cli.shown.difference import show_taking
from airwrit.cli.shown.standing import show_problems
from airwrit.intake.typed.phone_flights import is_handed_over, read_handed_over

_TRIES = 20


def are_handed_over(paths: Sequence[Path]) -> bool:
    """Whether files are hand-overs of carry packs, by their names. UsageError when only some are."""
    found = [is_handed_over(path) for path in paths]
    if any(found) and not all(found):
        raise UsageError(
            "you used both sheets and flights from a phone",
            where="import",
            do="import them separately",
        )
    return any(found)


def import_handed(path: Path, files: Sequence[Path], given: dict[str, Any]) -> int:
    """Show what taking the flights in would do, keep it if told to, and again where others wrote meanwhile."""
    read = [read_handed_over(file) for file in files]
    for _ in range(_TRIES):
        taken = taking_handed(
            held_in(path), read, writer(given["by"]), now(), corrects=given["corrects"], note=given["note"]
        )
        if not given["as_json"]:
            _show(taken)
        is_new = not taken.taking.is_empty
        wanted = is_new and may_keep(given["yes"], lambda: f"\nSave this to {path.name}?")
        try:
            entries = kept_in(path, taken.taking, taken.files) if wanted else ()
        except LedgerMoved:
            continue
        if given["as_json"]:
            document = taking_json(taken.taking, taken.problems, private=given["private"])
            show_json({**document, "kept": [entry.seq for entry in entries]})
        elif is_new:
            done = f"{len(entries)} entries saved to {path.name}"
            click.echo("\n" + (done if entries else "Nothing was saved. Look it over, then add --yes."))
        if not given["as_json"]:
            show_caution(console())
        return 0 if (entries or not is_new) and not taken.is_open else 3
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )


def _show(taken: TakingHanded) -> None:
    out = console()
    if taken.taking.is_empty and not taken.taking.same:
        out.print("We can't import any of these flights.")
    else:
        show_taking(taken.taking, out)
    show_problems(taken.problems, out)
