"""Which file the ledger is; told apart from opening it, so that commands that only look beside it begin at once."""

from __future__ import annotations

import os
from pathlib import Path

import click

DEFAULT = "program.airwrit"
VARIABLE = "AIRWRIT_LEDGER"

ledger_option = click.option(
    "--ledger",
    type=click.Path(path_type=Path),
    help=f"The ledger file ({VARIABLE} or {DEFAULT} in this folder if you leave it out).",
)


def ledger_path(told: Path | None) -> Path:
    """The file of the ledger: the one told, else the one of the environment, else the one of this folder."""
    return told or Path(os.environ.get(VARIABLE) or DEFAULT)
