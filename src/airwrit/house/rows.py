"""The rows of a file of house rules, read and checked: what is not known is refused with the row and the field named."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from airwrit.base.errors import BadFact, BadHouseFile
from airwrit.base.measured import WEIGHT_UNITS_G
from airwrit.facts.choices import EventKind, PaperKind, UsedFor
from airwrit.facts.key import Key, value_of
from airwrit.facts.keys.equipment import CAPACITY_MEASURED
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.house.row_table import RowTable, nearest, quoted
from airwrit.house.territory import states_meant
from airwrit.law.rule import Bears

ABOUT = ("aircraft", "person", "paper", "flight", "battery")
REACH = {
    "aircraft": ("aircraft", "registration", "owner"),
    "person": ("person",),
    "paper": ("paper",),
    "flight": ("flight",),
    "battery": ("battery",),
}
"""Kinds of subject whose facts a row may look at: those of its own, and what an aircraft points at."""
DAY, CALENDAR_MONTH, YEAR, PERCENT = "day", "calendar month", "year", "percent"
_COUNTED = ("training", "flights", "landings", "hours")
_WORN_BY = ("hours", "flights", "landings")
_COMMON = (
    "name",
    "about",
    "kind",
    "document",
    "clause",
    "says",
    "do",
    "from",
    "until",
    "bears",
    "use",
    "scope",
)
_NEEDED = ("name", "about", "kind", "clause")
FIELDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "one_of": (("key", "values"), ()),
    "not_one_of": (("key", "values"), ()),
    "at_least": (("key", "limit"), ("unit",)),
    "at_most": (("key", "limit"), ("unit",)),
    "within_days": (("limit",), ("key", "task", "unit")),
    "before_days": (("key", "limit"), ("unit", "done")),
    "count_in_days": (("of", "limit", "within"), ("values", "model")),
    "used_since": (("of", "limit"), ("key", "task")),
    "required": (("key",), ()),
    "covered_by": (("values",), ()),
    "trained": (("courses",), ("limit", "unit")),
    "returned_by": (("values",), ()),
    "inside_box": (("south", "north", "west", "east"), ()),
    "in_states": (("values",), ()),
    "inside_area": ((), ("area", "site")),
    "by_day": ((), ()),
}
"""Each kind of row with the fields it must have beside those of all rows, and those it may have."""
_MOST = {DAY: 36_600, CALENDAR_MONTH: 1_200, YEAR: 200}
_OF_A_PLAN = ("inside_box", "in_states", "inside_area", "by_day")
"""Kinds of row that are about a flight, and as a rule about one that is planned."""
_EDGES = (("south", 90), ("north", 90), ("west", 180), ("east", 180))
_ON_RECORD = ("paper", "flight")
"""What a row puts on record: a paper grounds nothing by itself, and a flight that was made cannot be stopped."""
_WITHOUT_USE = (*_ON_RECORD, "battery")
"""What is flown for no use of its own."""
SAME_MODEL = "same"
"""Of a rule about a flight: the model of the aircraft it is flown with."""
_LONGEST, _LONGEST_AREA, _MOST_ROWS, _MOST_VALUES = 300, 100_000, 1_000, 1_000
_PLACES = re.compile(r"\{(value|limit|within|values|due_on)\}|([{}])")


@dataclass(frozen=True, slots=True)
class HouseRow:
    """One row, its values typed. `values` are those of `key`, of the counted trainings, or of the papers; or the area of a row
    about one, as its text or as the name of a saved site.

    `of` is what is counted, `model` the only model of aircraft whose flights count, "" for every one. `task` is the
    maintenance whose last day counts, where no fact tells it.
    """

    name: str
    about: str
    kind: str
    document: str
    says: str
    do: str
    start: date | None
    until: date | None
    bears: Bears
    use: UsedFor | None
    key: Key[Any] | None
    done: Key[Any] | None
    values: tuple[Any, ...]
    limit: Decimal
    unit: str
    of: str
    within: int
    model: str
    task: str
    scope: tuple[tuple[Key[Any], tuple[Any, ...]], ...]


def read_rows(text: str, name: str) -> tuple[HouseRow, ...]:
    """The rows of a file. BadHouseFile names the first thing that cannot be taken, with file, row and field."""
    try:
        document = tomllib.loads(text, parse_float=Decimal)
    except (ValueError, ArithmeticError, RecursionError) as fault:
        raise BadHouseFile(
            f"we can't read the file as TOML ({fault})", where=name, do="fix that line"
        ) from fault
    _only(RowTable(name, document), ("document", "rule"))
    paper = RowTable(name, document).text("document")
    tables = document.get("rule", [])
    if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables) or not tables:
        raise BadHouseFile("the file has no rules", where=name, do="start each rule with [[rule]]")
    if len(tables) > _MOST_ROWS:
        raise BadHouseFile(f"the file has more than {_MOST_ROWS} rules", where=name, do="split the file")
    rows: dict[str, HouseRow] = {}
    for number, table in enumerate(tables, 1):
        row = _row(table, number, paper, name)
        if row.name in rows:
            raise BadHouseFile(
                f"two rules are named {row.name!r}",
                where=f"{name} rule {number}",
                do="give each rule its own name",
            )
        rows[row.name] = row
    return tuple(rows.values())


def _row(table: Mapping[str, Any], number: int, paper: str, file: str) -> HouseRow:
    called = table.get("name")
    at = RowTable(f"{file} rule {number}" + (f" {called[:60]!r}" if isinstance(called, str) else ""), table)
    kind = at.one_of("kind", tuple(FIELDS))
    must, may = FIELDS[kind]
    _only(at, (*_COMMON, *must, *may))
    for field in (*_NEEDED, *must):
        if field not in table:
            raise at.refusal(field, "this is missing", f"a rule of kind {kind} needs it")
    about, key = at.one_of("about", ABOUT), _key(at, "key", table.get("about", ""))
    if not (document := at.text("document", paper)):
        raise at.refusal(
            "document", "this is missing", "name the document in the rule, or once at the top of the file"
        )
    start, until = at.day("from"), at.day("until")
    if start is not None and until is not None and until <= start:
        raise at.refusal(
            "until", f"{until} isn't after {start}", "enter the first day the rule no longer applies"
        )
    _fitting(at, kind, about)
    unit, limit = _limit(at, kind, key)
    return HouseRow(
        name=at.text("name"),
        about=about,
        kind=kind,
        document=f"{document} {at.text('clause')}",
        says=_filled_in(at, "says"),
        do=_filled_in(at, "do"),
        start=start,
        until=until,
        bears=_bears(at, about),
        use=UsedFor(at.one_of("use", (UsedFor.WORK.value, UsedFor.RECREATION.value)))
        if "use" in table
        else None,
        key=key,
        done=_date_key(at, "done", _key(at, "done", about)) if "done" in table else None,
        values=_AREAS[kind](at) if kind in _AREAS else _values(at, kind, key),
        limit=limit,
        unit=unit,
        of=_what_is_counted(at, kind) if "of" in must else "site" if "site" in table else "",
        model=at.text("model"),
        task=at.text("task"),
        within=_whole(at, "within", _MOST[DAY]) if "within" in must else 0,
        scope=_scope(at, about),
    )


def _bears(at: RowTable, about: str) -> Bears:
    """What the row bears on: a flight, where it says nothing. A row about a paper is always about papers.

    One about a flight is too where it says nothing; one that bears on the flight is asked before a flight alone.
    """
    if about == "paper":
        return Bears(at.one_of("bears", (Bears.PAPERS.value,), Bears.PAPERS.value))
    if at.content.get("kind") in _OF_A_PLAN:
        return Bears(at.one_of("bears", (Bears.FLIGHT.value,), Bears.FLIGHT.value))
    if about == "flight":
        return Bears(at.one_of("bears", (Bears.FLIGHT.value, Bears.PAPERS.value), Bears.PAPERS.value))
    return Bears(at.one_of("bears", (Bears.FLIGHT.value, Bears.PAPERS.value), Bears.FLIGHT.value))


def _fitting(at: RowTable, kind: str, about: str) -> None:
    """Refuse a kind that cannot ask about such a subject, and a use for papers and flights made, which have none."""
    for one, fit in _ONLY_OF.items():
        if kind == one and about not in fit:
            who = " or ".join(_CALLED_IN_ROWS[each] for each in fit)
            raise at.refusal("kind", f"only {who} can have {kind}", f'write about = "{fit[0]}"')
    if "model" in at.content and (at.content["model"] == SAME_MODEL) is not (about == "flight"):
        do = f'write model = "{SAME_MODEL}" there'
        raise at.refusal("model", "in a rule about flights, 'model' can be only the same model", do)
    _key_or_task(at, kind)
    if kind == "covered_by" and about in _WITHOUT_USE:
        raise at.refusal(
            "kind", "a document covers only aircraft and people", 'write about = "aircraft" or "person"'
        )
    if kind in _OF_A_PLAN and about != "flight":
        raise at.refusal("kind", f"only flights can have {kind}", 'write about = "flight"')
    if "use" in at.content and about in _WITHOUT_USE:
        raise at.refusal("use", f'a rule with about = "{about}" can\'t have a use', "leave it out")


def _box(at: RowTable) -> tuple[Decimal, ...]:
    """South, north, west and east of a box in degrees; east of Greenwich and north of the equator count up."""
    south, north, west, east = (_degrees(at, field, most) for field, most in _EDGES)
    if south >= north or west >= east:
        raise at.refusal(
            "south, north, west, east",
            "the box is empty",
            "south has to be less than north, and west less than east; west of Greenwich is negative",
        )
    return south, north, west, east


def _area(at: RowTable) -> tuple[str, ...]:
    """The area as typed or pasted, or the name of the saved site whose area it is."""
    if ("area" in at.content) is ("site" in at.content):
        do = 'write area = "41.0, -105.3; 41.2, -105.3; 41.2, -105.0", or site = "North Field"'
        raise at.refusal("area", "it needs either an area or a saved site, not both", do)
    if "site" in at.content:
        return (at.text("site"),)
    told = at.content["area"]
    if not isinstance(told, str) or not told.strip() or len(told) > _LONGEST_AREA:
        raise at.refusal(
            "area", f"{quoted(told)} isn't an area", 'write it in quotes, like "41.0, -105.3 within 5 mi"'
        )
    return (told,)


_AREAS = {"inside_box": _box, "inside_area": _area}


def _degrees(at: RowTable, field: str, most: int) -> Decimal:
    value = at.content.get(field)
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and abs(Decimal(value)) <= most:
        return Decimal(value)
    raise at.refusal(
        field, f"{quoted(value)} isn't degrees from -{most} to {most}", f"write {field} = -105.3"
    )


_ONLY_OF = {
    "count_in_days": ("person", "flight"),
    "used_since": ("aircraft", "battery"),
    "trained": ("person",),
    "returned_by": ("aircraft",),
}


_CALLED_IN_ROWS = {"person": "people", "flight": "flights", "aircraft": "aircraft", "battery": "batteries"}


def _key_or_task(at: RowTable, kind: str) -> None:
    """Refuse a row that goes by a day and names none, or both a fact and a task, or a task of what is not maintained."""
    if kind not in ("within_days", "used_since"):
        return
    if ("key" in at.content) is ("task" in at.content):
        raise at.refusal(
            "key",
            "it needs one thing to count, either a fact or a task",
            'add one line to the rule, key = "FACT" or task = "TASK"',
        )
    if "task" in at.content and at.content["about"] not in ("aircraft", "battery"):
        raise at.refusal("task", "only aircraft and batteries have maintenance", "name a fact in key instead")


def _what_is_counted(at: RowTable, kind: str) -> str:
    """What a row counts. Trainings are of no aircraft, and wear none."""
    of = at.one_of("of", _WORN_BY if kind == "used_since" else _COUNTED)
    if at.content["about"] == "battery" and of != "flights":
        raise at.refusal("of", "only flights count for a battery's wear", 'write of = "flights"')
    if of == "training" and "model" in at.content:
        raise at.refusal("model", "training isn't counted by model", "leave it out")
    return of


def _only(at: RowTable, allowed: tuple[str, ...]) -> None:
    for field in at.content:
        if field not in allowed:
            raise at.refusal(
                repr(field[:60]), "a rule of this kind has no such field", nearest(field, allowed)
            )


def _filled_in(at: RowTable, field: str) -> str:
    """A text of the row's own; only the places known may stand in braces."""
    text = at.text(field)
    for found in _PLACES.finditer(text):
        if found[2]:
            raise at.refusal(
                field,
                "we don't know one of the {} fields in it",
                "use only {value}, {limit}, {within}, {values} and {due_on}",
            )
    return text


