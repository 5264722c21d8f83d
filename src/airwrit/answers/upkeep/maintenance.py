"""Maintenance: open defects and what came back, work done, what is due next, bulletins, and how each aircraft is set up."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any, NamedTuple

from airwrit.answers.flights.totals import Total, flight_totals
from airwrit.answers.standing.standing import Standing
from airwrit.answers.upkeep.view import (
    SOON,
    UpkeepAnswer,
    UpkeepRow,
    UpkeepSection,
    against,
    by_gravity,
    findings_of,
    verdict_of,
)
from airwrit.base.days import day_of
from airwrit.base.sentences import Share, counted, day_words, parts_of_whole
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key, raw_of
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    DEFECT_SEEN,
    FLOWN_ON,
    says_no_defect,
)
from airwrit.facts.keys.maintenance import (
    CHECK_FLIGHT_NEEDED,
    CHECK_FLIGHT_ON,
    CHECK_FLIGHT_PASSED,
    DEFECT,
    DEFECT_FOUND_ON,
    DEFECT_GROUNDS,
    DEFECT_OF,
    FIRMWARE_AFTER,
    FIRMWARE_BEFORE,
    FIXES_DEFECT,
    HOURS_READ,
    MAINTENANCE_BATTERY,
    MAINTENANCE_DONE_BY,
    MAINTENANCE_DONE_ON,
    MAINTENANCE_KEYS,
    MAINTENANCE_OF,
    PART_CHANGED,
    RETURNED_BY,
    RETURNED_ON,
    SERIAL_IN,
    SERIAL_OUT,
    SETTING_KEYS,
    TASK,
    WORK_DONE,
    WORK_RETURNED_BY,
    WORK_RETURNED_ON,
)
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded, id_of, subject_named
from airwrit.house.rows import HouseRow
from airwrit.house.rules import row_of
from airwrit.law import wording
from airwrit.law.aircraft.fleet import IN_SERVICE_RULE
from airwrit.law.aircraft.maintenance import (
    BULLETINS_DONE_RULE,
    DEFECT_RELEASED_RULE,
    HEIGHT_SETTINGS_RULE,
    RETURNED_TO_SERVICE_RULE,
)
from airwrit.law.rule import Finding

SOON_SHARE = Decimal("0.2")
"""What has no more than this share of its use left is listed too; the rest is folded."""
REPEATS_WITHIN = timedelta(days=90)
"""A defect that comes back within so many days is told as repeated. Source: common practice, no source."""
_OF_SERVICE = (
    IN_SERVICE_RULE,
    DEFECT_RELEASED_RULE,
    RETURNED_TO_SERVICE_RULE,
    BULLETINS_DONE_RULE,
    HEIGHT_SETTINGS_RULE,
)
WORK_HEADINGS = ("Done", "By", "Changed", "Returned")
_COUNTED = ("hours", "flights", "landings")


def maintenance_of(standing: Standing, name: str = "") -> UpkeepAnswer:
    """The maintenance of every aircraft with anything to tell, or of one. UsageError where no aircraft has the name."""
    state = standing.report.state
    fleet = [row.subject for row in standing.rows if row.subject.startswith("aircraft/")]
    mine = findings_of(standing, "aircraft", fleet, name, where="maintenance", see="today")
    subjects = list(mine)
    totals = {subject_named("aircraft", one.name): one for one in flight_totals(state).aircraft}
    service = [_service(standing, one, mine[one], alone=bool(name)) for one in subjects]
    due = [row for one in subjects for row in _due(standing, mine[one], totals.get(one))]
    sections = (
        UpkeepSection(
            "Service and settings",
            ("Firmware", "Return height", "Height limit", "Lost link"),
            by_gravity(filter(None, service)),
        ),
        _due_section(sorted(due, key=_next_due), day_of(state.on), alone=bool(name)),
        UpkeepSection(
            "Defects",
            ("Found", "Returned", "By"),
            by_gravity(row for one in subjects for row in _defects(state, one)),
        ),
        UpkeepSection(
            "Work done",
            WORK_HEADINGS,
            by_gravity(row for one in subjects for row in works_on(state, MAINTENANCE_OF, one)),
        ),
    )
    shown = tuple(section for section in sections if section.every)
    return UpkeepAnswer("maintenance", "Maintenance", standing, _say(subjects, mine), shown)


def _say(subjects: Sequence[str], mine: dict[str, list[Finding]]) -> str:
    verdicts = Counter(verdict_of(f for f in mine[one] if f.rule in _OF_SERVICE[:-1]) for one in subjects)
    out, open_ones = verdicts[Verdict.NOT_MET], verdicts[Verdict.UNKNOWN]
    waiting = Share(
        open_ones,
        "is waiting for someone to return it to service",
        "are waiting for someone to return them to service",
    )
    parts = (Share(out, "is out of service", "are out of service"), waiting)
    name = id_of(subjects[0]) if subjects else ""
    return parts_of_whole(len(subjects), ("aircraft", "aircraft"), parts, 0, "isn't out of service", name)


def _service(
    standing: Standing, subject: str, findings: Iterable[Finding], *, alone: bool
) -> UpkeepRow | None:
    """How an aircraft stands in service; None where nothing of it is on file and it isn't asked about alone."""
    state = standing.report.state
    own = [finding for finding in findings if finding.rule in _OF_SERVICE]
    settings = [value_held(state, subject, key) for key in SETTING_KEYS]
    backward = _hours_backward(state, subject)
    verdict = verdict_of(own)
    if verdict is Verdict.NOT_APPLICABLE and not any(settings) and not backward and not alone:
        return None
    feet = [
        f"{value:f} ft" if isinstance(value, Decimal) else str(value or "not on file") for value in settings
    ]
    return UpkeepRow(
        subject,
        id_of(subject),
        verdict,
        tuple(feet),
        (*against(own, standing), *backward) or _in_order(own, state),
        {
            key.name: None if value is None else str(value)
            for key, value in zip(SETTING_KEYS, settings, strict=True)
        },
    )


