"""What taking out on request would do and did, on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

import click

from airwrit.answers.removal.holds import hold_text
from airwrit.answers.removal.removal import Beyond, RemovalPlan, RemovalResult
from airwrit.answers.sheets.sentences import fact_text
from airwrit.cli.console import clean
from airwrit.ledger.sqlite.blanking import Request

_SHOWN = 20


def show_plan(plan: RemovalPlan, request: Request, *, private: bool = False) -> None:
    """Every line and file that would go, the lines that would stay, what is out of reach, and what is in the way."""
    for line in plan.lines:
        for place, said in enumerate(line.entry.statements):
            if place in line.places:
                click.echo(
                    clean(f"entry {line.entry.seq}: {said.subject} {fact_text(said, private=private)}")
                )
        if not line.places:
            click.echo(clean(f"entry {line.entry.seq}: its text is removed ({line.why}). What it says stays"))
    for file in plan.files:
        name = "a file whose name is removed too" if file.is_unnamed else file.name
        click.echo(clean(f"and all of the kept file {name}: {file.why}"))
    if plan.others:
        numbers = ", ".join(str(entry.seq) for entry in plan.others)
        click.echo(
            f"These entries about that person have nothing private in them, so they stay:  {numbers}. "
            "To remove them too, give their numbers."
        )
    _list(
        "We couldn't search these. Check them yourself, and use --file for each one that has to be removed.",
        plan.unread,
    )
    _list("We can't reach these. Take care of them yourself.", plan.beyond)
    for hold in dict.fromkeys(one.hold for one in plan.blocked):
        click.echo(clean(hold_text(hold)))
    if request.asked_by and not plan.is_empty:
        click.echo(clean(f"Asked by {request.asked_by}, approved by {request.approved_by}."))


def _list(title: str, found: Sequence[Beyond]) -> None:
    if found:
        click.echo(f"{title}:")
    for one in found[:_SHOWN]:
        day = f", {one.on:%b %-d, %Y}" if one.on else ""
        click.echo(clean(f"  {one.name} ({one.what}{day})"))
    if len(found) > _SHOWN:
        click.echo(f"  and {len(found) - _SHOWN} more. Use --json to see all.")


def show_done(done: RemovalResult) -> None:
    """What was done, and what a search of the file's bytes came to."""
    *lines, last = [entry.seq for entry in done.entries]
    by = f"entry {', '.join(map(str, lines))} says so; " if lines else ""
    click.echo(f"Removed. {by}Entry {last} keeps who asked, who approved it and why.")
    if done.trouble:
        click.echo(clean(f"The free pages of the file were not cleared ({done.trouble})."))
        click.echo("Run `airwrit erase-personal-data --finish` when nobody else has the ledger open.")
    elif done.is_found:
        click.echo("The same text is still in the file, in a name or as someone else's fact.")
    else:
        click.echo("A search of the file's bytes finds none of it.")
