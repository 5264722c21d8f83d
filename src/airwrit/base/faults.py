"""What no error of ours tells, in one line: the machine that cannot go on, and a fault of the program itself."""

from __future__ import annotations

import errno
import os
import sys
import traceback
from pathlib import Path

from airwrit.base.errors import AirwritError

WHERE_IT_BROKE = "AIRWRIT_TRACEBACK"
"""Set to anything in the environment, it has a fault of the program shown with its place in the code."""

_FULL = (errno.ENOSPC, errno.EDQUOT)


def of_the_machine(error: OSError | MemoryError) -> AirwritError:
    """What the machine refused: a full disk or output, a file that cannot be reached, no memory left."""
    if isinstance(error, MemoryError):
        return AirwritError("there isn't enough memory", do="close other programs, or ask for less at once")
    where = Path(str(error.filename)).name if error.filename else "the output or a file"
    if is_full(error):
        return AirwritError("the disk is full", where=where, do="make room, then run this again")
    what = f"we can't read or write it ({error.strerror or type(error).__name__})"
    return AirwritError(what, where=where, do="check the disk, and that you have permission")


def is_full(error: OSError) -> bool:
    """Whether a disk has no room left."""
    return error.errno in _FULL


def own_fault(error: BaseException) -> str:
    """A fault of the program, without the values it met; with its place in the code on stderr where that was asked for."""
    if os.environ.get(WHERE_IT_BROKE):
        traceback.print_exception(error, file=sys.stderr)
    return (
        f"Something went wrong in airwrit itself ({type(error).__name__}). Nothing more was done. "
        f"Run it again with {WHERE_IT_BROKE}=1 to see where, and report that."
    )
