"""`airwrit deadlines`: what falls due, as a list and as a calendar."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.due.deadlines import Deadline, Deadlines, DueWeek, deadlines_json, deadlines_of, weeks_of
from airwrit.answers.incident.decision import words
from airwrit.answers.registration.fees import Fees, fees_of
from airwrit.answers.standing.headline import SPANS
from airwrit.base.days import day_of
from airwrit.base.sentences import day_words, days_apart
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shown.standing import listed, show_withheld
from airwrit.facts.vocabulary import id_of
from airwrit.papers.calendar import calendar_of


@click.command()
@fleet_options
@click.option(
    "--days", type=click.IntRange(0, 3660), help="Show only what is overdue, or due within this many days."
)
@click.option("--ics", type=PATH, help="Also save a calendar, with one event and alarms for each thing due.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(fleet: Fleet, days: int | None, ics: Path | None, as_json: bool) -> int:
    """List what is due and overdue, when renewals open, and what registrations cost for a term.

    After a change, import the calendar file again. It updates the same events.

    \b
    Example:
      airwrit deadlines fleet.xlsx --days 90 --ics deadlines.ics
    """
    standing = fleet.standing()
    deadlines, fees = deadlines_of(standing, days), fees_of(standing)
    if ics is not None:
        made = calendar_of(deadlines.due, fleet.day, deadlines.notices)
        written("the calendar", ics, made, private=True)
        fleet.note_given("calendar", ics)
    if as_json:
        show_json(deadlines_json(deadlines, fees))
    else:
        _show(deadlines, fees, console())
        if ics is not None:
            click.echo(f"\nwrote {ics.name}")
    return EXIT[deadlines.verdict]


def _show(deadlines: Deadlines, fees: Fees, out: Console) -> None:
    on = day_of(deadlines.report.on)
    show_late(on, out)
    out.print(Text(f"Deadlines on {day_words(on)}", style="bold"))
    out.print(SCOPE)
    _notices(deadlines, out)
    for week in weeks_of(deadlines.report, deadlines.items, SPANS[-1]):
        _week(week, on, out)
    _later(
        [one for one in deadlines.due if not one.overdue and one.day > on + timedelta(days=SPANS[-1])], out
    )
    if not deadlines.due and not deadlines.notices:
        out.print("Nothing is due.")
    _undated(deadlines, out)
    _fees(fees, out)
    show_withheld(deadlines.report, out)
    out.print()
    show_caution(out)


def _notices(deadlines: Deadlines, out: Console) -> None:
    """What is still to be sent after incidents, in local time there, with who does it."""
    if not deadlines.notices:
        return
    print_title("AFTER AN INCIDENT", out)
    rows = []
    for one in deadlines.notices:
        by_when = "\n".join(filter(None, (one.by_when, one.left)))
        what = f"{one.to}: {one.what}. {one.says}" if one.name else f"{one.what}. {one.says}"
        rows.append((words()["must"][one.must], by_when, said(f"{what} {one.title}"), clean(one.who)))
    print_rows(rows, (-14, -24, 48, (2, 18)), out, gap=1)
    out.print(Text('Mark one: airwrit incident NAME --sent faa --sent-on "2026-12-02 09:30"', style="dim"))


def _week(week: DueWeek, on: date, out: Console) -> None:
    """What is due in a week, each cause of a day on one line with who does it."""
    if week.monday is None:
        print_title("OVERDUE", out)
    else:
        print_title("THIS WEEK" if week.monday <= on else f"WEEK OF {day_words(week.monday).upper()}", out)
    rows = []
    for line in week.lines:
        what = said(line.what) + (f". {listed(line.subjects)}" if len(line.subjects) > 1 else "")
        who = line.who[0] if len(line.who) == 1 else "each of them" if line.who else ""
        rows.append((day_words(line.day), days_apart(line.day, on), what, clean(who)))
    print_rows(rows, (-13, -14, 60, 18), out)


def _later(items: Sequence[Deadline], out: Console) -> None:
    """What is due after that, with when a renewal opens; things that read the same stand on one line."""
    if not items:
        return
    alike: dict[tuple[str, str, str], list[str]] = {}
    for one in items:
        opens = f" Renewal opens {day_words(one.opens)}." if one.opens else ""
        alike.setdefault((day_words(one.day), one.says + opens, one.do), []).extend(one.subjects)
    print_title(f"LATER THAN {SPANS[-1]} DAYS", out)
    lines = ((day, listed(subjects), said(says), said(do)) for (day, says, do), subjects in alike.items())
    print_rows(lines, (-12, 22, 40, 38), out)


def _undated(deadlines: Deadlines, out: Console) -> None:
    if not deadlines.undated:
        return
    print_title("NO DUE DATE YET", out)
    lines = (
        (SIGNS[Verdict.UNKNOWN], clean(id_of(one.subject)), said(one.says), said(one.do))
        for one in deadlines.undated
    )
    print_rows(lines, (-4, 22, 44, 44), out)


def _fees(fees: Fees, out: Console) -> None:
    if not fees.fees and not fees.uncounted:
        return
    out.print()
    out.print(Text(f"REGISTRATION FEES OVER {fees.years} YEARS", style="dim"))
    more = "" if fees.complete else ", plus what we can't tell yet"
    out.print(f"${fees.total_usd} for {len(fees.fees)} registrations{more}")
    for one in fees.uncounted:
        sign = SIGNS[Verdict.UNKNOWN if one.unknown else Verdict.NOT_APPLICABLE]
        out.print(f"{sign} {clean(id_of(one.subject))}: {said(one.why)}")
