"""Batteries: which are fit, how many cycles each has, what is left of its capacity, and what to keep in mind."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from airwrit.answers.standing.standing import Standing
from airwrit.answers.upkeep.maintenance import WORK_HEADINGS, works_on
from airwrit.answers.upkeep.view import (
    UpkeepAnswer,
    UpkeepRow,
    UpkeepSection,
    against,
    by_gravity,
    findings_of,
    of_flight,
    verdict_of,
)
from airwrit.base.measured import Measured
from airwrit.base.sentences import Share, counted, parts_of_whole
from airwrit.base.verdict import Undecided, Verdict
from airwrit.facts.keys.equipment import (
    BATTERY_DAMAGE,
    BATTERY_DAMAGED_ON,
    BATTERY_MODEL,
    BATTERY_RETIRED_ON,
    BATTERY_RETIRED_WHY,
    BATTERY_SERIAL,
    BATTERY_SHIPPED_ON,
    BATTERY_SHIPPED_TO,
    CAPACITY_MEASURED_ON,
    CYCLES_READ,
    PAIRED_AIRCRAFT,
    STORAGE_CHARGE,
    SWELLING,
)
from airwrit.facts.keys.flights.log import PACKS
from airwrit.facts.keys.maintenance import MAINTENANCE_BATTERY
from airwrit.facts.state import Facts, State, value_held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law import wording
from airwrit.law.aircraft.battery import BATTERY_FIT_RULE, battery_cycles, capacity_left
from airwrit.law.aircraft.maintenance import BATTERY_BULLETINS_DONE_RULE
from airwrit.law.rule import Finding

STORED_AT_LEAST, STORED_AT_MOST = Decimal(40), Decimal(65)
"""Percent of charge at which packs are stored. Source: common practice, no source."""
_HEADINGS = ("Kept for", "Cycles", "Capacity left", "Measured", "Model", "Serial")
_GONE = ("retired", "shipped")
_IN_USE = "In use"
_NAMED = 12


def batteries_of(standing: Standing, name: str = "") -> UpkeepAnswer:
    """Every battery on record, or the one of a name. UsageError where none has the name."""
    state = standing.report.state
    on_file = [one for one in state.subjects("battery") if state.held[one]]
    by_subject = findings_of(standing, "battery", on_file, name, where="battery", see="batteries")
    rows = by_gravity(_row(standing, subject, found) for subject, found in by_subject.items())
    here = [row for row in rows if row.values["in_use"]]
    sections = (
        UpkeepSection(_IN_USE, _HEADINGS, tuple(here)),
        UpkeepSection("Not in use", _HEADINGS, tuple(row for row in rows if not row.values["in_use"])),
        UpkeepSection(
            "Work done",
            WORK_HEADINGS,
            tuple(row for one in by_subject for row in works_on(state, MAINTENANCE_BATTERY, one)),
        ),
    )
    notes = () if name else _unrecorded(state)
    shown = tuple(section for section in sections if section.rows)
    return UpkeepAnswer("batteries", "Batteries", standing, _say(here), shown, notes)


def batteries_kept_for(standing: Standing, aircraft: str) -> tuple[UpkeepRow, ...]:
    """The batteries in use that are kept for an aircraft, those that are not fit first."""
    name = id_of(aircraft)
    if not standing.report.state.holding(PAIRED_AIRCRAFT, name):
        return ()
    rows = (row for one in batteries_of(standing).sections if one.title == _IN_USE for row in one.rows)
    return tuple(row for row in rows if row.values["paired_aircraft"] == name)


def _say(here: list[UpkeepRow]) -> str:
    if not here:
        return "No battery in use is on record."
    bad = sum(row.verdict is Verdict.NOT_MET for row in here)
    open_ones = sum(row.verdict is Verdict.UNKNOWN for row in here)
    return parts_of_whole(
        len(here),
        ("battery in use", "batteries in use"),
        (Share(bad, "is unfit to fly", "are unfit to fly"),),
        open_ones,
        "has nothing against it on record",
        here[0].name,
    )


def _row(standing: Standing, subject: str, findings: list[Finding]) -> UpkeepRow:
    state = standing.report.state
    facts = Facts(state, subject)
    fit = next((f.outcome.code for f in findings if f.rule is BATTERY_FIT_RULE), "")
    aircraft = value_held(state, subject, PAIRED_AIRCRAFT) or ""
    measured_on = value_held(state, subject, CAPACITY_MEASURED_ON)
    cycles, left = _cycles(facts), _left(facts)
    texts = [value_held(state, subject, key) or "" for key in (BATTERY_MODEL, BATTERY_SERIAL)]
    own = of_flight(findings)
    in_use = fit not in _GONE
    return UpkeepRow(
        subject,
        id_of(subject),
        verdict_of(own) if in_use else Verdict.NOT_APPLICABLE,
        (
            aircraft,
            _cycles_told(cycles),
            "not known" if left is None else f"{left} %",
            "" if measured_on is None else measured_on.isoformat(),
            *texts,
        ),
        (
            *against(own, standing),
            *_bulletins(findings, state),
            *(_cautions(state, subject) if in_use else _why_gone(state, subject, fit)),
        ),
        {
            "code": fit,
            "in_use": in_use,
            "paired_aircraft": aircraft or None,
            "cycles": None if cycles is None else str(cycles.low),
            "cycles_at_most": None if cycles is None else str(cycles.high),
            "capacity_left_percent": None if left is None else str(left),
            "capacity_measured_on": None if measured_on is None else measured_on.isoformat(),
        },
    )


def _bulletins(findings: list[Finding], state: State) -> tuple[str, ...]:
    """The service bulletin that is due next, where one is."""
    told = [
        wording.worded(one, state)
        for one in findings
        if one.rule is BATTERY_BULLETINS_DONE_RULE and one.verdict is Verdict.MET
    ]
    return tuple(f"{one.says} {one.do}".strip() for one in told)


def _why_gone(state: State, subject: str, fit: str) -> tuple[str, ...]:
    """Since when a battery is not in use, and why or where; and what was wrong with one that was shipped damaged."""
    key, more = (
        (BATTERY_SHIPPED_ON, BATTERY_SHIPPED_TO)
        if fit == "shipped"
        else (BATTERY_RETIRED_ON, BATTERY_RETIRED_WHY)
    )
    day, told = value_held(state, subject, key), value_held(state, subject, more)
    link = " to " if fit == "shipped" else ": "
    damage = value_held(state, subject, BATTERY_DAMAGE) if fit == "shipped" else None
    says = f"{fit.capitalize()} {day}{f'{link}{told}' if told else ''}."
    return (says, f"It was damaged: {damage}.") if damage else (says,)


def _cycles(facts: Facts) -> Measured | None:
    """The cycles; None where they can't be told, or neither a count nor a flight is on file."""
    try:
        found = battery_cycles(facts)
        return found if found.high or facts.has(CYCLES_READ) else None
    except Undecided:
        return None


