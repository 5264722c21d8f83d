"""Every page says once, first of all, what it is based on and what was not looked at; its twin carries the same."""

from __future__ import annotations

import re

import pytest

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.web.server.site import PAGES
from tests.unit.web.conftest import Visitor

OPEN = [page for page in PAGES if "{" not in page.path and "." not in page.path]
NOTHING_JUDGED = {"/first-run"}


@pytest.mark.parametrize("path", [page.path for page in OPEN])
def test_a_page_says_it_first_and_once(visitor: Visitor, path: str) -> None:
    page = next(one for one in OPEN if one.path == path)
    text = visitor().get(path).text
    said = re.findall(r'<main id="sheet">\s*<p class="scope">([^<]*)</p>', text)
    assert [one.replace("&#39;", "'") for one in said] == ([page.scope] if page.scope else [])
    assert text.count('<p class="scope">') == len(said)
    assert text.count(CAUTION) == 1
    assert (page.scope == "") == (path in NOTHING_JUDGED)


@pytest.mark.parametrize("path", [page.path for page in OPEN])
def test_its_twin_carries_it(visitor: Visitor, path: str) -> None:
    page = next(one for one in OPEN if one.path == path)
    document = visitor().get(f"{path}.json").json()
    if isinstance(document, dict):
        assert document["caution"]
        assert document.get("scope", "") == page.scope


def test_a_subjects_page_says_it_too(visitor: Visitor) -> None:
    for path in ("/aircraft/Alder%201", "/people/Nela%20Quist", "/record-change/sell/aircraft/Alder%201"):
        text = visitor().get(path).text
        assert text.count(SCOPE.replace("'", "&#39;")) == 1, path
