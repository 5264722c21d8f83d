"""`airwrit record-change`: facts and acts said by hand, into the ledger, and an entry taken back."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import click

from airwrit.answers.acts.json import taken_back_json
from airwrit.answers.acts.plan import Basis, effects_of
from airwrit.answers.acts.withdrawal import entry_named, taking_back
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.sheets.difference import Difference, HandEntry, saying_by_hand, shown_value
from airwrit.answers.sheets.json import taking_json
from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.facts_asked import read_facts_text
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import by_option, held_in, kept_in, may_keep, note_option, writer, yes_option
from airwrit.cli.shared.options import DayType, json_option, ledger_option, ledger_path, now
from airwrit.cli.shared.own_rules import house_given
from airwrit.cli.shared.typed import key_typed, value_typed
from airwrit.cli.shown.acts import ActOptions, list_acts, record_act, show_taken_back, thought_of
from airwrit.cli.shown.difference import show_taking
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, TELLABLE, id_of, kind_of
from airwrit.intake.typed.facts_file import told_in_file
from airwrit.ledger.entry import Entry

_TRIES = 20


class _Moment(click.ParamType[Any]):
    """A day, or an instant with its zone."""

    name = "day"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> When:
        """The day or instant; a time without a zone is refused."""
        try:
            return parse_when(str(value))
        except ValueError as fault:
            return self.fail(str(fault), param, ctx)


@click.command()
@click.argument("words", nargs=-1, metavar="SUBJECT KEY=VALUE... | ACT SUBJECT FIELD=VALUE...")
@click.option(
    "--from", "start", type=_Moment(), help="The first day a fact applies (always if you leave it out)."
)
@click.option("--until", type=_Moment(), help="The first day a fact no longer applies.")
@click.option("--on", type=DayType(), help="The day the ACT happened (today if you leave it out).")
@click.option(
    "--correct",
    is_flag=True,
    help="The old entry was wrong. Replace it for every day, as if it had never been made.",
)
@click.option(
    "--beside",
    is_flag=True,
    help="Keep both values for the same days. The fact is unknown until you correct one of them.",
)
@click.option(
    "--acts",
    "acts",
    is_flag=True,
    help="List every ACT and its fields, and exit. Name an ACT to see only its fields.",
)
@click.option(
    "--house",
    type=PATH,
    multiple=True,
    help="Also show what an act changes under your own rules in this file. You can use this option more than once.",
)
@click.option(
    "--take-back",
    metavar="ENTRY",
    help="Take back the entry with this number, and everything in it. What it replaced counts again.",
)
@click.option(
    "--facts",
    type=PATH,
    help="Save every fact in this TOML file: checklists, saved sites and others.",
)
@note_option
@yes_option
@ledger_option
@by_option
@json_option
def command(
    words: tuple[str, ...],
    start: When | None,
    until: When | None,
    on: date | None,
    correct: bool,
    beside: bool,
    acts: bool,
    house: tuple[Path, ...],
    take_back: str | None,
    facts: Path | None,
    note: str,
    yes: bool,
    ledger: Path | None,
    by: str | None,
    as_json: bool,
) -> int:
    """Record facts about SUBJECT, such as owner=NAME, or an ACT such as sell, which records everything that
    changes with it.

    SUBJECT is a name, such as H-03. Write aircraft/H-03 if the name also belongs to something else.

    KEY= with nothing after it says that the fact no longer applies. With --from, the old value stays until that day. With
    --correct, the new value replaces the old one. If you use neither and another value is on file for the
    same days, we ask whether to replace it. Without a terminal, we save nothing in that case, unless you add
    --beside.

    Before you save, you see what you have to do next.

    \b
    Examples:
      airwrit record-change aircraft/H-03 owner="Tarn & Fell" --from 2026-11-25
      airwrit record-change sell aircraft/H-03 --on 2026-11-25
      airwrit record-change --facts checklists.toml
      airwrit record-change --take-back 17 --note "it was another aircraft"
    """
    if acts:
        return list_acts(words[0] if words else "", as_json=as_json)
    path = ledger_path(ledger)
    if take_back is not None:
        _only_of(not words, "--take-back", "give only the entry number")
        return taken_back(
            path, take_back, ActOptions(writer(by), note, yes=yes, house=house_given(house)), as_json=as_json
        )
    if facts is not None:
        _only_of(not words, "--facts", "give the facts in the file only")
        text, _ = read_facts_text(facts)
        saying = HandEntry(told_in_file(text, facts.name), correct, note)
        return _record_statements(path, saying, writer(by), beside=beside, as_json=as_json)
    if len(words) > 1 and "/" not in words[0] and "=" in words[1]:
        words = (_named(path, words[0]), *words[1:])
    if not words or "/" not in words[0]:
        _only_of(start is None and until is None, "--from, --until", "use --on DAY with an act")
        thought = thought_of(words, on or now().astimezone().date())
        wish = ActOptions(writer(by), note, correct, yes, house_given(house))
        return record_act(path, thought, wish, as_json=as_json)
    _only_of(on is None, "--on", "use --from DAY with facts")
    _only_of(
        not house, "--house", "leave out --house. `airwrit today --house` checks facts against your rules"
    )
    return _record_facts(
        path, words, (HandEntry((), correct, note), beside), (start, until, writer(by)), as_json=as_json
    )


def _named(path: Path, name: str) -> str:
    """The subject of a plain name. UsageError where several are called so, or none is."""
    held = held_in(path)
    subject = the_one_called(name, dict.fromkeys(subject for subject, _ in held.groups))
    if "/" not in subject:
        raise UsageError(
            f"nothing on record is named {name!r}",
            where="SUBJECT",
            do=f"write kind/name, such as aircraft/{name}, to record something new",
        )
    return subject


def _only_of(holds: bool, where: str, do: str) -> None:
    if not holds:
        raise UsageError("that option doesn't fit here", where=where, do=do)


def _record_facts(
    path: Path,
    words: tuple[str, ...],
    how: tuple[HandEntry, bool],
    span_and_writer: tuple[When | None, When | None, str],
    *,
    as_json: bool,
) -> int:
    """Keep facts of a subject at once; 3 when they contradict what is on file."""
    (saying, beside), (start, until, by) = how, span_and_writer
    subject = words[0]
    _look_at(subject)
    if len(words) == 1:
        raise UsageError("you didn't name a fact", where="KEY=VALUE", do="write NAME=VALUE")
    statements = tuple(_statement(subject, text, start or EARLIEST, until) for text in words[1:])
    return _record_statements(
        path, saying._replace(statements=statements), by, beside=beside, as_json=as_json
    )


def _record_statements(path: Path, said: HandEntry, by: str, *, beside: bool, as_json: bool) -> int:
    """Keep what is said; 3 when it contradicts what is on file."""
    settled = _settled(path, said, by, beside=beside)
    if settled is None:
        if as_json:
            taking = saying_by_hand(held_in(path), said, by)
            show_json({**taking_json(taking), "question": "record", "kept": []})
        return 3
    taking, entries = _kept(path, settled, by)
    if as_json:
        document = {**taking_json(taking), "question": "record", "kept": [entry.seq for entry in entries]}
        show_json(document)
    else:
        show_taking(taking, console())
        if entries:
            click.echo(f"\nSaved to {path.name} as entry {', '.join(str(entry.seq) for entry in entries)}")
        if taking.contradictions:
            click.echo("Use --from DAY if it changed then, or --correct if the old value was wrong.")
        show_caution(console())
    return 3 if taking.contradictions else 0


def _settled(path: Path, saying: HandEntry, by: str, *, beside: bool) -> HandEntry | None:
    """What to keep where something else was said of the same days: in its place if somebody says so; None for nothing."""
    taking = saying_by_hand(held_in(path), saying, by)
    new = [one for one in taking.contradictions if one.new]
    if not new or beside or saying.corrects:
        return saying
    for one in new:
        said = ", ".join(shown_value(one.key, value) for value, _ in one.said)
        click.echo(
            f"Two values on file for {KEYS[one.key].meaning} of {one.subject}: {clean(said)}", err=True
        )
    if may_keep(yes=False, ask=lambda: "Replace the old value?"):
        return saying._replace(corrects=True)
    click.echo(
        "Nothing was saved. Use --from DAY if it changed then, --correct if the old value was wrong, "
        "or --beside to keep both.",
        err=True,
    )
    return None


def _kept(path: Path, saying: HandEntry, by: str) -> tuple[Difference, tuple[Entry, ...]]:
    """What recording does, worked out again when others wrote meanwhile; and the entries kept."""
    for _ in range(_TRIES):
        taking = saying_by_hand(held_in(path), saying, by)
        try:
            return taking, kept_in(path, taking) if taking.drafts else ()
        except LedgerMoved:
            continue
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )


def _look_at(subject: str) -> None:
    """UsageError when the subject has no kind or no name."""
    kinds = tuple(dict.fromkeys(TELLABLE.values()))
    if kind_of(subject) not in kinds or not id_of(subject):
        raise UsageError(
            f"{subject!r} isn't a record's name",
            where="SUBJECT",
            do=f"write kind/name, where the kind is {', '.join(kinds)}",
        )


def _statement(subject: str, text: str, start: When, until: When | None) -> Statement:
    """The statement of a `key=value`. BadFact on an unknown key, on one of another kind of subject, or on a wrong value."""
    name, equals, value = text.partition("=")
    if not equals:
        raise UsageError(f"{text!r} isn't NAME=VALUE", where="KEY=VALUE", do="write NAME=VALUE")
    key = key_typed(name.strip(), kind_of(subject))
    return Statement(
        subject, key.name, value_typed(key, value.strip(), names_unit=name.strip() == key.name), start, until
    )


def taken_back(path: Path, entry: str, wish: ActOptions, *, as_json: bool) -> int:
    """Show what taking an entry back does, write it where that is wanted; 3 when it was not or something is contradicted."""
    today = now().astimezone().date()
    found = taking_back(held_in(path), entry_named(entry), wish.by, today, wish.note)
    moment = max((now(), *(item.recorded_at for item in found.before)))
    basis = Basis(sources=wish.house.sources, house=wish.house.rules)
    effects = effects_of(found.before, found.after, today, moment, basis)
    if not as_json:
        show_taken_back(found, effects, console())
    entries = kept_in(path, found.taking) if may_keep(wish.yes, lambda: "Take it back?") else ()
    if as_json:
        document = {**taken_back_json(found, effects), "kept": [one.seq for one in entries]}
        show_json(document)
    elif entries:
        click.echo(f"\nSaved to {path.name} as entry {', '.join(str(one.seq) for one in entries)}")
    else:
        click.echo("\nNothing was saved. Add --yes to take it back.")
    if not as_json:
        show_caution(console())
    return 0 if entries and not found.taking.contradictions else 3
