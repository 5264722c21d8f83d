"""A list of sites in the airspace on file, on the terminal."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from airwrit.answers.airspace.at_words import words
from airwrit.answers.airspace.sites import SitesAnswer, sites_json
from airwrit.answers.document import SCOPE_OF_AIRSPACE
from airwrit.cli.console import clean, console, show_caution


def show_sites(answer: SitesAnswer) -> None:
    """A row for each site, then the editions and what to keep in mind."""
    out, short = console(), words()["short"]
    out.print(Text(SCOPE_OF_AIRSPACE, style="dim"))
    table = Table("Site", "Map", "Over it")
    for one in answer.sites:
        over = "; ".join(
            f"{facts.name} ({facts.type})" if facts.type else facts.name for _, facts in one.volumes
        )
        number = short[one.answer.value].format(feet=one.lowest_ft)
        table.add_row(clean(one.site.name), number, clean(over))
    out.print(table)
    document = sites_json(answer)
    for said in (*document["says"], *document["notes"]):
        out.print(said)
    show_caution(out)
