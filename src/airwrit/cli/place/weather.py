"""`airwrit weather`: a METAR or TAF, each group with its meaning, beside the limits of Part 107."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from pathlib import Path

import click

from airwrit.answers.sky.facts_table import facts_toml
from airwrit.answers.sky.weather import FlightPlanned, number_told, weather_of
from airwrit.answers.sky.weather_json import facts_to_confirm, verdict_of, weather_facts, weather_json
from airwrit.base.errors import BadFact, UnreadableFile, UsageError
from airwrit.base.places import Place, read_place
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.options import at_option, now
from airwrit.cli.shown.weather import show_weather
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
    help="Elevation of the station. Reported cloud heights start there.",
)
@click.option("--height", type=NumberType(), help="The highest you fly above ground.")
@click.option(
    "--wind-limit",
    type=NumberType(),
    help="The aircraft's wind limit, in knots or like 12 m/s.",
)
@click.option(
    "--saw", type=NumberType(), help="How far you can see from the control station, in statute miles."
)
@click.option("--facts", "as_facts", is_flag=True, help="Print only the [weather] table for a facts file.")
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
        at or now(), _place(place), _place(station), elevation, station_elevation, height, wind_limit, saw
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
