"""The one page to carry: whole, legible, and the same in its three formats."""

import itertools
import struct
import xml.etree.ElementTree as ElementTree

import pymupdf
import pytest
from shapely import linestrings
from shapely.strtree import STRtree

import kit
import vectors

# ISO 3098: the smallest lettering on any sheet is 1.8 mm high; less by no more than the rounding of font sizes.
SMALLEST_MM, SIZE_TOLERANCE_MM = 1.8, 0.005

# Boxes of ink that share less than this each way touch at most: a tenth of the smallest lettering.
TOUCH_MM = 0.18

OVERVIEWS = {
    f"{vehicle}-{template}": ("--vehicle", vehicle, "--template", template)
    for vehicle in kit.names("vehicles") for template in kit.names("templates")
}
OVERVIEWS |= {"demo": (), "letter": ("--paper", "letter"), "inch": ("--units", "inch")}


@pytest.fixture(scope="module", params=OVERVIEWS)
def made(request):
    if request.param in ("demo", "letter", "inch"):
        return kit.made(*OVERVIEWS[request.param])
    return kit.made(*OVERVIEWS[request.param], "--paper", "A4")


@pytest.fixture(scope="module")
def page(made):
    pages = vectors.read(made.path("overview.pdf"))
    assert len(pages) == 1
    return pages[0]


def test_nothing_lies_outside_the_page(page):
    for text in page.texts:
        x0, y0, x1, y1 = text.bounds
        assert x0 >= 0 and y0 >= 0 and x1 <= page.width and y1 <= page.height, text.content
    for stroke in page.strokes:
        for x, y in itertools.chain(*stroke.runs):
            assert 0 <= x <= page.width and 0 <= y <= page.height, (stroke.layer, x, y)
    for fill in page.fills:
        x0, y0, x1, y1 = fill.area.bounds
        assert x0 >= 0 and y0 >= 0 and x1 <= page.width and y1 <= page.height, (fill.layer, fill.area.bounds)


def test_no_lettering_is_smaller_than_1_8_mm(page):
    small = {text.content: text.cap_height for text in page.texts if text.cap_height < SMALLEST_MM - SIZE_TOLERANCE_MM}
    assert page.texts and not small, small


def test_no_two_texts_overlap(page):
    boxes = [text.box.buffer(-TOUCH_MM / 2) for text in page.texts]
    pairs = STRtree(boxes).query(boxes, predicate="intersects").T
    overlapping = [(page.texts[a].content, page.texts[b].content) for a, b in pairs if a < b]
    assert not overlapping, overlapping


def test_no_text_is_struck_through_by_a_line(page):
    # Lines that bear lettering are drawn around it; a plain rule through a text makes it hard to read.
    cores = [text.box.buffer(-0.3 * text.cap_height) for text in page.texts]
    drawn = [(stroke.layer, segment) for stroke in page.strokes for segment in stroke.segments()]
    pairs = STRtree(cores).query(linestrings([segment for _, segment in drawn]), predicate="intersects").T
    struck = [(page.texts[core].content, drawn[line][0]) for line, core in pairs]
    assert not struck, struck[:20]


def test_the_picture_has_150_dots_per_inch_or_more_of_the_same_page(made, page):
    data = made.path("overview.png").read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])  # the first chunk, IHDR, after its length and name
    dpi = width / (page.width / 25.4)
    assert dpi >= 150
    # Both sides are rounded to whole pixels.
    assert height == pytest.approx(page.height / 25.4 * dpi, abs=1.5)


def test_the_svg_has_the_same_size_and_a_group_for_each_layer(made, page):
    root = ElementTree.fromstring(made.path("overview.svg").read_bytes())
    assert root.get("width").endswith("mm") and root.get("height").endswith("mm")
    assert float(root.get("width")[:-2]) == pytest.approx(page.width, abs=0.001)
    assert float(root.get("height")[:-2]) == pytest.approx(page.height, abs=0.001)
    with pymupdf.open(made.path("overview.pdf")) as document:
        layers = {group["name"] for group in document.get_ocgs().values()}
    groups = {element.get("id") for element in root if element.tag.endswith("}g")}
    assert groups == layers and {"labels", "marks", "vehicle"} <= groups


def test_the_svg_says_what_the_pdf_says(made, page):
    root = ElementTree.fromstring(made.path("overview.svg").read_bytes())
    said = sorted("".join(node.itertext()).strip() for node in root.iter("{http://www.w3.org/2000/svg}text"))
    assert said == sorted(text.content.strip() for text in page.texts)
