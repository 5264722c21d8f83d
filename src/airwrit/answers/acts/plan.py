"""Keeping an act: what that does to the ledger and to every answer, and what is known then; nothing here writes.

Nothing here is stored. The duties an act causes are those that are due after and were not before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.answers.acts.act import Act, refused
from airwrit.answers.acts.catalog import ActPlanned, ActRequest, act_named, deed_of, subject_meant
from airwrit.answers.due.deadlines import Deadline, deadlines_of
from airwrit.answers.registration.fees import Fee, Fees, fees_of
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, Pair, saying_by_hand, seq_of
from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.report import bears_out, is_gone
from airwrit.answers.standing.standing import Standing, numbers_shared, standing
from airwrit.base.days import When, day_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import REMOTE_ID_SERIAL
from airwrit.facts.state import Facts, State
from airwrit.facts.statement import Known, Problem, Source
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.aircraft.filings import CANCEL_OLD_REGISTRATION_RULE, CANCEL_REGISTRATION_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import expiry_now
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding, Rule
from airwrit.ledger.entry import number_of

_OF_THE_GONE = tuple(
    rule.name for rule in (MUST_BE_REGISTERED_RULE, CANCEL_REGISTRATION_RULE, CANCEL_OLD_REGISTRATION_RULE)
)
_BAD = (Verdict.NOT_MET, Verdict.UNKNOWN)

Asked = tuple[str, str, str]


class DueMoved(NamedTuple):
    """A thing due whose last day changes."""

    before: Deadline
    after: Deadline


class HeadlineChange(NamedTuple):
    """An aircraft or person whose headline changes, with why; None where it does not stand in one of the two futures."""

    subject: str
    before: Headline | None
    after: Headline | None
    because: str
    do: str


class Shift(NamedTuple):
    """A clause whose verdict changes for a subject: before and after (None: not asked), in the words of the later one."""

    subject: str
    rule: str
    use: str
    before: Verdict | None
    after: Verdict | None
    says: str
    do: str
    cites: tuple[str, ...]


class SharedNumber(NamedTuple):
    """One thing that several subjects have and only one can have."""

    key: Key[Any]
    value: str
    subjects: tuple[str, ...]


def renewed_until(deed: ActPlanned, effects: Effects) -> date | None:
    """The expiration a renewal comes to, where none was told; None for any other act and where it can't be worked out."""
    if deed.act.name != "renew" or "expires_on" in deed.told:
        return None
    on = day_of(effects.on)
    return expiry_now(Facts(effects.after.report.state, deed.subject), Law(on))


@dataclass(frozen=True, slots=True)
class Effects:
    """Two standings of one day side by side, and what differs: duties, headlines, verdicts, doubles, fees of one term."""

    before: Standing
    after: Standing
    appear: tuple[Deadline, ...]
    go: tuple[Deadline, ...]
    moved: tuple[DueMoved, ...]
    turns: tuple[HeadlineChange, ...]
    shifts: tuple[Shift, ...]
    doubles: tuple[SharedNumber, ...]
    fees: tuple[Fee, ...]
    fees_gone: tuple[Fee, ...]
    usd: tuple[Decimal, Decimal]

    @property
    def on(self) -> When:
        """The day both standings are of."""
        return self.after.report.on

    @property
    def is_empty(self) -> bool:
        """Whether nothing differs."""
        differs = (self.appear, self.go, self.moved, self.turns, self.shifts, self.doubles)
        return not any(differs) and not self.fees and not self.fees_gone


class Basis(NamedTuple):
    """What both standings have in common: problems and sources of the input, and house rules."""

    problems: Sequence[Problem] = ()
    sources: Sequence[Source] = ()
    house: Sequence[Rule] = ()


NO_BASIS = Basis()


def effects_of(
    before: Iterable[Known], after: Iterable[Known], on: When, known_at: datetime, basis: Basis = NO_BASIS
) -> Effects:
    """What differs on `on` between what is known without a change and what would be known with it."""
    one = standing(before, on, known_at, *basis)
    return difference(one, standing(after, on, known_at, *basis, like=one))


class Reckoned(NamedTuple):
    """What of a standing is held against another: its deadlines by name, fees, doubles, and the findings that count."""

    due: Mapping[str, Deadline]
    fees: Fees
    doubles: tuple[SharedNumber, ...]
    asked: Mapping[Asked, Finding]


def reckoned(of: Standing) -> Reckoned:
    """A standing ready to be held against others."""
    due = {one.name: one for one in deadlines_of(of).due}
    return Reckoned(due, fees_of(of), doubles(of.report.state), _asked(of))


