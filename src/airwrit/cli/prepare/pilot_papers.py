"""`airwrit pilot-papers`: the pilot's pack for a day, as one file for the phone and as a paper."""

from __future__ import annotations

import re
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.before_flight.day import FlightSheet, flight_sheets, sheet_json
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import without_plans
from airwrit.answers.carry.findings import unread_text
from airwrit.answers.carry.pack import Pack, carry_json, carry_pack
from airwrit.answers.document import SCOPE
from airwrit.base.sentences import sentence, with_days
from airwrit.base.verdict import Verdict, worst_of
from airwrit.cli.console import SIGNS, clean, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import ledger_path, now
from airwrit.facts.vocabulary import id_of
from airwrit.papers.carry_page import carry_page
from airwrit.papers.carry_pdf import carry_pdf
from airwrit.papers.typeset import PAPERS


@click.command()
@click.argument("pilot")
@fleet_options
@click.option(
    "--aircraft",
    "only",
    multiple=True,
    help="An aircraft to bring (all of them if you leave it out). You can use this option more than once.",
)
@click.option(
    "--call", "whom", help="The name and phone number an officer may call (a blank line if you leave it out)."
)
@click.option("--out", type=PATH, help="The HTML file to save (carry-PILOT-DAY.html if you leave it out).")
@click.option("--pdf", type=PATH, help="Also save the same content as a PDF.")
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(
    pilot: str,
    fleet: Fleet,
    only: tuple[str, ...],
    whom: str | None,
    out: Path | None,
    pdf: Path | None,
    paper: str,
    as_json: bool,
) -> int:
    """Make the papers PILOT carries on a day, as one HTML file. It opens on a phone with no network, and you
    can print it.

    It has the pilot's papers, the aircraft and their numbers, and the waivers and authorizations in force. It
    has a sheet for each flight the pilot has planned that day, a page to show an officer, what to do after an
    incident, and a short form to log flights. `airwrit import`
    brings those flights back.

    \b
    Example:
      airwrit pilot-papers "Ivo Brask" --aircraft H-03 --on 2026-11-25 --pdf pack.pdf
    """
    pack = carry_pack(fleet.standing(), pilot, only, whom)
    saved = now().astimezone()
    path = out or Path(f"carry-{_plain(pilot)}-{pack.on}.html")
    sheets = _sheets(fleet, pack.pilot.subject)
    page = carry_page(pack, saved, sheets)
    written("the pack", path, page, private=True)
    if pdf is not None:
        made = carry_pdf(pack, saved, sheets, paper=paper)
        written("the paper", pdf, made, private=True)
    fleet.note_given("carry pack", *(one for one in (path, pdf) if one is not None), about=pack.about)
    if as_json:
        files = {"file": path.name, "pdf": None if pdf is None else pdf.name}
        show_json(carry_json(pack) | {"flights": [sheet_json(one) for one in sheets]} | files)
    else:
        _show(pack, path, pdf, sheets)
    return EXIT[pack.verdict]


def _plain(name: str) -> str:
    """A name as part of a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "pilot"


def _sheets(fleet: Fleet, pilot: str) -> tuple[FlightSheet, ...]:
    """The flight sheets of what is planned on the day, by the airspace data next to the ledger."""
    stated = fleet.stated(fleet.when)
    spoiled = [pair for problem in stated.problems for pair in problem.spoils]
    program = Program(without_plans(stated.known), stated.known_at, stated.house, (), spoiled)
    folder = ledger_path(fleet.ledger).parent / "airspace"
    return flight_sheets(fleet.day, pilot, stated.known, program, folder)


def _show(pack: Pack, path: Path, pdf: Path | None, sheets: tuple[FlightSheet, ...]) -> None:
    out = console()
    files = clean(path.name) + ("" if pdf is None else f" and {clean(pdf.name)}")
    out.print(Text(f"Carry pack saved as {files}, {path.stat().st_size / 1000:.0f} kB", style="bold"))
    out.print(SCOPE)
    for one in (pack.pilot, *pack.aircraft):
        says = " ".join(sentence(f"{each.when}: {each.says}") for each in one.stands)
        sign = SIGNS[worst_of({each.verdict for each in one.stands})]
        out.print(clean(f"{sign} {id_of(one.subject)}: {says}"))
    for sheet in map(sheet_json, sheets):
        sign = SIGNS[Verdict(sheet["verdict"])]
        out.print(clean(f"{sign} Flight {id_of(sheet['flight'])}: {sheet['says']}"))
    for record in pack.records:
        out.print(
            clean(f"{SIGNS[record.ruling.verdict]} {id_of(record.subject)}: {with_days(record.ruling.says)}")
        )
    if pack.unread:
        out.print(unread_text(pack.unread))
    show_caution(out)
