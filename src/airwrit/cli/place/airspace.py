"""`airwrit airspace`: put airspace data on file, list it, and ask what of it applies at a place."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import Here, VolumeTouched, look_up
from airwrit.airspace.kinds import TYPED_KINDS, AreaKind
from airwrit.airspace.shelf import shelve, shelved
from airwrit.answers.airspace.at import open_questions, verdict_of
from airwrit.answers.airspace.at_json import facts_of, here_json
from airwrit.answers.airspace.at_words import (
    asked_text,
    groups_of,
    headlines,
    layer_sentences,
    notes,
    problem_text,
    question_sentence,
    title_text,
    volume_sentences,
    words,
)
from airwrit.answers.airspace.on_file import imported_json, list_json
from airwrit.answers.airspace.question import TypedQuestion, asked_of, with_ground_on_file
from airwrit.answers.airspace.sites import SitesAnswer, sites_json
from airwrit.answers.document import SCOPE_OF_AIRSPACE, Json
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted, day_words
from airwrit.base.verdict import Verdict
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.options import DayType, json_option, ledger_path, now, on_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_words

folder_option = click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder with airspace data (`airspace` next to the ledger if you leave it out).",
)
_CHECKSUM_SIGNS = 16


@click.group()
def command() -> None:
    """Add airspace data, list it, and check what it says about a place. This doesn't change the records.

    Get the files from the FAA's own sites. Every edition stays on file, so an answer about a past day uses
    the edition of that day. Each command takes --json.

    \b
    Example:
      airwrit airspace import map.geojson --edition 2026-10-29
      airwrit airspace list
      airwrit airspace at 36.0542, -79.9792 --on 2026-11-25 --height 200
    """


@command.command("import")
@click.argument("files", nargs=-1, required=True, type=PATH)
@click.option(
    "--edition", type=DayType(), required=True, help="The day the data took effect, as its publisher says."
)
@click.option(
    "--kind",
    type=click.Choice([kind.value for kind in AreaKind if kind is not AreaKind.NOTICE]),
    help="What is in the files. If you leave it out, we can usually tell.",
)
@click.option("--layer", help="A name for them, such as class-east (the kind if you leave it out).")
@folder_option
@json_option
def import_command(
    files: tuple[Path, ...],
    edition: date,
    kind: str | None,
    layer: str | None,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Add FILES as one edition. They can be GeoJSON, a zipped shapefile, GeoPackage, XML of restrictions, or
    the obstacle file.

    Add all files of an edition at once, such as all pages of one download. We keep damaged entries and treat
    them as the most restrictive, or report that they have no place.

    \b
    Example:
      airwrit airspace import page-1.geojson page-2.geojson --edition 2026-10-29
    """
    from airwrit.answers.airspace.importing import edition_of_files

    read = edition_of_files(files, None if kind is None else AreaKind(kind), layer, edition)
    return _keep(read, folder, as_json=as_json)


