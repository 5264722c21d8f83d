"""An entry taken back: shown with what counts again and what that changes, and written when that is wanted."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.acts.effects import Basis, effects_of
from airwrit.answers.acts.json import taken_back_json
from airwrit.answers.acts.withdrawal import entry_named, taking_back
from airwrit.cli.console import console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import held_in, kept_in, may_keep
from airwrit.cli.shared.options import now
from airwrit.cli.shown.acts import show_taken_back
from airwrit.cli.write.acts import ActOptions


def taken_back(path: Path, entry: str, wish: ActOptions, *, as_json: bool) -> int:
    """Show what taking an entry back does, write it where that is wanted; 3 when it was not or something is contradicted."""
    today = now().astimezone().date()
    found = taking_back(held_in(path), entry_named(entry), wish.by, today, wish.note)
    moment = max((now(), *(item.recorded_at for item in found.before)))
    basis = Basis(sources=wish.house.sources, house=wish.house.rules)
    effects = effects_of(found.before, found.after, today, moment, basis)
    if not as_json:
        show_taken_back(found, effects, console())
    entries = kept_in(path, found.taking) if may_keep(wish.yes, lambda: "Take it back?") else ()
    if as_json:
        document = {**taken_back_json(found, effects), "kept": [one.seq for one in entries]}
        show_json(document)
    elif entries:
        click.echo(f"\nSaved to {path.name} as entry {', '.join(str(one.seq) for one in entries)}")
    else:
        click.echo("\nNothing was saved. Add --yes to take it back.")
    if not as_json:
        show_caution(console())
    return 0 if entries and not found.taking.contradictions else 3