def _key(at: RowTable, field: str, about: object) -> Key[Any] | None:
    name = at.content.get(field)
    if name is None:
        return None
    reach = REACH.get(str(about), ())
    known = tuple(each.name for each in KEYS.values() if TABLES[each.table] in reach)
    if not isinstance(name, str) or name not in known:
        do = nearest(name, known)
        raise at.refusal(
            field,
            f"there is no {about} fact named {quoted(name)}",
            do if len(do) < 99 else "`airwrit today --write-house` lists them",
        )
    return KEYS[name]


def _date_key(at: RowTable, field: str, key: Key[Any] | None) -> Key[Any] | None:
    if key is not None and key.kind is not date:
        raise at.refusal(field, f"the fact {key.name} isn't a date", "name a fact that is a date")
    return key


def _whole(at: RowTable, field: str, most: int) -> int:
    value = at.number(field, most)
    if value != int(value) or value < 1:
        raise at.refusal(field, f"{value} isn't a whole number of 1 or more", f"write {field} = 12")
    return int(value)


def _limit(at: RowTable, kind: str, key: Key[Any] | None) -> tuple[str, Decimal]:
    """The unit and the limit of a row, its unit one that its fact can be told in."""
    if kind in ("within_days", "before_days") or (kind == "trained" and "limit" in at.content):
        _date_key(at, "key", key)
        unit = at.one_of("unit", (DAY, CALENDAR_MONTH), DAY)
        return unit, Decimal(_whole(at, "limit", _MOST[unit]))
    if kind in ("count_in_days", "used_since"):
        if kind == "used_since":
            _date_key(at, "key", key)
        return "", Decimal(_whole(at, "limit", 10_000))
    if kind not in ("at_least", "at_most") or key is None:
        return "", Decimal(0)
    if key.kind is date:
        return at.one_of("unit", (YEAR,), YEAR), at.number("limit", _MOST[YEAR])
    if key.kind is not Decimal:
        raise at.refusal(
            "key", f"the fact {key.name} isn't a number", "name a fact that is a number, or use one_of"
        )
    units = tuple(WEIGHT_UNITS_G) if key.unit == "g" else (key.unit,)
    units += (PERCENT,) if key is CAPACITY_MEASURED else ()
    return at.one_of("unit", units, key.unit), at.number("limit", 10**9)


