"""`airwrit erase-personal-data`: take a person's private facts out of the ledger on lawful request, wherever they stand."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from airwrit.answers.removal.holds import hold_text
from airwrit.answers.removal.json import taking_out_json
from airwrit.answers.removal.removal import (
    Beyond,
    RemovalPlan,
    RemovalResult,
    blocked_text,
    finished,
    plan_for_entries,
    plan_for_person,
    taken,
)
from airwrit.answers.sheets.difference import fact_text
from airwrit.base.errors import LedgerFault, UsageError
from airwrit.cli.console import clean
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import by_option, clock_for, may_keep, opened, writer, yes_option
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.cli.shown.difference import private_option
from airwrit.ledger.sqlite.blanking import Request
from airwrit.ledger.sqlite.store import Ledger


@click.command()
@click.argument("entries", nargs=-1, type=click.IntRange(1))
@click.option("--person", help="Remove everything private about this person, also as an owner.")
@click.option(
    "--file",
    "files",
    multiple=True,
    metavar="DIGEST",
    help="Also delete this stored file. You can use this option more than once.",
)
@click.option("--why", help="Which request this is for. Don't repeat the private fact.")
@click.option("--asked-by", help="Who asked for it (the person, or the name in --by if you leave it out).")
@click.option("--approved-by", help="Who approved it (the name in --by if you leave it out).")
@click.option("--finish", is_flag=True, help="Finish clearing the file if an earlier run couldn't, and exit.")
@private_option
@ledger_option
@by_option
@yes_option
@json_option
def command(
    entries: tuple[int, ...],
    person: str | None,
    files: tuple[str, ...],
    why: str | None,
    asked_by: str | None,
    approved_by: str | None,
    finish: bool,
    private: bool,
    ledger: Path | None,
    by: str | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Permanently remove a person's private information. Or remove ENTRIES, by their numbers in `airwrit history`.

    We first list everything that will be removed: entries, notes that repeat the facts, stored files with the
    facts in them, and the person's documents. You can still verify the log. From then on, those facts are
    unknown for every day. The ledger keeps who asked, who approved it, and why. The facts are gone. A hold
    (`airwrit legal-hold`) blocks it. We also list copies we can't reach, such as backups. Take care of those
    yourself.

    \b
    Example:
      airwrit erase-personal-data --person "Ivo Brask" --why "request of 2026-11-20" --approved-by "Dana Reyes"
    """
    if finish:
        return _finish(ledger)
    if bool(entries) == (person is not None):
        raise UsageError(
            "you didn't say what to remove",
            where="erase-personal-data",
            do="enter entry numbers, or --person NAME",
        )
    with opened(ledger) as book:
        plan = (
            plan_for_entries(book, entries, files) if person is None else plan_for_person(book, person, files)
        )
        request = Request(
            plan.about, asked_by or person or by or "", approved_by or by or writer(by), (why or "").strip()
        )
        if not as_json:
            show_plan(plan, request, private=private)
        if plan.is_empty:
            raise UsageError(
                "nothing private is on record for that person",
                where="--person",
                do="you don't need to do anything",
            )
        done = _taken(book, plan, request, by, yes)
    if as_json:
        show_json(taking_out_json(plan, request, done, private=private))
    if done is None:
        raise _why_not(plan, request)
    if not as_json:
        show_done(done)
    return 3 if done.is_found or done.trouble else 0


def _taken(
    book: Ledger, plan: RemovalPlan, request: Request, by: str | None, yes: bool
) -> RemovalResult | None:
    """Take it out where nothing is in the way and it was agreed to; None otherwise."""
    if plan.blocked or not request.why or not may_keep(yes, lambda: "Remove this for good?"):
        return None
    who = writer(by)
    asked = request._replace(asked_by=request.asked_by or who)
    return taken(book, plan, asked, clock_for(book), who)


def _why_not(plan: RemovalPlan, request: Request) -> UsageError:
    if plan.blocked:
        do = "ask who set the hold. `airwrit legal-hold --release` releases it"
        return UsageError(blocked_text(plan.blocked), where="erase-personal-data", do=do)
    do = "add --yes to remove it for good" if request.why else "add --why, and --yes to remove it for good"
    return UsageError("nothing was removed", where="erase-personal-data", do=do)


def _finish(ledger: Path | None) -> int:
    with opened(ledger) as book:
        trouble = finished(book)
    if trouble:
        raise LedgerFault(trouble)
    click.echo("The free pages of the file are cleared.")
    return 0


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
