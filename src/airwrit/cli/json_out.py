"""Documents printed for other programs to read."""

from __future__ import annotations

import sys

from airwrit.answers.document import json_pieces


def show_json(document: object) -> None:
    """Print a document as JSON, written as it is made: however long it is, no more than one row of it is held as text."""
    sys.stdout.writelines(json_pieces(document))
    sys.stdout.write("\n")
