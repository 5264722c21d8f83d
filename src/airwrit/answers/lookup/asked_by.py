"""Which commands ask a rule: every rule can be asked by one."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.facts.vocabulary import TABLES
from airwrit.law.rule import Rule
from airwrit.law.rulebook import ASKED, WAYS

_TABLES: dict[str, tuple[str, ...]] = {
    "flight": ("flight", "site", "weather", "crew"),
    "aircraft": ("aircraft", "mark", "remote_id"),
}
"""The tables of a facts file to fill in, where it is more than the first one of its kind."""


class AskedBy(NamedTuple):
    """A command that asks a rule, the file it takes, and the tables of facts to tell it."""

    name: str
    tables: tuple[str, ...] = ()
    takes: str = ""

    @property
    def command(self) -> str:
        """The command as it is typed."""
        return " ".join(part for part in ("airwrit", self.name, self.takes) if part)


def asked_by(rule: Rule) -> tuple[AskedBy, ...]:
    """The commands that ask a rule. A file of facts can ask every one; what a program's standing needs is asked by it too."""
    tables = _TABLES.get(rule.about) or tuple(name for name, kind in TABLES.items() if kind == rule.about)
    found = [AskedBy("check-scenario", tables, "FACTS.toml")]
    if rule in WAYS.values():
        found.insert(0, AskedBy("which-registration"))
    if rule in ASKED.get(rule.about, ()):
        found.insert(0, AskedBy("today"))
    return tuple(found)


def in_words(asked: AskedBy) -> str:
    """The command with the tables it wants: `airwrit check-scenario FACTS.toml with [incident]`."""
    if not asked.tables:
        return asked.command
    *first, last = (f"[{table}]" for table in asked.tables)
    tables = f"{', '.join(first)} or {last}" if first else last
    return f"{asked.command} with {tables}"