def _in_order(findings: Iterable[Finding], state: State) -> tuple[str, ...]:
    """What the record says of an aircraft that nothing stands against: returned to service, or nothing on file."""
    return tuple(wording.worded(one, state).says for one in findings if one.rule is RETURNED_TO_SERVICE_RULE)


def _hours_backward(state: State, subject: str) -> tuple[str, ...]:
    """Hours read off the aircraft that are fewer than an earlier reading's: both are kept, and neither is taken as right."""
    read = sorted(
        (day, hours)
        for work in state.holding(MAINTENANCE_OF, id_of(subject))
        if (day := value_held(state, work, MAINTENANCE_DONE_ON)) is not None
        and (hours := value_held(state, work, HOURS_READ)) is not None
    )
    return tuple(
        f"Its hours run backward: {before:f} h on {earlier}, then {hours:f} h on {day}. Find out which reading is right."
        for (earlier, before), (day, hours) in pairwise(read)
        if hours < before
    )


def _due_section(due: Sequence[UpkeepRow], on: date, *, alone: bool) -> UpkeepSection:
    """What is due next: what stands against something or comes soon; the rest folded, but for one aircraft alone."""
    lots: dict[bool, list[UpkeepRow]] = {True: [], False: []}
    for row in due:
        lots[alone or row.verdict is not Verdict.MET or _is_soon(row, on)].append(row)
    now, later = lots[True], tuple(lots[False])
    days = [row.values["next_due"] for row in later if row.values["day"]]
    many = f"{len(later)} more{f', the next on {day_words(date.fromisoformat(min(days)))}' if days else ''}"
    return UpkeepSection(
        "Due next", ("Task", "Used", "Left", "Next due"), by_gravity(now), later, many if later else ""
    )


def _is_soon(row: UpkeepRow, on: date) -> bool:
    """Whether the day of a task comes within 90 days, or a fifth or less of its use is left."""
    day: date | None = row.values["day"] and date.fromisoformat(row.values["day"])
    share: Decimal | None = row.values["share_left"] and Decimal(row.values["share_left"])
    return (day is not None and day <= on + SOON) or (share is not None and share <= SOON_SHARE)


def _due(standing: Standing, findings: Iterable[Finding], total: Total | None) -> Iterator[UpkeepRow]:
    """What the house's own rules ask for by hours, flights, landings or days, with how much is left; and service bulletins."""
    for finding in findings:
        row = row_of(finding.rule)
        if finding.verdict is Verdict.NOT_APPLICABLE:
            continue
        if finding.rule is BULLETINS_DONE_RULE:
            name, (used, left, due) = _bulletin_named(finding), _dated(finding)
        elif row is not None and row.kind in ("used_since", "within_days"):
            name = row.task or row.name.replace("_", " ")
            is_counted = row.of in _COUNTED
            used, left, due = _counted(finding, row.of, row.limit, total) if is_counted else _dated(finding)
            read = (
                _hours_at_last(standing.report.state, finding.subject, row.task)
                if row.of == "hours"
                else None
            )
            due = due if read is None else f"when it reads {_short(read + row.limit)} hours"
        else:
            continue
        yield UpkeepRow(
            finding.subject,
            id_of(finding.subject),
            finding.verdict,
            (name, used, left, due),
            against((finding,), standing),
            {
                "rule": finding.rule.name,
                "task": name,
                "used": used,
                "left": left,
                "next_due": due,
                **_how_near(finding, row),
            },
        )


