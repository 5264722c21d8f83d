"""One pass over an .ods file: formulas, errors, where values are, what is hidden, how cells look."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator

from airwrit.intake.markup.marks import LAST_COLUMN, LAST_ROW, Canvas, Marks, Markup
from airwrit.intake.markup.notes import plain_note
from airwrit.intake.markup.ods_styles import OdsStyles
from airwrit.intake.markup.rich import Part, struck_out
from airwrit.intake.markup.walk import DAMAGED, Attributes, End, Start, Walk
from airwrit.intake.reader.limits import Fault, Limits
from airwrit.intake.reader.looks import PLAIN, CellLook, Unseen

_MOST_REPEATS = 20_000
_TYPES = b"(?:string|float|date|percentage|currency|boolean|time)"
_VALUE = (
    rb' office:value-type="%s"(?: office:(?:[a-z]+-)?value="[^"<&]*"| office:currency="[^"<&]*"| calcext:value-type="%s")*'
    rb">(?:<text:p>[^<&\x00-\x08\x0b\x0c\x0e-\x1f]*</text:p>)*</table:table-cell>" % (_TYPES, _TYPES)
)
_NEIGHBORS = re.compile(
    rb'<table:table-cell((?: table:style-name="[^"<&]*")?)'
    + _VALUE
    + rb"(?:<table:table-cell\1"
    + _VALUE
    + rb")+"
)
"""Filled cells beside each other of one style, which tell nothing else but their values."""
_RARE = frozenset({"table:formula", "table:number-columns-spanned", "table:number-rows-spanned"})


def markup_of_ods(archive: zipfile.ZipFile, names: set[str], limits: Limits) -> Markup:
    """The markup of an .ods file. Fault when it is locked; the parser's or ValueErrors when it is damaged."""
    if "META-INF/manifest.xml" in names and b"encryption-data" in archive.read("META-INF/manifest.xml"):
        raise Fault("the file is locked with a password", "save a copy without a password, and use that")
    styles, unseen = OdsStyles(), set[Unseen]()
    if "styles.xml" in names:
        try:
            Walk(styles.starts()).over(archive.read("styles.xml"))
        except DAMAGED:
            unseen.add(Unseen.STYLES)
    markup = Markup("ods", sheets=_Content(styles).sheets_of(archive.read("content.xml")))
    for marks in markup.sheets.values():
        marks.extent.check(limits)
        marks.unseen |= unseen
    return markup


def _as_one(cells: re.Match[bytes]) -> bytes:
    """Neighbors that only hold values as one cell that is repeated: what that is walked for is the same."""
    return b'<table:table-cell%s office:value-type="string" table:number-columns-repeated="%d"/>' % (
        cells[1],
        cells[0].count(b"</table:table-cell>"),
    )