def _cycles_told(cycles: Measured | None) -> str:
    if cycles is None:
        return "not known"
    return str(cycles.low) if cycles.low == cycles.high else f"{cycles.low} to {cycles.high}"


def _left(facts: Facts) -> Decimal | None:
    try:
        return capacity_left(facts).best.quantize(Decimal(1), ROUND_HALF_UP)
    except Undecided:
        return None


def _cautions(state: State, subject: str) -> tuple[str, ...]:
    """Plain cautions that ground nothing: the charge it is stored at, and how a damaged one is kept."""
    found = []
    charge = value_held(state, subject, STORAGE_CHARGE)
    if charge is not None and not STORED_AT_LEAST <= charge <= STORED_AT_MOST:
        found.append(
            f"Stored at {charge.normalize():f} percent. Common practice is {STORED_AT_LEAST} to {STORED_AT_MOST} percent."
        )
    hurt = value_held(state, subject, BATTERY_DAMAGED_ON) is not None or value_held(state, subject, SWELLING)
    if hurt:
        found.append(
            "Ask the carrier before you ship a damaged or swollen battery. Don't take it on a plane."
        )
    return tuple(found)


def _unrecorded(state: State) -> tuple[str, ...]:
    """Packs that flights name and of which nothing else is on record."""
    named: dict[str, None] = {}
    for flight in state.subjects("flight"):
        held = state.held[flight].get(PACKS)
        if held is not None and held.why is None:
            named.update(dict.fromkeys(PACKS.values_in(held.value)))
    strange = [one for one in named if not state.held.get(subject_named("battery", one))]
    if not strange:
        return ()
    more = f" and {len(strange) - _NAMED} more" if len(strange) > _NAMED else ""
    listed = ", ".join(strange[:_NAMED]) + more
    return (f"Flights name {counted(len(strange), 'pack')} with no record of its own: {listed}.",)
