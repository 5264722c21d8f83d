"""`airwrit demo`: the invented program, its messy workbook written and its standing told."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.cli.console import console, show_caution
from airwrit.cli.shared.files import written
from airwrit.cli.shared.fleet import Fleet
from airwrit.cli.shared.options import asked, on_option
from airwrit.cli.shown.standing import show_answer
from airwrit.cli.shown.standing_short import show_glance
from airwrit.demo.workbook import demo_data, write_demo, write_demo_house


@click.command()
@on_option
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path(),
    help="The folder to save in (this one if you leave it out).",
)
@click.option("--all", "every", is_flag=True, help="Show every finding and every column.")
@click.option(
    "--no-page",
    is_flag=True,
    help="Don't open the page at the end. The page opens only when you run this in a terminal.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(on: date | None, out: Path, every: bool, no_page: bool, as_json: bool) -> int:
    """Try airwrit on a made-up program. It has a messy workbook with the usual problems, and its own rules.

    In a terminal, a page opens at the end. Press Ctrl-C to close it. What you save there is thrown away.

    \b
    Example:
      airwrit demo --on 2026-11-25
    """
    day = day_of(asked(on, None))
    path, rules = out / demo_data()["file"], out / demo_data()["house_file"]
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise UsageError(
            f"we can't write {path.name} ({fault.strerror})",
            where="demo",
            do="choose another folder with --out",
        ) from fault
    written("the workbook", path, lambda beside: write_demo(beside, day), private=False)
    written("the house rules", rules, write_demo_house, private=False)
    intake, answer = Fleet((path,), on=day, house=(rules,)).judged()
    if every or as_json:
        show_answer(answer, intake, every=every, as_json=as_json)
    else:
        _at_a_glance(answer, path, rules)
    if not (no_page or as_json) and sys.stdout.isatty():
        from airwrit.cli.look.serving import ServerPlace, serve_demo

        click.echo()
        serve_demo(path, rules, day, ServerPlace())
    return 0


def _at_a_glance(answer: Standing, path: Path, rules: Path) -> None:
    """The made-up program on one screen, and what to do next."""
    out = console()
    out.print("A made-up program with the usual problems. Everything in it is invented.\n")
    show_glance(answer, out)
    out.print(Text("\nDO NEXT", style="dim"))
    start = os.environ.get("AIRWRIT_TYPED", "airwrit")
    out.print(f"See why:  {start} today {path} --house {rules}", soft_wrap=True)
    out.print(
        f"Your own spreadsheet, nothing is saved:  {start} today YOUR-SHEET.xlsx --use work", soft_wrap=True
    )
    show_caution(out)
