"""An act said by hand: worked out, shown with the duties it causes, and kept when that is wanted."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import click

from airwrit.answers.acts.catalog import ACTS, ActPlanned, ActRequest, act_named
from airwrit.answers.acts.json import act_json, deed_json, effects_json
from airwrit.answers.acts.plan import Basis, Effects, effects_of, plan_of, renewed_until
from airwrit.answers.document import ON_PAPERS
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.sheets.json import contradiction_json
from airwrit.base.days import parse_day
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.cli.console import console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import held_in, kept_in, may_keep
from airwrit.cli.shared.options import now
from airwrit.cli.shared.typed import grams_typed
from airwrit.cli.shown.acts import show_act, show_acts, show_deed
from airwrit.house.rules import NO_HOUSE, House
from airwrit.ledger.entry import Entry

_TRIES = 20


class ActOptions(NamedTuple):
    """How an act is to be kept: by whom, with which word, whether it corrects the last one, whether it asks before.

    What it does is shown by the law and by `house`, an organization's own rules.
    """

    by: str
    note: str = ""
    corrects: bool = False
    yes: bool = False
    house: House = NO_HOUSE


class ActShown(NamedTuple):
    """An act worked out against a ledger: what it puts on record, what that does, and what it causes."""

    deed: ActPlanned
    taking: Difference
    effects: Effects


def list_acts(name: str, *, as_json: bool) -> int:
    """Print every act with its fields; of the one that is named, all that may be said."""
    acts = (act_named(name),) if name else ACTS
    if as_json:
        show_json([act_json(act) for act in acts])
    elif name:
        show_act(acts[0], console())
    else:
        show_acts(acts, console())
    return 0


def thought_of(words: Sequence[str], on: date) -> ActRequest:
    """The act that words say: its name, its subject, and field=value; `on=DAY` among them is the act's own day."""
    if not words:
        raise UsageError(
            "you didn't name an ACT", where="ACT", do="`airwrit record-change --acts` lists them"
        )
    act = act_named(words[0])
    keys = {field.name: field.key for field in act.fields}
    told: dict[str, str] = {}
    names: list[str] = []
    for word in words[1:]:
        name, equals, value = word.partition("=")
        field = name.strip().replace("-", "_")
        if equals and names:
            if field in told:
                raise UsageError(f"you entered {field} twice", where=word, do="enter it once")
            told[field] = grams_typed(keys.get(field), value)
        elif told:
            raise UsageError(
                f"{word!r} isn't a field",
                where=act.name,
                do='write field=value, or "field=two words" in quotes',
            )
        else:
            names.append(word)
    day = told.pop("on", None)
    return ActRequest(act.name, " ".join(names), told, on if day is None else _day(day))


def _day(text: str) -> date:
    try:
        return parse_day(text)
    except ValueError as fault:
        raise UsageError(str(fault), where="on=", do="write it like 2026-05-31") from fault


def said_in_one(text: str, on: date) -> ActRequest:
    """The act said in one text, as a shell would read it."""
    try:
        return thought_of(shlex.split(text), on)
    except ValueError as fault:
        raise UsageError(f"we can't read {text!r}", where="ACT", do="close the quotation marks") from fault


def record_act(path: Path, thought: ActRequest, wish: ActOptions, *, as_json: bool) -> int:
    """Work an act out, show it, keep it where that is wanted; 3 when it was not kept or contradicts what is on file."""
    shown = _worked_out(path, thought, wish)
    if not as_json:
        show_deed(shown.deed, shown.taking, shown.effects, console())
    entries: tuple[Entry, ...] = ()
    wanted = not shown.taking.is_empty and may_keep(wish.yes, lambda: "Keep it?")
    if wanted:
        shown, entries = _kept(path, thought, wish, shown)
    if as_json:
        show_json(_document(shown, entries))
    elif entries:
        click.echo(f"\nSaved to {path.name} as entry {', '.join(str(entry.seq) for entry in entries)}")
        if any(one.new for one in shown.taking.contradictions):
            click.echo(
                f"To settle it, use --correct to replace the last {shown.deed.act.name}, or correct the fact."
            )
    elif not shown.taking.is_empty:
        click.echo("\nNothing was saved. Add --yes to save it.")
    if not as_json:
        show_caution(console())
    kept = bool(entries) or shown.taking.is_empty
    return 0 if kept and not shown.taking.contradictions else 3


def _worked_out(path: Path, thought: ActRequest, wish: ActOptions) -> ActShown:
    """The act against the ledger as it is now; what it causes, on its day or today where that is past."""
    plan = plan_of(thought, held_in(path), wish.by, wish.note, corrects=wish.corrects)
    day = max(thought.on, now().astimezone().date())
    moment = max((now(), *(item.recorded_at for item in plan.before)))
    basis = Basis(sources=wish.house.sources, house=wish.house.rules)
    return ActShown(plan.deed, plan.taking, effects_of(plan.before, plan.after, day, moment, basis))


def _kept(
    path: Path, thought: ActRequest, wish: ActOptions, shown: ActShown
) -> tuple[ActShown, tuple[Entry, ...]]:
    """Keep what was shown. Where nobody looks at it, it is worked out again when others wrote meanwhile."""
    for _ in range(_TRIES):
        try:
            return shown, kept_in(path, shown.taking)
        except LedgerMoved:
            if not wish.yes:
                raise
            shown = _worked_out(path, thought, wish)
            if shown.taking.is_empty:
                return shown, ()
    raise LedgerFault(
        "someone else keeps saving to the ledger", where=path.name, do="try again when they're done"
    )


def _document(shown: ActShown, entries: Sequence[Entry]) -> dict[str, object]:
    expiry = renewed_until(shown.deed, shown.effects)
    return {
        "question": "record",
        **deed_json(shown.deed),
        "new_expiration": None if expiry is None else expiry.isoformat(),
        "changes": len(shown.taking.changes),
        "on_record_already": shown.taking.same,
        "contradictions": [contradiction_json(one) for one in shown.taking.contradictions],
        "effects": effects_json(shown.effects, (shown.deed.subject,)),
        **ON_PAPERS,
        "kept": [entry.seq for entry in entries],
    }
