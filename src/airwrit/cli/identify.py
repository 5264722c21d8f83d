"""`airwrit identify`: what a number is and whether it can be right."""

from __future__ import annotations

import json

import click
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from airwrit.answers.as_json import EXIT
from airwrit.answers.identify import SAYS, Identified, Reading, identified, kinds, verdict_of
from airwrit.answers.identify_json import FORM_ONLY, identify_json
from airwrit.base.errors import UsageError
from airwrit.base.findings import Verdict
from airwrit.base.identifiers import Fault
from airwrit.cli.show import SIGNS, clean, console


@click.command()
@click.argument("things", nargs=-1, required=True)
@click.option("--all", "every", is_flag=True, help="Every reading with all its faults.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document in place of text.")
def command(things: tuple[str, ...], every: bool, as_json: bool) -> int:
    """What a number is and whether it can be right, by its form.

    \b
    Example:
      airwrit identify ZZ9Z5A1B2C
    """
    answers = tuple(_identified(thing) for thing in things)
    if as_json:
        click.echo(json.dumps(identify_json(answers), indent=1))
    else:
        out = console()
        for answer in answers:
            _show(answer, out, every=every)
        out.print(Text(FORM_ONLY, style="dim"))
    return EXIT[verdict_of(answers)]


def _identified(thing: str) -> Identified:
    if not thing.strip():
        raise UsageError("nothing was given", where="identify", do="give a number or a photo of a label")
    return identified(thing)


def _show(answer: Identified, out: Console, *, every: bool) -> None:
    out.print(Text(clean(answer.text), style="bold"))
    for fault in answer.damage:
        out.print(f"{SIGNS[Verdict.UNKNOWN]} cannot be told: {_fault(fault)}")
    for warning in answer.warnings:
        out.print(f"     mind: {clean(warning)}")
    fitting = [r for r in answer.readings if r.verdict is not Verdict.NOT_MET]
    misses = [r for r in answer.readings if r.verdict is Verdict.NOT_MET]
    for reading in sorted(fitting, key=lambda r: r.verdict is not Verdict.MET):
        _reading(reading, out)
    whole = [r for r in misses if every or (r.near and not fitting)]
    for reading in whole:
        _reading(reading, out)
    rest = [r for r in misses if r not in whole]
    if rest:
        out.print(
            f"{SIGNS[Verdict.NOT_MET]} cannot be" + (" any other kind (--all tells why)" if fitting else ":")
        )
    for reading in [] if fitting else rest:
        _indented(f"{reading.name}: {_fault(reading.faults[0])}", out)
    for part in answer.parts:
        out.print(f"\na part of it, {clean(part.text)}, by itself:")
        for reading in part.readings:
            if reading.verdict is Verdict.MET:
                _reading(reading, out)
    out.print()


def _reading(reading: Reading, out: Console) -> None:
    cites = kinds()[reading.kind]["cites"]
    head = f"{SIGNS[reading.verdict]} {SAYS[reading.verdict]} {reading.name}"
    out.print(clean(head + (f"  [{cites}]" if cites else "")))
    lines = [_fault(fault) for fault in reading.faults] + list(reading.near) + list(reading.notes)
    if reading.tidied:
        lines.append(f"read as {reading.text}: {' and '.join(reading.tidied)} made uniform")
    for line in lines:
        _indented(line, out)


def _indented(line: str, out: Console) -> None:
    out.print(Padding(Text(clean(line)), (0, 0, 0, 5), expand=False))


def _fault(fault: Fault) -> str:
    return f"place {fault.place}: {fault.hint}" if fault.place else fault.hint
