"""The list of every fact that can be told, table by table."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

_RULES = 6


def show_keys(rows: Iterable[dict[str, Any]], out: Console) -> None:
    """Print the keys under their tables: name, kind and unit, meaning, question, and rules that look at it."""
    table = ""
    for row in rows:
        if row["table"] != table:
            table = row["table"]
            out.print()
            out.print(Text(f"[{table}]", style="bold"))
        unit = f" in {row['unit']}" if row["unit"] else ""
        private = ", private" if row["private"] else ""
        out.print(f"{row['key']}: {row['kind']}{unit}{private}")
        lines = [f"{row['meaning']}. {row['question']}"]
        if row["one_of"]:
            lines.append("one of: " + "; ".join(row["one_of"]))
        rules = row["rules"]
        more = f" and {len(rules) - _RULES} more" if len(rules) > _RULES else ""
        lines.append(
            "rules: " + (", ".join(rules[:_RULES]) + more if rules else "none yet; kept for records")
        )
        out.print(Padding(Text("\n".join(lines), style="dim"), (0, 0, 0, 4)))
