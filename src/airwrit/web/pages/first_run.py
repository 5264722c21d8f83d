"""First run: an empty ledger, and the ways to fill it."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.taking_in import Before, note_of_unread, taking_in, with_damage
from airwrit.intake.sheets import read_sheets
from airwrit.ledger.store import KeptFile, Ledger
from airwrit.papers.demo_sheet import demo_data, write_demo
from airwrit.web.sheets import Answer, Moved, Sheet, Visit
from airwrit.web.trouble import NOTHING_WRITTEN, Refused, Trouble


class View(NamedTuple):
    """What the page has to say: the ledger's file, and the invented program's name."""

    ledger: str
    demo: str


def show(visit: Visit) -> Answer:
    """The three ways in."""
    view = View(visit.desk.ledger.name, demo_data()["organization"])
    return Sheet(
        "first_run.html",
        "An empty ledger",
        view,
        lambda: {"ledger": view.ledger, "empty": visit.desk.is_empty},
    )


def act(visit: Visit) -> Answer:
    """Fill the empty ledger with the invented program. Refused where there is something in it."""
    if visit.said.get("way") != "demo":
        raise Refused(
            Trouble(400, "No such way in", "the form named no way", visit.path, NOTHING_WRITTEN, "go back")
        )
    with visit.desk.writing:
        if visit.desk.is_empty:
            fill_with_demo(visit)
    return Moved(visit.link("/standing"))


def fill_with_demo(visit: Visit) -> None:
    """Write the invented workbook beside nobody's files, read it as any other, and keep it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / demo_data()["file"]
        write_demo(path, visit.asked.today)
        intake = read_sheets([path])
        data = path.read_bytes()
    known = with_damage(intake.known, intake.problems, path.name)
    taking = taking_in(
        Before(0, {}, {}),
        known,
        intake.sources,
        visit.desk.by,
        note=note_of_unread("the invented program", intake.problems),
    )
    ledger = visit.desk.ledger
    with Ledger(ledger) if ledger.exists() else Ledger.begin(ledger) as book:
        book.append(taking.drafts, visit.desk.clock, after=0, files=[KeptFile(path.name, data)])
