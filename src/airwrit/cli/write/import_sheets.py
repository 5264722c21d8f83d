"""`airwrit import`: a sheet's facts into the ledger, shown before they are kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from airwrit.answers.sheets.answered import FormFilled, columns_remembered
from airwrit.answers.sheets.answers_form import answers_form
from airwrit.answers.sheets.importing import (
    FilesRead,
    Imported,
    ImportOptions,
    Preview,
    imported,
    keep,
    preview_of,
    read_files,
    standing_after,
)
from airwrit.answers.sheets.json import preview_json
from airwrit.answers.standing.today import answer_in_short
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import console, print_title, show_caution, waiting
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import answers_told, form_of
from airwrit.cli.shared.ledger import (
    by_option,
    clock_for,
    held_in,
    is_at_terminal,
    may_keep,
    writer,
    yes_option,
)
from airwrit.cli.shared.options import DayType, json_option, ledger_option, ledger_path, now
from airwrit.cli.shown.acts import show_change
from airwrit.cli.shown.difference import private_option, show_taking
from airwrit.cli.shown.standing import show_columns, show_problems
from airwrit.cli.write.asking import asked_through, columns_told, show_reading
from airwrit.cli.write.import_phone import are_handed_over, import_handed
from airwrit.facts.choices import UsedFor
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST
from airwrit.intake.reader.cells import data_of
from airwrit.intake.typed.answers_file import AnswersFile, ColumnAnswer
from airwrit.ledger.entry import Entry
from airwrit.ledger.sqlite.store import Ledger

_TRIES = 20


@click.command("import")
@click.argument("sheets", nargs=-1, type=PATH)
@ledger_option
@click.option(
    "--use",
    type=click.Choice([use.value for use in UsedFor]),
    help="What the aircraft are used for, if a row doesn't say.",
)
@click.option("--owner", help="Who owns the aircraft, if a row doesn't say.")
@click.option(
    "--dates",
    type=click.Choice([MONTH_FIRST, DAY_FIRST]),
    help="How to read dates like 03/04/2026, if a column doesn't make it clear.",
)
@click.option("--mapping", type=PATH, help="Read the columns as saved in this file.")
@click.option("--answers", type=PATH, help="Your filled-in form from --questions.")
@click.option(
    "--questions",
    "questions_to",
    type=PATH,
    help="Save the open questions as a form to fill in, and save nothing else.",
)
@click.option(
    "--from",
    "start",
    type=DayType(),
    help="When values without their own date start to apply. For changed values: today.",
)
@click.option(
    "--correct", "corrects", is_flag=True, help="The old values were wrong all along. Replace them."
)
@click.option(
    "--take-back",
    "takes_back",
    is_flag=True,
    help="Take back what is no longer in the file, because it was never true.",
)
@click.option("--replaces", multiple=True, metavar="NAME", help="An earlier file that these sheets replace.")
@click.option("--note", default="", help="Why, in your own words. We keep it with the entries.")
@private_option
@by_option
@yes_option
@json_option
def command(sheets: tuple[Path, ...], **given: Any) -> int:
    """Import SHEETS. You first see what would be added, changed, corrected or contradicted.

    We compare a file with what it said last time, so importing it twice adds nothing. A changed value applies
    from today, or from the day you give with --from. The old value stays for earlier days, unless you use
    --correct. Without a terminal, nothing is saved unless you add --yes. You can also import flights from a
    pilot's carry pack, from its file or from photos of its QR codes.

    \b
    Example:
      airwrit import fleet.xlsx --use work --yes
    """
    if not sheets:
        raise UsageError("you didn't name a sheet", where="import", do="enter the name of a file")
    if given["start"] is not None and given["corrects"]:
        raise UsageError(
            "you used both a date and a correction", where="--from, --correct", do="use only one of the two"
        )
    path = ledger_path(given["ledger"])
    if are_handed_over(sheets):
        return import_handed(path, sheets, given)
    writing: list[Preview] = []
    with _stopped_by_hand(path, writing):
        read = _read(sheets, given)
        if given["questions_to"] is not None:
            return _write_questions(path, read, given)
        if not (given["yes"] or given["as_json"]) and is_at_terminal():
            read = _asked(path, (sheets, read), given)
        return _import(path, read, _wish(given), given, writing)


def _asked(path: Path, files: tuple[tuple[Path, ...], FilesRead], given: dict[str, Any]) -> FilesRead:
    """The files with what a person at the terminal answers to what they leave open."""
    sheets, read = files
    held, wish = held_in(path), _wish(given)
    show_reading(read)
    told = columns_told(read)
    if told:
        read = _read(sheets, given, told)
    form = FormFilled(AnswersFile(""), wish.by, wish.day)
    return asked_through(
        read, lambda now_read: standing_after(held, preview_of(now_read, held, wish), now()), form
    )


def _write_questions(path: Path, read: FilesRead, given: dict[str, Any]) -> int:
    """Write the form of what is still open once these files are taken in beside what is on record."""
    held, wish = held_in(path), _wish(given)
    answer = standing_after(held, preview_of(read, held, wish), now())
    form: Path = given["questions_to"]
    written("the form", form, answers_form(answer, read.intake.columns).encode(), private=True)
    open_ones = len(answer.gaps)
    click.echo(f"Saved {form.name} ({open_ones} open). Fill it in, then use --answers {form.name}.")
    return 3 if open_ones else 0


def _wish(given: dict[str, Any]) -> ImportOptions:
    start: date | None = given["start"]
    return ImportOptions(
        by=writer(given["by"]),
        day=_day(given),
        use=UsedFor(given["use"]) if given["use"] else None,
        owner=given["owner"],
        start=start,
        corrects=given["corrects"],
        takes_back=given["takes_back"],
        replaces=given["replaces"],
        note=given["note"],
    )


def _day(given: dict[str, Any]) -> date:
    """The day that values without a day of their own speak of."""
    start: date | None = given["start"]
    return start or now().astimezone().date()


@contextmanager
def _stopped_by_hand(path: Path, writing: list[Preview]) -> Iterator[None]:
    """Say what became of the ledger when the work is stopped by hand; one begun for nothing goes again.

    `writing` holds what was being kept, once it comes to that.
    """
    is_new = not path.exists()
    try:
        yield
    except KeyboardInterrupt:
        is_kept = bool(writing) and _is_in(path, writing[-1])
        if is_new and not is_kept and _is_empty(path):
            for tail in ("", "-journal", "-wal", "-shm"):
                path.with_name(path.name + tail).unlink(missing_ok=True)
        said = "Stopped, but everything was already saved." if is_kept else "Stopped. Nothing was saved."
        click.echo(f"airwrit: import: {said}", err=True)
        raise click.exceptions.Abort from None


def _is_in(path: Path, preview: Preview) -> bool:
    """Whether a preview was kept; an import is kept as a whole or not at all."""
    first = preview.taking.drafts[0]
    try:
        with Ledger(path) as book:
            entry = book.entry(preview.taking.after + 1)
    except LedgerFault:
        return False
    return entry is not None and (entry.statements, entry.source) == (first.statements, first.source)


def _is_empty(path: Path) -> bool:
    """Whether a file that was begun as a ledger holds no entry, or was not even finished."""
    try:
        with Ledger(path) as book:
            return book.head().size == 0
    except LedgerFault:
        return path.exists()


def _read(
    sheets: tuple[Path, ...], given: dict[str, Any], columns: tuple[ColumnAnswer, ...] = ()
) -> FilesRead:
    """The files as they are: what is shown is what is kept. `columns` is what a person says of some columns."""
    form = form_of(given["answers"], _day(given), given["by"])
    if columns:
        form = form or FormFilled(AnswersFile(""), writer(given["by"]), _day(given))
        form = form._replace(answers=replace(form.answers, columns=(*form.answers.columns, *columns)))
    with waiting(f"reading {', '.join(path.name for path in sheets)}"):
        return read_files(
            [(path.name, data_of(path)) for path in sheets],
            answers_told(given["mapping"], given["dates"], given["owner"]),
            form,
            {} if given["mapping"] else columns_remembered(held_in(ledger_path(given["ledger"]))),
        )


def _import(
    path: Path, read: FilesRead, wish: ImportOptions, given: dict[str, Any], writing: list[Preview]
) -> int:
    """Show what importing would do, keep it if told to, and again where others wrote meanwhile."""
    out = None if given["as_json"] else console()
    for _ in range(_TRIES):
        with waiting(f"comparing with {path.name}"):
            held = held_in(path)
            preview = preview_of(read, held, wish)
        if out is not None:
            _show(preview, imported(held, preview, now()), out, given)
        is_new = not preview.taking.is_empty
        wanted = is_new and may_keep(given["yes"], lambda: f"\nSave this to {path.name}?")
        try:
            entries = _kept(path, preview, writing) if wanted else ()
        except LedgerMoved:
            if out is not None:
                click.echo(
                    "\nSomeone else saved to the ledger. Nothing was saved. Here is the new preview:\n"
                )
            continue
        _tell(path, preview, entries, given, out)
        return 0 if (entries or not is_new) and not preview.is_open else 3
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )


def _kept(path: Path, preview: Preview, writing: list[Preview]) -> tuple[Entry, ...]:
    writing.append(preview)
    with (
        waiting(f"writing {len(preview.taking.drafts):,} entries"),
        Ledger.at(path) as book,
    ):
        return keep(book, preview, clock_for(book))


def _show(preview: Preview, found: Imported | None, out: Console, given: dict[str, Any]) -> None:
    """Print the preview. Where nobody reads on, as in a pipe to `head`, what was told to be kept is kept all the same."""
    with out.capture() as shown:
        show_taking(preview.taking, out, private=given["private"])
        show_problems(preview.intake.problems, out)
        show_columns(preview.intake.columns, out, every=False)
        if found is not None and not preview.taking.is_empty:
            _show_change(found, out)
    with suppress(*([BrokenPipeError] if given["yes"] else [])):
        click.echo(shown.get(), nl=False)


def _show_change(found: Imported, out: Console) -> None:
    """What it changes for people; of the first import how everything stands then."""
    if found.change is not None:
        show_change(found.change, out)
        return
    print_title("STATUS THEN", out)
    for line in answer_in_short(found.after.rows):
        out.print(line)


def _tell(
    path: Path, preview: Preview, entries: tuple[Entry, ...], given: dict[str, Any], out: Console | None
) -> None:
    """What became of it."""
    if out is None:
        document = {
            **preview_json(preview, private=given["private"]),
            "kept": [entry.seq for entry in entries],
        }
        show_json(document)
    elif not preview.taking.is_empty:
        done = f"{len(entries)} entries saved to {path.name}"
        click.echo("\n" + (done if entries else "Nothing was saved. Look it over, then add --yes."))
    if out is not None:
        show_caution(out)