def _hours_at_last(state: State, subject: str, task: str) -> Decimal | None:
    """The hours read off an aircraft when a task was last done; None where nobody read them, or for no task."""
    done = [
        (day_of(on), value_held(state, work, HOURS_READ))
        for work in state.holding(MAINTENANCE_OF, id_of(subject))
        if folded(value_held(state, work, TASK) or "") == folded(task)
        and (on := value_held(state, work, MAINTENANCE_DONE_ON)) is not None
        and day_of(on) <= day_of(state.on)
    ]
    return max(done, key=lambda one: one[0])[1] if done else None


def _how_near(finding: Finding, row: HouseRow | None) -> dict[str, str | None]:
    """The last day of a task as a file has it, or the share of its use that is left."""
    last, value = finding.outcome.holds_until, finding.outcome.value
    share = None
    if row is not None and row.of in _COUNTED and row.limit and isinstance(value, Decimal):
        share = str(((row.limit - value) / row.limit).quantize(Decimal("0.01")))
    return {"day": None if last is None else last.isoformat(), "share_left": share}


def _bulletin_named(finding: Finding) -> str:
    """The service bulletin that a finding tells of, where it names one."""
    value = finding.outcome.value
    return f"bulletin {value}" if isinstance(value, str) and value else "service bulletin"


def _next_due(row: UpkeepRow) -> str:
    """What is due on a day by that day, then what is due by use."""
    return str(row.values["next_due"] or "~")


def _counted(finding: Finding, of: str, limit: Decimal, total: Total | None) -> tuple[str, str, str]:
    """Used, left, and next due at how much in all; blank where it is not known."""
    value = finding.outcome.value
    if not isinstance(value, Decimal) or finding.verdict is Verdict.UNKNOWN:
        return "not known", "", ""
    left = limit - value
    flown = (
        None
        if total is None
        else {"hours": total.minutes / 60, "flights": Decimal(total.flights)}.get(of, total.landings)
    )
    due = "" if flown is None else f"at {_short(flown + left)} {of} in all"
    return f"{_short(value)} {of}", f"{_short(left)} {of}", due


def _short(number: Decimal) -> str:
    return format(number.quantize(Decimal("0.1")).normalize(), "f")


def _dated(finding: Finding) -> tuple[str, str, str]:
    last = finding.outcome.holds_until or finding.outcome.value
    margin = finding.outcome.margin
    if not isinstance(last, date):
        return "not known", "", ""
    days = 0 if margin is None else int(margin.value)
    left = "" if margin is None else counted(days, "day") if days >= 0 else f"{counted(-days, 'day')} over"
    return "", left, last.isoformat()


def _text(state: State, subject: str, *keys: Key[Any]) -> str:
    """The values of some keys in one line."""
    found = (value_held(state, subject, key) for key in keys)
    return ", ".join(
        str(day_of(one)) if isinstance(one, date) else str(one) for one in found if one is not None
    )


class _DefectSeen(NamedTuple):
    """A defect of an aircraft: the record that tells it, what it is, when it was found, and the return to service after it."""

    record: str
    says: str
    found: date | None
    returned: str
    by: str
    grounds: bool | None

    @property
    def status(self) -> str:
        """The day of the return; else whether it is flown with."""
        return self.returned or ("flown with" if self.grounds is False else "open")

    @property
    def verdict(self) -> Verdict:
        """Not applicable where it is closed or flown with, by the word of whoever answers for the aircraft."""
        if self.returned or self.grounds is False:
            return Verdict.NOT_APPLICABLE
        return Verdict.NOT_MET if self.grounds else Verdict.UNKNOWN


def _defects_seen(state: State, subject: str) -> Iterator[_DefectSeen]:
    """Those put on record, returned by a return of their own or by the work that fixed them; and those seen in flights."""
    for one in state.holding(DEFECT_OF, id_of(subject)):
        works = [
            (work, WORK_RETURNED_ON, WORK_RETURNED_BY) for work in state.holding(FIXES_DEFECT, id_of(one))
        ]
        ways = [(one, RETURNED_ON, RETURNED_BY), *works]
        back = next((way for way in ways if _text(state, way[0], way[1])), ways[0])
        yield _defect(state, one, (DEFECT, DEFECT_FOUND_ON), back)
    for one in state.holding(FLIGHT_AIRCRAFT, id_of(subject)):
        if not says_no_defect(value_held(state, one, DEFECT_SEEN) or "none"):
            back = (one, DEFECT_RELEASED_ON, DEFECT_RELEASED_BY)
            yield _defect(state, one, (DEFECT_SEEN, FLOWN_ON), back)


