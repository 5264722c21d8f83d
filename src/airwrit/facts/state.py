"""The fold: statements in, how things stood on a day out; and `Facts`, the window through which a rule looks at one subject."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar

from airwrit.base.days import EARLIEST, Order, When, order_of
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key, Raw, value_of
from airwrit.facts.keys.aircraft import REGISTRATION, SOLD_ON
from airwrit.facts.sold import number_sold_under
from airwrit.facts.statement import Known, Unreadable
from airwrit.facts.vocabulary import KEYS

T = TypeVar("T")


class Held(NamedTuple):
    """What the fold holds for a subject and key: the typed value, or why there is none to be had."""

    value: Any
    why: Why | None = None
    origins: tuple[str, ...] = ()


class Used(NamedTuple):
    """One look of a rule: at which fact, and whether silence was read as "nothing on file" (closed)."""

    subject: str
    key: Key[Any]
    closed: bool = False


Look = tuple[str, Key[Any], bool]
"""The fields of a `Used` while a rule looks, as a bare tuple: made by the hundred thousand."""


class Clash(NamedTuple):
    """Facts that cannot all be so: the name of what they break, and where each stands."""

    name: str
    places: tuple[tuple[str, Key[Any]], ...]


@dataclass(frozen=True, slots=True)
class State:
    """How things stood on `on`, as known at `known_at`; `held` by subject and key; indexes are made when asked for.

    `clashes` are facts that cannot all be so by the law of `settled_on`: they are held as contradicted.
    """

    on: When
    known_at: datetime
    held: Mapping[str, Mapping[Key[Any], Held]]
    clashes: tuple[Clash, ...] = ()
    settled_on: date | None = None
    _links: dict[Key[Any], dict[Any, list[str]]] = field(default_factory=dict)
    _doubts: dict[Key[Any], list[tuple[str, Why]]] = field(default_factory=dict)
    _kinds: dict[str, list[str]] = field(default_factory=dict)
    _worked_out: dict[Any, Any] = field(default_factory=dict)

    def once(self, about: Any, work: Callable[[], T]) -> T:
        """What some work gives of this state, done when first asked for. It must not give the state itself: keep no circle."""
        if about not in self._worked_out:
            self._worked_out[about] = work()
        found: T = self._worked_out[about]
        return found

    def subjects(self, kind: str) -> Sequence[str]:
        """The subjects of one kind, in the order they were first spoken of."""
        if not self._kinds:
            kinds: dict[str, list[str]] = defaultdict(list)
            for subject in self.held:
                kinds[subject.partition("/")[0]].append(subject)
            self._kinds.update(kinds)
        return self._kinds.get(kind, [])

    def holding(self, key: Key[Any], value: object) -> list[str]:
        """The subjects that hold `value` for `key`, in order; in whatever form the key's values are compared in."""
        index = self._links.get(key)
        if index is None:
            index = self._index(key)
        return index.get(key.compared(value), [])

    def doubtful(self, key: Key[Any]) -> list[tuple[str, Why]]:
        """The subjects whose value for `key` cannot be read, and why: each may hold any value."""
        if key not in self._links:
            self._index(key)
        return self._doubts[key]

    def any_holds(self, key: Key[Any]) -> bool:
        """Whether anything is held under a key by whatever subject."""
        if key not in self._links:
            self._index(key)
        return bool(self._links[key] or self._doubts[key])

    def _index(self, key: Key[Any]) -> dict[Any, list[str]]:
        index: dict[Any, list[str]] = defaultdict(list)
        doubts = self._doubts[key] = []
        for subject, facts in self.held.items():
            held = facts.get(key)
            if held is None:
                continue
            if held.why is None:
                index[key.compared(held.value)].append(subject)
            else:
                doubts.append((subject, held.why))
        self._links[key] = index
        return index


NOTHING_HELD: Mapping[Key[Any], Held] = {}
"""Of a subject never spoken of."""


class _Doubtful(Mapping[Key[Any], Held]):
    """The facts of a subject whose link cannot be read. It may be another's, so every look at them is a gap."""

    def __init__(self, why: Why, link: str) -> None:
        self._why, self._link = why, link

    def __getitem__(self, key: Key[Any]) -> Held:
        raise Undecided(self._why, self._link)

    def __iter__(self) -> Iterator[Key[Any]]:
        return iter(())

    def __len__(self) -> int:
        return 0


