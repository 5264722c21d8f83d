"""Acts on the terminal: what may be said, what would be kept, the duties it causes, two futures side by side."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.acts.act import Act, ActField
from airwrit.answers.acts.catalog import ACTS, ActPlanned, ActRequest, act_named
from airwrit.answers.acts.changes import DueThen, Turn, WhatChanges, change_of, changed_in, side_by_side
from airwrit.answers.acts.json import act_json, deed_json, effects_json
from airwrit.answers.acts.plan import Basis, Effects, effects_of, plan_of, renewed_until
from airwrit.answers.acts.whatif import WhatIf
from airwrit.answers.acts.withdrawal import TakenBack
from airwrit.answers.document import ON_PAPERS, SCOPE
from airwrit.answers.sheets.difference import (
    Contradiction,
    Difference,
    FactChange,
    contradiction_text,
    told_value,
    value_text,
)
from airwrit.answers.sheets.json import contradiction_json
from airwrit.answers.standing.today import Fix
from airwrit.base.days import EARLIEST, parse_day
from airwrit.base.errors import LedgerFault, LedgerMoved, UsageError
from airwrit.base.sentences import day_words, with_section
from airwrit.base.verdict import Verdict
from airwrit.cli.console import (
    SIGNS,
    clean,
    console,
    longest_word,
    print_rows,
    print_title,
    said,
    show_caution,
)
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.ledger import held_in, kept_in, may_keep
from airwrit.cli.shared.options import now
from airwrit.cli.shared.typed import grams_typed
from airwrit.cli.shown.standing_short import FIX_WIDTHS, fix_rows, whom
from airwrit.facts.choices import words_of
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.house.rules import NO_HOUSE, House
from airwrit.ledger.entry import Entry


def show_acts(acts: Sequence[Act], out: Console) -> None:
    """Every act with its fields; what has to be said is marked."""
    for about in dict.fromkeys(act.about for act in acts):
        print_title(f"WHAT YOU CAN RECORD ABOUT {'AN' if about[0] in 'aeiou' else 'A'} {about.upper()}", out)
        table = _table(21, 34, 54, fixed=True)
        for act in acts:
            if act.about == about:
                fields = [f"{field.name}=*" if field.required else f"{field.name}=" for field in act.fields]
                table.add_row(Text(act.name, style="bold"), act.meaning, " ".join(fields))
        out.print(table)
    out.print("\n* is required. Every act takes --on DAY (today if you leave it out).")
    out.print("`airwrit record-change NAME --acts` shows what one act takes.")


def show_act(act: Act, out: Console) -> None:
    """All that may be said of one act: each field with its question and the words it takes."""
    out.print(Text(act.name, style="bold"), Text(f" of one {act.about}: {act.meaning}"))
    table = _table(28, 40, 60)
    table.columns[0].width = longest_word(f"{field.name}=*" for field in act.fields)
    for field in act.fields:
        table.add_row(f"{field.name}=" + ("*" if field.required else ""), field.asks, _takes(field))
    out.print(table)
    out.print("* is required." if any(field.required for field in act.fields) else "Nothing is required.")
    out.print("--on DAY is the date it happened (today if you leave it out).")


def _takes(field: ActField) -> str:
    """What may be written for a field."""
    if field.words:
        return "; ".join(map(words_of, field.words))
    if field.names:
        return f"the name of {'a new or known' if field.may_be_new else 'a known'} {field.names}"
    if field.unit == "g":
        return "grams, or a weight with its unit: 3 lb 2 oz"
    return f"a number in {field.unit}" if field.unit else {date: "a date: 2026-05-31"}.get(field.kind, "text")


def show_deed(deed: ActPlanned, taking: Difference, effects: Effects, out: Console) -> None:
    """What an act would put on record, and what it causes."""
    show_late(deed.on, out)
    out.print(
        Text(
            f"{deed.act.name} {clean(deed.subject)} on {day_words(deed.on)}: {deed.act.meaning}", style="bold"
        )
    )
    out.print(SCOPE)
    if taking.is_empty:
        out.print("Nothing to save. This is already on record.")
        return
    if deed.new:
        out.print("new: " + ", ".join(clean(subject) for subject in deed.new))
    show_to_save(taking, out)
    expiry = renewed_until(deed, effects)
    if expiry is not None:
        out.print(f"New expiration (we worked it out): {expiry}. Check it against the certificate.")
    show_effects(effects, (deed.subject,), out)


def show_to_save(taking: Difference, out: Console) -> None:
    """What would be saved, line by line, and what it would contradict."""
    print_title("TO SAVE", out)
    _statements([(change.statement, _instead(change)) for change in taking.changes], out)
    _contradicted(taking.contradictions, out)


def show_taken_back(found: TakenBack, effects: Effects, out: Console) -> None:
    """What taking an entry back writes, and what it changes."""
    out.print(Text(f"entry {found.entry}, {clean(found.act)}: taken back", style="bold"))
    out.print(SCOPE)
    if found.replaced:
        out.print(f"{found.replaced} of its facts were replaced since then. Those stay.")
    print_title("TO SAVE", out)
    _statements([(change.statement, _instead(change)) for change in found.taking.changes], out)
    _contradicted(found.taking.contradictions, out)
    show_effects(effects, changed_in(found.taking), out)


def _instead(change: FactChange) -> str:
    was = ", ".join(told_value(change.statement.key, old.statement.value) for old in change.was)
    return f"replaces {clean(was)}" if was else ""


def _statements(rows: Sequence[tuple[Statement, str]], out: Console) -> None:
    table = _table(24, 40, 30, 24)
    names = {one.subject: clean(f"{kind_of(one.subject)} {id_of(one.subject)}") for one, _ in rows}
    table.columns[0].width = longest_word(name.replace(" ", "_") for name in names.values())
    last = ""
    for statement, remark in rows:
        name = "" if statement.subject == last else names[statement.subject]
        last = statement.subject
        never = statement.value is None and statement.valid_until == EARLIEST
        value = "taken back" if never else clean(told_value(statement.key, statement.value))
        start = "" if statement.valid_from == EARLIEST else f"from {day_words(statement.valid_from)}"
        table.add_row(name, KEYS[statement.key].meaning, value, remark or start)
    out.print(table)


def _contradicted(found: Sequence[Contradiction], out: Console) -> None:
    if not found:
        return
    print_title("ENTRIES THAT DISAGREE (unknown until you correct one)", out)
    table = _table(24, 70, 24)
    for one in found:
        since = "" if one.on == EARLIEST else f"from {day_words(one.on)}"
        table.add_row(clean(id_of(one.subject)), said(contradiction_text(one)), since)
    out.print(table)


def show_effects(effects: Effects, about: Iterable[str], out: Console) -> None:
    """What a change does to people and aircraft: whose status changes, what to do then and by when, what is over."""
    show_change(change_of(effects, about), out)


def show_change(change: WhatChanges, out: Console) -> None:
    """The same, worked out already."""
    print_title(f"WHAT CHANGES, as of {day_words(change.on)}", out)
    rows = [(_mark(turn), said(turn.says(change.on))) for turn in change.turns]
    print_rows(rows or [("", change.unchanged)], (-4, 100), out, gap=1)
    if change.to_do:
        print_title("TO DO THEN", out)
        print_rows(fix_rows(map(_with_section, change.to_do)), FIX_WIDTHS, out, gap=1)
    if change.due:
        print_title("COMES DUE", out)
        print_rows(map(_due_row, change.due), (-13, 62, 25), out, gap=1)
    if change.over or change.gone:
        print_title("NO LONGER TO DO", out)
        print_rows(((said(line),) for line in change.over_lines), (100,), out)
    for note in change.notes:
        out.print(f"\n{said(note)}")


def _mark(turn: Turn) -> str:
    return SIGNS[Verdict.NOT_APPLICABLE if turn.after is None else turn.after.mark]


def _with_section(fix: Fix) -> Fix:
    return fix if fix.cites in fix.why else fix._replace(why=with_section(fix.why, fix.cites))


def _due_row(due: DueThen) -> tuple[str, str, str]:
    what = said(with_section(due.expiry.what, due.expiry.cites)) + (
        "" if due.was is None else f" It was {day_words(due.was)}."
    )
    return day_words(due.expiry.day), what, clean(whom(due.expiry.who))


def show_whatif(found: WhatIf, out: Console) -> None:
    """The acts, then the two futures of each day side by side."""
    out.print(Text("What if", style="bold"), Text("  (nothing is saved)", style="dim"))
    out.print(SCOPE)
    for deed in found.deeds:
        told = " ".join(f"{name}={value_text(value)}" for name, value in deed.told.items())
        line = f"{day_words(deed.on)}  {deed.act.name} {deed.subject} {told}".rstrip()
        out.print(
            f"  {clean(line)}" + ("" if not deed.new else f"  (new: {', '.join(map(clean, deed.new))})")
        )
    _contradicted(found.contradictions, out)
    for future in found.futures:
        out.print()
        out.print(Text(f"On {day_words(future.on)}", style="bold"))
        show_late(future.on, out)
        _side_by_side(future, found.deeds, out)
    out.print()
    show_caution(out)


def _side_by_side(future: Effects, deeds: Sequence[ActPlanned], out: Console) -> None:
    """Both futures in two columns: who stands otherwise, what is to be done in only one of them, the fees."""
    rows = side_by_side(future, [deed.subject for deed in deeds])
    lines = [(clean(one.about), said(one.without), said(one.with_it)) for one in rows]
    print_rows(lines, (26, 47, 47), out, titles=("", "AS IT IS", "WITH YOUR CHANGE"))


def _table(*ratios: int, fixed: bool = False) -> Table:
    """A table without lines; `fixed` takes the first column's number for its width."""
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
    for number, ratio in enumerate(ratios):
        if fixed and number == 0:
            table.add_column(width=ratio, no_wrap=True)
        else:
            table.add_column(ratio=ratio, overflow="fold")
    return table


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
            "you didn't say what happened",
            where="ACT",
            do="`airwrit record-change --acts` lists what you can record",
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
