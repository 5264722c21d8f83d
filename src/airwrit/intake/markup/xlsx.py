"""An .xlsx workbook's markup: what its sheets tell of their cells beside the values."""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass, field

from airwrit.intake.markup.marks import Marks, Markup
from airwrit.intake.markup.rich import Part
from airwrit.intake.markup.walk import DAMAGED, Walk, local
from airwrit.intake.markup.xlsx_notes import boxes_of, notes_of, threads_of
from airwrit.intake.markup.xlsx_sheet import marks_of_sheet, place_of
from airwrit.intake.markup.xlsx_styles import looks_of_styles, may_strike, rich_texts, theme_of
from airwrit.intake.reader.limits import Limits
from airwrit.intake.reader.looks import CellLook, Unseen

_FROM_1904 = re.compile(rb"date1904=[\"'](1|true)[\"']")
Link = tuple[str, str]
"""What kind of part a relationship leads to, and the part's path."""


@dataclass(slots=True)
class _Shared:
    """What all sheets of a workbook share: looks of its styles, and the texts that have fonts of their own."""

    looks: dict[str, CellLook] = field(default_factory=dict)
    texts: dict[str, list[Part]] = field(default_factory=dict)
    unseen: set[Unseen] = field(default_factory=set)


class Package:
    """The parts of the zip archive that a workbook is, and how they lead to each other."""

    def __init__(self, archive: zipfile.ZipFile, names: set[str]) -> None:
        """Of an open archive."""
        self._archive, self.names = archive, names

    def read(self, path: str) -> bytes:
        """A part's bytes. KeyError when there is none."""
        return self._archive.read(path)

    def links(self, path: str) -> dict[str, Link]:
        """The relationships of the part at `path` by their names."""
        folder, name = posixpath.split(path)
        rels = posixpath.join(folder, "_rels", f"{name}.rels")
        found: dict[str, Link] = {}

        def start(attributes: dict[str, str]) -> None:
            target = attributes.get("Target", "")
            full = target.lstrip("/") if target.startswith("/") else posixpath.join(folder, target)
            found[attributes.get("Id", "")] = (
                attributes.get("Type", "").rpartition("/")[2],
                posixpath.normpath(full),
            )

        if rels in self.names:
            Walk({"Relationship": start}).over(self.read(rels))
        return found


def markup_of_xlsx(archive: zipfile.ZipFile, names: set[str], limits: Limits) -> Markup:
    """The markup of a workbook. The parser's, the archive's or ValueErrors when the workbook or a sheet is damaged."""
    package = Package(archive, names)
    main = next(name for name in sorted(names) if name.endswith("workbook.xml"))
    book = package.read(main)
    links = package.links(main)
    markup = Markup("xlsx", _FROM_1904.search(book) is not None)
    shared = _shared(package, links.values())
    for name, link in _sheet_links(book):
        _, path = links.get(link, ("", ""))
        if path in names and path.endswith(".xml"):
            marks = marks_of_sheet(package.read(path), shared.looks, shared.texts)
            marks.extent.check(limits)
            marks.unseen |= shared.unseen
            _beside(package, path, marks)
            markup.sheets[name] = marks
    return markup


def _sheet_links(book: bytes) -> list[tuple[str, str]]:
    """Names of the sheets with the relationship each is kept under."""
    found: list[tuple[str, str]] = []

    def start(attributes: dict[str, str]) -> None:
        link = next((value for key, value in attributes.items() if local(key) == "id"), "")
        found.append((attributes.get("name", ""), link))

    Walk({"sheet": start}).over(book)
    return found


def _shared(package: Package, links: Iterable[Link]) -> _Shared:
    paths = dict(links)
    shared = _Shared()
    try:
        if "styles" in paths:
            theme = package.read(paths["theme"]) if paths.get("theme") in package.names else b""
            shared.looks = looks_of_styles(package.read(paths["styles"]), theme_of(theme) if theme else ())
        if paths.get("sharedStrings") in package.names:
            xml = package.read(paths["sharedStrings"])
            if may_strike(xml) or any(look.struck for look in shared.looks.values()):
                shared.texts = rich_texts(xml)
    except DAMAGED:
        shared.unseen.add(Unseen.STYLES)
    return shared


def _beside(package: Package, path: str, marks: Marks) -> None:
    """Add the comments and check boxes that a sheet leads to."""
    threads: dict[str, list[str]] = {}
    notes: dict[str, list[str]] = {}
    try:
        for kind, target in package.links(path).values():
            if kind == "threadedComment":
                for reference, note in threads_of(package.read(target)):
                    threads.setdefault(reference, []).append(note)
            elif kind == "comments":
                for reference, note in notes_of(package.read(target)):
                    notes.setdefault(reference, []).append(note)
            elif kind == "vmlDrawing" and target in package.names:
                for box in boxes_of(package.read(target)):
                    marks.canvas.add_box(box.row, box.column, checked=box.checked)
    except DAMAGED:
        marks.unseen.add(Unseen.NOTES)
    for reference, texts in (notes | threads).items():
        place = place_of(reference)
        if place is not None:
            marks.canvas.add_note(*place, "\n".join(texts))