class Facts:
    """One subject of a state, seen by a rule under one use; notes all that the rule looks at. A gap raises Undecided."""

    __slots__ = ("_held", "_quiet", "_root", "_state", "_subject", "_use", "asked_use", "looks")

    def __init__(
        self,
        state: State,
        subject: str,
        use: UsedFor = UsedFor.WORK,
        root: Facts | None = None,
        held: Mapping[Key[Any], Held] | None = None,
        *,
        quiet: bool = False,
    ) -> None:
        """`use` is the use the question is about: work or recreation, never both. `root` is where looks are noted.

        `held` stands in for what the state holds of the subject; `quiet` is told at `quietly`.
        """
        self._state, self._subject, self._use = state, subject, use
        self._root, self._quiet = root, quiet
        self.looks: list[Look] = [] if root is None else root.looks
        self.asked_use = False
        self._held = state.held.get(subject, NOTHING_HELD) if held is None else held

    @property
    def subject(self) -> str:
        """Its name."""
        return self._subject

    @property
    def state(self) -> State:
        """The whole state, for what no look can tell."""
        return self._state

    @property
    def on(self) -> When:
        """The day or instant of the question."""
        return self._state.on

    @property
    def use(self) -> UsedFor:
        """The use asked about; reading it marks the finding as one of that use only."""
        (self._root or self).asked_use = True
        return self._use

    def __getitem__(self, key: Key[T]) -> T:
        """The value, typed. Undecided when it is missing, contradicted or damaged."""
        self.looks.append((self._subject, key, self._quiet))
        held = self._held.get(key)
        if held is None:
            raise Undecided(Why.MISSING, key.name)
        if held.why is not None:
            raise Undecided(held.why, key.name)
        value: T = held.value
        return value

    def on_file(self, key: Key[T]) -> T | None:
        """The value, or None when nothing is on file: a closed-world reading, which the finding tells. Damage is Undecided."""
        self.looks.append((self._subject, key, True))
        held = self._held.get(key)
        if held is None:
            return None
        if held.why is not None:
            raise Undecided(held.why, key.name)
        value: T = held.value
        return value

    def has(self, key: Key[Any]) -> bool:
        """Whether something is on file, a closed-world reading. Damage is Undecided."""
        return self.on_file(key) is not None

    def of(self, tells: Callable[..., T], *keys: Key[Any]) -> T:
        """What a function tells of the values for some keys. Undecided for the first of them that has none.

        For values that are each subject's own, of which a rule wants to know something that many have alike.
        """
        return tells(*[self[key] for key in keys])

    def linked(self, key: Key[str]) -> Facts:
        """The subject this one points at through `key`. Undecided when the link is not on file."""
        return self.at(f"{key.links_to}/{self[key]}")

    def at(self, subject: str) -> Facts:
        """Another subject, its looks noted with this one's."""
        return Facts(self._state, subject, self._use, self._root or self, quiet=self._quiet)

    def under(self, use: UsedFor) -> Facts:
        """The same subject under a use of the rule's own choosing; looks are noted with this one's, the use is not."""
        other = Facts(self._state, self._subject, use, quiet=self._quiet)
        other.looks = self.looks
        return other

    def quietly(self) -> Facts:
        """The same subject for a rule to which a missing fact says nothing: its looks are noted as closed-world readings.

        A gap still raises Undecided: the rule passes over what is missing, and only over that.
        """
        return Facts(self._state, self._subject, self._use, self._root or self, quiet=True)

    def named(self, tells: Callable[[str], T]) -> T:
        """What a function tells of this subject's own name, without its kind: such as the form of a registration number."""
        return tells(self._subject.partition("/")[2])

    def linking(
        self, key: Key[str], holding: Key[Any] | None = None, lacking: Key[Any] | None = None
    ) -> Iterator[Facts]:
        """The subjects that point at this one through `key`: all that are on file, a closed-world reading.

        Then those whose link cannot be read: each may point here, so every look at one of them is Undecided. Of both only
        those of which something is held under `holding` and nothing under `lacking`, where told: others are passed over.
        """
        self.looks.append((self._subject, key, True))
        identifier = self._subject.partition("/")[2]
        for subject in self._state.holding(key, identifier):
            if self._concerns(subject, holding, lacking):
                yield self.at(subject)
        for subject, why in self._state.doubtful(key):
            if self._concerns(subject, holding, lacking):
                self.looks.append((subject, key, False))
                yield Facts(self._state, subject, self._use, self._root or self, _Doubtful(why, key.name))

    def _concerns(self, subject: str, holding: Key[Any] | None, lacking: Key[Any] | None) -> bool:
        held = self._state.held[subject]
        return (holding is None or holding in held) and (lacking is None or lacking not in held)

    def sharing(self, key: Key[Any], value_of: Key[Any] | None = None) -> Iterator[Facts]:
        """The other subjects that hold for `key` what this one holds for it, or for `value_of`: a closed-world reading.

        Undecided when this one holds none.
        """
        value = self[value_of or key]
        self.looks.append((self._subject, key, True))
        return (self.at(subject) for subject in self._state.holding(key, value) if subject != self._subject)


