"""House rules out of files: each row becomes a `Rule` that names its document and brings its own texts."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import BadHouseFile, UnreadableFile
from airwrit.facts.key import Key
from airwrit.facts.keys.equipment import BATTERY_SINCE, CAPACITY_MEASURED, CYCLES_READ
from airwrit.facts.statement import Source
from airwrit.facts.vocabulary import ALL_KEYS, TABLES
from airwrit.house.conditions import judged
from airwrit.house.rows import REACH, SAME_MODEL, HouseRow, read_rows
from airwrit.law.rule import Rule
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import shown

_HERE = Path(__file__).parent
_MOST_BYTES = 1_000_000
_KNOWN_NOW = re.compile(r"\{(name|meaning|of|limit|unit|within|values)\}")
_COUNTED = {
    "training": "tests or training sessions",
    "flights": "flights",
    "landings": "takeoffs and landings",
    "hours": "flight hours",
}


_CALLED: Mapping[Key[Any], str] = {
    CYCLES_READ: "cycles",
    CAPACITY_MEASURED: "capacity left",
    BATTERY_SINCE: "age of the battery",
}
"""What a row bounds, where that is reckoned from the fact it names."""


class House(NamedTuple):
    """The rules of several files, and the files with their digests."""

    rules: tuple[Rule, ...]
    sources: tuple[Source, ...]


NO_HOUSE = House((), ())


def read_house(paths: Iterable[Path]) -> House:
    """The rules of all files. UnreadableFile, or BadHouseFile with file, row and field of the first thing not taken."""
    rules: list[Rule] = []
    sources = []
    for path in paths:
        text, digest = _text_of(path)
        sources.append(Source(path.name, digest))
        rules += house_rules(text, path.name, {rule.name for rule in rules})
    return House(tuple(rules), tuple(sources))


def _text_of(path: Path) -> tuple[str, str]:
    do = "give a file of house rules; --write-house writes an example"
    try:
        with path.open("rb") as file:
            given = file.read(_MOST_BYTES + 1)
        text = given.decode("utf-8-sig")
    except OSError as fault:
        raise UnreadableFile(f"we can't read it ({fault.strerror})", where=path.name, do=do) from fault
    except UnicodeDecodeError as fault:
        raise UnreadableFile("the file isn't UTF-8 text", where=path.name, do=do) from fault
    if len(given) > _MOST_BYTES:
        raise UnreadableFile(f"the file is larger than {_MOST_BYTES} bytes", where=path.name, do=do)
    return text, hashlib.sha256(given).hexdigest()


def house_rules(text: str, name: str, taken: Iterable[str] = ()) -> tuple[Rule, ...]:
    """The rules of one file's text. BadHouseFile also where a name is that of a rule of the law or of another file."""
    rows = read_rows(text, name)
    used = {*taken, *BY_NAME}
    for row in rows:
        if row.name in used:
            raise BadHouseFile(
                f"another rule is already named {row.name!r}", where=name, do="give this rule another name"
            )
    return tuple(
        Rule(row.name, row.about, row.bears, partial(judged, row), document=row.document, texts=texts_of(row))
        for row in rows
    )


def row_of(rule: Rule) -> HouseRow | None:
    """The row that a house rule was made of; None of a rule of the law."""
    made = rule.judge
    return made.args[0] if isinstance(made, partial) and made.args else None


def rows_with_area(house: House) -> list[HouseRow]:
    """The rows that hold an area as text, so not those that name a saved site."""
    rows = [row for row in map(row_of, house.rules) if row is not None]
    return [row for row in rows if row.kind == "inside_area" and row.of != "site"]


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads((_HERE / "words.toml").read_text(encoding="utf-8"))


def texts_of(row: HouseRow) -> Mapping[str, Mapping[str, str]]:
    """The row's texts by code: its own words where it is not met, else the shipped ones with the row's names filled in."""
    known = {
        "name": row.name.replace("_", " "),
        "meaning": _meaning(row),
        "of": _COUNTED.get(row.of, ""),
        "limit": _limit_text(row),
        "unit": {"": "", "year": " years"}.get(row.unit, f" {row.unit}"),
        "within": f"{row.within} days",
        "values": _listed(row.values),
    }
    found = {}
    for code, entry in {**_words()["any"], **_words()[row.kind]}.items():
        own = code in _words()["own"]
        says, do = (own and row.says) or entry["says"], (own and row.do) or entry["do"]
        found[code] = {"says": _filled(says, known), "do": _filled(do, known)}
    return found


def _meaning(row: HouseRow) -> str:
    """What a row looks at: its fact, else what it counts, and on which model."""
    if row.key is not None:
        return (
            _CALLED.get(row.key, row.key.meaning) if row.kind in ("at_least", "at_most") else row.key.meaning
        )
    if row.task:
        return f"last {row.task}"
    return _COUNTED.get(row.of, "") + _on_model(row.model)


def _on_model(model: str) -> str:
    if not model:
        return ""
    return " on the same model" if model == SAME_MODEL else f" on the {model}"


def _filled(text: str, known: Mapping[str, str]) -> str:
    """The places known by now filled in; braces of what is filled in are doubled, since the rest is filled when shown."""
    return _KNOWN_NOW.sub(lambda place: known[place[1]].replace("{", "{{").replace("}", "}}"), text)


def _limit_text(row: HouseRow) -> str:
    number = shown(row.limit)
    if row.unit in ("day", "calendar month", "year"):
        return f"{number} {row.unit}" + ("" if row.limit == 1 else "s")
    return f"{number} {row.unit}".strip()


def _listed(values: Sequence[object]) -> str:
    return ", ".join(shown(value) for value in values)


def example() -> str:
    """A commented example to start from, with the facts that rows may ask for."""
    text = (_HERE / "example.toml").read_text(encoding="utf-8")
    for about, kinds in REACH.items():
        text += f"\n# The facts a row about {about} may ask for:\n"
        for key in ALL_KEYS:
            if TABLES[key.table] in kinds:
                text += f"#   {key.name:<32}{key.meaning}\n"
    return text
