"""Facts worked out from the sky, as tables of a facts file."""

from __future__ import annotations

from airwrit.answers.document import Json


def facts_toml(table: str, facts: Json, remarks: Json | None = None) -> str:
    """A table of a facts file; `remarks` are facts to be confirmed first, written as comments with the reason behind each."""
    lines = [f"[{table}]"] + [f"{name} = {_value(value)}" for name, value in facts.items()]
    for name, (value, why) in (remarks or {}).items():
        lines += [f"# {why}", f"# {name} = {_value(value)}"]
    return "\n".join(lines) + "\n"


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{value}"'