def state_of(
    known: Iterable[Known], on: When, known_at: datetime, spoiled: Iterable[tuple[str, str]] = ()
) -> State:
    """The fold: how things stood on `on`, from the statements recorded up to `known_at`.

    An open end means until further notice and ends at a later start. Among unanswered statements that cover `on`, the
    greatest start holds. Equal starts, or an explicit end that overlaps another value: CONFLICT. Which came last in a
    file decides nothing. `spoiled` names (subject, key) whose input is damaged; damage beats every value.
    """
    heard = [item for item in known if item.recorded_at <= known_at]
    answered = {number for item in heard for number in item.answers}
    groups: dict[str, dict[str, list[Known]]] = {}
    for item in heard:
        if item.number and item.number in answered:
            continue
        statement = item.statement
        by_key = groups.get(statement.subject)
        if by_key is None:
            by_key = groups[statement.subject] = {}
        by_key.setdefault(statement.key, []).append(item)
    held: dict[str, dict[Key[Any], Held]] = {}
    for subject, by_key in groups.items():
        mine = held.get(subject)
        for name, items in by_key.items():
            if items[0].statement.value is None and all(map(says_nothing, items)):
                continue
            if mine is None:
                mine = held[subject] = {}
            settled = _settled(KEYS[name], items, on)
            if settled is not None:
                mine[KEYS[name]] = settled
        if mine is not None and SOLD_ON in mine:
            mine.update(number_sold_under(mine, on, _number_by(by_key.get(REGISTRATION.name, []))))
    for subject, name in spoiled:
        held.setdefault(subject, {})[KEYS[name]] = Held(None, Why.DAMAGED)
    return State(on, known_at, held)


def _number_by(items: list[Known]) -> Callable[[date], Held | None]:
    """What some statements say of a registration number, by the day."""
    return lambda day: _settled(REGISTRATION, items, day) if items else None


def with_held(
    state: State,
    changes: Mapping[str, Mapping[Key[Any], Held]],
    clashes: tuple[Clash, ...] = (),
    settled_on: date | None = None,
) -> State:
    """The state with some facts held otherwise, and with more clashes where the change is that they are contradicted."""
    held = {subject: dict(facts) for subject, facts in state.held.items() if subject in changes}
    for subject, facts in changes.items():
        held.setdefault(subject, {}).update(facts)
    return State(state.on, state.known_at, {**state.held, **held}, (*state.clashes, *clashes), settled_on)


def says_nothing(item: Known) -> bool:
    """Whether it says of no day that something was so: a withdrawal. A subject with nothing else is spoken of no longer."""
    _, _, value, start, end = item.statement
    return value is None and start == EARLIEST and end in (None, EARLIEST)


def _settled(key: Key[Any], items: list[Known], on: When) -> Held | None:
    """What holds of one subject and key on `on`, None when nothing does."""
    if len(items) == 1:
        _, _, value, start, end = items[0].statement
        if start is EARLIEST and end is None:
            return held_of(key, value, (items[0].origin,))
    covering: list[Known] = []
    for item in items:
        covers = _covers(item, items, on)
        if covers is Order.DOUBT:
            return Held(None, Why.WITHIN_DOUBT, tuple(i.origin for i in items))
        if covers is Order.SAME:
            covering.append(item)
    if not covering:
        return None
    origins = tuple(dict.fromkeys(item.origin for item in covering))
    if len({(type(item.statement.value), item.statement.value) for item in covering}) > 1:
        return _side_by_side(key, covering) if key.has_many else Held(None, Why.CONFLICT, origins)
    return held_of(key, covering[0].statement.value, origins)


def _side_by_side(key: Key[Any], covering: list[Known]) -> Held:
    """All values of a key that may have many, each with where it is first said; damaged when one cannot be read."""
    first: dict[Any, str] = {}
    for item in covering:
        held = held_of(key, item.statement.value, (item.origin,))
        if held is not None and held.why is not None:
            return held
        for value in () if held is None else held.value:
            first.setdefault(value, item.origin)
    return Held(tuple(first), None, tuple(first.values()))


def held_of(key: Key[Any], value: Raw, origins: tuple[str, ...]) -> Held | None:
    """What one value that holds makes known: typed, damaged when it could not be read, nothing when it says "it ended"."""
    if value is None:
        return None
    if isinstance(value, Unreadable):
        return Held(None, Why.DAMAGED, origins)
    return Held(_typed(key, type(value).__name__, value), None, origins)


@lru_cache(maxsize=1 << 16)
def _typed(key: Key[Any], kind: str, raw: Raw) -> Any:
    """The typed value of a raw one, kept for the next subject that says the same; `kind` tells 1 from True."""
    del kind
    return value_of(key, raw)


def _covers(item: Known, items: list[Known], on: When) -> Order:
    """SAME when the statement holds on `on`, DOUBT when a day-only question straddles its start or end, BEFORE when not."""
    _, _, _, start, end = item.statement
    started = order_of(start, on)
    if started is Order.AFTER:
        return Order.BEFORE
    ended = Order.AFTER if end is None else order_of(end, on)
    if end is None and len(items) > 1:
        ended = _ended_by_another(start, items, on)
    if ended in (Order.BEFORE, Order.SAME):
        return Order.BEFORE
    return Order.DOUBT if Order.DOUBT in (started, ended) else Order.SAME


def _ended_by_another(start: When, items: list[Known], on: When) -> Order:
    """Where the nearest later start among statements of one subject and key lies against `on`; AFTER when there is none."""
    starts = (item.statement.valid_from for item in items)
    orders = {order_of(later, on) for later in starts if order_of(later, start) is Order.AFTER}
    if orders & {Order.BEFORE, Order.SAME}:
        return Order.BEFORE
    return Order.DOUBT if Order.DOUBT in orders else Order.AFTER
