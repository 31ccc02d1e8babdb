"""The stencil to cut, read back from cut.svg and cut.pdf: true size, true place, one piece per panel."""

import functools
import itertools
import math
import os
import tempfile
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import shapely
from shapely import hausdorff_distance, unary_union
from shapely.geometry import LineString, Point, Polygon, box
from shapely.strtree import STRtree

import cutting
import kit
import vectors
from floor import middle

# Places and widths: a fiftieth of a millimetre, as on the printed sheets.
TRUE_MM = 0.02

# A mark's centre hole is 6 mm wide, a pen slot 2 mm or a kerf and 1 mm (README).
HOLE_MM, PEN_MM = 6.0, 2.0

# The plan writes discs as polygons of 180 corners; a chord of one of 400 mm strays 0.03 mm.
CHORD_MM = 0.035

# Alignment notches are 10 mm deep, a page keeps 5 mm around its panel (README).
NOTCH_MM, EDGE_MM = 10.0, 5.0

DEFAULTS = {"bridge": 8.0, "bridge-every": 300.0, "kerf": 0.0, "corner": 1.0, "hairline": 0.1, "spot": "Through"}

WAYS = {
    "plain": {},
    "bed": {"panel": (1200, 800), "kerf": 0.2},
    "router": {"panel": (2500, 1250), "kerf": 3.0, "corner": 3.0, "bridge": 15.0, "bridge-every": 200.0, "spot": "Router"},
    "laser": {"panel": (600, 450), "kerf": 0.15, "bridge": 4.0, "hairline": 0.01, "spot": "laser"},
}


class Cut:
    """The cut files of one run, with the plan they were made from and the options they were made with."""

    def __init__(self, folder, arguments, way):
        self.folder = folder
        self.options = {**DEFAULTS, **WAYS[way]}
        self.asked_panel = self.options.get("panel")
        self.width, self.height, self.view_box, self.pieces = cutting.read_svg(folder / "cut.svg")
        self.plan = kit.plan(*arguments)
        self.marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in self.plan["marks"]}
        self.finished = [piece.openings(self.options["kerf"]) for piece in self.pieces]
        self.openings = [opening for _, openings in self.finished for opening in openings]
        self.pen = max(PEN_MM, self.options["kerf"] + 1)

    @functools.cached_property
    def areas(self):
        """The panels without their notches. Files are written to a ten-thousandth: sides that differ by less than a
        hundredth are one."""
        bounds = [outline.bounds for outline, _ in self.finished]
        sides = []
        for side in sorted(side for bound in bounds for side in bound):
            if not sides or side - sides[-1] > 0.01:
                sides.append(side)
        return [box(*(min(sides, key=lambda known: abs(known - side)) for side in bound)) for bound in bounds]

    @functools.cached_property
    def grown(self):
        """The openings, larger by what counts as true, to be asked by place."""
        return STRtree(shapely.buffer(self.openings, TRUE_MM))

    @functools.cached_property
    def mat(self):
        return unary_union(self.areas)


@functools.cache
def made(way, *arguments):
    folder = Path(tempfile.mkdtemp(dir=os.environ[kit.FOLDER_VARIABLE]))
    kit.asked("cut", *arguments, *flags(WAYS[way]), "-o", folder)
    return Cut(folder, arguments, way)


def flags(options):
    for name, value in options.items():
        if name == "panel":
            value = f"{value[0]}mmx{value[1]}mm"
        elif name != "spot":
            value = f"{value}mm"
        yield from (f"--{name}", value)


def combinations():
    return [("--vehicle", v, "--template", t) for v in kit.names("vehicles") for t in kit.names("templates")]


def pytest_generate_tests(metafunc):
    if "any_cut" in metafunc.fixturenames:
        jobs = [
            pytest.param((way, *job), id=f"{way}-{job[1]}-{job[3]}", marks=pytest.mark.xdist_group(f"cut-{job[1]}-{job[3]}"))
            for job in combinations() for way in ("plain", "bed")
        ]
        jobs += [pytest.param((way,), id=f"{way}-demo", marks=pytest.mark.xdist_group("cut-demo")) for way in WAYS]
        slanting = ("--template", "rear-corner-arcs", "--set", "disc=400mm")
        jobs += [pytest.param((way, *slanting), id=f"{way}-discs") for way in ("router", "laser")]
        metafunc.parametrize("any_cut", jobs, indirect=True, scope="module")


@pytest.fixture(scope="module")
def any_cut(request):
    """Every vehicle with every template, in one piece and on a cutter's bed; the demonstration job in all ways."""
    return made(*request.param)


