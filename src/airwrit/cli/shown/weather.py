"""Weather on the terminal: what it means for the flight first, then each group with its meaning."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_WEATHER
from airwrit.answers.sky.weather import FlightPlanned, Weather, WeatherAnswer, limits_on, sentences
from airwrit.answers.sky.weather_words import rows_of
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console, show_caution
from airwrit.cli.shared.law_reading import show_late


def show_weather(weather: Weather, flight: FlightPlanned) -> None:
    """Each report or forecast with its points, its groups, and what could not be read."""
    out = console()
    said = sentences()["note"]
    show_late(flight.at, out)
    out.print(Text(SCOPE_OF_WEATHER, style="dim"))
    for answer in weather.answers:
        out.print()
        _show(answer, out)
    out.print()
    for text in weather.strange:
        out.print(sentences()["strange"]["text"].format(text=clean(text)))
    limits = limits_on(flight)
    out.print(said["decides"])
    out.print(
        said["law_not_read"] if limits is None else said["beside"].format(beside=f"{limits.beside_ft:,}")
    )
    out.print(Text(said["higher"], style="dim"))
    show_caution(out)


def _show(answer: WeatherAnswer, out: Console) -> None:
    out.print(Text(clean(answer.read.text), style="bold"))
    points = Table(box=None, show_header=False, padding=(0, 1, 0, 0))
    for point in answer.points:
        cites = f" ({point.cites})" if point.cites else ""
        more = f" Add {point.options}." if point.options else ""
        sign = "" if point.verdict is Verdict.NOT_APPLICABLE else SIGNS[point.verdict]
        points.add_row(sign, clean(point.says) + more + cites)
    for code in answer.odd:
        points.add_row("", f"Watch out: {sentences()['oddity'][code.value]}")
    for group in answer.read.unread:
        points.add_row("", f"Couldn't read {clean(group.text)}: {group.why}")
    out.print(points)
    _show_groups(answer, out)
    if answer.read.plain_remarks:
        out.print(f"Remarks in plain words: {clean(answer.read.plain_remarks)}")


def _show_groups(answer: WeatherAnswer, out: Console) -> None:
    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for text, means in rows_of(answer):
        table.add_row(clean(text), means)
    if table.row_count:
        out.print(table)
