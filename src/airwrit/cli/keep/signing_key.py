"""`airwrit signing-key`: a key to sign checkpoints with."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import opened
from airwrit.cli.shared.options import json_option, ledger_option, ledger_path
from airwrit.ledger.log.key_files import key_path, read_key, write_key
from airwrit.ledger.log.notes import new_key, origin_of


@click.command()
@click.option(
    "--out", type=PATH, help="The key file (a file next to the ledger that ends in .key if you leave it out)."
)
@click.option(
    "--public",
    is_flag=True,
    help="Print only the public part of your key, and make nothing.",
)
@ledger_option
@json_option
def command(out: Path | None, public: bool, ledger: Path | None, as_json: bool) -> int:
    """Make a key for the ledger, in a file that only you can read. We never print the key itself.

    We print the public part of the key. Give it to whoever will check what you sign. Anyone who has the key
    file can sign in your name, so keep it safe. Keep a copy somewhere other than where the ledger is stored.

    \b
    Example:
      airwrit signing-key --ledger program.airwrit
    """
    path = out or key_path(ledger_path(ledger))
    if public:
        key = read_key(path)
    else:
        with opened(ledger) as book:
            key = new_key(origin_of(book.name))
        write_key(path, key)
    if as_json:
        told = {"question": "key", "file": path.name, "made": not public, "public": key.public.text}
        show_json(told)
    elif public:
        click.echo(key.public.text)
    else:
        click.echo(f"Saved {path.name}. Keep it secret, and keep a copy away from the ledger.")
        click.echo(f"Public part, to share:\n{key.public.text}")
    return 0