class _Content:
    """Walks the tables by their repeats; a row is painted when it ends, and once for all its repeats.

    Ends of tags cost most, so they are told only where texts or groups want them: a cell ends where the next thing begins.
    """

    def __init__(self, styles: OdsStyles) -> None:
        self._styles, self._sheets = styles, dict[str, Marks]()
        self._marks, self._row, self._next_row, self._rows_style = Marks(), 0, 0, ""
        self._first, self._next = 0, 0
        self._columns: list[tuple[int, int, str]] = []
        self._plain: set[str] = set()
        """Names of styles that are like no style at all."""
        self._painted = Canvas()
        self._groups: list[bool] = []
        """Whether each group of rows or columns around the walk is closed."""
        self._boxes: dict[str, bool] = {}
        self._texts = _Texts(styles)
        self._look, self._is_filled, self._is_open = PLAIN, False, False

    def sheets_of(self, content: bytes) -> dict[str, Marks]:
        """The marks of each sheet by its name."""
        walk = Walk({**self._styles.starts(), **self._starts()}, self._ends())
        self._texts.walk = walk
        walk.want_ends(wanted=False)
        walk.over(content if b"<!" in content else _NEIGHBORS.sub(_as_one, content))
        self._end_row()
        return self._sheets

    def _starts(self) -> dict[str, Start]:
        return {
            **self._texts.starts(),
            "checkbox": self._checkbox,
            "table": self._table,
            "table-column": self._column,
            "table-row": self._start_row,
            "table-row-group": self._start_group,
            "table-column-group": self._start_group,
            "table-cell": self._cell,
            "covered-table-cell": self._covered_cell,
            "p": self._paragraph,
            "control": self._control,
            "conditional-format": self._condition,
        }

    def _ends(self) -> dict[str, End]:
        return {
            **self._texts.ends(),
            "table-row-group": self._end_group,
            "table-column-group": self._end_group,
        }

    def _checkbox(self, attributes: Attributes) -> None:
        state = attributes.get("form:current-state") or attributes.get("form:state") or "unchecked"
        name = attributes.get("xml:id") or attributes.get("form:id") or ""
        if state in ("checked", "unchecked"):
            self._boxes[name] = state == "checked"

    def _table(self, attributes: Attributes) -> None:
        self._end_row()
        self._marks = self._sheets[attributes.get("table:name", "")] = Marks()
        self._next_row, self._next = 0, 0
        self._columns.clear()
        self._plain.clear()
        self._groups.clear()
        self._texts.is_wanted = self._styles.any_text_struck()
        self._texts.are_ends_wanted = False
        self._texts.walk.want_ends(wanted=self._texts.is_wanted)

    def _column(self, attributes: Attributes) -> None:
        first = self._next
        self._next += int(attributes.get("table:number-columns-repeated", 1))
        self._columns.append((first, self._next - 1, attributes.get("table:default-cell-style-name", "")))
        if self._is_hidden(attributes):
            self._marks.hidden_columns.append((first, self._next - 1))

    def _start_row(self, attributes: Attributes) -> None:
        self._end_row()
        self._row, self._next = self._next_row, 0
        self._next_row += int(attributes.get("table:number-rows-repeated", 1))
        self._rows_style = attributes.get("table:default-cell-style-name", "")
        if self._is_hidden(attributes):
            self._marks.hidden_rows.append((self._row, self._next_row - 1))

    def _is_hidden(self, attributes: Attributes) -> bool:
        return attributes.get("table:visibility", "visible") != "visible" or True in self._groups

    def _start_group(self, attributes: Attributes) -> None:
        self._end_row()
        self._groups.append(attributes.get("table:display") == "false")
        self._texts.are_ends_wanted = True
        self._texts.walk.want_ends(wanted=True)

    def _end_group(self) -> None:
        self._end_row()
        del self._groups[-1:]

    def _cell(self, attributes: Attributes) -> None:
        if self._is_open:
            self._end_cell()
        self._covered(attributes)
        self._is_open = True
        self._is_filled = "office:value-type" in attributes
        name = attributes.get("table:style-name") or self._rows_style
        if not name:
            self._look = self._painted_under()
        elif name in self._plain:
            self._look = PLAIN
        else:
            self._look = self._paint(self._first, self._next - 1, name)

    def _painted_under(self) -> CellLook:
        """Paint the cell at hand as its columns are; the look of the first."""
        seen = PLAIN
        for first, last, style in self._under(self._first, self._next - 1) if self._columns else ():
            look = self._paint(first, last, style)
            seen = look if first == self._first else seen
        return seen

    def _merge(self, attributes: Attributes) -> None:
        high = int(attributes.get("table:number-rows-spanned", 1))
        wide = int(attributes.get("table:number-columns-spanned", 1))
        if high > 1 or wide > 1:
            bottom, right = min(self._row + high - 1, LAST_ROW), min(self._first + wide - 1, LAST_COLUMN)
            self._marks.merged.append((self._row, self._first, bottom, right))

    def _covered_cell(self, attributes: Attributes) -> None:
        self._end_cell()
        self._covered(attributes)

    def _covered(self, attributes: Attributes) -> None:
        self._first = self._next
        repeated = attributes.get("table:number-columns-repeated")
        self._next += 1 if repeated is None else int(repeated)
        if not _RARE.isdisjoint(attributes):
            self._merge(attributes)
            self._formula(attributes)
        if attributes.get("calcext:value-type") == "error":
            self._marks.errors.append((self._row, self._first, "error"))

    def _formula(self, attributes: Attributes) -> None:
        if "table:formula" in attributes:
            columns = range(self._first, min(self._next, self._first + _MOST_REPEATS))
            self._marks.formulas += [(row, column) for row in self._rows() for column in columns]

    def _rows(self) -> range:
        """The rows that the one at hand stands for, as far as they are of use."""
        return range(self._row, min(self._next_row, self._row + _MOST_REPEATS, LAST_ROW + 1))

    def _under(self, first: int, last: int) -> Iterator[tuple[int, int, str]]:
        """The parts of a row that have a style by their column."""
        for start, end, style in self._columns:
            if start <= last and end >= first:
                yield max(start, first), min(end, last), style

    def _paint(self, first: int, last: int, name: str) -> CellLook:
        look = self._styles.look(name)
        if look == PLAIN and name not in self._styles.conditional:
            self._plain.add(name)
        if look != PLAIN and first <= LAST_COLUMN:
            self._painted.paint(0, first, min(last, LAST_COLUMN), look)
        if name in self._styles.conditional:
            self._marks.unseen.add(Unseen.CONDITIONAL)
        return look

    def _paragraph(self, attributes: Attributes) -> None:
        texts = self._texts
        self._is_filled = self._is_filled or not texts.in_note
        if texts.in_note or texts.is_wanted:
            texts.paragraph(attributes)

    def _end_cell(self) -> None:
        """End the cell at hand, where there is one."""
        if not self._is_open:
            return
        self._is_open = False
        if self._is_filled:
            self._marks.extent.grow(self._row, self._first, self._next_row - 1, self._next - 1)
        if not self._texts.has_any:
            return
        look = struck_out(self._look, self._texts.parts) if self._texts.parts else self._look
        if look != self._look:
            for column in range(self._first, min(self._next, LAST_COLUMN + 1)):
                self._painted.put(0, column, look)
        if self._texts.note:
            self._painted.add_note(0, self._first, plain_note("".join(self._texts.note)))
        self._texts.clear()

    def _end_row(self) -> None:
        """End the row at hand, where there is one."""
        self._end_cell()
        runs = self._painted.rows.pop(0, None)
        if runs:
            for row in self._rows():
                self._marks.canvas.rows[row] = runs

    def _control(self, attributes: Attributes) -> None:
        checked = self._boxes.get(attributes.get("draw:control", ""))
        if checked is not None and self._next > self._first:
            self._painted.add_box(0, self._first, checked=checked)

    def _condition(self, _: Attributes) -> None:
        self._marks.unseen.add(Unseen.CONDITIONAL)