def difference(before: Standing, after: Standing, side: Reckoned | None = None) -> Effects:
    """What differs between two standings of the same day; `side` is what was reckoned of the first, where it was."""
    one, other = side or reckoned(before), reckoned(after)
    old, new = one.due, other.due
    fees_before, fees = one.fees, other.fees
    had, had_fees, has_fees = set(one.doubles), set(fees_before.fees), set(fees.fees)
    return Effects(
        before,
        after,
        tuple(due for name, due in new.items() if name not in old),
        tuple(due for name, due in old.items() if name not in new),
        tuple(
            DueMoved(old[name], due) for name, due in new.items() if name in old and old[name].day != due.day
        ),
        tuple(_turns(before, after)),
        tuple(_shifts(before, after, one.asked, other.asked)),
        tuple(two for two in other.doubles if two not in had),
        tuple(fee for fee in fees.fees if fee not in had_fees),
        tuple(fee for fee in fees_before.fees if fee not in has_fees),
        (fees_before.total_usd, fees.total_usd),
    )


def _turns(before: Standing, after: Standing) -> Iterable[HeadlineChange]:
    old = {row.subject: row for row in before.rows}
    new = {row.subject: row for row in after.rows}
    for subject in dict.fromkeys((*old, *new)):
        was, now = old.get(subject), new.get(subject)
        if (was and was.headline) == (now and now.headline):
            continue
        words = None
        if now is not None and now.deciding is not None:
            words = wording.worded(now.deciding, after.report.state)
        yield HeadlineChange(
            subject,
            None if was is None else was.headline,
            None if now is None else now.headline,
            "" if words is None else words.says,
            "" if words is None else words.do,
        )


def _asked(standing: Standing) -> dict[Asked, Finding]:
    """The findings that count, by subject, rule and use; answers and house rules that allow nothing left out."""
    found = {}
    for finding in standing.report.counted:
        if bears_out(finding):
            use = "" if finding.use is None else finding.use.value
            found[finding.subject, finding.rule.name, use] = finding
    return found


def _shifts(
    before: Standing, after: Standing, old: Mapping[Asked, Finding], new: Mapping[Asked, Finding]
) -> Iterable[Shift]:
    """Clauses that begin or cease to stand in the way, or go from one such verdict to the other.

    Of an aircraft that is sold, destroyed or exported only what still has to be done about it.
    """
    gone = {subject for (subject, _, _), finding in new.items() if is_gone(finding)}
    for place in dict.fromkeys((*old, *new)):
        was, now = old.get(place), new.get(place)
        if was is now:
            continue  # taken over from the one standing to the other
        pair = (was and was.verdict), (now and now.verdict)
        if place[0] in gone and place[1] not in _OF_THE_GONE:
            continue
        if pair[0] == pair[1] or not any(verdict in _BAD for verdict in pair):
            continue
        told, state = (was, before.report.state) if now is None else (now, after.report.state)
        if told is None:
            continue
        words = wording.worded(told, state)
        do = "" if now is None else words.do
        yield Shift(*place, pair[0], pair[1], words.says, do, wording.cites(told))


def doubles(state: State) -> tuple[SharedNumber, ...]:
    """Serials that two aircraft would broadcast at once; a number of a certificate on two aircraft is contradicted instead."""
    values: dict[str, list[str]] = {}
    for subject in state.subjects("aircraft"):
        held = state.held[subject].get(REMOTE_ID_SERIAL)
        if held is not None and held.why is None:
            values.setdefault(REMOTE_ID_SERIAL.compared(held.value), []).append(subject)
    return tuple(
        SharedNumber(REMOTE_ID_SERIAL, value, tuple(subjects))
        for value, subjects in values.items()
        if len(subjects) > 1
    )


def double_text(double: SharedNumber) -> str:
    """A double in words."""
    names = " and ".join(id_of(subject) for subject in double.subjects)
    return f"{double.value} is the serial broadcast of {names} at once"


class ActPlan(NamedTuple):
    """An act worked out against a ledger: its deed, what keeping it does, what is known without it and with it.

    `taking.drafts` is the one entry to append, with `after=taking.after`; it is empty where nothing is new.
    """

    deed: ActPlanned
    taking: Difference
    before: tuple[Known, ...]
    after: tuple[Known, ...]


def plan_of(
    thought: ActRequest,
    held: OnRecord,
    by: str,
    note: str = "",
    *,
    corrects: bool = False,
    state: State | None = None,
) -> ActPlan:
    """What keeping an act would do. UsageError and BadFact on an act that cannot be.

    `corrects`: it takes the place of the last such act on record of the same subject, as if that had never been said.
    `state` is what `held` comes to, where it is at hand for the day of the act.
    """
    before = all_known(held)
    act = act_named(thought.act)
    takes: tuple[Known, ...] = ()
    if corrects:
        subject = subject_meant(act, thought.subject, before, thought.on)
        takes = _last_such(act.name, subject, held)
        if not takes:
            what = f"{subject} has no {act.name!r} on record to correct"
            raise refused(what, "leave out --correct", "--correct")
        deed = deed_of(act, thought.subject, thought.told, thought.on, _but(before, takes))
    else:
        known_then = state if state is not None and state.on == thought.on else None
        deed = _deed(act, thought, before, held, known_then)
    takes += follow_up(deed, held, {item.number for item in takes})
    taking = saying_by_hand(held, HandEntry(deed.statements, note=note, act=act.name, takes=takes), by)
    shared = numbers_shared(held, taking.changes, deed.on)
    taking = replace(taking, contradictions=(*taking.contradictions, *shared))
    return ActPlan(deed, taking, before, (*before, *kept_of(taking)))


