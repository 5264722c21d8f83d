"""Every button of a step leads to a form that opens, with what is known filled in."""

from __future__ import annotations

import html
import re

from airwrit.answers.acts.step import NextStep
from airwrit.web.parts.acts import path_of_step
from tests.unit.web.conftest import Visitor

_STEP = re.compile(r'<a class="step" href="([^"]+)"')


def test_every_button_of_the_invented_program_opens_a_form(visitor: Visitor) -> None:
    client = visitor()
    twin = client.get("/today.json").json()
    names = [row["subject"] for row in twin["rows"]] if "rows" in twin else []
    pages = ["/today", "/deadlines", "/aircraft", "/people"]
    pages += [
        f"/{'people' if kind == 'person' else kind}/{name}"
        for kind, _, name in (n.partition("/") for n in names)
    ]
    found = {html.unescape(path) for page in pages for path in _STEP.findall(client.get(page).text)}
    assert len(found) > 8
    for path in sorted(found):
        answer = client.get(path)
        assert answer.status_code == 200, path
        assert not path.endswith(("?", "=")), path


def test_a_job_for_one_and_for_several() -> None:
    one = NextStep("Renew", "registration/FA00TEST03", page="renew")
    assert path_of_step(one) == "/renew?of=registration%2FFA00TEST03"
    many = one._replace(fills={"which": "FA00TEST03 FA00TEST05"})
    assert path_of_step(many) == "/renew?which=FA00TEST03&which=FA00TEST05"


def test_an_act_has_its_fields_filled_in() -> None:
    step = NextStep("Record the number on it", "aircraft/Elm 1", "mark", fills={"place": "outside"})
    assert path_of_step(step) == "/record-change/mark/aircraft/Elm%201?place=outside"