@command.command("add", context_settings=NEGATIVE_NUMBERS)
@click.argument("kind", type=click.Choice([kind.value for kind in TYPED_KINDS]))
@click.argument("name")
@click.argument("place", nargs=-1, required=True)
@click.option("--edition", type=DayType(), help="The first day it is on file (today if you leave it out).")
@click.option("--radius", type=float, default=0.0, help="Feet around the place, or to each side of the line.")
@click.option("--area", "is_area", is_flag=True, help="The places are the corners of an area.")
@click.option(
    "--floor",
    default="",
    help="Where it starts, like SFC, 400 ft AGL, 2500 ft MSL or FL180 (the ground if you leave it out).",
)
@click.option(
    "--ceiling", default="", help="Where it stops, written the same way (no upper limit if you leave it out)."
)
@click.option("--begins", default="", help="When it starts, like 2026-12-02 14:00, in local time there.")
@click.option(
    "--ends",
    default="",
    help="When it ends, written the same way (until further notice if you leave it out).",
)
@click.option(
    "--hours",
    default="",
    help='Hours of each day, like "0800-1800 MON-FRI" or "SUNRISE-SUNSET". Add Z for UTC.',
)
@click.option("--text", default="", help="The text of the notice. Paste it here.")
@click.option(
    "--layer", default="", help="A short name to keep it under (made from NAME if you leave it out)."
)
@folder_option
@json_option
def add_command(
    kind: str,
    name: str,
    place: tuple[str, ...],
    edition: date | None,
    radius: float,
    is_area: bool,
    floor: str,
    ceiling: str,
    begins: str,
    ends: str,
    hours: str,
    text: str,
    layer: str,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Add an area by NAME and PLACE: the area of a notice, an area of your own, a FRIA or a fixed site.

    Write PLACE as for `airspace at`: one place with a radius, several places with semicolons between them, or
    the corners of an area.

    \b
    Example:
      airwrit airspace add notice "Air show Oakford" 36.05, -79.98 --radius 18000 --ceiling "5000 ft MSL"
        --begins "2026-12-05 10:00" --ends "2026-12-05 17:00" --text "!FDC ..."
    """
    from airwrit.answers.airspace.typed_area import TypedArea, edition_typed

    where = typed_words(place, "airspace add")
    typed = TypedArea(
        AreaKind(kind),
        name,
        where,
        edition or _today(),
        radius,
        is_area,
        floor,
        ceiling,
        begins,
        ends,
        hours,
        text,
        layer,
    )
    return _keep(edition_typed(typed), folder, as_json=as_json)


@command.command("end")
@click.argument("layer")
@click.option("--edition", type=DayType(), required=True, help="The first day it no longer applies.")
@folder_option
@json_option
def end_command(layer: str, edition: date, folder: Path | None, as_json: bool) -> int:
    """End an area you added to LAYER, starting on a day. It still applies to earlier days.

    \b
    Example:
      airwrit airspace end air-show-oakford --edition 2026-12-06
    """
    from airwrit.answers.airspace.typed_area import edition_ended

    typed = [one for one in shelved(_folder(folder)) if one.layer == layer]
    if not typed:
        raise UsageError(f"no layer {layer!r} is on file", where="layer", do="see `airwrit airspace list`")
    return _keep(edition_ended(max(typed, key=lambda one: one.on), edition), folder, as_json=as_json)


@command.command("list")
@on_option
@click.option("--check", is_flag=True, help="Read every file whole, and compare it with its checksum.")
@folder_option
@json_option
def list_command(on: date | None, check: bool, folder: Path | None, as_json: bool) -> int:
    """List every edition on file with its checksum, and show which are in force on a day.

    \b
    Example:
      airwrit airspace list --on 2026-11-25
    """
    document = list_json(_folder(folder), on or _today(), check=check)
    if as_json:
        show_json(document)
    else:
        show_list(document)
    return EXIT[Verdict(document["verdict"])]


@command.command("at", context_settings=NEGATIVE_NUMBERS)
@click.argument("place", nargs=-1, required=True)
@on_option
@click.option("--from", "start", default="", help="When you start, in local time there, such as 14:00.")
@click.option(
    "--until", "end", default="", help="When you end. If it's earlier than --from, it means the next day."
)
@click.option("--height", type=float, required=True, help="Highest height, in feet.")
@click.option("--low", type=float, default=0.0, help="Lowest height, in feet (0 if you leave it out).")
@click.option("--above-sea", is_flag=True, help="The heights are above sea level, not above ground.")
@click.option(
    "--radius",
    type=float,
    default=0.0,
    help="Feet around the place, or to each side of the line (none if you leave it out).",
)
@click.option("--area", "is_area", is_flag=True, help="The places are the corners of an area.")
@click.option(
    "--ground",
    default="",
    help="Lowest and highest ground under you, in feet above sea level, like 790-860.",
)
@click.option("--facts", "as_facts", is_flag=True, help="Print only tables for a facts file.")
@folder_option
@json_option
def at_command(
    place: tuple[str, ...],
    on: date | None,
    start: str,
    end: str,
    height: float,
    low: float,
    above_sea: bool,
    radius: float,
    is_area: bool,
    ground: str,
    as_facts: bool,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Show what the airspace data on file says about a PLACE, a line or an area, at the heights and times you
    choose.

    PLACE is latitude and longitude ("40.0150, -105.2705", "40 00.9 N 105 16.2 W", "40-00-54N 105-16-14W"), a
    National Grid or MGRS reference ("13T DE 76915 29457"), or UTM ("13T 476915 4429457"). Several places with
    semicolons between them make a line. With --area, they are corners.

    \b
    Example:
      airwrit airspace at 36.0542, -79.9792 --on 2026-11-25 --height 200 --radius 500
      airwrit airspace at "36.05, -79.98; 36.06, -79.95" --radius 300 --height 200 --from 14:00 --until 16:00
    """
    where = typed_words(place, "airspace at")
    asked = asked_of(
        TypedQuestion(where, on or _today(), height, low, above_sea, radius, is_area, start, end, ground)
    )
    here = look_up(_folder(folder), with_ground_on_file(asked, ledger_path(None).parent / "terrain"))
    if as_json:
        show_json(here_json(here))
    elif as_facts:
        click.echo(facts_of(here), nl=False)
    else:
        show_here(here)
    return EXIT[verdict_of(here)]


@command.command("sites")
@click.argument("file", type=PATH)
@on_option
@click.option(
    "--height", type=click.FloatRange(0, 100_000), required=True, help="Highest height, in feet above ground."
)
@folder_option
@json_option
def sites_command(file: Path, on: date | None, height: float, folder: Path | None, as_json: bool) -> int:
    """Show what the airspace data on file says about every site in a .csv FILE. It needs columns named latitude,
    longitude and name.

    \b
    Example:
      airwrit airspace sites sites.csv --height 400
    """
    from airwrit.answers.airspace.sites import sites_answer, sites_in, sites_json, verdict_of_sites
    from airwrit.cli.place.airspace import show_sites

    answer = sites_answer(_folder(folder), sites_in(file), on or _today(), height)
    if as_json:
        show_json(sites_json(answer))
    else:
        show_sites(answer)
    return EXIT[verdict_of_sites(answer)]


def _keep(edition: Edition, folder: Path | None, *, as_json: bool) -> int:
    """Put an edition on file and tell of it."""
    path, is_new = shelve(_folder(folder), edition)
    if as_json:
        show_json(imported_json(edition, path, is_new=is_new))
    else:
        show_imported(edition, path, is_new=is_new)
    return EXIT[Verdict.UNKNOWN if edition.problems else Verdict.MET]


def _folder(told: Path | None) -> Path:
    return told or ledger_path(None).parent / "airspace"


def _today() -> date:
    return now().astimezone().date()


_MOST_PROBLEMS = 20
_LONGEST_TEXT = 500


def show_here(here: Here) -> None:
    """The facility map, the volumes, what to ask, the editions and what to keep in mind."""
    out = console()
    out.print(Text(SCOPE_OF_AIRSPACE, style="dim"))
    out.print(clean(asked_text(here.asked)), style="bold")
    out.print()
    for said in headlines(here):
        out.print(clean(said))
    for group in groups_of(here):
        out.print()
        out.print(group.title, style="bold underline")
        for one in group.volumes:
            _show_volume(one, here.asked.zones[0], out)
    out.print()
    out.print(words()["group"]["ask"], style="bold underline")
    for open_one in open_questions(here):
        out.print(clean(question_sentence(open_one)))
    out.print()
    for said in (*layer_sentences(here), *notes(here)):
        out.print(said)
    show_caution(out)


def _show_volume(one: VolumeTouched, zone: ZoneInfo, out: Console) -> None:
    area = one.area
    out.print(clean(f"{area.name} ({area.type})" if area.type else area.name), style="bold")
    for said in volume_sentences(one, zone):
        out.print(clean(f"  {said}"))
    if area.text:
        out.print(clean(f"  {area.text[:_LONGEST_TEXT]}"), style="dim")
    for problem in area.problems:
        out.print(clean(f"  {problem_text(problem)}"))


def show_imported(edition: Edition, path: Path, *, is_new: bool) -> None:
    """What was put on file, and what is wrong in it."""
    out = console()
    counts = [(len(edition.grid.keys), "cell"), (len(edition.areas), "area")]
    held = ", ".join(counted(count, name) for count, name in counts if count) or "nothing usable"
    said = "is now on file" if is_new else "was already on file"
    out.print(f"{title_text(edition.kind)}, edition of {day_words(edition.on)}, {said}: {held}.")
    out.print(clean(f"Kept in {path.name}."))
    for problem in edition.problems[:_MOST_PROBLEMS]:
        out.print(clean(f"  {problem_text(problem)}"))
    if len(edition.problems) > _MOST_PROBLEMS:
        out.print(f"  and {len(edition.problems) - _MOST_PROBLEMS} more: --json shows all")
    out.print(words()["note"]["look"])
    show_caution(out)


def show_list(document: Json) -> None:
    """Every edition on file, and the state of each layer on the day."""
    out = console()
    for one in document["editions"]:
        name = "" if one["layer"] == one["kind"].replace("_", "-") else f" ({one['layer']})"
        day, checksum = day_words(date.fromisoformat(one["edition"])), one["sha256"][:_CHECKSUM_SIGNS]
        state = "damaged" if one["damaged"] else checksum and f"checksum {checksum}"
        out.print(f"{title_text(AreaKind(one['kind']))}{name}: {day}{state and f', {state}'}")
        if one["damaged"]:
            out.print(clean(f"  {one['damaged']}"))
    if not document["editions"]:
        out.print("No airspace data is on file.")
    if document["checked"] and not document["damaged"]:
        out.print("Every file is as it was written.")
    out.print()
    out.print(f"For {day_words(date.fromisoformat(document['on']))}:", style="bold")
    for said in (*document["says"], *document["notes"]):
        out.print(said)
    show_caution(out)


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
