"""`airwrit before-flight`: may this flight go, when and how high, and what has to be confirmed first."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.confirmations import AT_ONCE, plain_answers
from airwrit.answers.before_flight.flight_view import (
    ClauseText,
    HazardText,
    NeedText,
    TickText,
    flight_view,
)
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import FlightRelease, bookings, saved_flight, without_plans
from airwrit.answers.before_flight.saving import saving
from airwrit.answers.before_flight.typed import (
    PlanTyped,
    approved,
    confirmation_of,
    crew_of_last,
    groups_confirmed,
    hazards_told,
    plan_of,
    ticked,
)
from airwrit.answers.before_flight.view import ChangeText, WhoText, words
from airwrit.answers.before_flight.windows import MOST_DAYS
from airwrit.answers.document import SCOPE_OF_FLIGHT
from airwrit.answers.drawings.side_view import side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.base.whole_files import write_whole
from airwrit.cli.console import SIGNS, clean, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.shared.facts_asked import read_facts_text
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.fleet import Fleet, ProgramStated, fleet_by_option
from airwrit.cli.shared.ledger import by_option, held_in, kept_in, may_keep, writer, yes_option
from airwrit.cli.shared.options import DayType, json_option, ledger_path, now
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_words
from airwrit.facts.choices import UsedFor, words_of
from airwrit.facts.keys.flights.planning import CHECKLIST_TICKED
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import FLIGHT_TABLES, KEYS
from airwrit.intake.typed.facts_file import read_facts
from airwrit.papers.flight_pdf import flight_pdf
from airwrit.sky.zones import instant_at

_AT_ONCE = "=ok"
"""Ends what confirms a group at once."""


@click.command(context_settings=NEGATIVE_NUMBERS)
@click.argument("place", nargs=-1)
@click.option(
    "--call-out",
    is_flag=True,
    help="Fill in what you leave out: takeoff now, for 30 minutes, otherwise like the last flight.",
)
@click.option("--radius", help="How far around the place you fly, in feet or like 150 m.")
@click.option("--from", "start", help='Takeoff in local time there: "2026-12-02 14:00", now or +30 min.')
@click.option("--until", "end", help="End of the flight, like 14:40, or +30 for so many minutes.")
@click.option("--height", help="The highest you'll fly above the ground, in feet or like 60 m.")
@click.option("--aircraft", help="The aircraft, by its name on file.")
@click.option("--pilot", help="The remote pilot in command, by the name on file.")
@click.option(
    "--for",
    "flown_for",
    type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]),
    help="What this flight is for, if the aircraft has more than one use.",
)
@click.option(
    "--confirm",
    multiple=True,
    metavar="FACT=ANSWER",
    help="A fact the pilot confirmed. crew=ok or aircraft=ok confirms everything left in that group. "
    "You can use this option more than once.",
)
@click.option(
    "--tick",
    multiple=True,
    metavar="LINES",
    help="Checklist lines that are done, like 1-5,7 or all. You can use this option more than once.",
)
@click.option(
    "--hazard",
    multiple=True,
    metavar="LINE",
    help="A hazard in four parts: what can go wrong | the risk before (likely, serious) | "
    "what was done | the risk after (unlikely, minor). "
    "You can use this option more than once.",
)
@click.option("--approve-risks", is_flag=True, help="Approve the hazards in your name.")
@click.option("--approved-until", type=DayType(), help="The last day your approval is good.")
@click.option("--facts", type=PATH, help="A TOML file with [flight], [site], [weather] or [crew] tables.")
@click.option("--weather", help="A METAR or TAF, as text. It's only a guide. What you see is what counts.")
@click.option("--site", help="The name of a saved site. Use it instead of PLACE.")
@click.option("--takeoff", help="Where you take off: latitude and longitude.")
@click.option("--packs", help="The batteries you'll use, separated by commas.")
@click.option("--configuration", help="What it carries: the name of a configuration on file.")
@click.option(
    "--structure",
    help="A tower or building next to the flight: where it is, or the farthest you'll be from it.",
)
@click.option("--structure-top", help="How high its top is above ground, in feet or like 60 m.")
@click.option("--ground", help="The highest ground under the area, in feet above sea level.")
@click.option(
    "--days",
    type=click.IntRange(1, MOST_DAYS),
    default=1,
    help="How many days ahead to look for flight times.",
)
@click.option("--zone", "zone_name", help="The time zone, such as America/Denver, if it isn't the local one.")
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder with airspace data (`airspace` next to the ledger if you leave it out).",
)
@click.option(
    "--flight",
    "planned",
    help="A planned flight on record. Use it instead of PLACE and the other options of a plan.",
)
@click.option(
    "--pdf",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Save the flight sheet as a PDF in this file.",
)
@click.option("--save", metavar="NAME", help="Save the plan, what you confirmed and the answer.")
@click.option("--release", is_flag=True, help="Release the flight in your name, and save it.")
@click.option(
    "--against",
    metavar="REASON",
    help="Why you release it even though the answer isn't OK. The answer stays the same.",
)
@fleet_by_option
@by_option
@yes_option
@json_option
def command(
    place: tuple[str, ...],
    call_out: bool,
    planned: str | None,
    pdf: Path | None,
    save: str | None,
    release: bool,
    against: str | None,
    by: str | None,
    yes: bool,
    confirm: tuple[str, ...],
    tick: tuple[str, ...],
    hazard: tuple[str, ...],
    approve_risks: bool,
    approved_until: date | None,
    facts: Path | None,
    weather: str | None,
    days: int,
    folder: Path | None,
    fleet: Fleet,
    as_json: bool,
    **typed: str | None,
) -> int:
    """Check a flight against every rule, and show when and how high you could fly.

    PLACE is latitude and longitude with a --radius, or the corners of the area with semicolons between:
    "40.0150, -105.2705", "40 00.9 N 105 16.2 W" or "40.01, -105.27; 40.02, -105.27; 40.02, -105.25". We list
    what the pilot has to confirm, because no data can show it. No answer here is a clearance.

    \b
    Example:
      airwrit before-flight 36.0542, -79.9792 --radius 500 --from "2026-12-02 14:00" --until 14:40
        --height 200 --aircraft "Maple 1" --pilot "Dana Haskell" --for work --confirm notice_covers=no
      airwrit before-flight --call-out --site "Mill Pond" --height 200
      airwrit before-flight --flight "Quarry survey" --confirm notice_covers=no --save "Quarry survey"
    """
    groups = [text.removesuffix(_AT_ONCE) for text in confirm if text.endswith(_AT_ONCE)]
    confirmed = [*_facts_of(facts), *_confirmed(confirm)]
    confirmed += approved(writer(by), approved_until) if approve_risks else []
    if planned is None:
        words = {name: text or "" for name, text in typed.items()} | {"hazards": "\n".join(hazard)}
        told = PlanTyped(typed_words(place, "before-flight"), **words)
        plan, stated = _typed_plan(told, fleet, call_out=call_out)
    else:
        plan, stated, confirmed = _saved_plan(planned, fleet, confirmed, hazard)
    program, confirmed = _program(plan, stated, confirmed, tick, groups)
    program = replace(program, booked=bookings(stated.known, plan, planned or save or ""))
    shelf = folder or ledger_path(fleet.ledger).parent / "airspace"
    answer = flight_answer(plan, program.around(*plan.subjects), shelf, weather, days, lambda: program)
    if as_json:
        click.echo(json.dumps(check_json(answer), indent=1))
    else:
        show_check(answer, console())
    if pdf is not None:
        site = site_map(answer.check.plan, shelf)
        side = side_view(answer.check, site, shelf)
        write_whole(pdf, flight_pdf(answer, site, side, save or planned or ""), private=True)
        click.echo(f"\nThe flight sheet is in {pdf}.", err=as_json)
    if save is not None or release:
        name, who = save or planned or "", writer(by)
        released = FlightRelease(who, (against or "").strip()) if release else None
        _save(fleet, (name, answer, confirmed, who, now(), released), yes=yes, as_json=as_json)
    return EXIT[answer.check.verdict]


def _typed_plan(told: PlanTyped, fleet: Fleet, *, call_out: bool) -> tuple[FlightPlan, ProgramStated]:
    """The plan of the options, with what is on file for its day."""
    told = told.called_out(crew_of_last(fleet.stated(now()).known)) if call_out else told
    told = (told.at_site(fleet.stated(now()).known) if told.site else told).starting(now())
    stated = fleet.stated(instant_at(_given(told).start, told.zone, "from"))
    return plan_of(told, [item.statement.subject for item in stated.known]), stated


def _saved_plan(
    name: str, fleet: Fleet, confirmed: list[Known], hazard: tuple[str, ...]
) -> tuple[FlightPlan, ProgramStated, list[Known]]:
    """A planned flight on record, what is on file, and what was confirmed, now or when it was saved.

    Other hazards make it another plan, and end what was confirmed.
    """
    stated = fleet.stated(now())
    found = saved_flight(stated.known, name)
    if hazard:
        return found.plan._replace(hazards=hazards_told(hazard)), stated, confirmed
    given = {item.statement.key for item in confirmed}
    return found.plan, stated, [*confirmed, *(one for one in found.told if one.statement.key not in given)]


def _program(
    plan: FlightPlan, stated: ProgramStated, confirmed: list[Known], tick: tuple[str, ...], groups: list[str]
) -> tuple[Program, list[Known]]:
    """What is on file with what is confirmed, by itself or in groups, and ticked."""
    spoiled = [pair for problem in stated.problems for pair in problem.spoils]
    program = Program(without_plans(stated.known), stated.known_at, stated.house, confirmed, spoiled)
    if groups:
        confirmed = [*confirmed, *groups_confirmed(plan, program, groups)]
        program = program.with_told(confirmed)
    if not tick:
        return program, confirmed
    kept = [one for one in confirmed if one.statement.key != CHECKLIST_TICKED.name]
    confirmed = [*kept, ticked(plan, program, tick)]
    return program.with_told(confirmed), confirmed


def _given(told: PlanTyped) -> PlanTyped:
    """The plan as typed. UsageError names the first field that is missing."""
    for name in ("place", "start", "end", "height", "aircraft", "pilot"):
        if not getattr(told, name):
            option = {"start": "--from", "end": "--until", "place": "PLACE"}.get(name, f"--{name}")
            raise UsageError(
                "this is missing",
                where=option,
                do="enter the whole plan, or a planned flight with --flight",
            )
    return told


def _save(
    fleet: Fleet,
    saved: tuple[str, FlightAnswer, Sequence[Known], str, datetime, FlightRelease | None],
    *,
    yes: bool,
    as_json: bool,
) -> None:
    """Keep the plan and its answer, shown before, if wanted."""
    path = ledger_path(fleet.ledger)
    made = saving(held_in(path), *saved)
    if made.taking.is_empty or not may_keep(yes, lambda: f"\nSave this flight in {path.name}?"):
        click.echo(
            "\nNothing was saved." if yes else "\nNothing was saved. Add --yes to save it.", err=as_json
        )
        return
    entries = kept_in(path, made.taking, made.files)
    click.echo(f"\nSaved in {path.name} as entry {', '.join(str(one.seq) for one in entries)}.", err=as_json)


def _facts_of(path: Path | None) -> tuple[Known, ...]:
    """The facts of a flight in a facts file."""
    if path is None:
        return ()
    told = read_facts(read_facts_text(path)[0], path.name).known
    return tuple(item for item in told if KEYS[item.statement.key].table in (*FLIGHT_TABLES, "map_cell"))


def _confirmed(told: Iterable[str]) -> Iterator[Known]:
    """The facts confirmed one by one as FACT=ANSWER."""
    for text in told:
        if text.endswith(_AT_ONCE):
            continue
        name, is_told, said = text.partition("=")
        if not is_told:
            raise UsageError(
                f"{text!r} has no answer", where="--confirm", do="write it like notice_covers=no"
            )
        found = confirmation_of(name, said)
        if found is not None:
            yield found


_SHARES = (-4, 26, 62, 22)


def show_check(answer: FlightAnswer, out: Console) -> None:
    """Print the whole answer."""
    view, names = flight_view(answer), words()["groups"]
    out.print()
    out.print(Text(view.whole, style="bold"))
    out.print(clean(view.plan))
    for line in view.watch:
        out.print(clean(line), style="bold")
    out.print(Text(SCOPE_OF_FLIGHT, style="dim"))
    if view.owed:
        out.print(Text(words()["confirm"]["holds"], style="dim"))
    _show_clauses(*view.fix, out)
    print_title(names["aircraft_and_pilot"], out)
    print_rows(map(_who_row, view.who), (-4, 26, 84), out)
    _show_needs(names["owed"], view.owed, out)
    if any(plain_answers(group, [need.name for need in view.owed]) for group in AT_ONCE):
        out.print(Text(words()["confirm"]["at_once"], style="dim"))
    _show_needs(names["needed"], view.needed, out)
    if view.approval:
        print_title(f"{words()['risk']['heading']}. {view.approval}", out)
        print_rows(map(_hazard_row, view.hazards), (36, 20, 40, 20), out)
    for one in view.checklists:
        print_title(f"{one.title}: {one.says}", out)
        print_rows(map(_line_row, one.lines), (-4, 96, 14), out)
    _show_lines(names["windows"], view.times, out)
    _show_lines(names["height"], view.height, out)
    if view.changes:
        print_title(words()["change"]["heading"], out)
        print_rows(map(_change_row, view.changes), (-4, 46, 36, 34, 26), out)
    _show_lines(names["authority"], view.authority, out)
    _show_lines(names["around"], view.around, out)
    for heading, clauses in view.groups:
        _show_clauses(heading, clauses, out)
    show_caution(out)


def _show_lines(heading: str, lines: Sequence[str], out: Console) -> None:
    print_title(heading, out)
    for line in lines:
        out.print(clean(f"  {line}"))


def _show_clauses(heading: str, clauses: Sequence[ClauseText], out: Console) -> None:
    if clauses:
        print_title(heading, out)
        print_rows(map(_clause_row, clauses), _SHARES, out)


def _clause_row(told: ClauseText) -> tuple[str, ...]:
    return SIGNS[told.verdict], told.name.replace("_", " "), said(told.says), told.cites


def _who_row(told: WhoText) -> tuple[str, ...]:
    against = f". {told.why}" if told.why else ""
    return SIGNS[told.verdict], clean(told.name), said(f"{told.status}{against}")


def _change_row(told: ChangeText) -> tuple[str, ...]:
    return SIGNS[told.verdict], said(told.says), told.then, told.takes, told.lead


def _hazard_row(told: HazardText) -> tuple[str, ...]:
    return said(told.what), told.before, said(told.done), told.after


def _line_row(told: TickText) -> tuple[str, ...]:
    sign = SIGNS[Verdict.MET if told.is_ticked else Verdict.UNKNOWN]
    return (
        sign,
        said(f"{told.text} {told.answers}".strip()),
        "" if told.is_ticked else f"--tick {told.number}",
    )


def _show_needs(heading: str, needs: Sequence[NeedText], out: Console) -> None:
    if needs:
        print_title(heading, out)
        print_rows(map(_need_row, needs), (-4, 70, 40), out)


def _need_row(told: NeedText) -> tuple[str, ...]:
    asks, choices = f"{told.asks} {told.look}".strip(), told.need.question.choices
    if choices and not told.lets_go:
        asks += f" One of: {'; '.join(map(words_of, choices))}."
    return SIGNS[Verdict.UNKNOWN], asks, f"--confirm {told.name}={told.lets_go}"
