"""`airwrit weather`: a METAR or TAF, each group with its meaning, beside the limits of Part 107."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from pathlib import Path

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_WEATHER
from airwrit.answers.sky.facts_table import facts_toml
from airwrit.answers.sky.weather import (
    FlightPlanned,
    Weather,
    WeatherAnswer,
    limits_on,
    number_told,
    sentences,
    weather_of,
)
from airwrit.answers.sky.weather_json import facts_to_confirm, verdict_of, weather_facts, weather_json
from airwrit.answers.sky.weather_words import headline, rows_of
from airwrit.base.errors import BadFact, UnreadableFile, UsageError
from airwrit.base.places import Place, read_place
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.options import at_option, now
from airwrit.sky.weather.texts import LONGEST


class NumberType(click.ParamType[Decimal]):
    """A number of the flight, with or without its unit."""

    name = "number"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        """The number in the unit its name asks for, or a usage error that says how to write it."""
        if isinstance(value, Decimal) or param is None or param.name is None:
            return Decimal(str(value))
        try:
            return number_told(param.name, str(value))
        except BadFact as fault:
            return self.fail(str(fault), param, ctx)


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("report", nargs=-1, required=True)
@at_option
@click.option("--place", "place", help="Where you fly: latitude and longitude.")
@click.option(
    "--station",
    "station",
    help="Where the station is: latitude and longitude. With --place, we show how far away it is.",
)
@click.option("--elevation", type=NumberType(), help="Elevation where you fly, for density altitude.")
@click.option(
    "--station-elevation",
    type=NumberType(),
    help="Elevation of the station. Reported cloud heights are measured from there.",
)
@click.option("--height", type=NumberType(), help="The highest you'll fly above the ground.")
@click.option(
    "--wind-limit",
    type=NumberType(),
    help="The aircraft's wind limit, in knots or like 12 m/s.",
)
@click.option(
    "--saw", type=NumberType(), help="How far you can see from the control station, in statute miles."
)
@click.option(
    "--facts",
    "as_facts",
    is_flag=True,
    help="Print only the [weather] table, to paste into FACTS for check-scenario.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(
    report: tuple[str, ...],
    at: datetime | None,
    place: str | None,
    station: str | None,
    elevation: Decimal | None,
    station_elevation: Decimal | None,
    height: Decimal | None,
    wind_limit: Decimal | None,
    saw: Decimal | None,
    as_facts: bool,
    as_json: bool,
) -> int:
    """Read a METAR, SPECI or TAF in plain words, and compare it with the Part 107 limits. A report is only a
    guide. What you see is what counts.

    REPORT is the text in quotes, or a file with one or more reports.

    \b
    Example:
      airwrit weather "KBOI 121854Z 13004KT 30SM SCT150 17/06 A3015" --saw 10
    """
    flight = FlightPlanned(
        at or now(),
        _place(place),
        _place(station),
        elevation,
        station_elevation,
        height,
        wind_limit_kt=wind_limit,
        saw_sm=saw,
    )
    weather = weather_of(_text(report), flight)
    answers = weather.answers
    if not answers:
        raise UsageError(
            "we found no METAR or TAF in it",
            where="weather",
            do="copy the whole report, starting with the station's four letters",
        )
    if as_json:
        show_json(weather_json(weather, flight))
    elif as_facts:
        click.echo(
            facts_toml("weather", weather_facts(answers, flight), facts_to_confirm(answers, flight)), nl=False
        )
    else:
        show_weather(weather, flight)
    return EXIT[verdict_of(answers)]


def _place(text: str | None) -> Place | None:
    return None if text is None else read_place(text)


def _text(report: tuple[str, ...]) -> str:
    """The text given, or that of the file named. Errors say what is wrong with it; -SN is weather and --sn no option."""
    option = next((sign for sign in report if sign.startswith("--")), None)
    if option is not None:
        raise UsageError(f"there is no option called {option}", do="see `airwrit weather --help`")
    path = Path(report[0])
    if len(report) == 1 and len(report[0]) < 256 and " " not in report[0].strip() and path.is_file():
        if path.stat().st_size > LONGEST:
            raise UnreadableFile(
                f"the file is longer than {LONGEST:,} bytes",
                where=path.name,
                do="keep only the reports you need",
            )
        text = path.read_bytes().decode("utf-8", errors="replace")
    else:
        text = " ".join(report)
    if len(text) > LONGEST:
        raise UsageError(
            f"the text is longer than {LONGEST:,} characters", do="paste only the reports you need"
        )
    if not text.strip():
        raise UsageError(
            "you didn't enter a report", where="weather", do="add a METAR or TAF in quotes, or a file"
        )
    return text


def show_weather(weather: Weather, flight: FlightPlanned) -> None:
    """Each report or forecast with its points, its groups, and what could not be read."""
    out = console()
    said = sentences()["note"]
    show_late(flight.at, out)
    out.print(Text(SCOPE_OF_WEATHER, style="dim"))
    if weather.answers:
        out.print(f"{SIGNS[verdict_of(weather.answers)]} {headline(weather.answers)}", style="bold")
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
        out.print(f"Remarks we didn't read: {clean(answer.read.plain_remarks)}")


def _show_groups(answer: WeatherAnswer, out: Console) -> None:
    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for text, means in rows_of(answer):
        table.add_row(clean(text), means)
    if table.row_count:
        out.print(table)
