"""First run: an empty ledger, and the ways to fill it."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.demo.upkeep import demo_upkeep
from airwrit.demo.workbook import demo_data, write_demo
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.forms import Ticket, ticket, write_once
from airwrit.web.server.site import FIRST
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Visit


class FirstRunPage(NamedTuple):
    """What the page has to say: the ledger's file, the invented program's name, the form's ticket."""

    ledger: str
    demo: str
    ticket: Ticket


def show(visit: Visit) -> Answer:
    """The three ways in."""
    view = FirstRunPage(visit.desk.ledger.name, demo_data()["organization"], ticket(visit.desk))
    told = {"ledger": view.ledger, "entries": view.ticket.head}
    return PageSheet("first_run.html", "An empty ledger", view, lambda: told, scope="")


def act(visit: Visit) -> Answer:
    """Fill the empty ledger with the invented program. Stale where something stands in it meanwhile."""
    if visit.said.get("way") != "demo":
        raise Refused(
            Trouble(400, "No such way in", "the form named no way", visit.path, NOTHING_WRITTEN, "go back")
        )
    return write_once(visit, lambda book: fill_with_demo(visit, book), lambda _: FIRST)


def fill_with_demo(visit: Visit, book: Ledger) -> None:
    """Write the invented workbook, read it as any other, and keep what it says."""
    name, today = demo_data()["file"], visit.asked.today
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder) / name, today)
        data = (Path(folder) / name).read_bytes()
    wish = ImportOptions(visit.by, today, note="the made-up program")
    keep(book, preview_of(read_files([(name, data)]), before(book), wish), visit.desk.clock)
    book.append([Draft(visit.by, "record", demo_upkeep(today), note=wish.note)], visit.desk.clock)
