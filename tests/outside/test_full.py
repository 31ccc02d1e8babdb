"""The full mat: the regular grid with every sheet, blank ones included."""

import pytest

import kit
import proof
import sheet as sheet_module
from floor import Floor


@pytest.fixture(scope="module")
def full():
    # The fewest sheets of all that is built in, on paper that keeps them few.
    return kit.made("--vehicle", "city-car", "--template", "perimeter-lines", "--paper", "A3", "--mode", "full")


@pytest.fixture(scope="module")
def sheets(full):
    return sheet_module.sheets_of(full)[0]


def blank(sheet):
    return not any(item.layer in ("lines", "panels", "marks") for item in [*sheet.page.fills, *sheet.page.strokes])


def test_every_cell_of_the_rectangle_has_its_sheet(full, sheets):
    middles = {tuple(round(value) for value in sheet.window.centroid.coords[0]) for sheet in sheets}
    rows, columns = ({middle[axis] for middle in middles} for axis in (0, 1))
    assert full.sheets["mode"] == "full" and middles == {(x, y) for x in rows for y in columns}
    assert full.sheets["count"] == len(sheets) == len(rows) * len(columns)


def test_sheets_are_numbered_in_the_order_of_laying_and_of_pages(full):
    listed = [(entry["label"], entry["laid"], entry["page"]) for entry in full.sheets["sheets"]]
    first = listed[0][2]
    assert listed == [(str(place + 1), place + 1, first + place) for place in range(len(listed))]


def test_some_sheets_of_the_mat_are_blank(sheets):
    assert any(blank(sheet) for sheet in sheets), "no sheet is blank: this mat proves nothing"


def test_blank_sheets_carry_label_front_square_bar_and_registration_like_all_others(sheets):
    for sheet in sheets:
        words = [text.content for text in sheet.page.texts]
        for wanted in (sheet.label, "FRONT", "Print at 100 %"):
            assert wanted in words, f"{sheet.label}: {wanted} is missing"
        # Two seams at least, also at a corner of the mat, two points on each.
        assert len(sheet.registration) >= 4, f"{sheet.label} has {len(sheet.registration)} registration points"
    assert not proof.missing_scale([(sheet.label, sheet.page) for sheet in sheets])


def test_the_mat_is_whole(full, sheets):
    faults = proof.all_faults(Floor(full.plan), sheets)
    assert not faults, "\n".join(faults[:20])


def test_it_takes_more_sheets_than_the_same_grid_without_the_blank_ones(full):
    job = ("--vehicle", "city-car", "--template", "perimeter-lines", "--paper", "A3")
    assert full.sheets["count"] > kit.made(*job, "--mode", "grid").sheets["count"]
