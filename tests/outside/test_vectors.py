"""The reading of pages that the other tests rest on, tried on pages whose content is known."""

import pymupdf
import pytest

import vectors

# Points on the page, so that a length in mm can be read from the number.
MM = "2.834645669291339 0 0 2.834645669291339 0 0 cm "


def drawn(content):
    document = pymupdf.open()
    page = document.new_page(width=600, height=800)
    stream = document.get_new_xref()
    document.update_object(stream, "<<>>")
    document.update_stream(stream, (MM + content).encode())
    page.set_contents(stream)
    return vectors.read_page(page)


@pytest.mark.parametrize("hole", ["30 30 m 30 50 l 70 50 l 70 30 l h", "50 30 m 30 50 l 50 70 l 70 50 l h"])
def test_a_hole_that_runs_the_other_way_is_left_out_of_a_fill(hole):
    page = drawn(f"10 10 m 110 10 l 110 90 l 10 90 l h {hole} f")
    assert page.fills[0].area.area == pytest.approx(8000 - 800, abs=0.1)


def test_a_ring_that_runs_the_same_way_fills_what_it_covers():
    page = drawn("10 10 m 110 10 l 110 90 l 10 90 l h 50 30 m 70 50 l 50 70 l 30 50 l h f")
    assert page.fills[0].area.area == pytest.approx(8000, abs=0.1)


def test_rectangles_keep_the_way_they_run():
    same = drawn("10 10 m 110 10 l 110 90 l 10 90 l h 30 30 m 70 30 l 70 50 l 30 50 l h f")
    other = drawn("110 90 m 110 10 l 10 10 l 10 90 l h 70 30 m 70 50 l 30 50 l 30 30 l h f")
    assert same.fills[0].area.area == pytest.approx(8000, abs=0.1)
    assert other.fills[0].area.area == pytest.approx(8000 - 800, abs=0.1)


def test_two_rings_that_meet_in_a_point_stay_two():
    page = drawn("10 10 m 20 10 l 20 20 l 10 20 l h 20 20 m 30 20 l 30 30 l 20 30 l h f")
    assert page.fills[0].area.area == pytest.approx(200, abs=0.01)


def test_places_count_from_the_lower_left_corner():
    segment = drawn("25 40 m 60 40 l S").strokes[0].segments()[0]
    assert [round(value, 4) for point in segment for value in point] == [25, 40, 60, 40]


def test_a_circle_of_four_arcs_is_found_and_a_square_is_not():
    k = 3 * 0.5522847498  # the usual handle length of a quarter circle
    arcs = (
        f"23 20 m 23 {20 + k} {20 + k} 23 20 23 c {20 - k} 23 17 {20 + k} 17 20 c "
        f"17 {20 - k} {20 - k} 17 20 17 c {20 + k} 17 23 {20 - k} 23 20 c h S 50 50 m 56 50 l 56 56 l 50 56 l h S"
    )
    (centre, diameter), = vectors.circles(drawn(arcs), "")
    assert (centre.x, centre.y, diameter) == pytest.approx((20, 20, 6), abs=0.001)
