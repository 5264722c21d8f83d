"""Light on the terminal: a day, a year, an instant."""

from __future__ import annotations

from datetime import UTC, date, datetime

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_LIGHT
from airwrit.answers.sky.light import Kind, LightAt, LightOfDay, Moment, sentences
from airwrit.answers.sky.light_json import notes, to_minute
from airwrit.base.places import Place
from airwrit.cli.console import console, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.sky.light import LEAST_ERROR_S
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
        out.print(Text(note, style="dim"))
    show_caution(out)


def _show_at(at: LightAt, zone: Zone, out: Console) -> None:
    words = sentences()
    out.print(f"{_day(at.at.astimezone(zone.info).date())}, {_clock(at.at, zone)}:", style="bold")
    if len(at.phases) > 1:
        out.print(words["note"]["too_close"])
    for phase in at.phases:
        out.print(f"  {words['phase'][phase.value]}")
    out.print()


def _show_day(place: Place, zone: Zone, day: LightOfDay, out: Console) -> None:
    words = sentences()
    out.print(f"Light on {_day(day.on)} at {place}", style="bold")
    out.print(f"Clock: {zone.name}")
    rows = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for one in day.moments:
        cites = words["cites"][one.kind.value]
        says = words["moment"][one.kind.value] + _doubt(one) + (f" ({cites})" if cites else "")
        rows.add_row(_clock(one.at, zone), _utc(one.at, day.on), says)
    out.print(rows)
    for stays, said in ((day.horizon, words["horizon"]), (day.civil, words["civil"])):
        if stays is not None:
            out.print(said[stays.value])


def _doubt(one: Moment) -> str:
    return f" Good to {-(-one.error_s // 60)} minutes only." if one.error_s > LEAST_ERROR_S else ""


def _show_year(place: Place, zone: Zone, days: tuple[LightOfDay, ...], out: Console) -> None:
    words = sentences()
    out.print(f"Light in {days[0].on.year} at {place}", style="bold")
    out.print(f"Clock: {zone.name}, daylight saving time included")
    kinds = [kind for kind in Kind if any(day.of(kind) for day in days)]
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold")
    for heading in ("Day", *(words["column"][kind.value] for kind in kinds)):
        table.add_column(heading)
    for day in days:
        cells = (
            ", ".join(f"{to_minute(one.at).astimezone(zone.info):%H:%M}" for one in day.of(kind))
            for kind in kinds
        )
        table.add_row(f"{day.on:%b} {day.on.day}", *(cell or "none" for cell in cells))
    out.print(table)


def _day(day: date) -> str:
    return f"{day:%b} {day.day}, {day.year}"


def _clock(at: datetime, zone: Zone) -> str:
    """The local time of the place with its abbreviation: 7:02 AM MST."""
    local = to_minute(at).astimezone(zone.info)
    return f"{local.hour % 12 or 12}:{local:%M} {'AM' if local.hour < 12 else 'PM'} {local:%Z}"


def _utc(at: datetime, on: date) -> str:
    """The time in UTC, with its day where that is another one."""
    utc = to_minute(at).astimezone(UTC)
    return f"{utc:%H:%M} UTC" + (f" {utc:%b} {utc.day}" if utc.date() != on else "")
