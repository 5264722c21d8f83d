"""What is raised when we cannot go on; a fact that is missing or a rule that is not met is a value, never an exception.

AirwritError
├── UsageError            the question itself is wrong: a day before the law was read, an unknown rule
├── UnreadableFile        a file that cannot be read: empty, encrypted, truncated, too large, not a sheet
├── BadPlace              a text that isn't a latitude and longitude, or one that can't exist
├── BadFact               a fact whose text cannot be its kind: a date that does not exist, a weight without unit
├── BadHouseFile          a file of house rules that breaks its form: an unknown field, key or unit
├── ClockInDoubt          a clock that is far ahead of the last entry, and nobody said that it is right
├── LedgerFault           a ledger that cannot be opened, read or written: missing, newer, busy, damaged, no ledger
│   └── LedgerMoved       others wrote to the ledger since it was looked at, so nothing was kept
├── BadProof              a proof file, checkpoint or key that is not in its form; nothing can be said about what it holds
└── BadLawFile            a parameter file of the law that breaks its own form (a fault of ours, found by tests)
"""

from __future__ import annotations

from airwrit.base.sentences import sentence


class AirwritError(Exception):
    """An error a face prints as one line: what, where, what to do next."""

    def __init__(self, what: str, *, where: str = "", do: str = "", field: str = "") -> None:
        """Keep the parts apart, so that a face or a JSON document can show each; `field` is one of a form."""
        self.what, self.where, self.do, self.field = what, where, do, field
        super().__init__(str(self))

    def __str__(self) -> str:
        """One line: where, what, what to do."""
        return f"{self.where}: {self.says}" if self.where else self.says

    @property
    def says(self) -> str:
        """What is wrong and what to do, as sentences."""
        return f"{sentence(self.what)} {sentence(self.do)}".rstrip()


class UsageError(AirwritError):
    """The question is wrong, so no file was read and nothing was judged."""


class UnreadableFile(AirwritError):
    """A file that could not be read; `where` names it."""


class BadPlace(AirwritError):
    """A text that is no place: not two coordinates, impossible ones, or ones that look swapped."""


class BadFact(AirwritError):
    """A fact whose text cannot be what its key asks for."""


class BadHouseFile(AirwritError):
    """A file of house rules that cannot be taken; `where` names the file, the row and the field."""


class LedgerFault(AirwritError):
    """A ledger that cannot be opened, read or written; `where` names the file."""


class LedgerMoved(LedgerFault):
    """Somebody wrote to the ledger between the look at it and the write, so nothing was written."""


class ClockInDoubt(AirwritError):
    """The clock is more than a day ahead of the last entry and nobody said that it is right, so nothing was written."""


class BadProof(AirwritError):
    """A proof file, a checkpoint or a key that is not in its form; `where` names the place in it."""


class BadLawFile(AirwritError):
    """A file of dated law that breaks its form; shipped files never do, a test reads them all."""
