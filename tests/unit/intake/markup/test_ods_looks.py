"""What an .ods file tells of how its cells look: styles on styles, repeats, comments, check boxes; and damage."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.markup.marks import Marks
from airwrit.intake.markup.zipped import markup_of
from airwrit.intake.reader.cells import Kind, Sheet, book_of
from airwrit.intake.reader.limits import LIMITS, Fault
from airwrit.intake.reader.looks import PLAIN, CellLook, Unseen
from tests.unit.intake.books import zip_of

SPACES = " ".join(
    f'xmlns:{name}="urn:{name}"' for name in ("style", "fo", "draw", "form", "dc", "calcext", "number")
)
OFFICE = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in ("office", "table", "text")
)


def style(name: str, *, family: str = "table-cell", parent: str = "", fill: str = "", line: str = "") -> str:
    """A style with what is given of a fill and a line through the text."""
    named = f'style:name="{name}"' + (f' style:parent-style-name="{parent}"' if parent else "")
    cells = f'<style:table-cell-properties fo:background-color="{fill}"/>' if fill else ""
    text = f"<style:text-properties {line}/>" if line else ""
    return f'<style:style {named} style:family="{family}">{cells}{text}</style:style>'


SOLID = 'style:text-line-through-style="solid"'
NONE = 'style:text-line-through-style="none"'
STYLES = (
    f'<style:default-style style:family="table-cell"><style:text-properties {NONE}/></style:default-style>'
    + style("Gone", parent="Base", line=SOLID)
    + style("Base", fill="#FFC7CE")
)
OWN = (
    style("ce1", parent="Gone")
    + style("ce2", parent="Gone", fill="transparent", line='style:text-line-through-type="none"')
    + style("ce3", fill="#00ff00")
    + f'<number:date-style style:name="n1"><style:text-properties {SOLID}/><style:map/></number:date-style>'
    + style("ce4", fill="#ffffff")
    + style("loop", parent="loop")
    + style("T1", family="text", line=SOLID)
    + style("T2", family="text", line=NONE)
    + style("T3", family="text")
    + style("T1")
)
CONDITIONAL = (
    '<style:style style:name="if" style:family="table-cell"><style:map style:condition="x"/></style:style>'
)


def parts(table: str, *, own: str = OWN, styles: str | None = STYLES) -> dict[str, str]:
    """The parts of an OpenDocument sheet called Fleet, all within its table given as markup."""
    head = (
        f"<office:document-content {OFFICE} {SPACES}><office:automatic-styles>{own}</office:automatic-styles>"
    )
    body = f'<office:body><office:spreadsheet><table:table table:name="Fleet">{table}</table:table>'
    files = {
        "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
        "META-INF/manifest.xml": "<manifest:manifest/>",
        "content.xml": f"{head}{body}</office:spreadsheet></office:body></office:document-content>",
    }
    if styles is not None:
        files["styles.xml"] = f"<office:document-styles {OFFICE} {SPACES}>{styles}</office:document-styles>"
    return files


def ods(table: str, *, own: str = OWN, styles: str | None = STYLES) -> bytes:
    """An OpenDocument sheet called Fleet as a file."""
    return zip_of(parts(table, own=own, styles=styles))


def cell(style: str = "", inside: str = "<text:p>x</text:p>", more: str = "") -> str:
    """A cell of text."""
    named = f' table:style-name="{style}"' if style else ""
    return f'<table:table-cell{named} {more} office:value-type="string">{inside}</table:table-cell>'


def row(*cells: str, more: str = "") -> str:
    """A row of cells."""
    return f"<table:table-row {more}>{''.join(cells)}</table:table-row>"


def marks_in(table: str, *, own: str = OWN, styles: str | None = STYLES) -> Marks:
    """The marks of a sheet with this table."""
    return markup_of(ods(table, own=own, styles=styles), LIMITS).sheets["Fleet"]


def sheet_in(table: str) -> Sheet:
    """The sheet with this table, through the reading process."""
    (sheet,) = book_of(ods(table), "t.ods", LIMITS).sheets
    return sheet


@pytest.mark.parametrize(
    ("style", "look"),
    [
        ("", PLAIN),
        ("Gone", CellLook(struck=True, fill="ffc7ce")),
        ("ce1", CellLook(struck=True, fill="ffc7ce")),
        ("ce2", PLAIN),
        ("ce3", CellLook(fill="00ff00")),
        ("ce4", PLAIN),
        ("loop", PLAIN),
        ("none of this name", PLAIN),
    ],
)
def test_a_style_has_what_the_styles_below_it_have(style: str, look: CellLook) -> None:
    assert marks_in(row(cell(style))).canvas.at(0, 0) == look


def test_a_cell_without_a_style_has_its_row_s_or_its_column_s() -> None:
    columns = (
        '<table:table-column table:number-columns-repeated="2" table:default-cell-style-name="ce3"/>'
        '<table:table-column table:default-cell-style-name="ce1"/><table:table-column/>'
    )
    three = cell(more='table:number-columns-repeated="4"')
    table = (
        columns
        + row(three)
        + row(three, more='table:default-cell-style-name="Base"')
        + row(cell("ce2"), cell())
    )
    canvas = marks_in(table).canvas
    assert [canvas.at(0, at) for at in range(4)] == [
        CellLook(fill="00ff00"),
        CellLook(fill="00ff00"),
        CellLook(struck=True, fill="ffc7ce"),
        PLAIN,
    ]
    assert {canvas.at(1, at) for at in range(4)} == {CellLook(fill="ffc7ce")}
    assert [canvas.at(2, at) for at in range(2)] == [PLAIN, CellLook(fill="00ff00")]


@pytest.mark.parametrize(
    ("style", "text", "look"),
    [
        (
            "",
            'keep <text:span text:style-name="T1">gone</text:span>',
            CellLook(struck=True, struck_part="gone"),
        ),
        ("", '<text:span text:style-name="T1">gone<text:s/>too</text:span> ', CellLook(struck=True)),
        (
            "ce1",
            'gone <text:span text:style-name="T2">kept</text:span>',
            CellLook(struck=True, fill="ffc7ce", struck_part="gone"),
        ),
        ("ce1", '<text:span text:style-name="T2">kept</text:span>', CellLook(fill="ffc7ce")),
        ("", '<text:span text:style-name="T3">kept</text:span>', PLAIN),
        (
            "",
            'a <text:span text:style-name="T1"><text:span text:style-name="T3">b</text:span></text:span>',
            CellLook(struck=True, struck_part="b"),
        ),
    ],
)
def test_text_struck_out_in_part(style: str, text: str, look: CellLook) -> None:
    canvas = marks_in(row(cell(style, f"<text:p>{text}</text:p>"), cell())).canvas
    assert canvas.at(0, 0) == look
    assert canvas.at(0, 1) == PLAIN


def test_comments_without_who_and_when() -> None:
    note = (
        "<office:annotation><dc:creator>A Keeper</dc:creator><dc:date>2026-05-01</dc:date>"
        '<text:p>lent <text:span text:style-name="T1">out</text:span></text:p><text:p>to the club</text:p></office:annotation>'
    )
    empty = f"<table:table-cell>{note}</table:table-cell>"
    marks = marks_in(row(cell("", f"{note}<text:p>x</text:p>"), cell(), empty))
    assert marks.canvas.at(0, 0) == CellLook(note="lent out\nto the club")
    assert marks.canvas.at(0, 2) == CellLook(note="lent out\nto the club")
    assert marks.extent.right == 1
    sheet = sheet_in(row(cell("", f"{note}<text:p>x</text:p>"), cell()))
    assert [one.text for one in sheet.rows[0]] == ["x", "x"]


def test_hidden_rows_and_columns_by_their_repeats() -> None:
    table = (
        '<table:table-column/><table:table-column table:number-columns-repeated="2" table:visibility="collapse"/>'
        '<table:table-column table:number-columns-repeated="16000" table:visibility="collapse"/>'
        + row(*[cell()] * 4)
        + row(cell(), more='table:visibility="filter" table:number-rows-repeated="2"')
        + row(cell(), more='table:visibility="visible"')
        + row(cell())
        + row("<table:table-cell/>", more='table:number-rows-repeated="1000000" table:visibility="collapse"')
    )
    sheet = sheet_in(table)
    assert sheet.hidden_rows == {1, 2}
    assert sheet.hidden_columns == {1, 2, 3}
    assert [sheet.is_hidden(0, 0), sheet.is_hidden(1, 0), sheet.is_hidden(0, 3)] == [False, True, True]


def test_closed_groups_hide_what_is_in_them() -> None:
    columns = (
        '<table:table-column-group table:display="false"><table:table-column/></table:table-column-group>'
        "<table:table-column-group><table:table-column/></table:table-column-group>"
    )
    one = row(cell(), cell())
    inner = f"<table:table-row-group>{one}</table:table-row-group>"
    closed = f'<table:table-row-group table:display="false">{inner}</table:table-row-group>'
    sheet = sheet_in(columns + one + closed + one)
    assert (sheet.hidden_columns, sheet.hidden_rows) == (frozenset({0}), frozenset({1}))


def test_merged_cells() -> None:
    spans = 'table:number-columns-spanned="2" table:number-rows-spanned="2"'
    one = 'table:number-columns-spanned="1" table:number-rows-spanned="1"'
    covered = "<table:covered-table-cell/>"
    table = row(cell(), cell(more=spans), covered) + row(cell(more=one), covered, covered, cell())
    assert sheet_in(table).merged == ((0, 1, 1, 2),)


def test_a_repeated_filled_row_is_told_once() -> None:
    table = row(
        cell("ce3", more='table:number-columns-repeated="17"'), more='table:number-rows-repeated="9000"'
    )
    sheet = sheet_in(table)
    assert len(sheet.looks) == 9000 * 17
    told = marks_in(table).told()["looks"]
    assert (len(told["looks"]), len(told["ways"]), len(told["rows"])) == (1, 1, 9000)


def test_check_boxes_drawn_over_cells() -> None:
    forms = (
        '<office:forms><form:form><form:checkbox xml:id="c1" form:current-state="checked"/>'
        '<form:checkbox form:id="c2"/><form:checkbox xml:id="c3" form:current-state="unknown"/></form:form></office:forms>'
    )
    drawn = [f'<draw:control draw:control="c{number}"/>' for number in range(1, 5)]
    outside = f"<table:shapes>{drawn[0]}</table:shapes>"
    marks = marks_in(forms + outside + row(*(f"<table:table-cell>{one}</table:table-cell>" for one in drawn)))
    assert [marks.canvas.at(0, at).box for at in range(4)] == [True, False, None, None]


def test_cells_that_are_yes_or_no() -> None:
    yes = '<table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p></table:table-cell>'
    sheet = sheet_in(row(yes, cell("", "<text:p>☑</text:p>")))
    assert [(one.kind, one.text) for one in sheet.rows[0]] == [(Kind.BOOL, "yes"), (Kind.TEXT, "☑")]


@pytest.mark.parametrize(
    ("table", "own"),
    [
        (
            row(cell())
            + "<calcext:conditional-formats><calcext:conditional-format/></calcext:conditional-formats>",
            "",
        ),
        (row(cell("if")), CONDITIONAL),
    ],
)
def test_conditions_are_said_and_not_worked_out(table: str, own: str) -> None:
    assert marks_in(table, own=OWN + own).unseen == {Unseen.CONDITIONAL}
    assert marks_in(row(cell("ce1")), own=OWN + own).unseen == set()


def test_styles_that_are_missing_or_damaged() -> None:
    assert marks_in(row(cell("ce3")), styles=None).canvas.at(0, 0) == CellLook(fill="00ff00")
    marks = marks_in(row(cell("ce3")), styles="<style:style")
    assert (marks.unseen, marks.canvas.at(0, 0)) == ({Unseen.STYLES}, CellLook(fill="00ff00"))


@pytest.mark.parametrize("encoding", ["U", "utf-7", "shift_jis", "ebcdic-cp-us"])
def test_an_encoding_that_cannot_be_walked(encoding: str) -> None:
    files = {name: text for name, text in parts(row(cell())).items() if name != "styles.xml"}
    head = f'<?xml version="1.0" encoding="{encoding}"?>'
    with suppress(Fault):
        markup_of(zip_of({**files, "content.xml": head + files["content.xml"]}), LIMITS)
    styles = head + "<office:document-styles/>"
    assert markup_of(zip_of({**files, "styles.xml": styles}), LIMITS).sheets["Fleet"].unseen <= {
        Unseen.STYLES
    }


@given(st.integers(0, 2500), st.text('<>/"= r0&', max_size=12))
def test_damage_gives_marks_or_a_fault(place: int, noise: str) -> None:
    note = "<office:annotation><text:p>sold</text:p></office:annotation>"
    table = row(
        cell("ce1"), cell("", f'{note}<text:p><text:span text:style-name="T1">x</text:span></text:p>')
    )
    text = table[:place] + noise + table[place + len(noise) :]
    with suppress(Fault):
        assert all(look != PLAIN for look in marks_in(text).told()["looks"]["looks"])


_STRING = 'office:value-type="string"'
_KINDS = (
    (_STRING, "<text:p>Maple</text:p>"),
    ('office:value-type="float" office:value="900"', "<text:p>900</text:p>"),
    (
        'office:value-type="date" office:date-value="2026-01-02" calcext:value-type="date"',
        "<text:p>Jan 2</text:p>",
    ),
    (f'{_STRING} calcext:value-type="error"', "<text:p>#REF!</text:p>"),
    (f'table:formula="of:=1" {_STRING}', "<text:p>1</text:p>"),
    (_STRING, '<text:p><text:span text:style-name="T1">old</text:span></text:p>'),
    (_STRING, "<office:annotation><text:p>sold &amp; gone</text:p></office:annotation><text:p>x</text:p>"),
    ("", ""),
    (f'table:number-columns-repeated="3" {_STRING}', "<text:p>x</text:p>"),
)
_CELLS = st.builds(
    lambda kind, style: f"<table:table-cell{style} {kind[0]}>{kind[1]}</table:table-cell>",
    st.sampled_from(_KINDS),
    style=st.sampled_from(("", ' table:style-name="ce1"', ' table:style-name="ce3"')),
)


@given(st.lists(st.lists(_CELLS, max_size=8), max_size=4), st.booleans())
def test_neighbors_taken_together_tell_what_they_tell_one_by_one(rows: list[list[str]], struck: bool) -> None:
    table = "".join(f"<table:table-row>{''.join(row)}</table:table-row>" for row in rows)
    head = (
        '<table:table-column table:default-cell-style-name="ce2" table:number-columns-repeated="2"/>'
        if struck
        else ""
    )
    walked = markup_of(ods(f"<!-- kept from being taken together -->{head}{table}"), LIMITS)
    assert markup_of(ods(head + table), LIMITS) == walked
