"""The measuring sheet, read back from its page: what is asked for and in which order, what can be written in, what is printed."""

import re
import subprocess

import pytest

import kit
import paper
import vectors

# Rows in the order in which a vehicle file has its dimensions; American spelling goes with inches.
ROWS = [
    "Wheelbase, left", "Wheelbase, right", "Front overhang", "Rear overhang", "Front track", "Rear track", "Tyre (before 5 and 6)",
    "Overall width", "Width over mirrors", "Badge off the centreline",
]
SUMS = ["Length", "Left and", "Tyres and", "Mirrors"]
AMERICAN = {"Tyre": "Tire", "centreline": "centerline"}

# ISO 3098: the smallest lettering on any sheet is 1.8 mm high; less by no more than the rounding of font sizes.
LEAST_CAPITALS_MM = 1.8 - 1e-3
# Ink that stands on the edge of what is printed, less the rounding of places and sizes.
EDGE_MM = 0.05
# A number in pencil.
LEAST_BLANK_MM = (12.0, 8.0 - 1e-3)
# What the rows have to write into: one each, three for each track and the tyre; the sums' 5 + 3 + 4 + 3; four fields at the top.
BLANKS = 7 + 3 * 3 + 15 + 4
# The frame of the other office sheets ends here above the paper's edge as well (ISO 5457).
FOOT_MM = 10.0
# A line is as wide as its stroke beyond its middle.
TOUCHING_MM = 0.5

PAGES = [("mm", "A4"), ("mm", "Letter"), ("inch", "A4"), ("inch", "Letter")]


@pytest.fixture(scope="module", params=PAGES, ids="-".join)
def made(request, tmp_path_factory):
    units, size = request.param
    folder = tmp_path_factory.mktemp("measure")
    kit.asked("measure", "--units", units, "--paper", size, "-o", folder)
    return folder / "measuring-sheet.pdf", units, size


@pytest.fixture(scope="module")
def page(made):
    pages = vectors.read(made[0])
    assert len(pages) == 1
    return pages[0]


def spelled(words, units):
    for british, american in AMERICAN.items() if units == "inch" else ():
        words = words.replace(british, american)
    return words


def test_one_page_of_its_paper_is_written_and_nothing_else(made, page):
    path, _, size = made
    names = {found.name for found in path.parent.iterdir()} - {".baystencil.json"}
    assert names == {"measuring-sheet.pdf"}
    assert (page.width, page.height) == pytest.approx(paper.size_mm(size), abs=0.02)


def test_every_row_follows_in_its_order_with_its_number(made):
    path, units, _ = made
    done = subprocess.run(["pdftotext", "-raw", "-enc", "UTF-8", str(path), "-"], capture_output=True, timeout=120, check=True)
    text, at = " ".join(done.stdout.decode("utf-8").split()), 0
    for number, name in enumerate(ROWS, 1):
        found = re.search(rf"(?<!\S){number} {re.escape(spelled(name, units))}(?!\S)", text[at:])
        assert found, (number, name, text[at:at + 300])
        at += found.end()
    for letter, name in zip("ABCD", SUMS):
        found = re.search(rf"(?<!\S){letter} {re.escape(spelled(name, units))}(?!\S)", text[at:])
        assert found, (letter, name, text[at:at + 300])
        at += found.end()


def test_every_number_of_a_row_stands_in_the_picture_as_well(page):
    numbers = [text.content for text in page.texts]
    # The left wheelbase is in both views.
    for number in [*map(str, range(1, 11)), "A"]:
        assert numbers.count(number) == (3 if number == "1" else 2), number


def test_lettering_is_large_enough_apart_and_where_every_printer_prints(made, page):
    x0, _, x1, y1 = paper.printable_mm(made[2])
    for index, text in enumerate(page.texts):
        left, low, right, high = text.bounds
        assert text.cap_height >= LEAST_CAPITALS_MM, text.content
        assert x0 <= left and right <= x1 + EDGE_MM and high <= y1 + EDGE_MM and low >= FOOT_MM - EDGE_MM, text.content
        for other in page.texts[index + 1:]:
            l, b, r, t = other.bounds
            across, along = min(right, r) - max(left, l), min(high, t) - max(low, b)
            assert across <= 0.05 or along <= 0.05, (text.content, other.content)


def boxes(page):
    """Upright rectangles that are drawn as one closed stroke: x0, y0, x1, y1."""
    for stroke in page.strokes:
        for run in stroke.runs:
            xs, ys = {round(x, 2) for x, _ in run}, {round(y, 2) for _, y in run}
            if len(run) in (5, 6) and len(xs) == len(ys) == 2:
                yield min(xs), min(ys), max(xs), max(ys)


def test_blanks_are_large_enough_for_a_pencil_and_lie_apart(page):
    blanks = [(x0, y0, x1, y1) for x0, y0, x1, y1 in boxes(page) if x1 - x0 >= LEAST_BLANK_MM[0] and y1 - y0 >= LEAST_BLANK_MM[1]]
    assert len(blanks) == BLANKS
    for index, (x0, y0, x1, y1) in enumerate(blanks):
        for l, b, r, t in blanks[index + 1:]:
            assert min(x1, r) - max(x0, l) <= TOUCHING_MM or min(y1, t) - max(y0, b) <= TOUCHING_MM


def test_lengths_are_in_the_unit_that_is_written(made, page):
    words = " ".join(text.content for text in page.texts)
    _, units, _ = made
    assert ("1/16" in words) == (units == "inch")
    assert bool(re.search(r"\bmm\b", words)) == (units == "mm")
    # What `vehicle` holds a file to: wheelbases 120 mm apart, tyres 60 mm out of the body on each side; 120 mm are 4.72 in, and
    # the next lower sixteenth is 4.69.
    assert words.replace("\u00a0", " ").count("4 11/16 in" if units == "inch" else "120 mm") == 2