class _Texts:
    """The text of the cell at hand, with what strikes out parts of it, and of the comments on it."""

    def __init__(self, styles: OdsStyles) -> None:
        self.parts: list[Part] = []
        self.note: list[str] = []
        self.in_note, self.is_wanted, self.are_ends_wanted = False, False, False
        self.walk = Walk({})
        self._styles, self._spans = styles, list[bool | None]()

    def starts(self) -> dict[str, Start]:
        return {
            "p": self.paragraph,
            "h": self.paragraph,
            "span": self._span,
            "s": self._space,
            "tab": self._space,
            "line-break": self._space,
            "annotation": self._annotation,
        }

    def ends(self) -> dict[str, End]:
        return {
            "p": self._no_paragraph,
            "h": self._no_paragraph,
            "span": self._no_span,
            "annotation": self._no_annotation,
        }

    @property
    def has_any(self) -> bool:
        """Whether the cell at hand has a text that is wanted."""
        return bool(self.parts or self.note or self._spans)

    def clear(self) -> None:
        """Begin the next cell."""
        if self.has_any:
            self.parts, self.note, self._spans = [], [], []

    def paragraph(self, _: Attributes) -> None:
        """Begin a paragraph."""
        if self.in_note or self.is_wanted:
            self._add("\n" if self.in_note else " ")
            self.walk.want_text(self._add)

    def _no_paragraph(self) -> None:
        if self.in_note or self.is_wanted:
            self.walk.want_text(None)

    def _add(self, text: str) -> None:
        if self.in_note:
            self.note.append(text)
        else:
            self.parts.append((text, self._spans[-1] if self._spans else None))

    def _span(self, attributes: Attributes) -> None:
        if self.is_wanted and not self.in_note:
            own = self._styles.struck(attributes.get("text:style-name", ""))
            self._spans.append(own if own is not None or not self._spans else self._spans[-1])

    def _no_span(self) -> None:
        if self._spans and not self.in_note:
            self._spans.pop()

    def _space(self, _: Attributes) -> None:
        if self.in_note or self.is_wanted:
            self._add(" ")

    def _annotation(self, _: Attributes) -> None:
        self.in_note = True
        self.walk.want_ends(wanted=True)

    def _no_annotation(self) -> None:
        self.in_note = False
        self.note.append("\n")
        self.walk.want_ends(wanted=self.is_wanted or self.are_ends_wanted)
