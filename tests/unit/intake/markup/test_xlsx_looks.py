"""What an .xlsx file tells of how its cells look, where other programs' files are odd, damaged or out to harm."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.markup.marks import Marks
from airwrit.intake.markup.notes import plain_note
from airwrit.intake.markup.zipped import markup_of
from airwrit.intake.reader.limits import LIMITS, Fault, Limits
from airwrit.intake.reader.looks import PLAIN, CellLook, Unseen
from tests.unit.intake.books import zip_of

BOOK = '<workbook xmlns:r="r"><sheets><sheet name="Fleet" r:id="a"/></sheets></workbook>'
SHEET = (
    '<worksheet><cols><col min="2" max="3" hidden="1"/><col min="x" max="9" hidden="1"/><col min="5" max="5" width="0"/>'
    '</cols><sheetData><row r="1"><c r="A1" s="1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c>'
    '<c r="C1" s="2"><v>2</v></c><c r="D1" t="inlineStr"><is><r><t>keep </t></r><r><rPr><strike/></rPr><t>gone</t></r></is>'
    '</c><c r="E1" t="e"><v>#N/A</v></c></row><row r="2" hidden="1"/><row r="3" ht="0"/><row r="4" hidden="0" ht="15"/>'
    "</sheetData>{more}</worksheet>"
)
STYLES = (
    '<styleSheet><fonts><font/><font><strike/></font><font><strike val="0"/></font></fonts><fills><fill/>'
    '<fill><patternFill patternType="gray125"/></fill><fill><patternFill patternType="solid"><fgColor theme="4" tint="1"/>'
    '</patternFill></fill><fill><patternFill patternType="solid"><fgColor indexed="1"/></patternFill></fill>'
    '<fill><gradientFill><stop position="0"><color rgb="FF00FF00"/></stop><stop position="1"><color rgb="FF0000FF"/></stop>'
    '</gradientFill></fill></fills><cellStyleXfs><xf fontId="1"/></cellStyleXfs><cellXfs><xf/><xf fontId="1"/>'
    '<xf fontId="2" fillId="3"/><xf fontId="9" fillId="4"/><xf fillId="2"/></cellXfs><dxfs><dxf><font><strike/></font>'
    '<fill><patternFill><bgColor rgb="FFFF0000"/></patternFill></fill></dxf></dxfs>'
    '<colors><indexedColors><rgbColor rgb="00000000"/><rgbColor rgb="00123456"/></indexedColors></colors></styleSheet>'
)
STRINGS = (
    "<sst><si><r><t>all of </t></r><r><rPr><b/></rPr><t>this</t></r></si>"
    "<si><r><rPr><strike/></rPr><t>none</t></r><rPh><t>aid</t></rPh></si></sst>"
)
KINDS = {
    "styles": "styles.xml",
    "theme": "theme/theme1.xml",
    "sharedStrings": "sharedStrings.xml",
    "worksheet": "worksheets/s.xml",
}
BOX = (
    '<xml><v:shape><br><x:ClientData ObjectType="Checkbox"><x:Anchor>\n 3, 4, {row}, 2, 4, 40, {end}, 12</x:Anchor>'
    "<x:FmlaLink>$H$9</x:FmlaLink>{checked}<x:NoThreeD/></x:ClientData></v:shape></xml>"
)


def links(targets: dict[str, str]) -> str:
    """Relationships, each called by its kind, the sheet's `a`."""
    return "".join(
        f'<Relationship Id="{"a" if kind == "worksheet" else kind}" Type="http://x/{kind}" Target="{target}"/>'
        for kind, target in targets.items()
    ).join(("<Relationships>", "</Relationships>"))


def workbook(files: dict[str, str | None] | None = None, beside: dict[str, str] | None = None) -> bytes:
    """A workbook with these parts more, or less where one is None, and these relationships of its sheet."""
    parts: dict[str, str | None] = {
        "xl/workbook.xml": BOOK,
        "xl/_rels/workbook.xml.rels": links(KINDS),
        "xl/worksheets/s.xml": SHEET.replace("{more}", ""),
        "xl/worksheets/_rels/s.xml.rels": links(beside or {}),
        "xl/styles.xml": STYLES,
        "xl/sharedStrings.xml": STRINGS,
        **(files or {}),
    }
    return zip_of({name: text for name, text in parts.items() if text is not None})


def marks_in(data: bytes) -> Marks:
    """The marks of its sheet."""
    return markup_of(data, LIMITS).sheets["Fleet"]


