"""The fold: statements in, how things stood on a day out; and `Facts`, the window through which a rule looks at one subject."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, NamedTuple, TypeVar

from airwrit.base.days import When, day_of
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.looks import START, FactPlaced, LookedAt, Noted, Step, Way

T = TypeVar("T")


class Held(NamedTuple):
    """What the fold holds for a subject and key: the typed value, or why there is none to be had."""

    value: Any
    why: Why | None = None
    origins: tuple[str, ...] = ()


class Clash(NamedTuple):
    """Facts that cannot all be so: the name of what they break, and where each stands."""

    name: str
    places: tuple[tuple[str, Key[Any]], ...]


class _Index(NamedTuple):
    """Of one key: the subjects by the value they hold, in the form values are compared in; those whose value cannot be read."""

    by_value: dict[Any, list[str]]
    doubtful: list[tuple[str, Why]]


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
    _indexes: dict[Key[Any], _Index] = field(default_factory=dict)
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
        return self._index(key).by_value.get(key.compared(value), [])

    def doubtful(self, key: Key[Any]) -> list[tuple[str, Why]]:
        """The subjects whose value for `key` cannot be read, and why: each may hold any value."""
        return self._index(key).doubtful

    def _index(self, key: Key[Any]) -> _Index:
        found = self._indexes.get(key)
        if found is None:
            found = self._indexes[key] = _Index(defaultdict(list), [])
            for subject, facts in self.held.items():
                held = facts.get(key)
                if held is None:
                    continue
                if held.why is None:
                    for value in key.values_in(held.value):
                        found.by_value[key.compared(value)].append(subject)
                else:
                    found.doubtful.append((subject, held.why))
        return found

    def with_facts(
        self,
        facts: Mapping[str, Mapping[Key[Any], Held]],
        gone: Iterable[str] = (),
        known_at: datetime | None = None,
    ) -> State:
        """The state with all facts of some subjects as given, and others gone; indexes over other keys go on.

        `known_at` is the moment whose knowledge counts, where that is another by now.
        """
        lost = {subject: self.held[subject] for subject in gone if subject in self.held}
        held = {**self.held, **facts}
        for subject in lost:
            del held[subject]
        others = State(self.on, known_at or self.known_at, held, self.clashes)
        changed = {
            key for subject, mine in facts.items() for key in changed_keys(self.held.get(subject), mine)
        }
        changed.update(key for mine in lost.values() for key in mine)
        others._indexes.update((key, index) for key, index in self._indexes.items() if key not in changed)
        if not lost and all(subject in self.held for subject in facts):
            others._kinds.update(self._kinds)
        return others

    def with_clashes(self, clashes: Iterable[Clash], day: date) -> State:
        """The same, once the facts of some clashes are held as contradicted by the law of a day."""
        found = (*self.clashes, *clashes)
        return State(self.on, self.known_at, self.held, found, day, self._indexes, self._kinds)


def changed_keys(
    before: Mapping[Key[Any], Held] | None, after: Mapping[Key[Any], Held] | None
) -> Iterator[Key[Any]]:
    """The keys under which two tellings of one subject hold otherwise; where a value comes from does not count."""
    old, new = before or NOTHING_HELD, after or NOTHING_HELD
    for key in old.keys() | new.keys():
        one, other = old.get(key), new.get(key)
        if one is not other and (one is None or other is None or not _says_the_same(one, other)):
            yield key


def _says_the_same(one: Held, other: Held) -> bool:
    """Whether two values are the same, down to the places of a number."""
    return one.why is other.why and one.value == other.value and str(one.value) == str(other.value)


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

    __slots__ = (
        "_closed",
        "_held",
        "_note",
        "_noted",
        "_open",
        "_place",
        "_quiet",
        "_root",
        "_state",
        "_subject",
        "_use",
        "asked_use",
    )

    def __init__(
        self,
        state: State,
        subject: str,
        use: UsedFor = UsedFor.WORK,
        noted: Noted | None = None,
        place: FactPlaced = START,
        *,
        quiet: bool = False,
        root: Facts | None = None,
        held: Mapping[Key[Any], Held] | None = None,
    ) -> None:
        """`use` is the use the question is about: work or recreation, never both. `noted` is where looks go, told from `place`.

        `root` is what the question was asked of; `held` stands in for what the state holds; `quiet` is told at `quietly`.
        """
        self._state, self._subject, self._use = state, subject, use
        self._noted = Noted(subject) if noted is None else noted
        self._note = self._noted.looks.append
        self._place, self._quiet, self._root = place, quiet, root
        self._closed = place.closed
        self._open = self._closed if quiet else place.open
        self.asked_use = False
        self._held = state.held.get(subject, NOTHING_HELD) if held is None else held

    @property
    def subject(self) -> str:
        """Its name."""
        return self._subject

    @property
    def on(self) -> When:
        """The day or instant of the question; reading it marks the finding as one of that moment only."""
        self._noted.asked_when = True
        return self._state.on

    @property
    def known_on(self) -> date:
        """The day up to which all that was told counts."""
        return day_of(self._state.known_at)

    @property
    def use(self) -> UsedFor:
        """The use asked about; reading it marks the finding as one of that use only."""
        (self._root or self).asked_use = True
        return self._use

    @property
    def looks(self) -> LookedAt:
        """All that was looked at so far, from the subject that the question was asked of."""
        return self._noted.looked_at()

    def __getitem__(self, key: Key[T]) -> T:
        """The value, typed. Undecided when it is missing, contradicted or damaged."""
        self._note(self._open[key])
        held = self._held.get(key)
        if held is None:
            raise Undecided(Why.MISSING, key.name)
        if held.why is not None:
            raise Undecided(held.why, key.name)
        value: T = held.value
        return value

    def on_file(self, key: Key[T]) -> T | None:
        """The value, or None when nothing is on file: a closed-world reading, which the finding tells. Damage is Undecided."""
        self._note(self._closed[key])
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
        return self._named_by(key, self[key])

    def linked_on_file(self, key: Key[str]) -> Facts | None:
        """The same, or None when no link is on file: a closed-world reading. Damage is Undecided."""
        name = self.on_file(key)
        return None if name is None else self._named_by(key, name)

    def _named_by(self, key: Key[str], name: str) -> Facts:
        subject = f"{key.links_to}/{name}"
        return self._beside(subject, self._place.linked(key, self._noted.number_of(subject)))

    def _at(self, subject: str, step: Step, held: Mapping[Key[Any], Held] | None = None) -> Facts:
        """Another subject one step on."""
        return self._beside(subject, self._place.further(step, self._noted.number_of(subject)), held)

    def _beside(self, subject: str, place: FactPlaced, held: Mapping[Key[Any], Held] | None = None) -> Facts:
        """Another subject, its looks noted with this one's."""
        root = self._root or self
        return Facts(
            self._state, subject, self._use, self._noted, place, quiet=self._quiet, root=root, held=held
        )

    def under(self, use: UsedFor) -> Facts:
        """The same subject under a use of the rule's own choosing; looks are noted with this one's, the use is not."""
        return Facts(self._state, self._subject, use, self._noted, self._place, quiet=self._quiet)

    def quietly(self) -> Facts:
        """The same subject for a rule to which a missing fact says nothing: its looks are noted as closed-world readings.

        A gap still raises Undecided: the rule passes over what is missing, and only over that.
        """
        root = self._root or self
        return Facts(self._state, self._subject, self._use, self._noted, self._place, quiet=True, root=root)

    def named(self, tells: Callable[[str], T]) -> T:
        """What a function tells of this subject's own name, without its kind: such as the form of a registration number."""
        return tells(self._subject.partition("/")[2])

    def linking(
        self,
        key: Key[str],
        holding: Key[Any] | None = None,
        lacking: Key[Any] | None = None,
        for_all: Key[bool] | None = None,
    ) -> Iterator[Facts]:
        """The subjects that point at this one through `key`: all that are on file, a closed-world reading.

        Then those whose link cannot be read: each may point here, so every look at one of them is Undecided. Of both only
        those of which something is held under `holding` and nothing under `lacking`, where told: others are passed over.
        Then those that say yes under `for_all`, whomever they point at.
        """
        step, everyone = Step(Way.FROM, key), Step(Way.ALL, for_all or key)
        watched = [(step, one) for one in (key, holding, lacking) if one is not None]
        watched += [] if for_all is None else [(everyone, for_all)]
        self._note(self._place.over(*watched))
        identifier = self._subject.partition("/")[2]
        for subject in self._state.holding(key, identifier):
            if self._concerns(subject, holding, lacking):
                yield self._at(subject, step)
        for subject, why in self._state.doubtful(key):
            if self._concerns(subject, holding, lacking):
                place = self._place.further(step, self._noted.number_of(subject))
                self._note(place.open[key])
                yield self._at(subject, step, _Doubtful(why, key.name))
        if for_all is None:
            return
        for subject in self._state.holding(for_all, True):
            other = self._at(subject, everyone)
            other[for_all]
            yield other

    def _concerns(self, subject: str, holding: Key[Any] | None, lacking: Key[Any] | None) -> bool:
        held = self._state.held[subject]
        return (holding is None or holding in held) and (lacking is None or lacking not in held)

    def sharing(self, key: Key[Any], value_of: Key[Any] | None = None) -> Iterator[Facts]:
        """The other subjects that hold for `key` what this one holds for it, or for `value_of`: a closed-world reading.

        Undecided when this one holds none.
        """
        own = value_of or key
        value = self[own]
        step = Step(Way.SAME, key, own)
        self._note(self._place.over((step, key)))
        return (self._at(one, step) for one in self._state.holding(key, value) if one != self._subject)


def with_held(state: State, changes: Mapping[str, Mapping[Key[Any], Held]]) -> State:
    """The state with some facts held otherwise."""
    return state.with_facts(
        {subject: {**state.held.get(subject, NOTHING_HELD), **facts} for subject, facts in changes.items()}
    )


def value_held(state: State, subject: str, key: Key[T]) -> T | None:
    """What is on file, None for nothing or for what cannot be used."""
    return value_among(state.held.get(subject, NOTHING_HELD), key)


def value_among(facts: Mapping[Key[Any], Held], key: Key[T]) -> T | None:
    """The same of one subject's facts."""
    held = facts.get(key)
    if held is None or held.why is not None:
        return None
    value: T = held.value
    return value