def _values(at: RowTable, kind: str, key: Key[Any] | None) -> tuple[Any, ...]:
    if kind in _TEXTS:
        texts = _texts(at, *_TEXTS[kind])
        return _states(at, texts) if kind == "in_states" else texts
    if "values" not in at.content:
        return ()
    raws = at.content["values"]
    if not isinstance(raws, list) or not 0 < len(raws) <= _MOST_VALUES:
        raise at.refusal("values", f"{quoted(raws)} isn't a list of values", 'write values = ["...", "..."]')
    if kind == "covered_by":
        return tuple(_word(at, "values", raw, PaperKind) for raw in raws)
    if kind == "count_in_days":
        if at.content.get("of") != "training":
            raise at.refusal("values", "only training has kinds to choose from", "leave it out")
        return tuple(_word(at, "values", raw, EventKind) for raw in raws)
    return tuple(_typed(at, "values", raw, key) for raw in raws) if key else ()


_TEXTS = {
    "trained": ("courses", "Night flying"),
    "returned_by": ("values", "Maris Tolland"),
    "in_states": ("values", "Wyoming"),
}
"""Kinds of row with a list of plain texts: the field they stand in, and one such text."""


def _texts(at: RowTable, field: str, like: str) -> tuple[str, ...]:
    """A list of plain texts."""
    raws = at.content[field]
    if not isinstance(raws, list) or not 0 < len(raws) <= _MOST_VALUES:
        raise at.refusal(field, f"{quoted(raws)} isn't a list", f'write {field} = ["{like}"]')
    for raw in raws:
        if not (isinstance(raw, str) and raw.strip() and len(raw) <= _LONGEST):
            raise at.refusal(field, f"{quoted(raw)} isn't a short text", f'write {field} = ["{like}"]')
    return tuple(raws)


