"""`airwrit log-flight`: a flight said by hand, into the ledger; and the release of an aircraft after a defect."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import click

from airwrit.answers.acts.plan import all_known
from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.flights.entering import ENTER, entering, placed, releasing, remarks_on
from airwrit.answers.sheets.difference import Difference, OnRecord
from airwrit.answers.sheets.json import taking_json
from airwrit.answers.standing.standing import standing
from airwrit.answers.standing.view import Warned, warned_of
from airwrit.base.days import When, day_of, parse_when
from airwrit.base.errors import BadFact, LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import by_option, held_in, kept_in, may_keep, note_option, writer, yes_option
from airwrit.cli.shared.options import json_option, ledger_option, ledger_path, now
from airwrit.cli.shown.difference import show_taking
from airwrit.facts.choices import UsedFor
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.intake.typed.flight import Flown, flown_of
from airwrit.law.parameters import FIRST_DAY
from airwrit.ledger.entry import Entry

_TRIES = 20
_MOST_JUDGED = 30_000
"""More statements than these are not judged for one flight: about a thousand aircraft."""


@click.command()
@click.option("--aircraft", required=True, help="The aircraft flown.")
@click.option("--pilot", help="Who flew.")
@click.option(
    "--landed", help="When it landed, with its time zone, or only the day (now if you leave it out)."
)
@click.option("--minutes", help="Minutes in the air.")
@click.option("--landings", help="Takeoffs and landings (1 if you leave it out).")
@click.option("--packs", help="The battery packs used, separated by commas.")
@click.option("--defect", help="A defect you saw. It grounds the aircraft until someone signs it off.")
@click.option(
    "--use", type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]), help="What it was flown for."
)
@click.option("--against", help="Why it was flown although the answer before the flight wasn't OK.")
@click.option("--nth", help="Which flight of the day it was (1 for the first), if you don't know its time.")
@click.option("--correct", is_flag=True, help="Replace what was recorded about this flight before.")
@click.option(
    "--release",
    metavar="WHEN",
    help="Record a sign-off instead of a flight: when the aircraft was signed off after a defect.",
)
@note_option
@ledger_option
@by_option
@yes_option
@json_option
def command(
    ledger: Path | None, by: str | None, yes: bool, as_json: bool, release: str | None, **said: Any
) -> int:
    """Log a flight. You see a preview first.

    It counts toward recent experience, hours and battery cycles. If you enter the same flight at a desk and
    on a phone, it counts once. Without a terminal, nothing is saved unless you add --yes.

    \b
    Example:
      airwrit log-flight --aircraft H-03 --pilot "Ivo Brask" --minutes 14 --landed 2026-11-25T10:20-05:00 --packs P1,P2
    """
    correct, note = said.pop("correct"), said.pop("note")
    who = writer(by)
    work: Callable[[OnRecord], Difference]
    warn: Callable[[OnRecord], tuple[Warned, ...]] = _nothing
    if release is not None:
        when, what = _released(said, release), "release"
        work = partial(releasing, aircraft=said["aircraft"], released=when, who=who, by=who)
    else:
        flown = _flown(said, correct=correct)
        when, what = flown.landed, "landing"
        work = partial(_entered, flown=flown, by=who, corrects=correct, note=note)
        warn = partial(_warnings, flown=flown)
    if not as_json:
        for remark in remarks_on(when, now(), ENTER, what):
            click.echo(remark.says)
    return _done(ledger_path(ledger), work, warn, yes=yes, as_json=as_json)


def _nothing(_: OnRecord) -> tuple[Warned, ...]:
    return ()


def _warnings(held: OnRecord, flown: Flown) -> tuple[Warned, ...]:
    """Who and what of a flight was not OK on its day; not worked out in a program so great that it takes long."""
    known = all_known(held)
    if len(known) > _MOST_JUDGED:
        return ()
    subjects = [subject_named("aircraft", flown.aircraft)]
    subjects += [subject_named("person", flown.pilot)] if flown.pilot else []
    day = max(FIRST_DAY, min(day_of(flown.landed), now().astimezone().date()))
    moment = max((now(), *(item.recorded_at for item in known)))
    return warned_of(standing(known, day, moment), subjects, flown.use)


def _entered(held: OnRecord, flown: Flown, by: str, *, corrects: bool, note: str) -> Difference:
    return entering(held, [placed(held, flown)], by, corrects=corrects, note=note)


def _flown(said: dict[str, Any], *, correct: bool) -> Flown:
    """The flight that the options say. It landed now and once, where they do not say; a correction adds nothing unsaid.

    UsageError names each that is wrong.
    """
    fields = {name: value for name, value in said.items() if value is not None}
    if not correct:
        fields.setdefault("landed", now().astimezone().isoformat(timespec="minutes"))
        fields.setdefault("landings", "1")
    flown, problems = flown_of(fields, "--")
    if flown is None:
        raise UsageError(
            "; ".join(f"{one.where.replace('-- ', '--')}: {one.what}" for one in problems),
            where=ENTER,
            do=problems[0].do,
        )
    return flown


def _released(said: dict[str, Any], release: str) -> When:
    """When it was released. UsageError when a flight was said besides, BadFact when it is no day or moment."""
    extra = [name for name, value in said.items() if value is not None and name != "aircraft"]
    if extra:
        raise UsageError(
            "a sign-off isn't a flight", where=f"--{extra[0]}", do="use only --aircraft and --release"
        )
    try:
        return parse_when(release)
    except ValueError as fault:
        raise BadFact(str(fault), where="--release", do="enter when it was released") from fault


def _done(
    path: Path,
    work: Callable[[OnRecord], Difference],
    warn: Callable[[OnRecord], tuple[Warned, ...]],
    *,
    yes: bool,
    as_json: bool,
) -> int:
    """Show what would be kept, keep it if wanted, and say so; worked out again when others wrote meanwhile."""
    if not path.exists():
        raise LedgerFault(
            "there is no ledger with that name",
            where=path.name,
            do="import a sheet or record something first",
        )
    held = held_in(path)
    taking = work(held)
    twice, warned = doubles_to_look_at(held, taking, ENTER), warn(held)
    if not as_json:
        show_taking(taking, console())
        for remark in twice:
            console().print(f"\n{clean(remark.says)}")
        for one in warned:
            console().print(
                f"\nWatch out. {clean(id_of(one.subject))}: {one.headline}. {clean(one.says)}".rstrip()
            )
    keep = not taking.is_empty and may_keep(yes, lambda: f"\nSave this to {path.name}?")
    entries = _kept(path, work, taking) if keep else ()
    if as_json:
        document = {
            **taking_json(taking, twice),
            "question": ENTER,
            "warned": [one._asdict() for one in warned],
            "kept": [entry.seq for entry in entries],
        }
        show_json(document)
    elif not taking.is_empty:
        kept = ", ".join(str(entry.seq) for entry in entries)
        click.echo(
            f"\nSaved to {path.name} as entry {kept}"
            if entries
            else "\nNothing was saved. Add --yes to save it."
        )
    if taking.contradictions and not as_json:
        click.echo("Another entry disagrees. Use --correct if that entry was wrong.")
    if not as_json:
        show_caution(console())
    return 3 if taking.contradictions or not (entries or taking.is_empty) else 0


def _kept(path: Path, work: Callable[[OnRecord], Difference], taking: Difference) -> tuple[Entry, ...]:
    for _ in range(_TRIES):
        try:
            return kept_in(path, taking) if taking.drafts else ()
        except LedgerMoved:
            taking = work(held_in(path))
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )
