"""`airwrit over-people`: which category is open over people, what each still needs, and the energy of a hit."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_ANSWERS
from airwrit.answers.site.over_people import OverPeopleAnswer, Told, over_people_of, told_of
from airwrit.answers.site.over_people_json import SiteRow, over_people_json, over_people_view
from airwrit.base.days import When
from airwrit.base.errors import BadFact, UsageError
from airwrit.cli.console import SIGNS, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger
from airwrit.cli.shared.options import asked, at_option, json_option, ledger_option, on_option
from airwrit.facts.choices import RemoteIdWay
from airwrit.facts.flight_choices import Category, OverAssembly, PeopleBelow
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import REMOTE_ID_WAY, SCALE_ERROR, TAKEOFF_WEIGHT
from airwrit.facts.keys.flights.limits import GROUND_SPEED, SPEED_ERROR
from airwrit.facts.keys.flights.over_people import (
    BROADCASTS,
    CATEGORY,
    CATEGORY_DECLARED,
    CATEGORY_LABEL,
    CLOSED_SITE,
    CUTTING_PARTS,
    FLIGHT_CERTIFICATED,
    OVER_ASSEMBLY,
    OVER_VEHICLES,
    PEOPLE_BELOW,
    SUSTAINED,
    SUSTAINED_VEHICLES,
)
from airwrit.facts.vocabulary import id_of
from airwrit.intake.typed.reply import read_reply

OPTIONS: dict[str, tuple[Key[Any], str]] = {
    "below": (PEOPLE_BELOW, "Who is below. Choose the least protected."),
    "weight": (TAKEOFF_WEIGHT, "Its takeoff weight with everything on it, like 249 g or 2 lb."),
    "weight-error": (
        SCALE_ERROR,
        "How far off the scale may be, like 1 g (one percent if you leave it out).",
    ),
    "speed": (GROUND_SPEED, "Its top speed, in knots or like 15 m/s."),
    "speed-error": (SPEED_ERROR, "How far off the speed may be."),
    "cutting-parts": (CUTTING_PARTS, "Whether it has exposed rotating parts that would cut skin."),
    "category": (CATEGORY, "The category that the label and the declaration are for."),
    "declared": (CATEGORY_DECLARED, "Whether the FAA accepted a declaration for it."),
    "label": (CATEGORY_LABEL, "Whether the category label is on it and readable."),
    "certificate": (FLIGHT_CERTIFICATED, "Whether it has an airworthiness certificate."),
    "assembly": (OVER_ASSEMBLY, "How it flies over an open-air assembly of people."),
    "remote-id": (REMOTE_ID_WAY, "How it meets Remote ID."),
    "remote-id-works": (BROADCASTS, "Whether Remote ID works from takeoff to shutdown."),
    "closed-site": (
        CLOSED_SITE,
        "Whether the site is closed or restricted, and everyone there was notified.",
    ),
    "sustained": (
        SUSTAINED,
        "Whether it stays over people who aren't taking part, rather than just passing over them.",
    ),
    "vehicles": (OVER_VEHICLES, "Whether it flies over people in moving vehicles."),
    "sustained-vehicles": (
        SUSTAINED_VEHICLES,
        "Whether it stays over moving vehicles, rather than just passing over them.",
    ),
}
"""What may be told behind the command, by option: the fact and its help."""
_SHORT: dict[type[StrEnum], dict[str, StrEnum]] = {
    Category: dict(zip("1234", Category, strict=False)),
    PeopleBelow: {one.name.lower(): one for one in PeopleBelow},
    OverAssembly: {one.name.lower(): one for one in OverAssembly},
    RemoteIdWay: {one.name.lower().replace("_", "-"): one for one in RemoteIdWay},
}
"""Short words for the choices."""


def told_options(command: Callable[..., int]) -> Callable[..., int]:
    """All the options of facts."""
    for name, (key, help_text) in reversed(OPTIONS.items()):
        words = ["yes", "no"] if key.kind is bool else list(_SHORT.get(key.kind, ()))
        kind = click.Choice(words) if words else None
        command = click.option(f"--{name}", type=kind, help=help_text)(command)
    return command


@click.command()
@told_options
@click.option(
    "--aircraft", help="An aircraft on record. We use its weight and Remote ID if you don't enter them."
)
@ledger_option
@on_option
@at_option
@json_option
def command(
    aircraft: str | None,
    ledger: Path | None,
    on: date | None,
    at: datetime | None,
    as_json: bool,
    **told: str | None,
) -> int:
    """Show which categories allow a flight over people, and what each one still needs.

    It covers Part 107's four categories, open-air assemblies and moving vehicles, based on your answers. It
    also works out the energy of an impact. That number alone doesn't allow a flight.

    \b
    Example:
      airwrit over-people --below others --weight "240 g" --weight-error "1 g" --cutting-parts no --assembly none --vehicles no
    """
    when = asked(on, at)
    answer = over_people_of({**_on_record(aircraft, ledger, when), **_told(told)}, when)
    if as_json:
        show_json(over_people_json(answer))
    else:
        show_over_people(answer)
    return EXIT[answer.verdict]


def _on_record(aircraft: str | None, ledger: Path | None, when: When) -> Told:
    """What the records tell of an aircraft. UsageError where a ledger was named and no aircraft, or where there is none."""
    if aircraft is None:
        if ledger is not None:
            raise UsageError(
                "--ledger works here only with an aircraft",
                where="--ledger",
                do="add --aircraft",
            )
        return {}
    state = fleet_of_ledger(AsOf(ledger, when, None), None, None).state
    if not state.held.get(f"aircraft/{aircraft}"):
        near = difflib.get_close_matches(aircraft, [id_of(one) for one in state.subjects("aircraft")], n=1)
        raise UsageError(
            f"no aircraft on record is named {aircraft!r}",
            where="--aircraft",
            do=f"did you mean {near[0]}?" if near else "see `airwrit today`",
        )
    return told_of(state, aircraft)


def _told(texts: dict[str, str | None]) -> Told:
    found: dict[Key[Any], Raw] = {}
    for name, text in texts.items():
        if text is None:
            continue
        option = name.replace("_", "-")
        key = OPTIONS[option][0]
        short = _SHORT.get(key.kind)
        try:
            found[key] = short[text].value if short else read_reply(key, text)
        except BadFact as fault:
            raise click.BadParameter(str(fault), param_hint=f"--{option}") from fault
    return found


def show_over_people(answer: OverPeopleAnswer) -> None:
    """The answer, the categories, the energy and what to keep in mind."""
    out, view = console(), over_people_view(answer)
    show_late(answer.on, out)
    out.print(Text(SCOPE_OF_ANSWERS, style="dim"))
    out.print(view.says, style="bold")
    print_title("Who is below", out)
    _rows([view.below], out)
    if view.site:
        print_title("Assemblies and moving vehicles", out)
        _rows(view.site, out)
    print_title("Over people who aren't taking part and have no shelter", out)
    _rows(view.ways, out)
    print_title("Energy", out)
    for sentence in view.energy:
        out.print(sentence)
    out.print()
    for note in view.notes:
        out.print(Text(note, style="dim"))
    show_caution(out)


def _rows(rows: Sequence[SiteRow], out: Console) -> None:
    width = max(len(row.about) for row in rows)
    shown = ((SIGNS[row.verdict], row.about, said(row.says), row.cites) for row in rows)
    print_rows(shown, (-4, -max(width, 1), 62, 26), out)