def _states(at: RowTable, names: tuple[str, ...]) -> tuple[str, ...]:
    """The names, each of which has to mean a State or several."""
    strange = next((name for name in names if not states_meant(name)), None)
    if strange is not None:
        raise at.refusal("values", f"no State is called {strange!r}", 'write it like "WY" or "48 states"')
    return names


def _word(at: RowTable, field: str, raw: object, kind: type[StrEnum]) -> StrEnum:
    words = tuple(each.value for each in kind)
    if raw not in words:
        raise at.refusal(field, f"we don't know {quoted(raw)}", nearest(raw, words))
    return kind(str(raw))


def _typed(at: RowTable, field: str, raw: object, key: Key[Any]) -> Any:
    """A value of the key's kind: a word of its list, yes or no, a text; days and numbers are asked for in other kinds."""
    if key.kind in (date, Decimal):
        raise at.refusal(
            field,
            f"the fact {key.name} is a {'date' if key.kind is date else 'number'}",
            "use at_least or within_days",
        )
    if issubclass(key.kind, StrEnum):
        return _word(at, field, raw, key.kind)
    if not isinstance(raw, str | bool):
        raise at.refusal(
            field, f"we can't use {quoted(raw)} for {key.name}", "write text in quotes, or true or false"
        )
    try:
        return value_of(key, raw)
    except BadFact as fault:
        raise at.refusal(field, f"we can't use {quoted(raw)} for {key.name}", fault.do) from fault


def _scope(at: RowTable, about: str) -> tuple[tuple[Key[Any], tuple[Any, ...]], ...]:
    scope = at.content.get("scope", {})
    if not isinstance(scope, dict):
        raise at.refusal("scope", f"{quoted(scope)} isn't a table", "write scope = {used_for = ['work']}")
    found = []
    for name, raws in scope.items():
        inner = RowTable(f"{at.where} scope", {"key": name})
        key = _key(inner, "key", about)
        given = raws if isinstance(raws, list) else [raws]
        if key is None or not 0 < len(given) <= _MOST_VALUES:
            raise inner.refusal(
                quoted(name), "the field has no value", "write one value, or a list of values"
            )
        found.append((key, tuple(_typed(inner, key.name, raw, key) for raw in given)))
    return tuple(found)
