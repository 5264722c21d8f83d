"""Light on the terminal: a day, a year, an instant."""

from __future__ import annotations

from datetime import date

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_LIGHT
from airwrit.answers.sky.light import LightAt, LightEvent, LightOfDay, sentences
from airwrit.answers.sky.light_words import (
    clock_words,
    in_a_sentence,
    minute_of,
    notes,
    phases_words,
    rows_of,
    stays_words,
)
from airwrit.base.places import Place
from airwrit.cli.console import console, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.sky.zones import Zone


def show_light(place: Place, zone: Zone, days: tuple[LightOfDay, ...], at: LightAt | None) -> None:
    """The light of a day or year, that of an instant where one was given, and what to keep in mind."""
    out = console()
    show_late(days[0].on, out)
    out.print(Text(SCOPE_OF_LIGHT, style="dim"))
    if at is not None:
        _show_at(at, zone, out)
    if len(days) > 1:
        _show_year(place, zone, days, out)
    else:
        _show_day(place, zone, days[0], out)
    out.print()
    for note in notes(zone, (at or days[0]).rules):
        options = f" ({' or '.join(note.options)})" if note.options else ""
        out.print(Text(note.says + options, style="dim"))
    show_caution(out)


def _show_at(at: LightAt, zone: Zone, out: Console) -> None:
    words = sentences()
    out.print(f"{_day(at.at.astimezone(zone.info).date())}, {clock_words(at.at, zone)}:", style="bold")
    if len(at.phases) > 1:
        out.print(words["note"]["too_close"])
    for phase in phases_words(at):
        out.print(f"  {phase}")
    out.print()


def _show_day(place: Place, zone: Zone, day: LightOfDay, out: Console) -> None:
    out.print(f"Light on {_day(day.on)} at {place}", style="bold")
    sentence = in_a_sentence(day, zone)
    if sentence and day.horizon is None:
        out.print(sentence)
    out.print(f"Clock: {zone.name}")
    rows = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for row in rows_of(day, zone):
        rows.add_row(row.local, row.utc, row.says + (f" ({row.cites})" if row.cites else ""))
    if rows.row_count:
        out.print(rows)
    for words in stays_words(day):
        out.print(words)


def _show_year(place: Place, zone: Zone, days: tuple[LightOfDay, ...], out: Console) -> None:
    words = sentences()
    out.print(f"Light in {days[0].on.year} at {place}", style="bold")
    out.print(f"Clock: {zone.name}, daylight saving time included")
    kinds = [kind for kind in LightEvent if any(day.of(kind) for day in days)]
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold")
    for heading in ("Day", *(words["column"][kind.value] for kind in kinds)):
        table.add_column(heading)
    for day in days:
        cells = (", ".join(minute_of(one, zone) for one in day.of(kind)) for kind in kinds)
        table.add_row(f"{day.on:%b} {day.on.day}", *(cell or "none" for cell in cells))
    out.print(table)


def _day(day: date) -> str:
    return f"{day:%b} {day.day}, {day.year}"
