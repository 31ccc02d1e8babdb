"""The floor as one picture: drawn by resvg from floor.svg, and pasted from the sheets as poppler draws them.

Two programs that share no code with each other or with this project look at two files; where the pictures agree, the
sheets show on paper what the floor drawing shows.
"""

import functools
import io
import re
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree
from math import dist
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import resvg_py
from PIL import Image, ImageFilter

import kit
import sheet as sheet_module
from floor import Floor

SVG = "{http://www.w3.org/2000/svg}"

# Small layouts: three templates, a vehicle and a paper each.
KITS = {
    "lines": ("--vehicle", "city-car", "--template", "target-line", "--paper", "Letter"),
    "panels": ("--vehicle", "compact-hatchback", "--template", "side-and-end-panels", "--paper", "A4"),
    "discs": ("--vehicle", "estate", "--template", "rear-corner-arcs", "--paper", "A4"),
}

# Pixels of the sheets to a millimetre; one pixel of the floor is a millimetre.
FINE = 8

# The palest fill, a strip's, is 31 of 255 grey steps off white. Half of that tells strip from floor.
GREY_STEPS = 15

# Share of the inked pixels that may differ by more than an edge's rounding to the next pixel: none but a handful at
# sharp corners, which the median filter wears down.
CORNER_SHARE = 0.0002

# Marks are lines of a fifth of a pixel: of their ink, this much may lie a pixel away or be drawn lighter or darker.
# A missing arm is half of it.
INK_SHARE = 0.45

# Pages are pasted without the outermost millimetre of their windows, where pixels are cut.
RIM_MM = 1.0

PLACE_MM = 0.02

# What rounding may leave of the cosine of a right angle.
SQUARE = 1e-9

# A mark's cross from tip to tip.
ARM_TO_ARM_MM = 30.0


@pytest.fixture(scope="module", params=KITS)
def made(request):
    return kit.made(*KITS[request.param])


def svg_of(made):
    return ElementTree.fromstring(made.path("floor.svg").read_bytes())


def size_of(root):
    """Width and height in mm; user units are millimetres."""
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert [float(n) for n in root.get("viewBox").split()] == [0, 0, width, height]
    return width, height


def cross_centres(root):
    """Where the crosses of the layer of marks stand, mm, y up."""
    _, height = size_of(root)
    group = next(element for element in root if element.get("id") == "marks")
    arms = []
    for path in group.iter(f"{SVG}path"):
        points = [tuple(map(float, pair)) for pair in re.findall(r"[ML]\s*(-?[\d.]+)[ ,](-?[\d.]+)", path.get("d"))]
        arms += [(p, q) for p, q in zip(points, points[1:]) if abs(dist(p, q) - ARM_TO_ARM_MM) < PLACE_MM]
    middles = sorted({tuple(np.round(np.mean(arm, axis=0), 3)) for arm in arms})
    return [(x, height - y) for x, y in middles]


def placement(root, marks):
    """The turn by quarters and the shift that take the floor onto the drawing, neither stretched nor mirrored."""
    centres = np.array(cross_centres(root))
    floor = np.array(list(marks.values()))
    for quarter in (0, 1, 3, 2):
        cos, sin = [(1, 0), (0, 1), (-1, 0), (0, -1)][quarter]
        turn = np.array([[cos, -sin], [sin, cos]])
        turned = floor @ turn.T
        shift = centres.min(axis=0) - turned.min(axis=0)
        apart = np.hypot(*(turned[:, None] + shift - centres[None]).transpose(2, 0, 1)).min(axis=1)
        if apart.max() < PLACE_MM:
            return turn, shift
    raise AssertionError("no placement without stretching or mirroring takes the marks onto the crosses of floor.svg")


def drawn_by_resvg(root, layers):
    """The floor drawing with only some of its layers, a pixel to the millimetre."""
    width, height = size_of(root)
    kept = ElementTree.Element(root.tag, root.attrib)
    kept.extend(element for element in root if element.get("id") in layers)
    data = resvg_py.svg_to_bytes(
        svg_string=ElementTree.tostring(kept, encoding="unicode"), dpi=25.4, background="#ffffff",
        skip_system_fonts=True,
    )
    picture = np.asarray(Image.open(io.BytesIO(bytes(data))).convert("L"))
    # resvg makes whole pixels of the size.
    assert abs(picture.shape[0] - height) < 1 and abs(picture.shape[1] - width) < 1
    return picture


