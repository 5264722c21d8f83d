"""Somebody leaves: login, representative, papers, what they keep and what is in their name, all on one page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airwrit.answers.acts.catalog import ActRequest, subjects_named
from airwrit.answers.jobs.job import Job, JobAsked, JobField, JobFilled, JobStep, wrong
from airwrit.answers.record.duties import duties_of
from airwrit.facts.keys.aircraft import OWNER
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.keys.registration import REGISTERED_TO, REPRESENTATIVE
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, subject_named

_LISTED = 12


def people_here(state: State, but: str = "") -> list[str]:
    """The names of those who haven't left, but one."""
    return [
        name
        for name in subjects_named(state, "person")
        if name != but
        and value_held(state, subject_named("person", name), LEFT_ON) is None
        and value_held(state, subject_named("person", name), HAS_LEFT) is not True
    ]


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    state, name = asked.state, asked.name
    duties, people = duties_of(state, asked.subject), tuple((one, one) for one in people_here(state, name))
    papers = state.holding(PAPER_RESPONSIBLE, name)
    owners = _represented(state, name)
    own = [*state.holding(OWNER, name), *state.holding(REGISTERED_TO, name)]
    day = JobField("left_on", "Last day in the program", "date", (), (asked.on.isoformat(),), required=True)
    taker = JobField("taker", "Who takes over?", "select", people)
    parts = (
        ("papers_to", "Waivers and documents to someone else", papers),
        ("login_to", "The FAA login to someone else", duties.logins),
        ("represent_to", "Representative: someone else", owners),
        ("keep_to", "The aircraft they keep to someone else", duties.keeps),
    )
    others = tuple(JobField(field, words, "select", people) for field, words, some in parts if some)
    told = [
        ("Responsible for", papers),
        ("Has the FAA login for", duties.logins),
        ("Represents", owners),
        ("Keeps", duties.keeps),
        ("In their own name", own),
    ]
    done = tuple((words, _listed(some)) for words, some in told if some)
    mine = "Aircraft in their own name stay theirs. Record a sale if you take one over." if own else ""
    return (
        JobStep("Who and when", done, (day, *([taker] if others else [])), mine),
        *([JobStep("Only if it isn't the same person", (), others)] if len(others) > 1 else []),
        JobStep(
            "Get back", (), (), "Keys, batteries, controllers, and the papers that go with each aircraft."
        ),
    )


def _represented(state: State, name: str) -> list[str]:
    """The organizations for whose registrations a person stands."""
    held = [value_held(state, one, REGISTERED_TO) for one in state.holding(REPRESENTATIVE, name)]
    return [subject_named("owner", one) for one in dict.fromkeys(held) if one]


def _listed(subjects: Sequence[str]) -> str:
    more = len(subjects) - _LISTED
    return ", ".join(map(id_of, subjects[:_LISTED])) + (f" and {more} more" if more > 0 else "")


def _acts(asked: JobAsked, filled: JobFilled) -> Sequence[ActRequest]:
    on = filled.day("left_on", asked.on)
    return [*_handing_over(asked, filled), ActRequest("leave", asked.subject, {}, on)]


def _handing_over(asked: JobAsked, filled: JobFilled) -> Iterator[ActRequest]:
    """Each thing goes to whom it was given; what was given to nobody stays open, and shows as a duty."""
    state, name, on = asked.state, asked.name, filled.day("left_on", asked.on)
    duties = duties_of(state, asked.subject)

    def to(field: str) -> str:
        who = filled.get(field) or filled.get("taker")
        if who == name:
            raise wrong(field, f"{name} is the one who leaves", "choose someone else")
        return who

    for paper in state.holding(PAPER_RESPONSIBLE, name):
        if to("papers_to"):
            yield ActRequest("hand_over", paper, {"to": to("papers_to")}, on)
    for owner in _represented(state, name):
        if to("represent_to"):
            yield ActRequest("change_representative", owner, {"to": to("represent_to")}, on)
    for owner in duties.logins:
        if to("login_to"):
            yield ActRequest("change_login", owner, {"to": to("login_to")}, on)
    for aircraft in duties.keeps:
        if to("keep_to"):
            yield ActRequest("hand_on", aircraft, {"to": to("keep_to")}, on)


LEAVE = Job(
    "person-leaves",
    "person",
    "Person leaves",
    "Record that someone left the program, and hand over what they had.",
    False,
    _steps,
    _acts,
)
"""The job."""
