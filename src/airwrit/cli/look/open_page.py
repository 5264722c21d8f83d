"""`airwrit open-page`: the page, on this machine alone, until Ctrl-C."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.cli.look.serving import ServerPlace, serve
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import writer, writer_option
from airwrit.cli.shared.options import ledger_option, ledger_path


@click.command()
@ledger_option
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="The port (any free port if you leave it out)."
)
@click.option("--no-open", is_flag=True, help="Don't open a browser. We print the link either way.")
@click.option(
    "--house",
    type=PATH,
    multiple=True,
    help="Also check your own rules in this file. You can use this option more than once.",
)
@writer_option
@click.option("--json", "as_json", is_flag=True, help="Print the link as JSON instead of text.")
def command(
    ledger: Path | None, port: int, no_open: bool, house: tuple[Path, ...], by: str | None, as_json: bool
) -> int:
    """Open airwrit in your browser, on this computer only. The link works once, in one browser. Press Ctrl-C
    to stop.

    If there is no ledger yet, the page helps you start one.

    \b
    Example:
      airwrit open-page --ledger program.airwrit
    """
    serve(ledger_path(ledger), ServerPlace(port, opens=not no_open, as_json=as_json), house, writer(by))
    return 0
