"""`airwrit new-aircraft`, `renew`, `filed-with-faa`, `join` and `leave`: a job from beginning to end, asked one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import click

from airwrit.answers.acts.catalog import subjects_named
from airwrit.answers.acts.changes import changed_in
from airwrit.answers.acts.json import deed_json, effects_json
from airwrit.answers.acts.plan import Basis, Effects, all_known, effects_of
from airwrit.answers.document import ON_PAPERS, SCOPE
from airwrit.answers.jobs.catalog import JOBS
from airwrit.answers.jobs.job import (
    MANY,
    Job,
    JobAsked,
    JobField,
    JobFilled,
    JobPlan,
    JobStep,
    expirations,
    fields_of,
    job_plan,
    missing_in,
    suggested,
)
from airwrit.answers.sheets.json import contradiction_json
from airwrit.base.errors import UsageError
from airwrit.base.sentences import day_words
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import (
    by_option,
    held_in,
    is_at_terminal,
    kept_in,
    may_keep,
    note_option,
    writer,
    yes_option,
)
from airwrit.cli.shared.options import json_option, ledger_option, ledger_path, now
from airwrit.cli.shared.own_rules import house_given
from airwrit.cli.shown.acts import show_effects, show_to_save
from airwrit.facts.fold import state_of
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State
from airwrit.facts.vocabulary import folded, id_of, subject_named

_SKIP = "Enter to skip"


def _command(job: Job, example: str) -> click.Command:
    """The command of a job."""

    @click.command(name=job.name, help=f"{job.says}\n\n\b\nExample:\n  {example}")
    @click.argument("words", nargs=-1, metavar="[NAME...] [FIELD=VALUE...]")
    @click.option(
        "--house",
        type=PATH,
        multiple=True,
        help="Also check against your own rules in this file, and show what changes.",
    )
    @note_option
    @yes_option
    @ledger_option
    @by_option
    @json_option
    def command(
        words: tuple[str, ...],
        house: tuple[Path, ...],
        note: str,
        yes: bool,
        ledger: Path | None,
        by: str | None,
        as_json: bool,
    ) -> int:
        path, rules = ledger_path(ledger), house_given(house)
        held, today = held_in(path), now().astimezone().date()
        state = state_of(all_known(held), today, now())
        asked, said = _understood(job, words, JobAsked(state, "", today))
        steps = job.steps(asked)
        _only_fields(steps, said)
        filled = JobFilled({**suggested(steps), **said})
        if not as_json and not yes and is_at_terminal():
            filled = _asked(steps, filled, said)
        if wrong := missing_in(steps, filled):
            field, words_of_it = next(iter(wrong.items()))
            raise UsageError(words_of_it, where=f"{field}=", do=f"write {field}=VALUE")
        plan = job_plan(job.acts(asked, filled), held, writer(by), note)
        moment = max((now(), *(item.recorded_at for item in plan.before)))
        effects = effects_of(plan.before, plan.after, today, moment, Basis((), rules.sources, rules.rules))
        if not as_json:
            _show(plan, effects)
        wanted = not plan.taking.is_empty and may_keep(yes, lambda: "Save it?")
        entries = kept_in(path, plan.taking) if wanted else ()
        kept = tuple(entry.seq for entry in entries)
        _tell(job, plan, effects, kept, path, as_json=as_json)
        return 0 if (kept or plan.taking.is_empty) and not plan.taking.contradictions else 3

    return command


def _understood(job: Job, words: Sequence[str], asked: JobAsked) -> tuple[JobAsked, dict[str, list[str]]]:
    """Whom a job is about, and what was said of its fields."""
    said: dict[str, list[str]] = {}
    names: list[str] = []
    for word in words:
        field, equals, value = word.partition("=")
        if equals:
            said.setdefault(field.strip().replace("-", "_"), []).append(value)
        else:
            names.append(word)
    if not job.about or job.about == "registration":
        if names:
            said.setdefault("which", []).extend(_number(name, asked.state) for name in names)
        return asked, said
    name = " ".join(names)
    on_file = next((one for one in subjects_named(asked.state, job.about) if folded(one) == folded(name)), "")
    if on_file:
        return asked._replace(subject=subject_named(job.about, on_file)), said
    if not job.may_be_new:
        what = f"no {job.about} on file is named {name!r}" if name else "nobody was named"
        raise UsageError(what, where="NAME", do="`airwrit today` lists the names")
    if name:
        said["name"] = [name]
    return asked, said


def _number(name: str, state: State) -> str:
    """The registration number that is meant: itself, or that of an aircraft of this name."""
    for aircraft in state.subjects("aircraft"):
        held = state.held[aircraft].get(REGISTRATION)
        if folded(id_of(aircraft)) == folded(name) and held is not None and held.why is None:
            return str(held.value)
    return name


def _only_fields(steps: Sequence[JobStep], said: Mapping[str, Sequence[str]]) -> None:
    names = [field.name for field in fields_of(steps)]
    odd = [name for name in said if name not in names]
    if odd:
        raise UsageError(
            f"there is no field called {odd[0]!r}", where=odd[0], do="the fields are " + ", ".join(names)
        )


def _asked(steps: Sequence[JobStep], filled: JobFilled, said: Mapping[str, Sequence[str]]) -> JobFilled:
    """What a person answers, field by field; what was said on the command line is not asked."""
    values = dict(filled.values)
    for step in steps:
        if step.fields or step.note:
            click.echo(f"\n{step.title}")
        for label, value in step.done:
            click.echo(f"  {label}: {clean(value)}")
        if step.note:
            click.echo(f"  {step.note}")
        for field in step.fields:
            if field.name not in said:
                values[field.name] = _answer(field)
    return JobFilled(values)


def _answer(field: JobField) -> tuple[str, ...]:
    """One answer: typed, or the number of a choice; of a field that takes several, numbers with commas."""
    listed = field.choices if field.kind in ("radios", "select", MANY) else ()
    click.echo(f"  {field.asks}" + (f" ({field.hint})" if field.hint else ""))
    for place, (_, words) in enumerate(listed, start=1):
        click.echo(f"    {place}  {clean(words)}")
    shown = ", ".join(field.suggested)
    while True:
        text = click.prompt("  ", default=shown, show_default=bool(shown), prompt_suffix="").strip()
        if not text:
            return ()
        if text == shown:
            return field.suggested
        parts = [one.strip() for one in text.split(",")] if field.kind == MANY else [text]
        chosen = tuple(_chosen(one, listed) for one in parts)
        if not listed or all(chosen):
            return chosen if listed else (text,)
        click.echo(f"    Type a number from the list. {_SKIP}.")


def _chosen(text: str, listed: Sequence[tuple[str, str]]) -> str:
    if text.isdecimal() and 1 <= int(text) <= len(listed):
        return listed[int(text) - 1][0]
    return text if text in {value for value, _ in listed} else ""


def _show(plan: JobPlan, effects: Effects) -> None:
    """What a job would save and what it changes."""
    out = console()
    out.print(SCOPE)
    show_to_save(plan.taking, out)
    for number, day in expirations(plan, effects.after.report.state):
        out.print(f"{clean(number)} then expires {day_words(day)}. Check it against the certificate.")
    show_effects(effects, changed_in(plan.taking), out)


def _tell(
    job: Job, plan: JobPlan, effects: Effects, kept: Sequence[int], path: Path, *, as_json: bool
) -> None:
    if as_json:
        expires = expirations(plan, effects.after.report.state)
        show_json(
            {
                "question": job.name,
                "acts": [deed_json(deed) for deed in plan.deeds],
                "expires_on": {number: day.isoformat() for number, day in expires},
                "contradictions": [contradiction_json(one) for one in plan.taking.contradictions],
                "effects": effects_json(effects, changed_in(plan.taking)),
                **ON_PAPERS,
                "kept": list(kept),
            }
        )
        return
    if kept:
        click.echo(
            f"\nSaved in {path.name} as entry {kept[-1]}. To undo: airwrit record-change --take-back {kept[-1]}"
        )
    elif plan.taking.is_empty:
        click.echo("\nNothing to save. All of this is already on record.")
    else:
        click.echo("\nNothing was saved. Add --yes to save it.")
    show_caution(console())


new_aircraft = _command(
    JOBS["new-aircraft"],
    'airwrit new-aircraft "Maple 1" model="Korrin Sarvo 4" owner="Tarn & Fell" used_for=work number=FA00TEST16'
    " issued_on=2026-12-01",
)
renew = _command(JOBS["renew"], 'airwrit renew FA00TEST03 "Alder 2" renewed_on=2026-11-25')
file_changes = _command(JOBS["filed-with-faa"], "airwrit filed-with-faa filed_on=2026-11-25")
join = _command(JOBS["new-person"], 'airwrit new-person "Nela Quist" crew_role=pilot flies_for=work')
leave = _command(
    JOBS["person-leaves"], 'airwrit person-leaves "Maris Tolland" left_on=2026-11-25 taker="Nela Quist"'
)
