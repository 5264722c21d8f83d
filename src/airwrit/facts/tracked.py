"""A window like `Facts` that keeps the steps a rule takes, so that what it finds of one subject can be found of others alike.

A rule learns of a state only what its window answers it. Two subjects that answer each of its steps alike are judged alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple, NoReturn, Self, TypeVar

from airwrit.base.findings import Undecided, Why
from airwrit.base.times import When
from airwrit.facts.key import Key
from airwrit.facts.state import Facts, Held, State
from airwrit.facts.words import UsedFor

T = TypeVar("T")


VALUE, HAS, LINK, NAMED, LINKING, SHARING, OF = range(7)
"""What a step asks: what a subject holds; whether it holds anything; whether it points at another, which is then come to, its
name not looked at; nothing, another being come to by its name; whether others point at the subject; whether others hold the
same value; what a function tells of some values."""

Step = tuple[int, int, Any]
"""What is asked, of which of the subjects come to so far (the judged one is the first, 0), under which key or name."""

Branch = object
"""An answer to a step: what was asked for, None where nothing is held, or one of the marks below."""

THERE, OTHERS = object(), object()
"""A subject pointed at or a value held by this one alone; others that point here or hold the same."""

GAPS = {why: object() for why in Why}
"""Why what is held cannot be told."""


class Gap(NamedTuple):
    """The first of some keys that has no value, and why."""

    key: Key[Any]
    why: Why


Place = tuple[int, Key[Any], bool]
"""A look: at which of the subjects come to, under which key, and whether silence was read as "nothing on file"."""


class Track:
    """The steps of a rule, or of several one after the other, with their answers; each is taken once."""

    __slots__ = ("asked_use", "looks", "places", "steps", "subjects")

    def __init__(self, subject: str) -> None:
        """At the subject that is judged, before the first step."""
        self.steps: dict[Step, Branch] = {}
        self.subjects = [subject]
        self.places: dict[Step, int] = {}
        """where the subjects come to by a step stand"""
        self.looks: list[Place] = []
        self.asked_use = False

    def begin(self) -> None:
        """Before one more rule, which has not looked at anything."""
        self.looks, self.asked_use = [], False


class JudgedAloneError(Exception):
    """A rule looked at what is this subject's alone: its name, the state as a whole, others that point at it or share."""