def test_fonts_of_cells_and_of_parts_of_their_text() -> None:
    canvas = marks_in(workbook()).canvas
    assert canvas.at(0, 0) == CellLook(
        struck=True, struck_part="all of"
    )  # the second part has a font of its own
    assert canvas.at(0, 1) == CellLook(struck=True)
    assert canvas.at(0, 3) == CellLook(struck=True, struck_part="gone")


def test_fills_by_the_workbook_s_own_colors_and_by_the_first_of_a_gradient() -> None:
    sheet = '<s><row r="1"><c r="A1" s="2"/><c r="B1" s="3"/><c r="C1" s="4"/><c r="D1" s="77"/></row></s>'
    canvas = marks_in(workbook({"xl/worksheets/s.xml": sheet})).canvas
    assert [canvas.at(0, column).fill for column in range(4)] == ["123456", "00ff00", "", ""]


def test_a_theme_of_the_workbook_s_own() -> None:
    theme = '<a:theme><a:clrScheme><a:accent1><a:srgbClr val="112233"/></a:accent1></a:clrScheme></a:theme>'
    styles = STYLES.replace('theme="4" tint="1"', 'theme="4"')
    sheet = '<s><row r="1"><c r="A1" s="4"/></row></s>'
    files: dict[str, str | None] = {
        "xl/theme/theme1.xml": theme,
        "xl/styles.xml": styles,
        "xl/worksheets/s.xml": sheet,
    }
    assert marks_in(workbook(files)).canvas.at(0, 0).fill == "112233"


def test_what_is_hidden() -> None:
    marks = marks_in(workbook())
    assert marks.hidden_rows == [(1, 1), (2, 2)]
    assert marks.hidden_columns == [(1, 2), (4, 4)]
    assert marks.told()["hidden_columns"] == [1, 2, 4]
    assert marks.errors == [(0, 4, "#N/A")]


def test_conditions_are_said_and_not_worked_out() -> None:
    assert marks_in(workbook()).unseen == set()
    sheet = SHEET.replace(
        "{more}", '<conditionalFormatting sqref="A1"><cfRule dxfId="0"/></conditionalFormatting>'
    )
    marks = marks_in(workbook({"xl/worksheets/s.xml": sheet}))
    assert marks.unseen == {Unseen.CONDITIONAL}


def test_comments_give_way_to_their_threads() -> None:
    beside = {"comments": "../comments1.xml", "threadedComment": "/xl/threads.xml"}
    notes = (
        "<comments><authors><author>A Keeper</author><author>tc={{1}}</author></authors><commentList>"
        '<comment ref="A1" authorId="0"><text><r><t>A Keeper:</t></r><r><t>\nlent out</t></r></text></comment>'
        '<comment ref="B1" authorId="1"><text><t>[Threaded comment]\n\nYou need another version.\n\nComment:\n old\nReply:\n'
        ' yes</t></text></comment><comment ref="XFE1"><text><t>nowhere</t></text></comment>'
        '<comment ref="Z99" authorId="x"><text><t>far</t></text></comment></commentList></comments>'
    )
    threads = (
        '<ThreadedComments><threadedComment ref="A2"><text>sold</text></threadedComment>'
        '<threadedComment ref="A2"><text>in May</text></threadedComment></ThreadedComments>'
    )
    files: dict[str, str | None] = {"xl/comments1.xml": notes, "xl/threads.xml": threads}
    marks = marks_in(workbook(files, beside))
    assert [marks.canvas.at(*at).note for at in ((0, 0), (0, 1), (98, 25), (1, 0))] == [
        "lent out",
        "old\nyes",
        "far",
        "sold\nin May",
    ]
    assert marks.unseen == set()


@pytest.mark.parametrize(
    ("text", "author", "note"),
    [
        ("A Keeper:\r\nlent out", "A Keeper", "lent out"),
        ("Note: lent out", "A Keeper", "Note: lent out"),
        ("lent out\n\t-A Keeper\nback\n\t-B Keeper", "", "lent out\nback"),
        ("[Threaded comment]\n\nwords\nComment:\n    sold", "tc={1}", "sold"),
        (" \n", "", ""),
    ],
)
def test_a_comment_without_what_programs_add(text: str, author: str, note: str) -> None:
    assert plain_note(text, author) == note


@pytest.mark.parametrize(
    ("row", "end", "checked", "place", "box"),
    [
        (5, 6, "<x:Checked>1</x:Checked>", (5, 3), True),
        (5, 5, "", (5, 3), False),
        (5, 5, "<x:Checked>2</x:Checked>", (5, 3), None),
    ],
)
def test_check_boxes_lie_over_cells(
    row: int, end: int, checked: str, place: tuple[int, int], box: bool | None
) -> None:
    drawing = BOX.format(row=row, end=end, checked=checked)
    marks = marks_in(workbook({"xl/d.vml": drawing}, {"vmlDrawing": "../d.vml"}))
    assert marks.canvas.at(*place).box is box