def test_what_remains_of_every_panel_is_one_piece_held_by_true_bridges(any_cut):
    for piece, (outline, openings) in zip(any_cut.pieces, any_cut.finished):
        material = outline.difference(unary_union(openings))
        assert material.geom_type == "Polygon", f"{piece.name} falls into {len(material.geoms)} parts"
        # All webs but the rings about centre holes are as wide as a bridge: what is left when every cut grows by
        # 45 % of a bridge still hangs together.
        grown = material.buffer(-0.45 * any_cut.options["bridge"])
        assert grown.geom_type == "Polygon", f"{piece.name} hangs on webs narrower than a bridge"


def test_every_opening_lies_within_its_panel_and_none_touches_another(any_cut):
    for piece, (outline, openings) in zip(any_cut.pieces, any_cut.finished):
        inner = box(*outline.bounds).buffer(-any_cut.options["bridge"] + TRUE_MM, join_style="mitre")
        assert all(inner.contains(opening) for opening in openings), piece.name
        together = unary_union(openings)
        assert together.area == pytest.approx(sum(opening.area for opening in openings), abs=1e-6)


def test_every_mark_has_its_hole_in_place_and_windows_along_its_arms(any_cut):
    holes = [o for o in any_cut.openings if abs(o.area - math.pi * HOLE_MM**2 / 4) < 0.2 and is_round(o)]
    assert len(holes) == len(any_cut.marks)
    for name, place in any_cut.marks.items():
        near = [hole for hole in holes if hole.centroid.distance(Point(place)) < TRUE_MM]
        assert len(near) == 1, name
        for edge in near[0].exterior.coords:
            assert math.dist(edge, place) == pytest.approx(HOLE_MM / 2, abs=TRUE_MM)
        for arm in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            window = LineString([[p + a * reach for p, a in zip(place, arm)] for reach in (8, 14)])
            assert len(any_cut.grown.query(window, predicate="within")), f"{name}: no window {arm}"


def is_round(polygon):
    x0, y0, x1, y1 = polygon.bounds
    return abs((x1 - x0) - (y1 - y0)) < TRUE_MM and abs((x1 - x0) - HOLE_MM) < 2 * TRUE_MM


def test_finished_slots_are_as_wide_as_the_tape_strips_and_lie_on_them(any_cut):
    on_strips = 0
    for line in any_cut.plan["lines"]:
        (a, b), width = middle(any_cut.marks, line), line["width_mm"]
        slots = [slot for slot in any_cut.openings if lies_on(slot, a, b, width)]
        assert slots, line
        for slot in slots:
            offs = [across(corner, a, b) for corner in slot.exterior.coords]
            assert max(offs) == pytest.approx(width / 2, abs=TRUE_MM)
            assert min(offs) == pytest.approx(-width / 2, abs=TRUE_MM)
        on_strips += len(slots)
        spans = sorted((min(s), max(s)) for s in ([along(c, a, b) for c in slot.exterior.coords] for slot in slots))
        options = any_cut.options
        for (start, end), (following, _) in itertools.pairwise(spans):
            assert following - end >= options["bridge"] - TRUE_MM
            # A longer web than a bridge is a mark's pad, a crossing or a joint.
            assert following - end < 2 * (15 + options["bridge"]) + width + 1
        assert all(end - start <= options["bridge-every"] - options["bridge"] + TRUE_MM for start, end in spans)
    if not any_cut.plan["panels"]:
        # Everything wider than a pen slot is a mark's hole or lies on a strip.
        wide = [o for o in any_cut.openings if narrow_side(o) > any_cut.pen + TRUE_MM and not is_round(o)]
        assert len({slot.wkb for slot in wide}) == len(wide) <= on_strips


def across(point, a, b):
    length = math.dist(a, b)
    return ((b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])) / length


def along(point, a, b):
    return ((b[0] - a[0]) * (point[0] - a[0]) + (b[1] - a[1]) * (point[1] - a[1])) / math.dist(a, b)


def lies_on(slot, a, b, width):
    middle = (slot.centroid.x, slot.centroid.y)
    if not 0 < along(middle, a, b) < math.dist(a, b) or abs(across(middle, a, b)) >= TRUE_MM:
        return False
    offs = [across(corner, a, b) for corner in slot.exterior.coords]
    return abs(max(offs) - min(offs) - width) < 0.5


