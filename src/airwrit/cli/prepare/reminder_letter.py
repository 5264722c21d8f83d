"""`airwrit reminder-letter`: what is due as a letter to send yourself, in text or HTML."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.due.reminder_letter import letter_json, letter_of
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.papers.reminder_letter import letter_html, letter_text


@click.command()
@fleet_options
@click.option(
    "--days", type=click.IntRange(1, 366), default=30, help="How many days ahead (30 if you leave it out)."
)
@click.option("--for", "who", default="", help="Show only this person's tasks.")
@click.option("--text", "text", type=PATH, help="Also save it as text.")
@click.option("--html", "html", type=PATH, help="Also save it as HTML, for an email.")
@json_option
def command(fleet: Fleet, days: int, who: str, text: Path | None, html: Path | None, as_json: bool) -> int:
    """Write a letter with what is overdue or due soon, and who does it. You send it. airwrit doesn't.

    \b
    Examples:
      airwrit reminder-letter
      airwrit reminder-letter --days 14 --for "Nela Quist" --html nela.html
    """
    deadlines = deadlines_of(fleet.standing())
    letter = letter_of(deadlines, days, who)
    for path, make in ((text, letter_text), (html, letter_html)):
        if path is not None:
            written("the letter", path, make(letter).encode(), private=True)
            fleet.note_given("letter", path)
            click.echo(f"wrote {path.name}", err=True)
    if as_json:
        show_json(letter_json(letter))
    else:
        click.echo(letter_text(letter), nl=False)
    return EXIT[deadlines.verdict]