def _defect(
    state: State, record: str, told: tuple[Key[str], Key[date]], back: tuple[str, Key[date], Key[str]]
) -> _DefectSeen:
    found = value_held(state, record, told[1])
    return _DefectSeen(
        record,
        value_held(state, record, told[0]) or "not known",
        None if found is None else day_of(found),
        _text(state, back[0], back[1]),
        _text(state, back[0], back[2]),
        value_held(state, record, DEFECT_GROUNDS),
    )


def _defects(state: State, subject: str) -> Iterator[UpkeepRow]:
    """Defects of an aircraft, newest first, and how often each came back."""
    seen = sorted(_defects_seen(state, subject), key=lambda one: one.found or date.min, reverse=True)
    days: dict[str, list[date]] = defaultdict(list)
    for one in seen:
        if one.found is not None:
            days[folded(one.says)].append(one.found)
    for one in seen:
        again = _before(days[folded(one.says)], one.found)
        found = "" if one.found is None else one.found.isoformat()
        yield UpkeepRow(
            subject,
            f"{id_of(subject)}: {one.says}",
            one.verdict,
            (found, one.status, one.by),
            _repeated(again),
            {
                "record": one.record,
                "defect": one.says,
                "found_on": found,
                "repeats": again,
                "grounds": one.grounds,
                "returned_on": one.returned or None,
                "returned_by": one.by or None,
            },
        )


def _repeated(again: int) -> tuple[str, ...]:
    """That a defect came back, where it did."""
    often = "once" if again == 1 else f"{again} times"
    return (f"The same defect was found {often} in the {REPEATS_WITHIN.days} days before.",) if again else ()


def _before(days: Iterable[date], on: date | None) -> int:
    """How often the same defect was found in the days before."""
    return 0 if on is None else sum(on - REPEATS_WITHIN <= day < on for day in days)


def works_on(state: State, link: Key[str], subject: str) -> Iterator[UpkeepRow]:
    """Work done on an aircraft or a battery, newest first; only an aircraft is returned to service after it."""
    needs_return = link is MAINTENANCE_OF
    works = sorted(
        state.holding(link, id_of(subject)),
        key=lambda one: _text(state, one, MAINTENANCE_DONE_ON),
        reverse=True,
    )
    for one in works:
        returned = _text(state, one, WORK_RETURNED_ON, WORK_RETURNED_BY)
        yield UpkeepRow(
            subject,
            f"{id_of(subject)}: {_text(state, one, TASK) or 'work'}",
            Verdict.NOT_APPLICABLE if returned or not needs_return else Verdict.UNKNOWN,
            (
                _text(state, one, MAINTENANCE_DONE_ON),
                _text(state, one, MAINTENANCE_DONE_BY),
                "; ".join(filter(None, _changed(state, one))),
                returned or ("not yet" if needs_return else ""),
            ),
            (),
            {"record": one, **{key.name: _told_of(state, one, key) for key in _OF_WORK}},
        )


_OF_WORK: tuple[Key[Any], ...] = tuple(
    key for key in MAINTENANCE_KEYS if key not in (MAINTENANCE_OF, MAINTENANCE_BATTERY)
)


def _told_of(state: State, record: str, key: Key[Any]) -> str | bool | None:
    """A fact of a record as a document tells it."""
    value = value_held(state, record, key)
    return value if value is None or isinstance(value, bool) else str(raw_of(value))


def _changed(state: State, work: str) -> Iterator[str]:
    """What was changed in the aircraft, and the check flight after it."""
    out, put_in = (_text(state, work, key) for key in (SERIAL_OUT, SERIAL_IN))
    serials = ", ".join(filter(None, (out and f"{out} out", put_in and f"{put_in} in")))
    yield _text(state, work, WORK_DONE)
    yield f"{_text(state, work, PART_CHANGED)}{f' ({serials})' if serials else ''}".strip()
    after, before = (_text(state, work, key) for key in (FIRMWARE_AFTER, FIRMWARE_BEFORE))
    if after:
        yield f"firmware {f'{before} to ' if before else ''}{after}"
    flown, passed = _text(state, work, CHECK_FLIGHT_ON), value_held(state, work, CHECK_FLIGHT_PASSED)
    if flown:
        result = "result not on file" if passed is None else "passed" if passed else "failed"
        yield f"check flight {flown}, {result}"
    elif value_held(state, work, CHECK_FLIGHT_NEEDED):
        yield "check flight needed"
