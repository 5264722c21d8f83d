"""Files a command writes: whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from airwrit.base.errors import UsageError

PATH = click.Path(path_type=Path)
"""The kind of every option and argument that names a file."""


def written(what: str, path: Path, write: Callable[[Path], None], *, private: bool = False) -> None:
    """Write a file whole or not at all: to a name beside it first. UsageError when the folder does not allow it.

    A private one can be read by its owner alone, from its first byte on.
    """
    beside = path.with_name(f".{path.name}.part{path.suffix}")
    try:
        if private:
            beside.unlink(missing_ok=True)
            beside.touch(mode=0o600, exist_ok=False)
        write(beside)
        beside.replace(path)
    except OSError as fault:
        beside.unlink(missing_ok=True)
        raise UsageError(
            f"{what} cannot be written", where=path.name, do="name a file in a folder you may write to"
        ) from fault
