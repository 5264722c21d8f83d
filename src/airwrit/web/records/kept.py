"""What the ledger holds, read once and kept while it does not grow."""

from __future__ import annotations

from airwrit.answers.taking_in import Before, before
from airwrit.web.desk import Desk, judged


def held_now(desk: Desk) -> Before:
    """Every statement of the ledger as it is now, ready for acts to be tried on and for lives to be told."""
    with desk.opened() as book:
        head = book.head()
        key = ("held", str(desk.ledger), book.name, head.size, head.root)
        return desk.once(key, lambda: judged(lambda: before(book)))