class Tracked(Facts):
    """`Facts` whose steps are kept in a track. JudgedAloneError as soon as a rule asks for more than steps can tell."""

    __slots__ = ("_is_own_use", "_place", "_track")

    def __init__(
        self, state: State, track: Track, use: UsedFor, place: int = 0, *, own_use: bool = False
    ) -> None:
        """The subject at a place of a track. `own_use` is a use of the rule's choosing."""
        super().__init__(state, track.subjects[place], use)
        self._track, self._place, self._is_own_use = track, place, own_use

    @property
    def subject(self) -> NoReturn:
        """The subject's name, which no other has."""
        raise JudgedAloneError

    @property
    def state(self) -> NoReturn:
        """The whole state, in which anything may be looked at."""
        raise JudgedAloneError

    @property
    def on(self) -> When:
        """The day or instant of the question."""
        return self._state.on

    @property
    def use(self) -> UsedFor:
        """The use asked about; reading it marks the finding as one of that use only."""
        if not self._is_own_use:
            self._track.asked_use = True
        return self._use

    def _look(self, asks: int, key: Key[Any], *, closed: bool = False) -> Held | None:
        """What is held. Undecided when it is contradicted or damaged."""
        held = self._held.get(key)
        self._track.looks.append((self._place, key, closed))
        self._track.steps[asks, self._place, key] = answer_to(asks, held)
        if held is not None and held.why is not None:
            raise Undecided(held.why, key.name)
        return held

    def __getitem__(self, key: Key[T]) -> T:
        """The value, typed. Undecided when it is missing, contradicted or damaged."""
        return self._value(VALUE, key)

    def _value(self, asks: int, key: Key[T]) -> T:
        held = self._look(asks, key)
        if held is None:
            raise Undecided(Why.MISSING, key.name)
        value: T = held.value
        return value

    def on_file(self, key: Key[T]) -> T | None:
        """The value, or None when nothing is on file."""
        held = self._look(VALUE, key, closed=True)
        return None if held is None else held.value

    def has(self, key: Key[Any]) -> bool:
        """Whether something is on file."""
        return self._look(HAS, key, closed=True) is not None

    def of(self, tells: Callable[..., T], *keys: Key[Any]) -> T:
        """What a function tells of the values for some keys. Undecided for the first of them that has none."""
        answer = self._track.steps[OF, self._place, (tells, keys)] = answer_of(self._held, tells, keys)
        for key in keys:
            self._track.looks.append((self._place, key, False))
            if isinstance(answer, Gap) and answer.key is key:
                raise Undecided(answer.why, key.name)
        told: T = answer
        return told

    def linked(self, key: Key[str]) -> Self:
        """The subject this one points at through `key`. Undecided when the link is not on file."""
        return self._come_to((LINK, self._place, key), f"{key.links_to}/{self._value(LINK, key)}")

    def at(self, subject: str) -> Self:
        """Another subject, its looks noted with this one's."""
        step = (NAMED, 0, subject)
        self._track.steps[step] = None
        return self._come_to(step, subject)

    def _come_to(self, step: Step, subject: str) -> Self:
        place = self._track.places.setdefault(step, len(self._track.subjects))
        if place == len(self._track.subjects):
            self._track.subjects.append(subject)
        return type(self)(self._state, self._track, self._use, place, own_use=self._is_own_use)

    def under(self, use: UsedFor) -> Self:
        """The same subject under a use of the rule's own choosing."""
        return type(self)(self._state, self._track, use, self._place, own_use=True)

    def linking(self, key: Key[str], holding: Key[Any] | None = None) -> Iterator[Facts]:
        """None: where others that hold `holding` point at this one through `key`, or may, it is judged alone."""
        self._track.looks.append((self._place, key, True))
        branch = answer_of_links(self._state, self._subject, key, holding)
        self._track.steps[LINKING, self._place, (key, holding)] = branch
        if branch is OTHERS:
            raise JudgedAloneError
        yield from ()

    def sharing(self, key: Key[Any]) -> Iterator[Facts]:
        """None: where others hold the same value for `key`, it is judged alone. Undecided when this one holds none."""
        self._value(SHARING, key)
        self._track.looks.append((self._place, key, True))
        branch = self._track.steps[SHARING, self._place, key] = answer_of_sharing(
            self._state, self._held.get(key), key
        )
        if branch is OTHERS:
            raise JudgedAloneError
        return iter(())


def answer_to(asks: int, held: Held | None) -> Branch:
    """The branch of what is held, for a step that asks for a value or whether there is one."""
    if held is None:
        return None
    if held.why is not None:
        return GAPS[held.why]
    return exactly(held.value) if asks == VALUE else THERE


def exactly(value: Any) -> Any:
    """A value as a branch: 200 g is not 200.0 g, which was weighed to a tenth, nor is an instant the same in another zone."""
    kind = value.__class__
    return str(value) if kind is Decimal or kind is datetime else value


def answer_of_links(state: State, subject: str, key: Key[str], holding: Key[Any] | None) -> Branch:
    """The branch of whether others that hold something under `holding` point at a subject through `key`, or may."""
    if holding is not None and not state.any_holds(holding):
        return None
    others = [*state.holding(key, subject.partition("/")[2]), *[one for one, _ in state.doubtful(key)]]
    return OTHERS if any(holding is None or holding in state.held[one] for one in others) else None


def answer_of(held: Mapping[Key[Any], Held], tells: Callable[..., Any], keys: Sequence[Key[Any]]) -> Any:
    """The branch of what a function tells of values; the first key without one, and why, where it cannot."""
    values = []
    for key in keys:
        one = held.get(key)
        if one is None or one.why is not None:
            return Gap(key, Why.MISSING if one is None or one.why is None else one.why)
        values.append(one.value)
    return tells(*values)


def answer_of_sharing(state: State, held: Held | None, key: Key[Any]) -> Branch:
    """The branch of whether others hold the same value."""
    branch = answer_to(SHARING, held)
    return OTHERS if branch is THERE and held and len(state.holding(key, held.value)) > 1 else branch
