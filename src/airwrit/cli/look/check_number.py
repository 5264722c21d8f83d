"""`airwrit check-number`: what a number is and whether it can be right."""

from __future__ import annotations

from pathlib import Path

import click
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_NUMBERS
from airwrit.answers.lookup.number_kind import (
    FORM_ONLY,
    SAYS,
    Answer,
    Identified,
    NumberReading,
    answer_to,
    answer_to_photo,
    identify_json,
    kinds,
    verdict_of,
)
from airwrit.base.errors import UsageError
from airwrit.base.identifiers import NumberFault
from airwrit.base.sentences import sentence
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.intake.reader.photo import Photo, is_photo_name, read_photo


@click.command()
@click.argument("things", nargs=-1, required=True)
@click.option(
    "--all", "every", is_flag=True, help="Show every possible reading, with everything that is wrong with it."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(things: tuple[str, ...], every: bool, as_json: bool) -> int:
    """Check what kind of number this is, and whether its format can be right.

    THINGS are numbers you type, or photos of labels with a QR code, Data Matrix or bar code (.jpg .png .webp .bmp .tif
    .gif). We know Remote ID serial numbers, N-numbers, Part 48 registration numbers, 24-bit aircraft addresses and operator
    numbers.

    \b
    Example:
      airwrit check-number ZZ9Z5A1B2C
    """
    answers = [_answer(thing) for thing in things]
    if as_json:
        show_json(identify_json(answers))
    else:
        out = console()
        out.print(SCOPE_OF_NUMBERS)
        for answer in answers:
            _show_answer(answer, out, every=every)
        out.print(Text(FORM_ONLY, style="dim"))
    return EXIT[verdict_of(answers)]


def _answer(thing: str) -> Answer:
    if not thing.strip():
        raise UsageError(
            "you didn't enter a number or a photo",
            where="check-number",
            do="add a number, or a photo of a label",
        )
    if is_photo_name(thing):
        return answer_to_photo(read_photo(Path(thing)))
    return answer_to(thing)


def _show_answer(answer: Answer, out: Console, *, every: bool) -> None:
    photo = answer.photo
    if photo is None:
        _show(answer.texts[0], "", out, every=every)
        return
    out.print(f"{clean(photo.source.name)}, {photo.width} by {photo.height} pixels: {_codes_read(photo)}")
    if photo.pictures > 1:
        out.print(f"     The file has {photo.pictures} pictures. We read only the first.")
    out.print()
    for code, text in zip(photo.codes, answer.texts, strict=True):
        _show(text, f"{code.kind}: ", out, every=every)
    if photo.codes:
        out.print("Compare each character with the label before you rely on it.")


def _codes_read(photo: Photo) -> str:
    if photo.codes:
        return f"{len(photo.codes)} code{'s' * (len(photo.codes) > 1)} read. There may be more in it."
    return (
        f"{SIGNS[Verdict.UNKNOWN]} We found no code. Go closer (at least four pixels for the smallest bar or "
        "square), hold still and add light. Or type the number."
    )


def _show(answer: Identified, before: str, out: Console, *, every: bool) -> None:
    out.print(before + clean(answer.text), style="bold")
    for fault in answer.damage:
        out.print(f"{SIGNS[Verdict.UNKNOWN]} We can't tell. {sentence(_fault(fault))}")
    for warning in answer.warnings:
        out.print(f"     Watch out: {clean(warning)}")
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
            f"{SIGNS[Verdict.NOT_MET]} This can't be"
            + (" any other kind. --all shows why." if fitting else ":")
        )
    for reading in [] if fitting else rest:
        _indented(f"{reading.name}: {_fault(reading.faults[0])}", out)
    for part in answer.parts:
        out.print(f"\nPart of it, {clean(part.text)}, by itself:")
        for reading in part.readings:
            if reading.verdict is Verdict.MET:
                _reading(reading, out)
    out.print()


def _reading(reading: NumberReading, out: Console) -> None:
    cites = kinds()[reading.kind]["cites"]
    head = f"{SIGNS[reading.verdict]} {SAYS[reading.verdict]} {reading.name}"
    out.print(clean(head + (f"  [{cites}]" if cites else "")))
    lines = [_fault(fault) for fault in reading.faults] + list(reading.near) + list(reading.notes)
    if reading.tidied:
        lines.append(f"we read it as {reading.text}, after cleaning up {' and '.join(reading.tidied)}")
    for line in lines:
        _indented(line, out)


def _indented(line: str, out: Console) -> None:
    out.print(Padding(Text(clean(sentence(line))), (0, 0, 0, 5), expand=False))


def _fault(fault: NumberFault) -> str:
    return f"place {fault.place}: {fault.hint}" if fault.place else fault.hint
