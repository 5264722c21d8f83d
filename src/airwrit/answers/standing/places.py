"""Where in a file something stands, as a document carries it."""

from __future__ import annotations

from airwrit.facts.statement import FilePlace


def place_json(where: str) -> dict[str, str | int | None] | None:
    """File, sheet, row and column of a place in a sheet; None where that is not what is named."""
    if not isinstance(where, FilePlace):
        return None
    return {"file": where.file, "sheet": where.sheet, "row": where.row, "column": where.column}
