"""Looks of cells: how they are handed over, kept small, and asked for."""

from airwrit.intake.markup.marks import Canvas, Extent
from airwrit.intake.reader.looks import PLAIN, CellLook, Looks, looks_of
from tests.unit.intake.books import sheet_of

RED, GONE = CellLook(fill="ff0000"), CellLook(struck=True)


def handed_over(canvas: Canvas, extent: Extent) -> Looks:
    """Looks as they come out of the reading process."""
    return looks_of(canvas.told(extent))


def test_a_cell_without_a_look_is_plain() -> None:
    sheet = sheet_of("Fleet", [["a", "b"]])
    assert sheet.look(0, 1) == PLAIN
    assert not sheet.is_hidden(0, 1)


def test_looks_are_found_by_place_and_counted() -> None:
    canvas = Canvas()
    canvas.paint(3, 1, 1, RED)
    canvas.paint(3, 2, 4, RED)
    canvas.paint(3, 6, 6, GONE)
    looks = handed_over(canvas, Extent(0, 0, 9, 9))
    assert dict(looks) == {(3, column): RED for column in range(1, 5)} | {(3, 6): GONE}
    assert len(looks) == 5
    assert (3, 5) not in looks
    assert looks.get((4, 1), PLAIN) == PLAIN


def test_a_file_filled_in_bands_stays_small() -> None:
    canvas = Canvas()
    for row in range(0, 10_000, 2):
        for column in range(17):
            canvas.paint(row, column, column, RED)
    told = canvas.told(Extent(0, 0, 9_999, 16))
    assert told["looks"] == [RED]
    assert told["ways"] == [((0, 16, 0),)]
    assert len(looks_of(told)) == 5_000 * 17


def test_color_far_from_the_values_is_left_out_and_a_note_there_is_not() -> None:
    canvas = Canvas()
    canvas.paint(0, 0, 16_383, RED)
    canvas.paint(900_000, 0, 16_383, RED)
    canvas.paint(-1, 0, 3, RED)
    canvas.add_note(900_000, 9_000, "sold")
    looks = handed_over(canvas, Extent(0, 1, 4, 2))
    assert dict(looks) == {(0, column): RED for column in range(4)} | {
        (900_000, 9_000): CellLook(fill="ff0000", note="sold")
    }


def test_notes_and_boxes_keep_what_a_cell_has() -> None:
    canvas = Canvas()
    canvas.paint(0, 0, 5, RED)
    canvas.add_note(0, 2, "sold")
    canvas.add_note(0, 2, "in May")
    canvas.add_box(0, 2, checked=False)
    canvas.add_note(-1, 2, "nowhere")
    canvas.add_note(0, 16_384, "nowhere")
    looks = handed_over(canvas, Extent(0, 0, 0, 5))
    assert looks[0, 2] == CellLook(fill="ff0000", note="sold\nin May", box=False)
    assert looks[0, 1] == looks[0, 3] == looks[0, 5] == RED
    assert len(looks) == 6


def test_a_place_painted_twice_keeps_one_look() -> None:
    canvas = Canvas()
    canvas.paint(0, 3, 5, RED)
    canvas.paint(0, 4, 4, GONE)
    canvas.paint(0, 1, 1, GONE)
    looks = handed_over(canvas, Extent(0, 0, 0, 9))
    assert dict(looks) == {(0, 1): GONE, (0, 3): RED, (0, 4): RED, (0, 5): RED}
