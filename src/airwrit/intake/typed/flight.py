"""One flight said by hand: its fields as typed, or as a phone hands them over, read strictly into a `Flown`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from airwrit.base.days import When, parse_when
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.flights.log import packs_named, says_no_defect
from airwrit.facts.statement import Problem
from airwrit.intake.cell.value import clean

FIELDS = ("aircraft", "pilot", "landed", "minutes", "landings", "packs", "defect", "use", "against", "nth")
"""What may be said of a flight, by the names of the form, the hand-over and the command's options."""

LONGEST_NAME, LONGEST_DEFECT, MOST_PACKS, LONGEST_PACK = 100, 500, 24, 40
MOST_MINUTES, MOST_LANDINGS, MOST_A_DAY = 1440, 500, 99
_FAR = 10**18
_FIRST, _LAST = date(2000, 1, 1), date(2100, 1, 1)


class Flown(NamedTuple):
    """A flight flown. `landed` is the moment of its landing, or only the day; `nth` tells flights of one day apart then."""

    aircraft: str
    pilot: str
    landed: When
    minutes: Decimal | None = None
    landings: Decimal | None = None
    packs: tuple[str, ...] = ()
    defect: str = ""
    use: UsedFor | None = None
    against: str = ""
    nth: int = 1


class Wrong(Exception):
    """A field that cannot be used: what is wrong with it, and what to do."""

    def __init__(self, what: str, do: str) -> None:
        """Both in plain words."""
        self.what, self.do = what, do
        super().__init__(what)


def flown_of(fields: Mapping[str, Any], where: str) -> tuple[Flown | None, tuple[Problem, ...]]:
    """The flight that fields say, or None with a problem for every field that cannot be used. Never raises on their values."""
    read: dict[str, Any] = {}
    problems = []
    for name in fields:
        if name not in FIELDS:
            do = f"leave it out; what can be said is {', '.join(FIELDS)}"
            problems.append(Problem(where, f"a flight has no field named {_told(name)}", do, unread=True))
    for name, reader in _READERS.items():
        try:
            read[name] = reader(fields.get(name))
        except Wrong as fault:
            problems.append(Problem(f"{where} {name}", fault.what, fault.do, unread=True, field=name))
    return (None, tuple(problems)) if problems else (Flown(**read), ())


def _told(value: object) -> str:
    """A value in a message: short, and without signs that cannot be seen."""
    if isinstance(value, int) and abs(value) >= _FAR:
        return "a number far too large"
    text = clean(str(value)).text
    return repr(text if len(text) <= 40 else text[:37] + "...")


def _line(value: object, longest: int) -> str:
    """A text on one line, as a person sees it; "" for nothing."""
    if value is None:
        return ""
    if not isinstance(value, str):
        raise Wrong(f"{_told(value)} isn't text", "write it as text")
    if len(value) > 4 * longest:
        raise Wrong(f"the text has {len(value):,} characters", f"use at most {longest}")
    text = clean(value).text
    if len(text) > longest:
        raise Wrong(f"the text has {len(text)} characters", f"use at most {longest}")
    return text


def _aircraft(value: object) -> str:
    return _line(value, LONGEST_NAME) or _missing("which aircraft it was", "name the aircraft")


def _pilot(value: object) -> str:
    return _line(value, LONGEST_NAME) or _missing("who flew", "name the pilot")


def _missing(what: str, do: str) -> str:
    raise Wrong(f"the flight doesn't say {what}", do)


def _landed(value: object) -> When:
    do = "write the moment with its zone like 2026-11-25T10:20-05:00, or the day like 2026-11-25"
    text = _line(value, LONGEST_NAME)
    if not text:
        raise Wrong("the flight doesn't say when it landed", do)
    try:
        when = parse_when(text)
    except ValueError as fault:
        raise Wrong(f"{_told(text)} isn't a date, or a time with its zone", do) from fault
    day = when.date() if isinstance(when, datetime) else when
    if not _FIRST <= day < _LAST:
        raise Wrong(f"the year of {_told(text)} can't be right", do)
    return when.replace(second=0, microsecond=0) if isinstance(when, datetime) else when


def _number(value: object, most: int, do: str) -> Decimal | None:
    if value is None or (isinstance(value, str) and not value.strip()):
        return None
    if isinstance(value, bool) or not isinstance(value, int | str | Decimal | float):
        raise Wrong(f"{_told(value)} isn't a number", do)
    if isinstance(value, int) and not 0 < value <= most:
        raise Wrong("the number can't be right", do)
    try:
        number = Decimal(str(value).strip()) if len(str(value)) <= 20 else Decimal("NaN")
    except InvalidOperation as fault:
        raise Wrong(f"{_told(value)} isn't a number", do) from fault
    if not number.is_finite() or not 0 < number <= most:
        raise Wrong(f"{_told(value)} can't be right", do)
    exponent = number.as_tuple().exponent
    return number if isinstance(exponent, int) and -2 <= exponent <= 0 else number.quantize(Decimal("0.01"))


def _minutes(value: object) -> Decimal | None:
    return _number(value, MOST_MINUTES, f"write the minutes in the air, above 0 and at most {MOST_MINUTES}")


def _whole(value: object, most: int) -> Decimal | None:
    do = f"write a whole number from 1 to {most}"
    number = _number(value, most, do)
    if number is not None and number != number.to_integral_value():
        raise Wrong(f"{_told(value)} isn't a whole number", do)
    return None if number is None else Decimal(int(number))


def _landings(value: object) -> Decimal | None:
    return _whole(value, MOST_LANDINGS)


def _nth(value: object) -> int:
    return int(_whole(value, MOST_A_DAY) or 1)


def _packs(value: object) -> tuple[str, ...]:
    if isinstance(value, list | tuple):
        named = [name for each in value for name in packs_named(_line(each, LONGEST_DEFECT))]
    else:
        named = list(packs_named(_line(value, MOST_PACKS * LONGEST_PACK)))
    named = list(dict.fromkeys(named))
    if len(named) > MOST_PACKS or any(len(name) > LONGEST_PACK for name in named):
        do = f"name at most {MOST_PACKS} packs of at most {LONGEST_PACK} characters each, separated by commas"
        raise Wrong("there are too many battery packs, or a name is too long", do)
    return tuple(named)


def _defect(value: object) -> str:
    text = _line(value, LONGEST_DEFECT)
    return "" if says_no_defect(text) else text


def _against(value: object) -> str:
    return _line(value, LONGEST_DEFECT)


def _use(value: object) -> UsedFor | None:
    text = _line(value, LONGEST_NAME)
    if not text:
        return None
    try:
        use = UsedFor(text)
    except ValueError:
        use = UsedFor.BOTH
    if use is UsedFor.BOTH:
        raise Wrong(f"{_told(text)} isn't a use of a flight", "choose work or recreation")
    return use


_READERS: dict[str, Callable[[object], Any]] = {
    "aircraft": _aircraft,
    "pilot": _pilot,
    "landed": _landed,
    "minutes": _minutes,
    "landings": _landings,
    "packs": _packs,
    "defect": _defect,
    "use": _use,
    "against": _against,
    "nth": _nth,
}
