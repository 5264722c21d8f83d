"""`airwrit digest`: what is due as a letter to send yourself, in text or HTML."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.due.digest import digest_document, digest_of
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.papers.digest import digest_html, digest_text


@click.command()
@fleet_options
@click.option(
    "--days", type=click.IntRange(1, 366), default=30, help="How many days ahead (30 if you leave it out)."
)
@click.option("--for", "who", default="", help="Only what this person does.")
@click.option("--text", "text", type=PATH, help="Also save it as text.")
@click.option("--html", "html", type=PATH, help="Also save it as HTML, for an email.")
@json_option
def command(fleet: Fleet, days: int, who: str, text: Path | None, html: Path | None, as_json: bool) -> int:
    """Write a letter with what is overdue or due soon, and who does it. You send it. airwrit doesn't.

    \b
    Examples:
      airwrit digest
      airwrit digest --days 14 --for "Nela Quist" --html nela.html
    """
    deadlines = deadlines_of(fleet.standing())
    digest = digest_of(deadlines, days, who)
    for path, make in ((text, digest_text), (html, digest_html)):
        if path is not None:
            written("the digest", path, make(digest).encode(), private=True)
            fleet.note_given("digest", path)
            click.echo(f"wrote {path.name}", err=True)
    if as_json:
        show_json(digest_document(digest))
    else:
        click.echo(digest_text(digest), nl=False)
    return EXIT[deadlines.verdict]
