"""Files a command writes: whole or not at all, and what holds a person's data for its owner alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from airwrit.base.errors import UsageError
from airwrit.base.faults import is_full
from airwrit.base.whole_files import whole_file

PATH = click.Path(path_type=Path)
"""The kind of every option and argument that names a file."""


def written(
    what: str, path: Path, made: bytes | Callable[[Path], None], *, private: bool, new: bool = False
) -> None:
    """Write a file whole or not at all: bytes, or what a function writes under a name. UsageError when it cannot be.

    A `private` one can be read by its owner alone, from its first byte on; a `new` one never takes another's place.
    """
    try:
        with whole_file(path, private=private, new=new) as beside:
            if isinstance(made, bytes):
                beside.write_bytes(made)
            else:
                made(beside)
    except FileExistsError as fault:
        raise UsageError(
            "a file with this name already exists", where=path.name, do="choose another name"
        ) from fault
    except OSError as fault:
        do = "make room on the disk" if is_full(fault) else "choose a folder you can write to"
        raise UsageError(f"we can't write {what} ({fault.strerror})", where=path.name, do=do) from fault
