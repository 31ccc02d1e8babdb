"""The floor, put together again from the vector paths of the finished pages, is the floor of the plan.

Each kit's stencils.pdf is read with MuPDF, every page is laid where sheets.json says, and the whole is held against
plan.json with shapely: nothing of it comes from the program's own geometry.
"""

import functools
from dataclasses import replace

import pytest

import paper
import proof
import sheet as sheet_module
from floor import Floor


# Strip that neighbouring sheets share by default, mm.
OVERLAP_MM = 10.0


@functools.lru_cache(maxsize=2)
def opened(kit):
    sheets, first_pages = sheet_module.sheets_of(kit)
    return Floor(kit.plan), sheets, first_pages


def pages_of(kit):
    _, sheets, first_pages = opened(kit)
    named = [(f"page {number}", page) for number, page in enumerate(first_pages, 1)]
    return named, [(f"sheet {sheet.label}", sheet.page) for sheet in sheets]


def assert_none(faults):
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(faults[:20])


def test_every_strip_is_covered_without_a_gap(any_kit):
    floor, sheets, _ = opened(any_kit)
    assert floor.bands or floor.fields, "a layout without lines and panels proves nothing"
    assert_none(proof.uncovered(floor, sheets))


def test_nothing_lies_where_the_plan_has_nothing(any_kit):
    floor, sheets, _ = opened(any_kit)
    assert_none(proof.unplanned(floor, sheets))


def test_every_mark_has_its_cross_its_circle_and_its_name_in_its_place(any_kit):
    floor, sheets, _ = opened(any_kit)
    assert_none(proof.misplaced_marks(floor, sheets))


def test_registration_points_are_drawn_on_every_sheet_that_lists_them(any_kit):
    _, sheets, _ = opened(any_kit)
    assert_none(proof.lost_registration(sheets))


def test_joined_sheets_share_an_overlap_and_both_registration_marks_on_the_cut(any_kit):
    _, sheets, _ = opened(any_kit)
    assert_none(proof.wrong_joints(sheets))


def test_cuts_are_drawn_where_sheets_are_cut_and_nowhere_else(any_kit):
    _, sheets, _ = opened(any_kit)
    assert_none(proof.wrong_cuts(sheets))


def test_sheets_cut_and_laid_in_their_order_show_the_whole_layout(any_kit):
    floor, sheets, _ = opened(any_kit)
    assert_none(proof.hidden_once_laid(floor, sheets))


def test_nothing_lies_outside_the_printable_part_of_a_page(any_kit):
    first_pages, sheets = pages_of(any_kit)
    assert_none(proof.outside(first_pages + sheets, paper.printable_mm(any_kit.sheets["paper"]["name"])))


def test_every_sheet_carries_the_square_and_the_bar(any_kit):
    first_pages, sheets = pages_of(any_kit)
    assert_none(proof.missing_scale(sheets))
    assert any(not proof.missing_scale([page]) for page in first_pages), "sheet 0 has no scale test"


def test_margins_and_overlap_are_the_defaults_that_were_asked_for(any_kit):
    stated = any_kit.sheets
    sides = tuple(stated["margins_mm"][side] for side in ("left", "right", "top", "bottom"))
    assert sides == paper.MARGINS_MM and stated["overlap_mm"] == OVERLAP_MM
    expected = paper.size_mm(stated["paper"]["name"])
    assert (stated["paper"]["width_mm"], stated["paper"]["height_mm"]) == pytest.approx(expected, abs=1e-6)


def test_windows_lie_within_the_printable_part_of_their_pages(any_kit):
    _, sheets, _ = opened(any_kit)
    x0, y0, x1, y1 = paper.printable_mm(any_kit.sheets["paper"]["name"])
    for sheet in sheets:
        low_x, low_y, high_x, high_y = sheet.on_page(sheet.window).bounds
        reach = min(low_x - x0, low_y - y0, x1 - high_x, y1 - high_y)
        assert reach >= -proof.TOLERANCE_MM, f"{sheet.label} reaches {-reach:.3f} mm into a margin"


def test_a_millimetre_of_floor_is_a_millimetre_of_paper(any_kit):
    for entry in any_kit.sheets["sheets"]:
        a, b, c, d, _, _ = entry["floor_to_page"]
        # A turn by any angle, neither stretched nor mirrored: its columns are unit vectors at a right angle.
        assert (a, b) == pytest.approx((d, -c), abs=1e-9)
        assert a * a + b * b == pytest.approx(1, abs=1e-9)


def test_pages_are_counted_and_the_count_is_within_its_bound(any_kit):
    _, sheets, first_pages = opened(any_kit)
    stated = any_kit.sheets
    assert first_pages, "there is no sheet 0"
    assert stated["count"] == len(sheets) >= stated["lower_bound"] >= 1
    assert [sheet.number for sheet in sheets] == list(range(len(first_pages) + 1, len(first_pages) + len(sheets) + 1))
    assert len({sheet.label for sheet in sheets}) == len(sheets)


# How far a page is nudged to see whether it is noticed: the width of a fine line.
NUDGE_MM = 0.1


@pytest.mark.parametrize("nudge", [(NUDGE_MM, 0), (-NUDGE_MM, 0), (0, NUDGE_MM), (0, -NUDGE_MM)])
def test_any_nudged_page_would_be_noticed(demo, nudge):
    floor, sheets, _ = opened(demo)
    assert_none(proof.all_faults(floor, sheets))
    # A few pages stand for all: every question is put to all of the others as well.
    for index in range(0, len(sheets), max(1, len(sheets) // 6)):
        changed = [*sheets[:index], sheets[index].moved(*nudge), *sheets[index + 1 :]]
        assert proof.all_faults(floor, changed), f"{sheets[index].label} moved by {nudge} mm went unnoticed"


def test_any_missing_page_would_be_noticed(demo):
    floor, sheets, _ = opened(demo)
    for index, missing in enumerate(sheets):
        faults = proof.uncovered(floor, [*sheets[:index], *sheets[index + 1 :]])
        assert faults, f"nothing is lost without {missing.label}: it is not needed"


def test_a_page_at_97_per_cent_would_be_noticed(demo):
    floor, sheets, _ = opened(demo)
    shrunk = replace(sheets[0], to_page=tuple(value * 0.97 for value in sheets[0].to_page))
    assert proof.all_faults(floor, [shrunk, *sheets[1:]])


def test_paths_outside_of_the_plan_would_be_noticed(demo):
    floor, sheets, _ = opened(demo)
    shorter = Floor({**demo.plan, "lines": demo.plan["lines"][1:]})
    assert proof.unplanned(shorter, sheets)
    fewer = Floor({**demo.plan, "lines": [], "marks": demo.plan["marks"][1:]})
    fewer.plan["panels"] = []
    assert proof.misplaced_marks(fewer, sheets)


def test_the_margin_question_notices_a_tighter_margin(demo):
    first_pages, sheets = pages_of(demo)
    x0, y0, x1, y1 = paper.printable_mm(demo.sheets["paper"]["name"])
    assert proof.outside(first_pages + sheets, (x0 + 40, y0 + 40, x1 - 40, y1 - 40))