def narrow_side(polygon):
    corners = polygon.minimum_rotated_rectangle.exterior.coords
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def test_the_edges_of_panels_are_drawn_through_pen_slots_that_lie_on_them(any_cut):
    for panel, outlines in ((p, [f["outline_mm"] for f in p["fields"]]) for p in any_cut.plan["panels"]):
        edges = unary_union([Polygon(outline).exterior for outline in outlines])
        band = edges.buffer(any_cut.pen / 2 + TRUE_MM + CHORD_MM)
        pens = [opening for opening in any_cut.openings if band.contains(opening)]
        drawn = edges.intersection(unary_union(pens).buffer(CHORD_MM)).length
        # The rest are bridges at corners, and gaps at marks and joints.
        assert drawn > 0.55 * edges.length, (panel["mark"], drawn / edges.length)
        width = sum(pen.area for pen in pens) / drawn
        assert width == pytest.approx(any_cut.pen, rel=0.03), panel["mark"]


def test_notches_point_at_the_centreline_and_at_both_axles_on_both_sides(any_cut):
    x0, y0, x1, y1 = any_cut.mat.bounds
    corners = [corner for outline, _ in any_cut.finished for corner in outline.exterior.coords]
    size = any_cut.plan["vehicle"]["dimensions_mm"]
    left, right = size.get("wheelbase_left"), size.get("wheelbase_right")
    wanted = [(x0 + NOTCH_MM, 0), (x1 - NOTCH_MM, 0), (0, y0 + NOTCH_MM), (0, y1 - NOTCH_MM)]
    wanted += [(-left, y1 - NOTCH_MM), (-right, y0 + NOTCH_MM)]
    for tip in wanted:
        assert min(math.dist(tip, corner) for corner in corners) < TRUE_MM, tip


def test_neighbouring_panels_fit_without_a_gap_and_their_notches_match(any_cut):
    total = sum(area.area for area in any_cut.areas)
    assert any_cut.mat.geom_type == "Polygon" and any_cut.mat.area == pytest.approx(total, abs=1)
    matched = 0
    sides = [(area, outline) for area, (outline, _) in zip(any_cut.areas, any_cut.finished)]
    for (area, one), (neighbour, other) in itertools.combinations(sides, 2):
        joint = area.intersection(neighbour)
        if joint.geom_type != "LineString" or joint.length < 100:
            continue
        matched += 1
        notches = [joint.difference(outline.exterior.buffer(0.01)) for outline in (one, other)]
        assert hausdorff_distance(*notches) < 2 * TRUE_MM
        # Two notches of 10 mm on each joint.
        assert notches[0].length == pytest.approx(20, abs=0.2), joint
    assert matched >= len(any_cut.pieces) - 1


def test_panels_fit_the_material(any_cut):
    for piece, (outline, _) in zip(any_cut.pieces, any_cut.finished):
        x0, y0, x1, y1 = outline.bounds
        sides = sorted((x1 - x0, y1 - y0))
        most = sorted(any_cut.asked_panel or (5070, 5070))
        assert all(side <= limit + TRUE_MM for side, limit in zip(sides, most)), piece.name
        assert piece.size == pytest.approx((x1 - x0 + 2 * EDGE_MM, y1 - y0 + 2 * EDGE_MM), abs=TRUE_MM)


def test_nothing_is_stroked_twice(any_cut):
    for piece in any_cut.pieces:
        lines = piece.lines()
        # Rounded to a micrometre so that overlaps are not missed by a rounding error.
        union = unary_union(lines, grid_size=1e-3)
        assert union.length == pytest.approx(sum(line.length for line in lines), abs=0.05), piece.name


def test_scores_stay_on_the_material_and_follow_the_centreline_and_the_axles(any_cut):
    scores = []
    for piece, (outline, openings) in zip(any_cut.pieces, any_cut.finished):
        cut, room = unary_union(openings), outline.buffer(TRUE_MM)
        for path in piece.score:
            line = LineString(path)
            assert room.contains(line) and (cut.is_empty or line.distance(cut) > 0.4), piece.name
            scores.append(line)
    together = unary_union(scores).buffer(0.1)
    x0, _, x1, _ = any_cut.mat.bounds
    centreline = LineString([(x0 + NOTCH_MM, 0), (x1 - NOTCH_MM, 0)])
    open_floor = centreline.difference(unary_union(any_cut.openings).buffer(2))
    assert open_floor.difference(together).length < 5 * len(any_cut.pieces)


def test_svg_and_pdf_hold_the_same_paths_at_the_same_size(any_cut):
    floors = [piece.floor for piece in any_cut.pieces]
    printed = cutting.read_pdf(any_cut.folder / "cut.pdf", floors)
    assert [piece.name for piece in printed] == [piece.name for piece in any_cut.pieces]
    for drawn, page in zip(any_cut.pieces, printed):
        assert page.size == pytest.approx(drawn.size, abs=0.001)
        for layer in ("cut", "score"):
            mine, theirs = getattr(drawn, layer), getattr(page, layer)
            assert len(mine) == len(theirs), f"{drawn.name} {layer}"
            apart = hausdorff_distance([LineString(path) for path in mine], [LineString(path) for path in theirs])
            assert np.all(apart < 0.005)
        for layer, width in page.strokes.items():
            assert width == pytest.approx(any_cut.options["hairline"], abs=0.001)
            assert drawn.strokes[layer] == pytest.approx(any_cut.options["hairline"], abs=1e-6)