@pytest.mark.parametrize(
    ("files", "beside", "unseen"),
    [
        ({"xl/styles.xml": None}, {}, Unseen.STYLES),
        ({"xl/styles.xml": STYLES[:90]}, {}, Unseen.STYLES),
        ({"xl/styles.xml": STYLES.replace('fontId="2"', 'fontId="two"')}, {}, Unseen.STYLES),
        ({"xl/sharedStrings.xml": STRINGS[:90]}, {}, Unseen.STYLES),
        ({}, {"comments": "../none.xml"}, Unseen.NOTES),
        ({}, {"comments": "../styles.xml/../../.."}, Unseen.NOTES),
        ({"xl/c.xml": "<comments><comment ref"}, {"comments": "../c.xml"}, Unseen.NOTES),
        ({"xl/c.xml": "<threads><text>"}, {"threadedComment": "../c.xml"}, Unseen.NOTES),
    ],
)
def test_what_cannot_be_seen_is_said(
    files: dict[str, str | None], beside: dict[str, str], unseen: Unseen
) -> None:
    assert marks_in(workbook(files, beside)).unseen == {unseen}


@pytest.mark.parametrize("name", ["xl/styles.xml", "xl/sharedStrings.xml", "xl/c.xml"])
def test_a_document_type_anywhere_is_a_fault(name: str) -> None:
    text = "<!DOCTYPE s [<!ENTITY a 'strike'>]><sst/>"
    with pytest.raises(Fault, match="document type"):
        markup_of(workbook({name: text}, {"comments": "../c.xml"}), LIMITS)


@pytest.mark.parametrize("far", ["XFD1048576", "xfd1048576", "ZZZZ9", "A99999999"])
def test_values_far_apart_are_a_fault_and_styles_far_off_are_not(far: str) -> None:
    sheet = f'<s><row r="1"><c r="A1"><v>1</v></c><c r="{far}" s="1">{{value}}</c></row></s>'
    with pytest.raises(Fault, match="more than 2,000,000 cells"):
        markup_of(workbook({"xl/worksheets/s.xml": sheet.format(value="<v>1</v>")}), LIMITS)
    marks = marks_in(workbook({"xl/worksheets/s.xml": sheet.format(value="")}))
    assert marks.told()["looks"]["rows"] == []


def test_the_table_s_size_is_bounded_before_values_are_read() -> None:
    with pytest.raises(Fault, match="more than 4 cells"):
        markup_of(workbook(), Limits(cells=4))


@given(
    st.sampled_from(["xl/worksheets/s.xml", "xl/styles.xml", "xl/sharedStrings.xml", "xl/c.xml", "xl/d.vml"]),
    st.integers(0, 900),
    st.text("<>/\"'=r0A& ", max_size=12),
)
def test_damage_gives_marks_or_a_fault(name: str, place: int, noise: str) -> None:
    files: dict[str, str | None] = {
        "xl/worksheets/s.xml": SHEET.replace("{more}", ""),
        "xl/styles.xml": STYLES,
        "xl/sharedStrings.xml": STRINGS,
        "xl/c.xml": '<comments><author>A</author><comment ref="A1" authorId="0"><t>x</t></comment></comments>',
        "xl/d.vml": BOX.format(row=5, end=6, checked="<x:Checked>1</x:Checked>"),
    }
    text = files[name] or ""
    files[name] = text[:place] + noise + text[place + len(noise) :]
    with suppress(Fault):
        marks = marks_in(workbook(files, {"comments": "../c.xml", "vmlDrawing": "../d.vml"}))
        assert all(look != PLAIN for look in marks.told()["looks"]["looks"])


@given(
    st.sampled_from(["styles", "theme", "sharedStrings"]),
    st.sampled_from(["comments", "threadedComment", "vmlDrawing"]),
    st.one_of(
        st.sampled_from(
            ["worksheets/s.xml", "../xl/styles.xml", "/", "", "../../..", "workbook.xml", "\\x", "a" * 999]
        ),
        st.text(st.characters(exclude_characters='<&"', exclude_categories=["C"]), max_size=12),
    ),
)
def test_wrong_targets_give_marks_or_a_fault(kind: str, beside: str, target: str) -> None:
    rels = links({**KINDS, kind: target})
    with suppress(Fault):
        marks = marks_in(workbook({"xl/_rels/workbook.xml.rels": rels}, {beside: target}))
        assert marks.hidden_rows == [(1, 1), (2, 2)]
