"""`airwrit open-page`: the page, on this machine alone, until Ctrl-C."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.cli.look.serving import ServerPlace, serve
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import writer, writer_option
from airwrit.cli.shared.ledger_file import ledger_option, ledger_path


@click.command()
@ledger_option
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="The port. If left out: a free one.")
@click.option("--no-open", is_flag=True, help="Don't open a browser. The link is printed either way.")
@click.option(
    "--house",
    type=PATH,
    multiple=True,
    help="Also check these house rules. You can repeat it.",
)
@writer_option
@click.option("--json", "as_json", is_flag=True, help="Print the link as JSON instead of text.")
def command(
    ledger: Path | None, port: int, no_open: bool, house: tuple[Path, ...], by: str | None, as_json: bool
) -> int:
    """Open the page of a ledger, on this computer only. The printed link opens it once, in one browser. Ctrl-C ends it.

    If there is no ledger yet, the page helps you start one.

    \b
    Example:
      airwrit open-page --ledger program.airwrit
    """
    serve(ledger_path(ledger), ServerPlace(port, opens=not no_open, as_json=as_json), house, writer(by))
    return 0