def test_the_svg_says_its_size_in_millimetres_and_everything_lies_within(any_cut):
    assert any_cut.width.endswith("mm") and any_cut.height.endswith("mm")
    assert any_cut.view_box == f"0 0 {any_cut.width[:-2]} {any_cut.height[:-2]}"
    data = (any_cut.folder / "cut.svg").read_text(encoding="utf-8")
    assert "<text" not in data and "<image" not in data and "<use" not in data


def test_the_pdf_has_no_text_and_its_strokes_are_in_named_spot_colours(any_cut):
    spot = any_cut.options["spot"].capitalize()
    assert {spots.get("cut") for spots in (piece.spots for piece in any_cut.pieces)} == {spot}
    with pymupdf.open(any_cut.folder / "cut.pdf") as document:
        objects = [document.xref_object(number) for number in range(1, document.xref_length())]
        separations = [text for text in objects if "/Separation" in text]
        assert any(f"/{spot}" in text for text in separations) and any("/Score" in text for text in separations)
        for page in document:
            assert not page.get_text().strip() and not page.get_fonts() and not page.get_images()
            commands = page.read_contents().split()
            assert b"Tj" not in commands and b"BT" not in commands
            assert commands.count(b"S") == len(page.get_cdrawings())
            # Nothing is stroked in a process colour.
            assert not {b"G", b"RG", b"K"} & set(commands) and b"SCN" in commands


def test_the_sheets_carry_the_cut_paths_on_layers_that_a_plain_print_does_not_show(demo):
    with pymupdf.open(demo.path("stencils.pdf")) as document:
        shown = {entry["text"]: entry for entry in document.layer_ui_configs()}
        assert not shown["cut"]["on"] and not shown["score"]["on"] and shown["lines"]["on"]
        for name in ("cut", "score"):
            document.set_layer_ui_config(shown[name]["number"], 0)
        found = 0
        for sheet in demo.sheets["sheets"]:
            page = document.reload_page(document[sheet["page"] - 1])
            a, b, c, d, e, f = sheet["floor_to_page"]
            height = page.rect.height * vectors.MM_PER_POINT
            cuts = [drawing for drawing in page.get_cdrawings() if drawing["layer"] == "cut"]
            circles = [[side * vectors.MM_PER_POINT for side in drawing["rect"]] for drawing in cuts]
            for x, y in demo.marks.values():
                at = (a * x + c * y + e, b * x + d * y + f)
                for rect in circles:
                    middle = ((rect[0] + rect[2]) / 2, height - (rect[1] + rect[3]) / 2)
                    found += math.dist(middle, at) < TRUE_MM and abs(rect[2] - rect[0] - HOLE_MM) < TRUE_MM
        assert found >= len(demo.marks)


def test_a_kit_has_the_same_cut_files_as_the_command_for_them_alone(demo):
    alone = made("plain")
    for name in ("cut.svg", "cut.pdf"):
        assert demo.path(name).read_bytes() == (alone.folder / name).read_bytes()


@pytest.mark.parametrize(
    ("flag", "value", "told"),
    [
        ("--kerf", "60mm", "narrowest slot of 50 mm"), ("--kerf", "-1mm", "0 to 5 mm"), ("--kerf", "nan", "length"),
        ("--bridge", "400mm", "2 to 50 mm"), ("--bridge", "0", "2 to 50 mm"), ("--bridge-every", "20mm", "--bridge"),
        ("--panel", "100mmx100mm", "300 to 5070 mm"), ("--panel", "1200mm", "1200mmx800mm"),
        ("--panel", "9mx9m", "300 to 5070 mm"), ("--panel", "axb", "1200mmx800mm"), ("--corner", "26mm", "at most 25 mm"),
        ("--hairline", "0", "0.01 to 1 mm"), ("--hairline", "5mm", "0.01 to 1 mm"),
        ("--spot", "Purple", "Through, Blade, Laser, Router, Waterjet"), ("--spot", "Thr ough", "Through"),
    ],
)
@pytest.mark.parametrize("command", ["kit", "cut", "stencils"])
def test_what_cannot_be_cut_is_refused_with_the_remedy_and_nothing_written(tmp_path, command, flag, value, told):
    done = kit.run(command, f"{flag}={value}", "-o", "out", folder=tmp_path)
    assert done.returncode == 3, done.stderr
    assert flag in done.stderr and told in done.stderr and "panicked" not in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()