def _deed(
    act: Act, thought: ActRequest, before: Sequence[Known], held: OnRecord, state: State | None
) -> ActPlanned:
    """The deed; of an act that is said again for its day, such as a form sent twice, the one that was said first."""
    try:
        return deed_of(act, thought.subject, thought.told, thought.on, before, state)
    except UsageError:
        subject = subject_meant(act, thought.subject, before, thought.on)
        same = [
            item for item in _last_such(act.name, subject, held) if item.statement.valid_from == thought.on
        ]
        if not same:
            raise
        try:
            again = deed_of(act, thought.subject, thought.told, thought.on, _but(before, same))
        except UsageError:
            again = None
        if again is None or not {item.statement for item in same} >= set(again.statements):
            raise
        return again


def follow_up(deed: ActPlanned, held: OnRecord, taken: set[str]) -> tuple[Known, ...]:
    """What acts that this one follows on the same day said otherwise of the same facts."""
    found = []
    for pair in dict.fromkeys((one.subject, one.key) for one in deed.statements):
        values = {one.value for one in deed.statements if (one.subject, one.key) == pair}
        for item in held.alive(pair):
            same_day = item.statement.valid_from == deed.on and item.statement.value not in values
            if same_day and item.number not in taken and _act_of(item, held) in deed.act.follows:
                found.append(item)
    return tuple(found)


def _act_of(item: Known, held: OnRecord) -> str:
    return held.acts.get(seq_of(item), ("", ""))[0] if item.number else ""


def before_of(known: Iterable[Known], acts: Mapping[int, tuple[str, str]] | None = None) -> OnRecord:
    """Statements of sheets, or of a ledger with its acts, ready for acts to be tried on; each gets a number if it has none."""
    groups: dict[Pair, list[Known]] = {}
    answered: dict[str, list[int]] = {}
    for place, item in enumerate(known):
        numbered = item if item.number else item._replace(number=number_of(0, place))
        groups.setdefault((item.statement.subject, item.statement.key), []).append(numbered)
        for number in item.answers:
            answered.setdefault(number, []).append(seq_of(numbered))
    return OnRecord(0, groups, acts or {}, answered)


def held_with(held: OnRecord, plan: ActPlan) -> OnRecord:
    """What a ledger would hold once an act was kept."""
    seq = max((0, *held.acts)) + 1
    groups = {pair: list(items) for pair, items in held.groups.items()}
    answered = {number: list(seqs) for number, seqs in held.answered.items()}
    place = 0
    for draft in plan.taking.drafts:
        for number in draft.answers:
            answered.setdefault(number, []).append(seq)
        for statement in draft.statements:
            item = Known(
                statement,
                f"{draft.act} on {plan.deed.on}",
                number=number_of(seq, place),
                answers=draft.answers,
            )
            groups.setdefault((statement.subject, statement.key), []).append(item)
            place += 1
    return OnRecord(held.after, groups, {**held.acts, seq: (plan.deed.act.name, "")}, answered)


def all_known(held: OnRecord) -> tuple[Known, ...]:
    """Every statement a ledger holds."""
    return tuple(item for items in held.groups.values() for item in items)


def _but(known: Sequence[Known], gone: Sequence[Known]) -> list[Known]:
    """The statements without some of them."""
    numbers = {item.number for item in gone}
    return [item for item in known if item.number not in numbers]


def kept_of(taking: Difference) -> list[Known]:
    """The statements that keeping would add, with what they take the place of."""
    return [
        Known(statement, draft.act, answers=draft.answers)
        for draft in taking.drafts
        for statement in draft.statements
    ]


def _last_such(act: str, subject: str, held: OnRecord) -> tuple[Known, ...]:
    """What the last act of that name about a subject put on record, where it still stands; nothing where there is none."""
    mine: dict[int, list[Known]] = {}
    for pair in held.groups:
        for item in held.alive(pair):
            if _act_of(item, held) == act:
                mine.setdefault(seq_of(item), []).append(item)
    for seq in sorted(mine, reverse=True):
        if any(item.statement.subject == subject for item in mine[seq]):
            return tuple(mine[seq])
    return ()
