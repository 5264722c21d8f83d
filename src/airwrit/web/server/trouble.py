"""What went wrong, as a page tells it: what, where, what is safe, what to do."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.base.errors import AirwritError, LedgerFault, LedgerMoved, UsageError
from airwrit.base.faults import of_the_machine


class Trouble(NamedTuple):
    """One trouble with its HTTP status; `safe` says what did not happen, `to` is the address of what to do."""

    status: int
    title: str
    what: str
    where: str
    safe: str
    do: str
    to: str = ""


class Refused(Exception):
    """Raised by a page or the guard to answer with a trouble instead of a sheet."""

    def __init__(self, trouble: Trouble) -> None:
        """Keep the trouble."""
        self.trouble = trouble
        super().__init__(trouble.what)


NOTHING_WRITTEN = "Nothing was saved. The ledger hasn't changed."

_PLAIN: dict[int, tuple[str, str, str]] = {
    400: ("We can't read this request", "we couldn't read what was sent", "go back and send it again"),
    404: ("No such page", "nothing is at this link", "choose a page from the list below"),
    405: (
        "This page can't do that",
        "this page can't take that kind of request",
        "use a link on this site",
    ),
    413: (
        "Too much at once",
        "what you sent is too large for this page",
        "send fewer or smaller files, or import them on the command line",
    ),
    500: (
        "Something went wrong in the program",
        "something unexpected happened in airwrit",
        "go back and try again. If it happens again, tell the maintainers what you did, and send the line in the terminal",
    ),
}


def plain(status: int, where: str) -> Trouble:
    """The trouble of a bare HTTP status."""
    title, what, do = _PLAIN.get(status, _PLAIN[400 if status < 500 else 500])
    return Trouble(status, title, what, where, NOTHING_WRITTEN, do)


def too_large(where: str, most: int) -> Trouble:
    """The trouble of a request that carries more than an address takes."""
    if not most:
        return plain(413, where)
    told = f"{most // 2**20} MB" if most >= 2**20 else f"{most:,} bytes"
    return plain(413, where)._replace(
        what=f"what you sent is larger than {told}, the most this page takes at once"
    )


def of_the_machine_trouble(error: OSError | MemoryError, where: str) -> Trouble:
    """The trouble of a machine that cannot go on: a full disk, no memory."""
    fault = of_the_machine(error)
    what = f"{fault.where}: {fault.what}" if fault.where else fault.what
    return Trouble(507, "This computer can't go on", what, where, NOTHING_WRITTEN, fault.do)


def of_error(error: AirwritError, where: str) -> Trouble:
    """The trouble that an error of ours makes."""
    status, title = 500, "We can't show this"
    if isinstance(error, UsageError):
        status, title = 400, "We can't answer this"
    elif isinstance(error, LedgerMoved):
        status, title = 409, "Someone else saved a change first"
    elif isinstance(error, LedgerFault):
        status, title = 503, "We can't read the ledger"
    return Trouble(status, title, error.what, error.where or where, NOTHING_WRITTEN, error.do)
