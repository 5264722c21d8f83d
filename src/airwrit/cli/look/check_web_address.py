"""`airwrit check-web-address`: can this web address be an official one."""

from __future__ import annotations

from datetime import date

import click
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_LINKS
from airwrit.answers.lookup.web_address import CAUTION, SAYS, Link, advice, judged, link_json
from airwrit.base.days import day_of
from airwrit.base.registrable_domain import list_date
from airwrit.base.verdict import worst_of
from airwrit.cli.console import SIGNS, clean, console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.options import asked, on_option


@click.command()
@click.argument("urls", nargs=-1, required=True)
@on_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(urls: tuple[str, ...], on: date | None, as_json: bool) -> int:
    """Check whether a web address can be an official US government one, and why. We don't open it.

    \b
    Example:
      airwrit check-web-address https://faa.gov.example.com/register
    """
    day = day_of(asked(on, None))
    links = [judged(url) for url in urls]
    kept_in_mind = advice(day)
    if as_json:
        show_json(link_json(links, day, kept_in_mind))
        return EXIT[worst_of({link.verdict for link in links})]
    out = console()
    out.print(SCOPE_OF_LINKS)
    for link in links:
        _show(link, out)
    for each in kept_in_mind:
        out.print(each.says)
    listed = list_date()
    out.print(Text(f"{CAUTION} Site endings are from the public suffix list of {listed}.", style="dim"))
    return EXIT[worst_of({link.verdict for link in links})]


def _show(link: Link, out: Console) -> None:
    out.print(Text(clean(link.text), style="bold"))
    domain = f": {link.domain}" if link.domain else "."
    out.print(clean(f"{SIGNS[link.verdict]} {SAYS[link.verdict]}{domain}"))
    lines = [point.says for point in link.points]
    if link.official is not None:
        lines.append(f"Use it for: {link.official.for_what} ({link.official.source}).")
    for line in lines:
        out.print(Padding(Text(clean(line)), (0, 0, 0, 5), expand=False))
    out.print()
