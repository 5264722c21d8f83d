"""Acts on the terminal: what may be said, what would be kept, the duties it causes, two futures side by side."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.acts.act import Act, ActField
from airwrit.answers.acts.catalog import ActPlanned
from airwrit.answers.acts.effects import Effects, Shift, double_text, renewed_until
from airwrit.answers.acts.whatif import WhatIf, sides
from airwrit.answers.acts.withdrawal import TakenBack
from airwrit.answers.document import SCOPE
from airwrit.answers.due.deadlines import Deadline
from airwrit.answers.sheets.difference import Contradiction, Difference, FactChange
from airwrit.answers.sheets.sentences import contradiction_text, told_value, value_text
from airwrit.answers.standing.headline import Headline
from airwrit.base.days import EARLIEST
from airwrit.base.sentences import day_words, with_section
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, said, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.sections import longest_word
from airwrit.cli.shown.standing import listed
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.law import wording


def show_acts(acts: Sequence[Act], out: Console) -> None:
    """Every act with its fields; what has to be said is marked."""
    for about in dict.fromkeys(act.about for act in acts):
        _title(f"WHAT YOU CAN RECORD ABOUT {'AN' if about[0] in 'aeiou' else 'A'} {about.upper()}", out)
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
        return "; ".join(field.words)
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
        out.print("Nothing new. It is on record already.")
        return
    if deed.new:
        out.print("new: " + ", ".join(clean(subject) for subject in deed.new))
    show_to_save(taking, out)
    expiry = renewed_until(deed, effects)
    if expiry is not None:
        out.print(f"New expiration, worked out: {expiry}. Check it against the certificate.")
    show_effects(effects, out)


def show_to_save(taking: Difference, out: Console) -> None:
    """What would be saved, line by line, and what it would contradict."""
    _title("TO SAVE", out)
    _statements([(change.statement, _instead(change)) for change in taking.changes], out)
    _contradicted(taking.contradictions, out)


def show_taken_back(found: TakenBack, effects: Effects, out: Console) -> None:
    """What taking an entry back writes, and what it changes."""
    out.print(Text(f"entry {found.entry}, {clean(found.act)}: taken back", style="bold"))
    out.print(SCOPE)
    if found.replaced:
        out.print(f"{found.replaced} of its facts were replaced since then. Those stay.")
    _title("TO SAVE", out)
    _statements([(change.statement, _instead(change)) for change in found.taking.changes], out)
    _contradicted(found.taking.contradictions, out)
    show_effects(effects, out)


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
    _title("ENTRIES THAT DISAGREE (unknown until you correct one)", out)
    table = _table(24, 70, 24)
    for one in found:
        since = "" if one.on == EARLIEST else f"from {day_words(one.on)}"
        table.add_row(clean(id_of(one.subject)), said(contradiction_text(one)), since)
    out.print(table)


def show_effects(effects: Effects, out: Console) -> None:
    """What a change causes: duties that come and go, headlines, clauses, what is had twice, fees."""
    if effects.is_empty:
        out.print(f"\nNothing else changes on {day_words(effects.on)}.")
        return
    _duties(f"WHAT YOU HAVE TO DO NEXT, as of {day_words(effects.on)}", effects.appear, out)
    _moved(effects, out)
    _duties("NO LONGER DUE", effects.go, out)
    _turns(effects, out)
    _shifts(effects, out)
    if effects.doubles:
        _title("CAN'T BOTH BE TRUE", out)
        for double in effects.doubles:
            out.print(f"{SIGNS[Verdict.UNKNOWN]} {said(double_text(double))}")
    before, after = effects.usd
    if before != after:
        out.print(f"\nFees for one term: ${before} before, ${after} after")


def _duties(title: str, duties: Sequence[Deadline], out: Console) -> None:
    if not duties:
        return
    _title(title, out)
    alike: dict[tuple[str, str, str, str], list[str]] = {}
    for one in sorted(duties, key=lambda duty: duty.day):
        day = day_words(one.day) + (" overdue" if one.overdue else "")
        cites = "; ".join(wording.cites(one.finding))
        alike.setdefault((day, one.says, one.do, cites), []).extend(one.subjects)
    table = _table(19, 22, 38, 40, fixed=True)
    for (day, says, do, cites), subjects in alike.items():
        table.add_row(day, listed(subjects), said(says), said(with_section(do, cites) if do else cites))
    out.print(table)


def _moved(effects: Effects, out: Console) -> None:
    if not effects.moved:
        return
    _title("NEW DUE DATES", out)
    table = _table(24, 22, 38, 36)
    for one in effects.moved:
        days = f"{day_words(one.before.day)} -> {day_words(one.after.day)}"
        table.add_row(days, listed(one.after.subjects), said(one.after.says), said(one.after.do))
    out.print(table)


def _turns(effects: Effects, out: Console) -> None:
    if not effects.turns:
        return
    _title("WHAT CHANGES", out)
    table = _table(22, 40, 40, 36)
    for turn in effects.turns:
        heads = f"{_head(turn.before)} -> {_head(turn.after)}"
        table.add_row(clean(id_of(turn.subject)), heads, said(turn.because), said(turn.do))
    out.print(table)


def _head(headline: Headline | None) -> str:
    return "not checked" if headline is None else headline.value


def _shifts(effects: Effects, out: Console) -> None:
    """Clauses newly against it, those that the duties and headlines do not tell already."""
    told = {(one.finding.subject, one.do) for one in effects.appear}
    told |= {(turn.subject, turn.do) for turn in effects.turns}
    fresh = [one for one in effects.shifts if _stands_against(one) and (one.subject, one.do) not in told]
    if not fresh:
        return
    _title("TO FIX", out)
    table = _table(6, 22, 48, 44, fixed=True)
    for words, subjects in _alike(fresh).items():
        verdict, says, do = words
        table.add_row(SIGNS[verdict], listed(subjects), said(says), said(do))
    out.print(table)


def _stands_against(one: Shift) -> bool:
    return one.after in (Verdict.NOT_MET, Verdict.UNKNOWN)


def _alike(shifts: Sequence[Shift]) -> dict[tuple[Verdict, str, str], list[str]]:
    found: dict[tuple[Verdict, str, str], list[str]] = {}
    for one in shifts:
        if one.after is not None:
            subjects = found.setdefault((one.after, one.says, one.do), [])
            if one.subject not in subjects:
                subjects.append(one.subject)
    return found


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
        _side_by_side(future, out)
        show_effects(future, out)
        _cost(future, out)
    out.print()
    show_caution(out)


def _side_by_side(future: Effects, out: Console) -> None:
    """Who stands how in both futures: all that differs, and how many stand as before."""
    both = sides(future)
    differ = [side for side in both if side.without is not side.with_it]
    table = _table(30, 40, 40)
    table.show_header, table.header_style = True, "dim"
    for column, name in zip(table.columns, ("", "WITHOUT", "WITH"), strict=True):
        column.header = name
    for side in differ:
        table.add_row(clean(id_of(side.subject)), _head(side.without), _head(side.with_it))
    table.add_row("all", _tally([one.without for one in both]), _tally([one.with_it for one in both]))
    out.print(table)


def _tally(headlines: Sequence[Headline | None]) -> str:
    counts = {head: headlines.count(head) for head in Headline}
    return ", ".join(head.of(count) for head, count in counts.items() if count)


def _cost(future: Effects, out: Console) -> None:
    before, after = future.usd
    if before == after:
        out.print(f"\nFees for one term: ${after} either way")


def _title(text: str, out: Console) -> None:
    out.print()
    out.print(Text(text, style="dim"))


def _table(*ratios: int, fixed: bool = False) -> Table:
    """A table without lines; `fixed` takes the first column's number for its width."""
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
    for number, ratio in enumerate(ratios):
        if fixed and number == 0:
            table.add_column(width=ratio, no_wrap=True)
        else:
            table.add_column(ratio=ratio, overflow="fold")
    return table