@functools.lru_cache(maxsize=1)
def drawn_by_poppler(made, layers):
    """The pages of the sheets with only some of their layers."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with pymupdf.open(made.path("stencils.pdf")) as document:
            groups = {group["name"]: xref for xref, group in document.get_ocgs().items()}
            document.set_layer(-1, on=[], off=[xref for name, xref in groups.items() if name not in layers])
            document.save(folder / "layers.pdf")
        subprocess.run(
            ["pdftoppm", "-gray", "-r", str(25.4 * FINE), folder / "layers.pdf", folder / "page"], check=True, timeout=300
        )
        return [np.asarray(Image.open(path)) for path in sorted(folder.glob("page-*.pgm"))]


def pasted(made, pages, turn, shift, root, shape):
    """The pages laid where they belong on the floor drawing."""
    _, height = size_of(root)
    picture = np.full(shape, 255, np.uint8)
    sheets, _ = sheet_module.sheets_of(made)
    for sheet in sheets:
        page = pages[sheet.number - 1]
        a, b, c, d, e, f = sheet.to_page
        corners = np.array(sheet.window.exterior.coords) @ turn.T + shift
        (x0, y0), (x1, y1) = np.ceil(corners.min(axis=0) + RIM_MM), np.floor(corners.max(axis=0) - RIM_MM)
        columns = np.arange(max(x0, 0), min(x1, shape[1]))
        rows = np.arange(max(np.ceil(height - y1), 0), min(np.floor(height - y0), shape[0]))
        # Sheets lie square to the drawing: a column of it is a column or a row of the page, whatever the place along it.
        onto = np.array([[a, c], [b, d]]) @ turn.T
        along_rows = abs(onto[0, 0]) < SQUARE
        assert np.abs(onto[[0, 1], [0, 1]] if along_rows else onto[[0, 1], [1, 0]]).max() < SQUARE, f"{sheet.label} lies askew"
        parts = (np.arange(FINE) + 0.5) / FINE
        # From the drawing's pixel, in parts, to the floor, and from there to the page.
        at_x = (columns[:, None] + parts).ravel() - shift[0]
        at_y = (height - rows[:, None] - parts).ravel() - shift[1]
        page_x = (onto[0, 1] * at_y if along_rows else onto[0, 0] * at_x) + e
        page_y = (onto[1, 0] * at_x if along_rows else onto[1, 1] * at_y) + f
        column = np.clip((page_x * FINE).astype(int), 0, page.shape[1] - 1)
        row = np.clip(page.shape[0] - 1 - (page_y * FINE).astype(int), 0, page.shape[0] - 1)
        found = page[np.ix_(row, column)]
        found = found.T if along_rows else found
        total = found.reshape(len(rows), FINE, len(columns), FINE).sum(axis=(1, 3), dtype=np.uint32)
        picture[np.ix_(rows.astype(int), columns.astype(int))] = np.round(total / FINE**2)
    return picture


def both(made, layers):
    root = svg_of(made)
    turn, shift = placement(root, made.marks)
    one = drawn_by_resvg(root, layers)
    return one, pasted(made, drawn_by_poppler(made, layers), turn, shift, root, one.shape)


def without_thin_lines(picture):
    return np.asarray(Image.fromarray(picture).filter(ImageFilter.MedianFilter(5))).astype(int)


def blurred(picture):
    return 255 - np.asarray(Image.fromarray(picture).filter(ImageFilter.BoxBlur(1.5))).astype(float)


def different(one, other):
    """Pixels of one picture that are neither as light nor as dark as any of the other's about the same place, and the
    other way round. An edge on the border of two pixels goes to one in the one program, to the next in the other."""
    def beyond(a, b):
        around = Image.fromarray(b.astype(np.uint8))
        low = np.asarray(around.filter(ImageFilter.MinFilter(3))).astype(int)
        high = np.asarray(around.filter(ImageFilter.MaxFilter(3))).astype(int)
        return (a < low - GREY_STEPS) | (a > high + GREY_STEPS)

    return int((beyond(one, other) | beyond(other, one)).sum())


def test_strips_and_panels_look_the_same_in_the_drawing_and_on_the_sheets(made):
    one, other = map(without_thin_lines, both(made, ("lines", "panels")))
    inked = one < 255 - GREY_STEPS
    assert inked.any(), "the drawing is empty"
    count = different(one, other)
    assert count <= CORNER_SHARE * inked.sum(), f"{count} of {inked.sum()} pixels differ"


def test_marks_look_the_same_in_the_drawing_and_on_the_sheets(made):
    one, other = map(blurred, both(made, ("marks",)))
    # Names of marks belong to the sheets alone, crosses to both: only the crosses' surroundings are compared.
    root = svg_of(made)
    turn, shift = placement(root, made.marks)
    for name, at in made.marks.items():
        x, y = turn @ np.array(at) + shift
        row, column = round(size_of(root)[1] - y), round(x)
        cut = np.s_[max(row - 4, 0) : row + 4, max(column - 4, 0) : column + 4]
        ink = one[cut].sum()
        assert ink > 0, f"no cross at {name} in the drawing"
        assert abs(one[cut] - other[cut]).sum() <= INK_SHARE * ink, f"the cross at {name} differs"


def test_a_shifted_page_would_be_noticed():
    made = kit.made(*KITS["lines"])
    root = svg_of(made)
    turn, shift = placement(root, made.marks)
    one = drawn_by_resvg(root, ("lines", "panels"))
    pages = drawn_by_poppler(made, ("lines", "panels"))
    other = pasted(made, [np.roll(page, 2 * FINE, axis=(0, 1)) for page in pages], turn, shift, root, one.shape)
    count = different(without_thin_lines(one), without_thin_lines(other))
    assert count > CORNER_SHARE * (one < 255 - GREY_STEPS).sum()


def test_floor_svg_is_at_full_scale_with_every_mark_in_its_place(any_kit):
    root = svg_of(any_kit)
    placement(root, any_kit.marks)
    assert len(cross_centres(root)) == len(any_kit.marks)
    groups = {element.get("id") for element in root if element.tag == f"{SVG}g"}
    assert "marks" in groups and groups & {"lines", "panels"}
    floor = Floor(any_kit.plan)
    width, height = size_of(root)
    x0, y0, x1, y1 = floor.taped.union(floor.dark).bounds
    # Either way up: no layout is drawn smaller than it is.
    assert min(width, height) >= min(x1 - x0, y1 - y0) and max(width, height) >= max(x1 - x0, y1 - y0)
